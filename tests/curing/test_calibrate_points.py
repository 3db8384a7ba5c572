"""A sheet's points as arrays: pulls of temperature, rounding read off the values, errors in quadrature."""

from __future__ import annotations

import math

import numpy as np
import pytest

from truebed.curing.arrhenius import GAS_J_PER_MOL_K, rate_ratio
from truebed.curing.curve_points import (
    STRENGTH_STEPS,
    TIME_STEPS,
    curve_points,
    error_sd,
    pull_of,
    rounding_step,
)
from truebed.curing.defaults import curing_defaults


@pytest.mark.parametrize("temp_c", [-2.0, 2.0, 20.0, 35.0])
def test_the_pull_times_the_energy_is_the_logarithm_of_the_rate(temp_c: float) -> None:
    rate = rate_ratio(temp_c, 20.0, 33500.0 / GAS_J_PER_MOL_K)
    assert math.exp(33.5 * pull_of(temp_c)) == pytest.approx(rate, rel=1e-12)


@pytest.mark.parametrize(
    ("values", "step"),
    [([4.5, 13.5, 21.0], 0.5), ([4.0, 13.0, 21.0], 1.0), ([4.2, 13.5], 0.1), ([4.23], 0.1), ([], 1.0)],
)
def test_rounding_is_the_coarsest_step_that_fits_all_values(values: list[float], step: float) -> None:
    assert rounding_step(values, STRENGTH_STEPS) == step


def test_times_in_fives_are_taken_as_rounded_to_five_minutes() -> None:
    assert rounding_step([15.0, 30.0], TIME_STEPS) == 5.0
    assert rounding_step([15.0, 34.0], TIME_STEPS) == 1.0


def test_a_small_value_carries_more_of_its_rounding() -> None:
    sd = error_sd(np.array([1.0, 20.0]), 0.05, 0.5)
    assert sd == pytest.approx([math.hypot(0.05, 0.5 / math.sqrt(12.0)), math.hypot(0.05, 0.025 / math.sqrt(12.0))])


def test_a_sheet_is_one_row_and_widening_touches_errors_only() -> None:
    points = curve_points([(20.0, 60.0, 20.0), (5.0, 180.0, 24.5)], [(20.0, 15.0)], curing_defaults())
    assert points.age_log.shape == points.strength_sd.shape == (1, 2)
    assert points.set_log == pytest.approx(np.log([[15.0]]))
    wide = points.with_errors_times(np.array([2.0]))
    assert wide.set_sd == pytest.approx(2.0 * points.set_sd)
    assert np.array_equal(wide.strength_log, points.strength_log)
    assert np.array_equal(points.rows(np.array([0])).age_log, points.age_log)


def test_a_sheet_without_set_times_has_an_empty_row_of_them() -> None:
    points = curve_points([(20.0, 60.0, 20.0), (20.0, 180.0, 30.0)], [], curing_defaults())
    assert points.set_log.shape == points.set_pull.shape == points.set_sd.shape == (1, 0)
