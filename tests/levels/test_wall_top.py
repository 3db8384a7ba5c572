"""An uneven wall top between its measured points, and where the bed's limits are held on it."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point

from truebed.chamber.shapes import circle_ring, outline_ring, polygon, rectangle_ring
from truebed.errors import NotDesignedError
from truebed.levels.wall_top import WallTop, seat_on, seat_points, wall_top


def eight(level, radius=400.0):
    return tuple(
        (radius * math.cos(a), radius * math.sin(a), level(radius * math.cos(a), radius * math.sin(a)))
        for a in (math.radians(45.0 * i - 170.0) for i in range(8))
    )


def test_a_plane_top_is_the_plane_everywhere():
    top = wall_top(eight(lambda x, y: -130.0 + 0.01 * x - 0.02 * y))
    assert top.at(377.0, -123.0) == pytest.approx(-130.0 + 3.77 + 2.46)
    assert top.misfit_mm == pytest.approx(0.0, abs=1e-9)


def test_the_top_passes_through_every_measured_point_and_runs_straight_between_two():
    points = list(eight(lambda _x, _y: -130.0))
    points[2] = (*points[2][:2], -118.0)
    top = wall_top(tuple(points))
    for x, y, z in points:
        assert top.at(x, y) == pytest.approx(z)
    half = math.radians(45.0 * 2.5 - 170.0)
    x, y = 400.0 * math.cos(half), 400.0 * math.sin(half)
    ends = [z - top.plane.at(px, py) for px, py, z in (points[2], points[3])]
    assert top.off_plane_mm(x, y) == pytest.approx(sum(ends) / 2.0)


def test_one_bump_among_eight_leaves_the_misfit_worked_out_by_hand():
    # a bump h at one of eight regular places: off-plane parts h(1 - 3/8 at the bump itself ...); leave-one-out by hand
    h = 12.0
    angles = [2.0 * math.pi * i / 8 for i in range(8)]
    off = [(h if i == 0 else 0.0) - h * (1.0 + 2.0 * math.cos(a)) / 8.0 for i, a in enumerate(angles)]
    errors = [off[i] - (off[i - 1] + off[(i + 1) % 8]) / 2.0 for i in range(8)]
    points = tuple((400.0 * math.cos(a), 400.0 * math.sin(a), h if i == 0 else 0.0) for i, a in enumerate(angles))
    assert wall_top(points).misfit_mm == pytest.approx(math.sqrt(sum(e * e for e in errors) / 8.0))


def test_two_points_at_one_place_count_by_their_mean():
    points = (
        *eight(lambda _x, _y: -130.0),
        (450.0 * math.cos(math.radians(-170.0)), 450.0 * math.sin(math.radians(-170.0)), -126.0),
    )
    top = wall_top(points)
    assert len(top.directions_deg) == 8
    assert top.plane.level_mm > -130.0


@pytest.mark.parametrize("points", [((0.0, 0.0, 1.0), (1.0, 1.0, 1.0), (2.0, 2.0, 1.0), (3.0, 3.0, 0.0)), ()])
def test_points_in_line_or_too_few_are_refused(points):
    with pytest.raises(NotDesignedError, match="in line"):
        wall_top(points)


def test_limits_are_held_at_measured_points_and_all_along_both_edges():
    points = list(eight(lambda _x, _y: -130.0))
    points[5] = (*points[5][:2], -112.0)
    top = wall_top(tuple(points))
    seats = seat_points(top, rectangle_ring(860.0, 860.0), circle_ring(640.0))
    assert max(s.chamber_top_mm for s in seats if s.name.startswith("measured")) == pytest.approx(-112.0)
    corners = {(430.0, 430.0), (-430.0, 430.0), (430.0, -430.0), (-430.0, -430.0)}
    assert corners <= {(s.x_mm, s.y_mm) for s in seats}
    dense = [
        top.at(430.0 * math.cos(a) / max(abs(math.cos(a)), abs(math.sin(a))),
               430.0 * math.sin(a) / max(abs(math.cos(a)), abs(math.sin(a))))
        for a in (math.radians(i / 10.0) for i in range(3600))
    ]  # fmt: skip
    assert max(s.chamber_top_mm for s in seats) >= max(dense) - 0.1
    assert min(s.chamber_top_mm for s in seats) <= min(dense) + 0.1


def test_a_plane_top_needs_the_corners_alone():
    from truebed.chamber.plane import Plane

    seats = seat_points(WallTop(Plane(-130.0, 0.0, 0.0)), rectangle_ring(860.0, 860.0))
    assert len(seats) == 4


@settings(max_examples=40)
@given(turn=st.floats(-180.0, 180.0), levels=st.lists(st.floats(-150.0, -100.0), min_size=8, max_size=8))
def test_turning_or_mirroring_the_points_turns_or_mirrors_the_top(turn, levels):
    points = tuple((x, y, z) for (x, y, _), z in zip(eight(lambda _x, _y: 0.0), levels, strict=True))
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    turned = wall_top(tuple((cos * x - sin * y, sin * x + cos * y, z) for x, y, z in points))
    mirrored = wall_top(tuple((x, -y, z) for x, y, z in points))
    plain = wall_top(points)
    for x, y in ((410.0, 33.0), (-90.0, 377.0), (-300.0, -301.0)):
        assert turned.at(cos * x - sin * y, sin * x + cos * y) == pytest.approx(plain.at(x, y), abs=1e-6)
        assert mirrored.at(x, -y) == pytest.approx(plain.at(x, y), abs=1e-6)


@pytest.mark.parametrize(("flange", "hollow"), [("rectangle", "round"), ("round", "rectangle"), ("D", "round")])
def test_the_seat_of_any_flange_on_any_chamber_lies_on_the_wall_outside_the_hollow(flange, hollow):
    foot = outline_ring(flange, 860.0, 860.0 if flange == "round" else 760.0, 20.0)
    inside = outline_ring(hollow, 500.0, 500.0, 0.0)
    top = wall_top(eight(lambda x, y: -130.0 + 5.0 * math.sin(x * y / 2e4)))
    seats = seat_on(top, foot, circle_ring(1200.0), inside, circle_ring(480.0))
    for s in seats:
        assert polygon(foot).buffer(0.01).covers(Point(s.x_mm, s.y_mm))
        assert not polygon(inside).buffer(-0.01).covers(Point(s.x_mm, s.y_mm))
    assert {f"measured {i}" for i in range(1, 9)} >= {s.name for s in seats if s.name.startswith("measured")}
    level = seat_on(WallTop(top.plane), foot, circle_ring(1200.0), inside, circle_ring(480.0))
    assert all(s.chamber_top_mm == pytest.approx(top.plane.at(s.x_mm, s.y_mm)) for s in level)
