"""The frame's programme: its second stage, what governs it, least fall, further limits, mends, its unit of plan."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oracles.test_chebyshev import question, rim, seat
from truebed.chamber.plane import Plane
from truebed.levels.seat_program import Held, evenest_bed, governors, least_greatest_mm, mend, seat_frame
from truebed.levels.seat_question import RoadSample


def departures(asked, plane):
    return [plane.at(s.x_mm, s.y_mm) - s.road_mm + asked.set_down_mm for s in asked.rim]


def beds(asked, plane):
    return [plane.at(s.x_mm, s.y_mm) - asked.frame_depth_mm - s.chamber_top_mm for s in asked.seat]


def tilted_and_bed_limited():
    """One high corner of the chamber alone holds the frame up: many planes leave the same greatest departure."""
    seats = list(seat(400, 300, lambda _x, _y: -130.0))
    seats[0] = replace(seats[0], chamber_top_mm=-102.0)
    return question(rim(400, 300, lambda _x, _y: 0.0, 200.0), tuple(seats), bed=(10.0, 60.0))


def test_among_equals_the_bed_that_changes_least_is_taken():
    asked = tilted_and_bed_limited()
    answer = seat_frame(asked)
    assert answer.greatest_mm == pytest.approx(8.0, abs=1e-9)
    assert max(map(abs, departures(asked, answer.rim))) <= 8.0 + 1e-8
    spread = max(beds(asked, answer.rim)) - min(beds(asked, answer.rim))
    rng, tried = np.random.default_rng(3), 0
    for front, left in rng.uniform(-8.0, 8.0, (500, 2)):
        if -8.0 <= front + left - 8.0 <= 8.0:
            # every plane that is 8 mm proud at the high corner and within 8 mm at the others
            slopes = (front - 8.0) / 800.0, (left - 8.0) / 600.0
            other = Plane((front + left) / 2.0, *slopes)
            assert other.at(-400.0, -300.0) == pytest.approx(8.0)
            tried += 1
            assert max(beds(asked, other)) - min(beds(asked, other)) >= spread - 1e-6
    assert tried > 100
    assert spread == pytest.approx(20.0, abs=1e-6)
    assert evenest_bed(asked, 7.9) is None


def test_a_frame_without_seat_points_is_set_all_the_same():
    asked = replace(question(rim(400, 300, lambda x, _y: 0.01 * x)), seat=())
    answer = seat_frame(asked)
    assert answer.greatest_mm == pytest.approx(0.0, abs=1e-9)
    assert answer.rim.slope_x_ratio == pytest.approx(0.01, abs=1e-12)


def test_f5_a_least_fall_of_1_5_pct_over_900_mm_of_flat_road_is_6_75_mm_out():
    asked = replace(
        question(rim(450, 300, lambda _x, _y: 0.0)), fall_least_ratio=0.015, fall_towards=(1.0, 0.0)
    )  # fmt: skip
    answer = seat_frame(asked)
    assert answer.greatest_mm == pytest.approx(6.75, abs=1e-9)
    assert answer.rim.slope_x_ratio == pytest.approx(-0.015, abs=1e-12)
    assert governors(asked)[0].kind == "fall"


def test_a_further_limit_holds_the_rim_at_a_kerb():
    asked = question(rim(400, 300, lambda _x, _y: 0.0))
    at_most_minus_4 = Held(np.array([[1.0, 0.0, 300.0]]), np.array([-4.0]))
    answer = seat_frame(asked, held=at_most_minus_4)
    assert answer.rim.at(0.0, 300.0) == pytest.approx(-4.0, abs=1e-8)
    assert answer.greatest_mm == pytest.approx(4.0, abs=1e-9)
    assert governors(asked, held=at_most_minus_4)[0].name == "held 1"
    impossible = Held(np.array([[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]]), np.array([-4.0, 3.0]))
    assert seat_frame(asked, held=impossible) is None
    assert mend(asked, held=impossible).relax_mm is None


@given(st.integers(0, 2**32 - 1))
def test_the_limits_that_govern_prove_that_no_plane_does_better(seed):
    """By duality: weights x limits add up to the departure; the weighted rows cancel the plane."""
    rng = np.random.default_rng(seed)
    slope, level = rng.normal(0, 0.02, 2), rng.uniform(-145, -105)
    samples = tuple(
        RoadSample(s.name, s.x_mm, s.y_mm, s.road_mm + float(rng.normal(0, 2)))
        for s in rim(400, 300, lambda x, y: slope[0] * x + slope[1] * y, 200.0)
    )
    asked = question(samples, seat(410, 310, lambda _x, _y: level), bed=(10.0, 45.0))
    answer = seat_frame(asked)
    if answer is None:
        return
    rims, seats = ({s.name: s for s in group} for group in (asked.rim, asked.seat))
    total, cancel, carried = 0.0, np.zeros(3), 0.0
    for g in governors(asked):
        sign = 1.0 if g.kind in ("rim above", "bed greatest") else -1.0
        at = (rims if g.kind.startswith("rim") else seats)[g.name]
        if g.kind.startswith("rim"):
            bound, carried = at.road_mm, carried + g.weight_ratio
        else:
            bound = at.chamber_top_mm + 100.0 + (45.0 if g.kind == "bed greatest" else 10.0)
        total -= g.weight_ratio * sign * bound
        cancel += g.weight_ratio * sign * np.array([1.0, at.x_mm / 1000, at.y_mm / 1000])
    assert carried == pytest.approx(1.0, abs=1e-9)
    assert cancel == pytest.approx(np.zeros(3), abs=1e-7)
    assert total == pytest.approx(answer.greatest_mm, abs=1e-6)


@given(st.integers(0, 2**32 - 1))
def test_relaxing_the_bed_as_the_mend_says_lets_the_frame_sit_and_a_little_less_does_not(seed):
    rng = np.random.default_rng(seed)
    slope = rng.normal(0, 0.05, 2)
    samples = rim(400, 300, lambda x, y: slope[0] * x + slope[1] * y, 200.0)
    asked = question(samples, seat(410, 310, lambda _x, _y: -125.0 + rng.normal(0, 3)), bed=(10.0, 40.0))
    e = mend(asked).relax_mm
    wider = replace(asked, bed_least_mm=10.0 - e - 1e-6, bed_most_mm=40.0 + e + 1e-6)
    assert least_greatest_mm(wider, with_bed=True)[1] <= 6.0 + 1e-5
    if e > 0.01:
        tighter = replace(asked, bed_least_mm=10.0 - e + 0.01, bed_most_mm=40.0 + e - 0.01)
        out = least_greatest_mm(tighter, with_bed=True)
        assert out is None or out[1] > 6.0


@given(st.floats(-3000, 3000), st.floats(-3000, 3000), st.floats(0.2, 5))
def test_the_answer_does_not_depend_on_the_origin_or_the_size_of_the_plan(dx, dy, size):
    road = lambda x, y: 4.0 * x * y / (400 * 300) + 0.01 * x  # noqa: E731
    here = seat_frame(question(rim(400, 300, road, 200.0)))
    moved = tuple(
        RoadSample(s.name, size * s.x_mm + dx, size * s.y_mm + dy, s.road_mm) for s in rim(400, 300, road, 200.0)
    )
    there = seat_frame(question(moved))
    assert there.greatest_mm == pytest.approx(here.greatest_mm, abs=1e-8)
