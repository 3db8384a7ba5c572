"""Times between a sheet's points by a second way: numpy's own straight-line interpolation and a root finder.

The reader works segment by segment with an activation energy; here ln(time) is interpolated over 1/T by numpy, and the
age to a strength is found by bisecting the interpolated strength curve, never by inverting it.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from truebed.curing.between_points import age_to_strength, time_between, time_to_strength
from truebed.sheets.sheet import StrengthAt, TimeAt

ladders_c = st.lists(st.integers(-10, 40), min_size=2, max_size=6, unique=True).map(sorted)


@st.composite
def time_points(draw: st.DrawFn) -> tuple[TimeAt, ...]:
    """Times that fall with temperature."""
    temps_c = draw(ladders_c)
    first_min = draw(st.floats(5.0, 500.0))
    steps = draw(st.lists(st.floats(0.3, 0.98), min_size=len(temps_c), max_size=len(temps_c)))
    minutes_min = first_min * np.cumprod(steps)
    return tuple(TimeAt(float(t), float(m), "x") for t, m in zip(temps_c, minutes_min, strict=True))


@st.composite
def strength_points(draw: st.DrawFn, temps_c: tuple[float, ...] = (20.0,)) -> tuple[StrengthAt, ...]:
    """Strengths that grow with age, on the same rungs at each temperature, younger where warmer."""
    count = draw(st.integers(2, 5))
    first_min = draw(st.floats(10.0, 100.0))
    ages_min = first_min * np.cumprod(
        [1.0, *draw(st.lists(st.floats(1.2, 4.0), min_size=count - 1, max_size=count - 1))]
    )
    rungs = np.cumsum(draw(st.lists(st.floats(0.5, 12.0), min_size=count, max_size=count)))
    slower = dict(zip(temps_c, np.cumprod([1.0] + [0.6] * (len(temps_c) - 1)), strict=True))
    return tuple(
        StrengthAt(t, float(age * slower[t]), float(rung), "x")
        for t in temps_c
        for age, rung in zip(ages_min, rungs, strict=True)
    )


def by_numpy_min(points: tuple[TimeAt, ...], temp_c: float) -> float:
    over = -1.0 / (273.15 + np.array([point.temp_c for point in points]))
    return float(np.exp(np.interp(-1.0 / (273.15 + temp_c), over, np.log([point.after_min for point in points]))))


@given(time_points(), st.floats(0.0, 1.0))
def test_numpy_finds_the_same_time(points: tuple[TimeAt, ...], part: float) -> None:
    temp_c = points[0].temp_c + part * (points[-1].temp_c - points[0].temp_c)
    found = time_between(points, min(temp_c, points[-1].temp_c), "set")
    assert found.minutes_min == pytest.approx(by_numpy_min(points, temp_c), rel=1e-9)


@given(time_points(), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_times_never_grow_with_temperature(points: tuple[TimeAt, ...], one: float, other: float) -> None:
    low, high = sorted((one, other))
    span_c = points[-1].temp_c - points[0].temp_c
    cold_c, warm_c = (min(points[0].temp_c + part * span_c, points[-1].temp_c) for part in (low, high))
    cold_min, warm_min = (time_between(points, t, "set").minutes_min for t in (cold_c, warm_c))
    assert warm_min <= cold_min * (1.0 + 1e-12)


@given(time_points(), st.floats(0.0, 1.0))
def test_a_time_lies_between_those_of_its_two_points(points: tuple[TimeAt, ...], part: float) -> None:
    temp_c = points[0].temp_c + part * (points[-1].temp_c - points[0].temp_c)
    found = time_between(points, min(temp_c, points[-1].temp_c), "set")
    assert found.warm.after_min * (1 - 1e-12) <= found.minutes_min <= found.cold.after_min * (1 + 1e-12)


@given(strength_points(), st.floats(0.001, 1.0))
def test_a_root_finder_finds_the_same_age(points: tuple[StrengthAt, ...], part: float) -> None:
    first, last = points[0], points[-1]
    target = first.strength_n_per_mm2 + part * (last.strength_n_per_mm2 - first.strength_n_per_mm2)
    target = min(target, last.strength_n_per_mm2)
    logs = np.log([point.age_min for point in points])
    rungs = [point.strength_n_per_mm2 for point in points]
    root = brentq(lambda log_age: float(np.interp(log_age, logs, rungs)) - target, logs[0], logs[-1], xtol=1e-13)
    assert age_to_strength(points, target, "strength").age_min == pytest.approx(float(np.exp(root)), rel=1e-9)


@given(strength_points((5.0, 20.0, 30.0)), st.floats(5.0, 30.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_a_greater_strength_is_never_reached_sooner(
    points: tuple[StrengthAt, ...], temp_c: float, one: float, other: float
) -> None:
    low, high = sorted((one, other))
    most = max(point.strength_n_per_mm2 for point in points)
    sooner, later = (time_to_strength(points, part * most, temp_c, "strength")[0] for part in (low, high))
    assert sooner.minutes_min <= later.minutes_min * (1.0 + 1e-12)


@given(strength_points((5.0, 20.0, 30.0)), st.floats(0.0, 1.0), st.floats(5.0, 30.0), st.floats(5.0, 30.0))
def test_a_strength_is_never_reached_later_where_it_is_warmer(
    points: tuple[StrengthAt, ...], part: float, one_c: float, other_c: float
) -> None:
    target = part * max(point.strength_n_per_mm2 for point in points)
    cold, warm = (time_to_strength(points, target, t, "strength")[0] for t in sorted((one_c, other_c)))
    assert warm.minutes_min <= cold.minutes_min * (1.0 + 1e-12)
