"""Rims of every shape: which points are set, where they lie, where the lids meet."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.chamber.shapes import outline_ring, polygon
from truebed.levels.rims import marks_of, middle_of, rim_points, set_points, string_pairs

SHAPES = ("rectangle", "round", "D", "triangular pair")


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("turn", [0.0, 23.0, -90.0])
def test_every_set_point_lies_on_the_outline(shape, turn):
    from shapely.geometry import Point

    ring = polygon(outline_ring(shape, 700.0, 700.0 if shape == "round" else 560.0, turn)).exterior
    for name, point in set_points(shape, 700.0, 700.0 if shape == "round" else 560.0, turn):
        # a circle stands as a polygon of its own area, which is not on the circle itself
        assert ring.distance(Point(point)) < 0.05, name


def test_a_d_is_set_at_its_back_corners_its_shoulders_and_its_nose():
    assert dict(set_points("D", 700.0, 500.0, 0.0)) == {
        "front-left": (100.0, 250.0),
        "front-right": (100.0, -250.0),
        "back-right": (-350.0, -250.0),
        "back-left": (-350.0, 250.0),
        "nose": (350.0, 0.0),
    }


def test_the_names_follow_the_frame_when_it_turns():
    turned = dict(set_points("rectangle", 800.0, 600.0, 90.0))
    assert turned["front-left"] == pytest.approx((-300.0, 400.0))
    assert turned["back-right"] == pytest.approx((300.0, -400.0))


def test_only_a_triangular_pair_has_a_joint_over_its_middle():
    assert [rim_points(s, 700.0, 700.0, 10.0) for s in ("rectangle", "round", "D")] == [(), (), ()]
    joint = rim_points("triangular pair", 600.0, 600.0, 0.0)
    assert all(x == pytest.approx(y) for x, y in joint)
    assert min(x for x, _ in joint) > -300.0
    assert max(x for x, _ in joint) < 300.0


@given(along=st.floats(300.0, 1500.0), across=st.floats(300.0, 1500.0), turn=st.floats(-180.0, 180.0))
def test_the_joint_runs_from_back_right_to_front_left_in_steps_of_at_most_50_mm(along, across, turn):
    named = dict(set_points("triangular pair", along, across, turn))
    line = [named["back-right"], *rim_points("triangular pair", along, across, turn), named["front-left"]]
    steps = [math.dist(a, b) for a, b in itertools.pairwise(line)]
    assert max(steps) <= 50.0 + 1e-6
    assert sum(steps) == pytest.approx(math.hypot(along, across))


@pytest.mark.parametrize("shape", SHAPES)
def test_strings_reach_every_set_point_of_every_shape(shape):
    named = marks_of(shape, 700.0, 600.0, 0.0)
    reached = {name for pair in string_pairs(shape) for name in pair}
    assert {name for name, _ in set_points(shape, 700.0, 600.0, 0.0)} <= reached
    assert reached <= set(named)


def test_the_middle_of_an_outline_is_its_centroid():
    ring = outline_ring("D", 700.0, 500.0, 31.0)
    centroid = polygon(ring).centroid
    assert middle_of(ring) == pytest.approx((centroid.x, centroid.y), abs=1e-9)
    # half disc 4r/3pi beyond its diameter, by areas: rectangle 450 x 500 about -125, half disc about 100 + 106.1
    box, disc = 450.0 * 500.0, math.pi * 250.0**2 / 2.0
    straight = (box * -125.0 + disc * (100.0 + 4.0 * 250.0 / (3.0 * math.pi))) / (box + disc)
    assert middle_of(outline_ring("D", 700.0, 500.0, 0.0))[0] == pytest.approx(straight, abs=0.05)
