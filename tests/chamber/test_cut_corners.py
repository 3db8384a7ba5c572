"""The corners of a saw cut, against a blade rolled along its line in small steps.

Worked by hand: blade 400 mm, 100 mm deep. Run-on sqrt(400 x 100 - 100^2) = sqrt(30000) = 173.205 mm a side, eight of
them 1385.6 mm. Where it stops short, the face left at each end is 173.205 x 100 less half the segment: radius 200, the
chord 100 mm below the axle, half angle asin(0.866025) = 60 degrees = 1.047198; half segment
(200^2 x 1.047198 - 100 x 173.205) / 2 = (41887.9 - 17320.5) / 2 = 12283.7 mm2; left 17320.5 - 12283.7 = 5036.8 mm2.
"""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from truebed.chamber.corners import (
    core_mm,
    corner_work,
    left_area_mm2,
    outside_area_mm2,
    reached_mm,
    run_on_mm,
    side_ends,
)
from truebed.chamber.cut_parts import CutSide, KeepOff
from truebed.chamber.shapes import rectangle_ring

BLADES, DEEP = st.floats(250.0, 900.0), st.floats(0.05, 0.5)


def sides(ring, kinds=("sawn",) * 8):
    """The sides of a ring."""
    return tuple(CutSide(a, b, k) for a, b, k in zip(ring, (*ring[1:], ring[0]), kinds[: len(ring)], strict=True))


SQUARE = sides(rectangle_ring(1100.0, 1000.0))


def depth_cut_mm(blade, axles, depth, at):
    """Depth that a blade cuts at places `at`, its axle rolled over places `axles` (depth below the surface)."""
    off = at[:, None] - axles[None, :]
    radius = blade / 2.0
    under = np.sqrt(np.maximum(radius**2 - off**2, 0.0)) - (radius - depth)
    return np.maximum(under, 0.0).max(axis=1)


@settings(max_examples=40)
@given(BLADES, DEEP)
def test_the_run_on_is_what_a_rolled_blade_shows_past_the_corner(blade, share):
    depth = share * blade
    # the axle goes as far as the corner at nought: there the cut is at full depth
    at = np.linspace(-1.2 * blade, 1.2 * blade, 1201)
    cut = depth_cut_mm(blade, np.linspace(-1.2 * blade, 0.0, 401), depth, at)
    past = at[cut > 1e-9].max()
    assert run_on_mm(blade, depth) == pytest.approx(past, abs=2.4 * blade / 1200 + 1e-3)


@settings(max_examples=40)
@given(BLADES, DEEP, st.floats(100.0, 1500.0))
def test_what_a_blade_that_stops_short_leaves_is_what_a_rolled_one_leaves(blade, share, side):
    depth = share * blade
    chord = run_on_mm(blade, depth)
    if side >= 2.0 * chord:
        axles, deep = np.linspace(chord, side - chord, 2001), depth
    else:
        deep = reached_mm(blade, depth, side)
        axles = np.array([side / 2.0])
    at = np.linspace(0.0, side / 2.0, 801)
    cut = depth_cut_mm(blade, axles, deep, at)
    assert reached_mm(blade, depth, side) == pytest.approx(cut.max(), abs=0.05)
    left = float(np.trapezoid(depth - cut, at))
    if side >= 2.0 * chord:
        assert left_area_mm2(blade, depth, side) == pytest.approx(left, rel=2e-3, abs=1.0)


def test_the_worked_example():
    assert run_on_mm(400.0, 100.0) == pytest.approx(173.205, abs=1e-3)
    assert left_area_mm2(400.0, 100.0, 1000.0) == pytest.approx(5036.8, abs=0.1)
    assert reached_mm(400.0, 100.0, 1000.0) == 100.0
    # a side of 200 mm: chord of half length 100 at radius 200 lies 200 - sqrt(30000) = 26.795 mm deep
    assert reached_mm(400.0, 100.0, 200.0) == pytest.approx(26.795, abs=1e-3)


def test_the_blade_runs_on_at_each_end_of_each_side():
    work = corner_work("run on", side_ends(SQUARE), 400.0, 100.0, ())
    assert len(work.over_cuts) == 8
    assert sum(o.length_mm for o in work.over_cuts) == pytest.approx(1385.64, abs=0.01)
    ends = {(round(o.end[0], 1), round(o.end[1], 1)) for o in work.over_cuts}
    assert (723.2, 500.0) in ends
    assert (550.0, 673.2) in ends
    assert work.left_count == 0


