"""Steps under each wheel line and straightedge gaps over a set frame: by hand, by dense scans, turned and mirrored."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from truebed.chamber.plane import Plane
from truebed.chamber.shapes import outline_ring, rectangle_ring
from truebed.levels.reach import readings_reach
from truebed.levels.ride import Limit, RideQuestion, line_gaps, profile_on, ride_check, span_on, steps_on, wheel_steps
from truebed.levels.surface import RoadPoint, RoadSurface

RULES = {"band_low_mm": -6.0, "band_high_mm": 6.0, "band_source": "[sroh-4] S2.3.1 (seen)"}
EDGE = Limit(3000.0, "[mchw-700] 702 (memory-medium)")
GAP = Limit(3.0, "[mchw-700] 702 (memory-medium)")


def road_of(coefficients, model="plane", ridge=0.0, reach=900.0):
    points = tuple(
        RoadPoint(f"P{i}", sx * reach, sy * reach, 0.0, 0.0, used=True, row=i)
        for i, (sx, sy) in enumerate(((-1, -1), (1, -1), (1, 1), (-1, 1)))
    )
    return RoadSurface(model, coefficients, (), ridge, 2.0, points, (), 1.0, 1.0)


def asked(road, plane, ring=None, straightedge=EDGE, gap=GAP, tyre=250.0):
    iron = ((ring or rectangle_ring(800.0, 600.0), plane),)
    return RideQuestion(road, iron, tyre, straightedge_mm=straightedge, gap=gap, **RULES)


def test_a_proud_frame_is_a_step_up_and_a_step_down_of_its_own_size():
    ride = ride_check(asked(road_of((0.0, 0.01, 0.0)), Plane(4.0, 0.01, 0.0)))
    for step in ride.steps:
        assert step.proud_mm == pytest.approx(4.0)
        assert step.step_mm == pytest.approx(4.0 if step.place == "onto the frame" else -4.0)
        assert abs(step.x_mm) == pytest.approx(400.0)
    assert ride.steps_pass
    assert ride.band_source == "[sroh-4] S2.3.1 (seen)"


def test_a_step_beyond_the_band_fails_and_says_where():
    ride = ride_check(asked(road_of((0.0, 0.0, 0.0)), Plane(0.0, 0.0, 7.0 / 300.0)))
    assert not ride.steps_pass
    assert abs(ride.worst.step_mm) == pytest.approx(7.0, abs=1e-3)
    assert abs(ride.worst.y_mm) == pytest.approx(300.0, abs=0.01)


def test_a_twisted_road_gives_each_wheel_line_its_own_step_by_algebra():
    k = 2.0e-5
    for y in (-250.0, 0.0, 130.0):
        on, off = steps_on(asked(road_of((0.0, 0.0, 0.0, k), "plane and twist"), Plane(0.0, 0.0, 0.0)), y)
        assert on.step_mm == pytest.approx(k * 400.0 * y)
        assert off.step_mm == pytest.approx(k * 400.0 * y)


def test_a_tyre_feels_the_worst_of_the_edge_under_it():
    question = asked(road_of((0.0, 0.0, 0.0)), Plane(0.0, 0.0, 0.01), tyre=250.0)
    for step in wheel_steps(question):
        under = [0.01 * y for y in np.arange(-300.0, 300.1, 1.0) if abs(y - step.line_y_mm) <= 125.0]
        size = max(abs(u) for u in under)
        # edges are looked at every 50 mm: one more can lie under the tyre
        assert abs(step.step_mm) == pytest.approx(size, abs=0.01 * 50.0)
        assert abs(step.step_mm) >= abs(0.01 * step.line_y_mm) - 1e-9


def test_wheel_lines_cover_the_whole_frame_50_mm_apart():
    lines = sorted({s.line_y_mm for s in wheel_steps(asked(road_of((0.0, 0.0, 0.0)), Plane(1.0, 0.0, 0.0)))})
    assert lines[0] == pytest.approx(-300.0, abs=0.01)
    assert lines[-1] == pytest.approx(300.0, abs=0.01)
    assert max(b - a for a, b in itertools.pairwise(lines)) <= 50.0 + 1e-9


def test_the_step_between_two_castings_is_met_as_well():
    left, right = outline_ring("rectangle", 400.0, 600.0, 0.0), outline_ring("rectangle", 400.0, 600.0, 0.0)
    iron = (
        (tuple((x - 200.0, y) for x, y in left), Plane(1.0, 0.0, 0.0)),
        (tuple((x + 200.0, y) for x, y in right), Plane(3.5, 0.0, 0.0)),
    )
    question = RideQuestion(road_of((0.0, 0.0, 0.0)), iron, 250.0, **RULES)
    places = [(s.place, s.step_mm, s.x_mm) for s in steps_on(question, 0.0)]
    assert places == [
        ("onto the frame", pytest.approx(1.0), pytest.approx(-400.0)),
        ("from part 1 to part 2", pytest.approx(2.5), pytest.approx(0.0)),
        ("off the frame", pytest.approx(-3.5), pytest.approx(400.0)),
    ]
    ride = ride_check(question)
    assert (ride.gaps, ride.worst_gap, ride.gap_passes) == ((), None, None)


def test_a_sunk_frame_is_a_gap_of_its_own_depth_and_fails_3_mm():
    ride = ride_check(asked(road_of((0.0, 0.0, 0.0)), Plane(-5.0, 0.0, 0.0)))
    assert ride.worst_gap.gap.gap_mm == pytest.approx(5.0)
    assert ride.gap_passes is False
    assert not ride.worst_gap.known
    assert ride.worst_gap.length_mm == pytest.approx(1800.0)
    assert ride_check(asked(road_of((0.0, 0.0, 0.0)), Plane(-2.9, 0.0, 0.0))).gap_passes is True


def test_a_crown_under_a_flat_frame_has_the_gap_of_algebra():
    # z = -0.02 |y|, frame flat at -3 over y +-300 (road there -6 .. 0): its edges stand 3 proud of the road beside them
    road = road_of((0.0, 0.0, 0.0, -0.02), "two planes along")
    across = [g for g in line_gaps(asked(road, Plane(-3.0, 0.0, 0.0)), 3000.0) if g.way == "across"]
    middle = min(across, key=lambda g: abs(g.at_mm))
    # hull from the frame's edge (300, -3) to the reach's end (900, -18): gap at (300, -6) is the step of 3
    assert middle.gap.gap_mm == pytest.approx(3.0, abs=1e-6)


def test_where_the_readings_do_not_reach_past_the_frame_no_gap_is_told():
    # a ring turned by 45 degrees about a square frame: outside its middle lines the frame sticks out of the reach
    points = tuple(
        RoadPoint(f"P{i}", x, y, 0.0, 0.0, used=True, row=i)
        for i, (x, y) in enumerate(((-620.0, 0.0), (0.0, -620.0), (620.0, 0.0), (0.0, 620.0)))
    )
    road = RoadSurface("plane", (0.0, 0.0, 0.0), (), 0.0, 2.0, points, (), 1.0, 1.0)
    ride = ride_check(asked(road, Plane(2.0, 0.0, 0.0), rectangle_ring(700.0, 700.0)))
    # |x| + |y| < 620: a line at y reaches past 350 only for |y| < 270
    assert {abs(g.at_mm) < 270.0 for g in ride.gaps} == {True}
    assert ride.lines_unjudged == 2 * len([y for y in np.linspace(-350.0, 350.0, 15) if abs(y) >= 270.0])
    assert ride.worst_gap.gap.gap_mm == pytest.approx(2.0, abs=1e-9)


def test_without_a_reach_there_is_no_profile():
    road = RoadSurface("plane", (0.0, 0.0, 0.0), (), 0.0, 2.0, (), (), 1.0, 1.0)
    assert readings_reach(road) == ()
    assert profile_on(asked(road, Plane(0.0, 0.0, 0.0)), 1, 0.0, ()) == ()
    ride = ride_check(asked(road, Plane(0.0, 0.0, 0.0)))
    assert (ride.worst_gap, ride.gap_passes) == (None, None)


def test_a_profile_goes_road_frame_road_with_a_step_at_each_edge():
    profile = profile_on(asked(road_of((0.0, 0.0, 0.0)), Plane(2.0, 0.0, 0.0)), 1, 0.0, rectangle_ring(1800.0, 1800.0))
    assert [s for s, _ in profile] == sorted(s for s, _ in profile)
    assert [z for s, z in profile if s == -400.0] == [0.0, 2.0]
    assert [z for s, z in profile if s == 400.0] == [2.0, 0.0]
    assert (profile[0], profile[-1]) == ((-900.0, 0.0), (900.0, 0.0))


def test_a_profile_keeps_the_fold_of_a_crown():
    road = road_of((0.0, 0.0, 0.0, -0.02), "two planes along", ridge=411.3)
    profile = profile_on(asked(road, Plane(0.0, 0.0, 0.0)), 0, 0.0, rectangle_ring(1800.0, 1800.0))
    assert (411.3, pytest.approx(0.0)) in [(s, z) for s, z in profile]


@pytest.mark.parametrize("shape", ["rectangle", "round", "D"])
def test_a_line_meets_a_ring_where_a_dense_scan_says(shape):
    from shapely.geometry import LineString

    from truebed.chamber.shapes import polygon

    ring = outline_ring(shape, 700.0, 700.0 if shape == "round" else 600.0, 25.0)
    for at in (-311.0, -40.0, 0.0, 222.2):
        line = LineString([(-2000.0, at), (2000.0, at)]).intersection(polygon(ring))
        assert span_on(ring, 1, at) == pytest.approx((line.bounds[0], line.bounds[2]))
    assert span_on(ring, 1, 900.0) is None


@settings(max_examples=30, deadline=None)
@given(
    slopes=st.tuples(*[st.floats(-0.04, 0.04)] * 2),
    twist=st.floats(-2e-5, 2e-5),
    rim=st.tuples(st.floats(-6.0, 6.0), st.floats(-0.01, 0.01), st.floats(-0.01, 0.01)),
)
def test_a_scene_mirrored_left_to_right_has_the_same_ride(slopes, twist, rim):
    plain = ride_check(asked(road_of((0.0, *slopes, twist), "plane and twist"), Plane(*rim)))
    mirrored = ride_check(
        asked(road_of((0.0, slopes[0], -slopes[1], -twist), "plane and twist"), Plane(rim[0], rim[1], -rim[2]))
    )
    assert abs(mirrored.worst.step_mm) == pytest.approx(abs(plain.worst.step_mm), abs=1e-9)
    assert mirrored.worst_gap.gap.gap_mm == pytest.approx(plain.worst_gap.gap.gap_mm, abs=1e-9)
    assert mirrored.steps_pass == plain.steps_pass


@settings(max_examples=20, deadline=None)
@given(quarter=st.integers(0, 3), rim=st.tuples(st.floats(-6.0, 6.0), st.floats(-0.01, 0.01), st.floats(-0.01, 0.01)))
def test_turning_frame_and_road_by_a_quarter_turns_the_gaps(quarter, rim):
    cos, sin = round(math.cos(quarter * math.pi / 2)), round(math.sin(quarter * math.pi / 2))
    ring = rectangle_ring(800.0, 600.0)

    def turned(sx, sy):
        return cos * sx - sin * sy, sin * sx + cos * sy

    plain = line_gaps(asked(road_of((0.0, 0.02, -0.01)), Plane(*rim), ring), 3000.0)
    other = line_gaps(
        asked(
            road_of((0.0, *turned(0.02, -0.01))),
            Plane(rim[0], *turned(rim[1], rim[2])),
            outline_ring("rectangle", 800.0, 600.0, 90.0 * quarter),
        ),
        3000.0,
    )
    assert max(g.gap.gap_mm for g in other) == pytest.approx(max(g.gap.gap_mm for g in plain), abs=1e-6)
