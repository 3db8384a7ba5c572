"""The points of one or many sheets as arrays: what a curve is fitted to."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.curing.arrhenius import GAS_J_PER_MOL_K, inverse_per_k
from truebed.curing.defaults import Defaults

Array = NDArray[np.float64]

#: Ages count at this temperature [degC].
REFERENCE_C = 20.0
#: A uniform rounding error of step 1 has this standard deviation.
ROUNDING_SD = 1.0 / math.sqrt(12.0)
#: Steps that sheets are rounded to: strengths [N/mm2] and times [minute]. House.
STRENGTH_STEPS = (1.0, 0.5, 0.1)
TIME_STEPS = (5.0, 1.0, 0.5, 0.1)


@dataclass(frozen=True, slots=True)
class CurvePoints:
    """Logarithms of what sheets give, one row a sheet; a column that pads has an infinite standard deviation.

    *_pull      by how much ln(equivalent age) exceeds ln(age) for each kJ/mol of activation energy
    *_sd        one standard deviation of the logarithm: test and rounding
    """

    age_log: Array
    age_pull: Array
    strength_log: Array
    strength_sd: Array
    set_log: Array
    set_pull: Array
    set_sd: Array

    def rows(self, which: NDArray[np.intp]) -> CurvePoints:
        """Some of the sheets."""
        return CurvePoints(
            self.age_log[which], self.age_pull[which], self.strength_log[which], self.strength_sd[which],
            self.set_log[which], self.set_pull[which], self.set_sd[which],
        )  # fmt: skip

    def with_errors_times(self, factor: Array) -> CurvePoints:
        """The same points with wider errors, one factor a sheet."""
        wide = factor[:, None]
        return CurvePoints(
            self.age_log, self.age_pull, self.strength_log, self.strength_sd * wide,
            self.set_log, self.set_pull, self.set_sd * wide,
        )  # fmt: skip


def pull_of(temp_c: float) -> float:
    """ln(equivalent age) - ln(age) for 1 kJ/mol: (1/T20 - 1/T) / R.

    Valid       above -273.15 degC
    Source      [astm-c1074] form only
    Proved by   tests/curing/test_calibrate_points.py
    """
    return 1000.0 / GAS_J_PER_MOL_K * (inverse_per_k(REFERENCE_C) - inverse_per_k(temp_c))


def rounding_step(values: Sequence[float], steps: Sequence[float]) -> float:
    """The coarsest step that all values are whole multiples of; the finest one where none is.

    steps       coarsest first
    Source      house: a sheet's rounding is read off its own values
    Proved by   tests/curing/test_calibrate_points.py
    """
    for step in steps:
        if all(math.isclose(value / step, round(value / step), abs_tol=1e-9) for value in values):
            return step
    return steps[-1]


def error_sd(values: Array, share_sd: float, step: float) -> Array:
    """One standard deviation of ln(value): the test's share and the rounding, in quadrature.

    Valid       values above 0
    Source      algebra
    Proved by   tests/curing/test_calibrate_points.py
    """
    return np.hypot(share_sd, ROUNDING_SD * step / values)


def curve_points(
    strengths: Sequence[tuple[float, float, float]], sets: Sequence[tuple[float, float]], defaults: Defaults
) -> CurvePoints:
    """One sheet's points as arrays of one row.

    strengths   (temp_c, age_min, strength_n_per_mm2)
    sets        (temp_c, after_min)
    Valid       ages, strengths and times above 0
    Source      house
    Proved by   tests/curing/test_calibrate_points.py
    """
    given = np.array([s for _, _, s in strengths])
    times = np.array([t for _, t in sets])
    strength_sd = error_sd(
        given, defaults["strength_error_share"].spread_sd, rounding_step(given.tolist(), STRENGTH_STEPS)
    )
    set_sd = error_sd(times, defaults["time_error_share"].spread_sd, rounding_step(times.tolist(), TIME_STEPS))
    return CurvePoints(
        np.log([[age for _, age, _ in strengths]]),
        np.array([[pull_of(temp_c) for temp_c, _, _ in strengths]]),
        np.log(given)[None, :],
        strength_sd[None, :],
        np.log(times)[None, :],
        np.array([[pull_of(temp_c) for temp_c, _ in sets]]).reshape(1, len(sets)),
        set_sd[None, :],
    )
