"""A whole scene turned or mirrored: road, rim, uneven seat and fall together; the answer turns with it."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from truebed.chamber.plane import Plane
from truebed.chamber.shapes import outline_ring
from truebed.levels.frame_setting import SettingQuestion, rim_samples, seat_question
from truebed.levels.rims import rim_points, set_points
from truebed.levels.seat_program import mend, seat_frame
from truebed.levels.surface import RoadSurface
from truebed.levels.wall_top import seat_points, wall_top

LEVELS = st.lists(st.floats(-142.0, -122.0), min_size=8, max_size=8)
ROADS = st.tuples(*[st.floats(-0.03, 0.03)] * 2, *[st.floats(-3e-5, 3e-5)] * 2)
SHAPES = st.sampled_from(["rectangle", "round", "D", "triangular pair"])


def scene(shape, road, levels, turn=0.0, mirror=1.0, fall=None):
    """A frame 700 x 560 in its own axes, mirrored left to right or turned, with all that belongs to it."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    double_cos, double_sin = math.cos(2.0 * math.radians(turn)), math.sin(2.0 * math.radians(turn))
    across = 700.0 if shape == "round" else 560.0

    def placed(x, y):
        return cos * x - sin * mirror * y, sin * x + cos * mirror * y

    sx, sy, k, m = road
    k, sy = mirror * k, mirror * sy
    # k x y + m (x2 - y2) turned by t: k' = k cos 2t + 2 m sin 2t, m' = m cos 2t - k sin 2t / 2
    coefficients = (
        0.0, cos * sx - sin * sy, sin * sx + cos * sy, k * double_cos + 2.0 * m * double_sin,
        m * double_cos - k * double_sin / 2.0,
    )  # fmt: skip
    surface = RoadSurface("five terms", coefficients, (), 0.0, 2.0, (), (), 1.0, 1.0)
    ring = tuple(placed(x, y) for x, y in outline_ring(shape, 700.0, across, 0.0))
    flange = tuple(placed(x, y) for x, y in outline_ring(shape, 860.0, across + 160.0, 0.0))
    angles = [math.radians(45.0 * i + 20.0) for i in range(8)]
    top = wall_top(
        tuple((*placed(380.0 * math.cos(a), 330.0 * math.sin(a)), z) for a, z in zip(angles, levels, strict=True))
    )
    return SettingQuestion(
        surface, ring, tuple((n, placed(*p)) for n, p in set_points(shape, 700.0, across, 0.0)), ((600.0, 0.0),),
        seat_points(top, flange), Plane(0.0, 0.0, 0.0), "measured", 100.0, 10.0, 55.0, -6.0, 6.0, "", 1.0,
        tuple(placed(*p) for p in rim_points(shape, 700.0, across, 0.0)), fall, placed(0.6, -0.8),
    )  # fmt: skip


def answered(question):
    asked = seat_question(question, rim_samples(question))
    found, range_mm = seat_frame(asked), mend(asked)
    if found is None:
        return None, range_mm
    bed = [found.rim.at(s.x_mm, s.y_mm) - 100.0 - s.chamber_top_mm for s in asked.seat]
    return (found.greatest_mm, found.free_mm, max(bed) - min(bed)), range_mm


def same(one, other):
    assert (one[0] is None) == (other[0] is None)
    if one[0] is not None and other[0] is not None:
        assert other[0] == pytest.approx(one[0], abs=2e-3)
    for a, b in zip(
        (one[1].raise_least_mm, one[1].raise_most_mm), (other[1].raise_least_mm, other[1].raise_most_mm), strict=True
    ):
        assert (a is None) == (b is None)
        if a is not None:
            assert b == pytest.approx(a, abs=2e-3)


@settings(max_examples=40, deadline=None)
@given(shape=SHAPES, road=ROADS, levels=LEVELS, turn=st.floats(-180.0, 180.0), fall=st.sampled_from([None, 0.01]))
def test_a_scene_turned_as_a_whole_has_the_same_setting(shape, road, levels, turn, fall):
    same(answered(scene(shape, road, levels, fall=fall)), answered(scene(shape, road, levels, turn=turn, fall=fall)))


@settings(max_examples=40, deadline=None)
@given(shape=SHAPES, road=ROADS, levels=LEVELS, fall=st.sampled_from([None, 0.01]))
def test_a_scene_mirrored_left_to_right_has_the_same_setting(shape, road, levels, fall):
    same(answered(scene(shape, road, levels, fall=fall)), answered(scene(shape, road, levels, mirror=-1.0, fall=fall)))
