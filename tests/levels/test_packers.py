"""Packers under the set points: heights from the setting, stacks of stocked sizes against brute force."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point

from truebed.chamber.plane import Plane
from truebed.chamber.shapes import outline_ring, polygon, rectangle_ring
from truebed.errors import NotDesignedError
from truebed.levels.frame_setting import SettingQuestion, set_frame
from truebed.levels.packers import PackerPlace, PackerSize, make_up_packers, packer_places, stacks_of
from truebed.levels.rims import set_points
from truebed.levels.surface import RoadSurface
from truebed.levels.wall_top import WallTop, seat_points


def setting_of(shape="rectangle", turn=0.0, top=-130.0):
    covariance = tuple(tuple(1e-12 if i == j else 0.0 for j in range(3)) for i in range(3))
    road = RoadSurface("plane", (0.0, 0.02, 0.0), covariance, 0.0, 2.0, (), (), 1.0, 1.0)
    wall = WallTop(Plane(top, 0.0, 0.0))
    asked = SettingQuestion(
        road, outline_ring(shape, 660.0, 660.0, turn), set_points(shape, 660.0, 660.0, turn), ((500.0, 0.0),),
        seat_points(wall, outline_ring(shape, 820.0, 820.0, turn)), wall.plane, "estimate", 100.0, 12.0, 55.0,
        -6.0, 6.0, "[sroh-4] S2.3.1 (seen)", 1.0,
    )  # fmt: skip
    return set_frame(asked), wall


def places_of(*heights):
    return tuple(PackerPlace(f"P{i}", 0.0, 0.0, h) for i, h in enumerate(heights))


def test_a_packer_stands_on_the_seat_beside_its_set_point_and_fills_the_bed_there():
    setting, top = setting_of()
    places = packer_places(
        setting, top, rectangle_ring(820.0, 820.0), rectangle_ring(1000.0, 1000.0), rectangle_ring(600.0, 600.0)
    )
    assert [p.name for p in places] == ["front-left", "front-right", "back-right", "back-left"]
    # the set point at 330, 330 lies 30 inside the seat: the packer stands under it
    assert (places[0].x_mm, places[0].y_mm) == pytest.approx((330.0, 330.0))
    assert places[0].height_mm == pytest.approx(30.0 + 0.02 * 330.0, abs=1e-4)
    assert places[2].height_mm == pytest.approx(30.0 - 0.02 * 330.0, abs=1e-4)


def test_over_the_hollow_the_packer_moves_out_to_the_wall():
    setting, top = setting_of()
    places = packer_places(
        setting, top, rectangle_ring(820.0, 820.0), rectangle_ring(1000.0, 1000.0), outline_ring("round", 960, 960, 0)
    )
    for place in places:
        assert (place.x_mm**2 + place.y_mm**2) ** 0.5 >= 480.0 + 19.9
        assert abs(place.x_mm) <= 390.0 + 1e-6


def test_a_flange_without_a_seat_is_refused():
    setting, top = setting_of()
    ring = rectangle_ring(820.0, 820.0)
    with pytest.raises(NotDesignedError, match="no seat"):
        packer_places(setting, top, ring, ring, rectangle_ring(900.0, 900.0))


def test_stacks_have_four_pieces_at_most_and_no_more_than_there_are():
    stacks = stacks_of((PackerSize(10.0, 1), PackerSize(5.0)))
    assert max(len(s) for s in stacks) == 4
    assert all(s.count(10.0) <= 1 for s in stacks)
    assert (10.0, 5.0, 5.0, 5.0) in stacks


def test_the_fewest_pieces_are_taken_among_equal_heights():
    stack = make_up_packers(places_of(20.0), (PackerSize(20.0), PackerSize(10.0), PackerSize(5.0)))[0]
    assert stack.pieces_mm == (20.0,)
    assert stack.residual_mm == 0.0


def test_what_the_sizes_cannot_make_up_is_told():
    stack = make_up_packers(places_of(23.4), (PackerSize(10.0), PackerSize(2.0)))[0]
    assert stack.pieces_mm == (10.0, 10.0, 2.0, 2.0)
    assert stack.residual_mm == pytest.approx(-0.6)


@settings(max_examples=40, deadline=None)
@given(
    heights=st.lists(st.floats(10.0, 45.0), min_size=2, max_size=3),
    counts=st.tuples(st.integers(0, 3), st.integers(0, 3), st.integers(0, 3)),
)
def test_few_pieces_are_shared_as_trying_everything_shares_them(heights, counts):
    sizes = tuple(PackerSize(h, c) for h, c in zip((20.0, 10.0, 3.0), counts, strict=True))
    best = None
    for choice in itertools.product(stacks_of(sizes), repeat=len(heights)):
        if all(sum(s.count(z.height_mm) for s in choice) <= z.count for z in sizes):
            off = [abs(h - sum(s)) for h, s in zip(heights, choice, strict=True)]
            score = (round(max(off), 9), round(sum(off), 9), sum(len(s) for s in choice))
            best = score if best is None or score < best else best
    found = make_up_packers(places_of(*heights), sizes)
    off = [abs(s.residual_mm) for s in found]
    assert (round(max(off), 9), round(sum(off), 9), sum(len(s.pieces_mm) for s in found)) == best
    for size in sizes:
        assert sum(s.pieces_mm.count(size.height_mm) for s in found) <= size.count


@pytest.mark.parametrize("shape", ["rectangle", "round", "D"])
def test_turning_the_frame_turns_its_packers(shape):
    straight, top = setting_of(shape)
    hollow, wall = outline_ring("round", 600, 600, 0), outline_ring("round", 1200, 1200, 0)
    places = packer_places(straight, top, outline_ring(shape, 820.0, 820.0, 0.0), wall, hollow)
    assert len(places) == (5 if shape == "D" else 4)
    for place in places:
        under = straight.rim.at(place.x_mm, place.y_mm) - 100.0
        assert place.height_mm == pytest.approx(under + 130.0)


@pytest.mark.parametrize(("body", "flange"), [("rectangle", "round"), ("round", "rectangle")])
def test_a_square_frame_on_a_round_flange_and_the_reverse_stand_on_their_own_outlines(body, flange):
    setting, top = setting_of(body)
    foot, wall = outline_ring(flange, 960.0, 960.0, 0.0), outline_ring("round", 1300.0, 1300.0, 0.0)
    for place in packer_places(setting, top, foot, wall, outline_ring("round", 640.0, 640.0, 0.0)):
        assert polygon(foot).buffer(-19.9).covers(Point(place.x_mm, place.y_mm))
        assert (place.x_mm**2 + place.y_mm**2) ** 0.5 >= 320.0
        assert place.height_mm == pytest.approx(setting.rim.at(place.x_mm, place.y_mm) - 100.0 + 130.0)