@given(BLADES, DEEP)
def test_a_core_of_the_run_on_s_width_keeps_the_blade_in_and_one_a_little_less_does_not(blade, share):
    depth = share * blade
    for ratio, stays in ((1.001, True), (0.999, False)):
        core = ratio * core_mm(blade, depth)
        # full depth as far as the hole's near edge: the axle goes there, and shows a run-on further
        shows = -core / 2.0 + run_on_mm(blade, depth)
        assert (shows <= core / 2.0) is stays


def test_cores_stand_on_the_corners_and_take_three_quarters_of_their_circle_outside():
    ends = side_ends(SQUARE)
    work = corner_work("core", ends, 400.0, 100.0, ())
    assert [(c.x_mm, c.y_mm) for c in work.cores] == [
        (-550.0, -500.0),
        (550.0, -500.0),
        (550.0, 500.0),
        (-550.0, 500.0),
    ]
    assert work.over_cuts == ()
    assert outside_area_mm2(ends, work.cores) == pytest.approx(4 * 0.75 * math.pi * 173.205**2 / 4.0, rel=1e-5)


def test_stopping_short_leaves_all_corners_to_break():
    work = corner_work("stop short", side_ends(SQUARE), 400.0, 100.0, ())
    assert (work.left_count, work.left_depth_mm) == (8, 100.0)
    assert work.left_length_mm == pytest.approx(173.205, abs=1e-3)
    assert work.over_cuts == () == work.cores
    assert work.reached_mm == 100.0


def test_a_short_side_is_not_sawn_through_by_a_blade_that_stops_short():
    work = corner_work("stop short", side_ends(sides(rectangle_ring(1000.0, 200.0))), 400.0, 100.0, ())
    assert work.reached_mm == pytest.approx(26.795, abs=1e-3)
    assert work.left_length_mm == pytest.approx(173.205, abs=1e-3)


def test_a_run_into_something_to_keep_off_is_told_and_left_to_break():
    wall = KeepOff("a wall", tuple((x + 750.0, y) for x, y in rectangle_ring(100.0, 3000.0)))
    work = corner_work("run on", side_ends(SQUARE), 400.0, 100.0, (wall,))
    stopped = [o for o in work.over_cuts if o.enters]
    assert [o.enters for o in stopped] == [("a wall",)] * 2
    assert {o.start for o in stopped} == {(550.0, -500.0), (550.0, 500.0)}
    assert work.left_count == 2
    assert work.left_area_mm2 == pytest.approx(5036.8, abs=0.1)


def test_a_core_that_has_no_room_is_not_drilled_and_its_corner_is_broken():
    wall = KeepOff("a wall", tuple((x + 680.0, y) for x, y in rectangle_ring(100.0, 3000.0)))
    ends = side_ends(SQUARE)
    work = corner_work("core", ends, 400.0, 100.0, (wall,))
    assert [c.enters for c in work.cores] == [(), ("a wall",), ("a wall",), ()]
    assert work.left_count == 4
    assert outside_area_mm2(ends, work.cores) == pytest.approx(2 * 0.75 * math.pi * 173.205**2 / 4.0, rel=1e-5)


def test_a_side_along_a_kerb_has_no_ends_and_one_that_is_shared_makes_no_corner():
    kerbed = side_ends(sides(rectangle_ring(1100.0, 1000.0), ("sawn", "sawn", "kerb", "sawn")))
    assert len(kerbed) == 6
    shared = side_ends(sides(rectangle_ring(1100.0, 1000.0), ("sawn", "shared", "sawn", "sawn")))
    assert len(shared) == 4


def test_at_an_inward_corner_the_blade_runs_on_inside_the_cut_unless_a_frame_is_there():
    ell = sides(((0.0, 0.0), (2000.0, 0.0), (2000.0, 1000.0), (1000.0, 1000.0), (1000.0, 2000.0), (0.0, 2000.0)))
    ends = side_ends(ell)
    assert len(corner_work("run on", ends, 400.0, 100.0, ()).over_cuts) == 10
    frame = KeepOff("the flange", tuple((x + 500.0, y + 1000.0) for x, y in rectangle_ring(800.0, 800.0)))
    for way in ("run on", "core", "stop short"):
        work = corner_work(way, ends, 400.0, 100.0, (frame,))
        assert [o.start for o in work.over_cuts if o.enters] == [(1000.0, 1000.0)]
    assert work.left_count == 11
