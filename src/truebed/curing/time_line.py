"""Working life, set and readiness over temperature: each with its own activation energy and its own uncertainty."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from truebed.curing.calibrate import NINETY_SD, TimeTo, reach_notes, refuse_outside
from truebed.curing.curve_points import TIME_STEPS, Array, error_sd, pull_of, rounding_step
from truebed.curing.defaults import Defaults
from truebed.curing.fitted import TimeBeside
from truebed.errors import NotDeterminedError
from truebed.sheets.sheet import Limits, TimeAt


@dataclass(frozen=True, slots=True)
class TimeLine:
    """ln(time) straight over 1/T.

    covariance  of ln(minutes at 20 degC) and the energy [kJ/mol]: (variance, covariance, variance)
    error_factor_ratio  by how much the stated errors were widened for the line to pass its points
    energy_given  whether the sheet has two temperatures, so that the energy is its own and not the default
    """

    what: str
    at20_min: float
    activation_j_per_mol: float
    covariance: tuple[float, float, float]
    error_factor_ratio: float
    tested_c: tuple[float, ...]
    allowed_least_c: float
    allowed_most_c: float
    residuals: tuple[TimeBeside, ...]

    @property
    def energy_given(self) -> bool:
        """Whether the energy is the sheet's own."""
        return len(self.tested_c) > 1


def fit_times(
    times: Sequence[TimeAt], kind: Literal["cement", "resin", "sealant"], what: str, limits: Limits, defaults: Defaults
) -> TimeLine:
    """The line through a sheet's times, with the default energy as prior.

    what        for messages: 'working life of harrow-bed'
    Valid       one time a temperature
    Source      [astm-c1074] form only; data/curing.toml for the default energy and the error of a time
    Raises      NotDeterminedError where the sheet gives no time
    Proved by   tests/curing/test_calibrate_times.py
    """
    if not times:
        raise NotDeterminedError(f"{what}: the sheet gives none")
    default = defaults["activation_cement_j_per_mol" if kind == "cement" else "activation_resin_j_per_mol"]
    given = np.array([p.after_min for p in times])
    sd = error_sd(given, defaults["time_error_share"].spread_sd, rounding_step(given.tolist(), TIME_STEPS))
    table = np.column_stack([np.ones(len(times)), [-pull_of(p.temp_c) for p in times]])
    prior = (default.value / 1000.0, default.spread_sd / 1000.0)
    centre, covariance = _weighed(table, np.log(given), sd, prior)
    factor_ratio = _widened(table, np.log(given), sd, centre)
    if factor_ratio > 1.0:
        centre, covariance = _weighed(table, np.log(given), sd * factor_ratio, prior)
    logs = table @ centre
    off_sd = (logs - np.log(given)) / (sd * factor_ratio)
    return TimeLine(
        what,
        math.exp(centre[0]),
        1000.0 * float(centre[1]),
        (float(covariance[0, 0]), float(covariance[0, 1]), float(covariance[1, 1])),
        factor_ratio,
        tuple(sorted(p.temp_c for p in times)),
        limits.temp_least_c,
        limits.temp_most_c,
        tuple(
            TimeBeside(p.temp_c, p.after_min, math.exp(logs[i]), float(off_sd[i]), p.place) for i, p in enumerate(times)
        ),
    )


def time_at(line: TimeLine, temp_c: float) -> TimeTo:
    """The time at a steady temperature: most probable, and 5 % early and 95 % late.

    Valid       inside the temperatures that the sheet allows
    Source      algebra (normal logarithm)
    Raises      NotDeterminedError at a temperature not allowed
    Proved by   tests/curing/test_calibrate_times.py
    """
    refuse_outside(line.allowed_least_c, line.allowed_most_c, temp_c, line.what)
    lever = -pull_of(temp_c)
    first, cross, second = line.covariance
    spread_sd = math.sqrt(first + 2.0 * lever * cross + lever * lever * second)
    minutes_min = line.at20_min * math.exp(lever * line.activation_j_per_mol / 1000.0)
    edge_ratio = math.exp(NINETY_SD * spread_sd)
    return TimeTo(minutes_min, minutes_min / edge_ratio, minutes_min * edge_ratio, reach_notes(line.tested_c, temp_c))


def _weighed(
    table: Array,
    logs: Array,
    sd: Array,
    prior: tuple[float, float],
) -> tuple[Array, Array]:
    """Weighted least squares with a prior on the energy."""
    weighed = table / sd[:, None]
    normal = weighed.T @ weighed + np.diag([0.0, prior[1] ** -2])
    right = weighed.T @ (logs / sd) + np.array([0.0, prior[0] * prior[1] ** -2])
    covariance: Array = np.asarray(np.linalg.inv(normal), dtype=np.float64)
    return covariance @ right, covariance


def _widened(
    table: Array,
    logs: Array,
    sd: Array,
    centre: Array,
) -> float:
    """As for curves: wider errors only where the misfit is beyond its 95 % point."""
    free_count = len(logs) - 2
    if free_count < 1:
        return 1.0
    misfit = float(np.sum(((logs - table @ centre) / sd) ** 2))
    part = 2.0 / (9.0 * free_count)
    limit = free_count * (1.0 - part + NINETY_SD * math.sqrt(part)) ** 3
    return math.sqrt(misfit / free_count) if misfit > limit else 1.0
