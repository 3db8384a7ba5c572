"""Least squares with a known reading error, a robust start, and the test for one gross reading at a time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

#: Huber's tuning constant for 95 % efficiency at the normal law [huber-1964] (from memory).
HUBER_TUNING_RATIO = 1.345
#: A column-scaled table whose smallest singular value is below this share of its greatest cannot carry its model.
LEAST_SINGULAR_SHARE = 1e-3


@dataclass(frozen=True, slots=True)
class Fit:
    """Coefficients, their covariance, hat-matrix diagonal and residuals at all points (used or not)."""

    coefficients: Array
    covariance: Array
    leverage: Array
    residual_mm: Array
    used: Mask


def carries(table: Array) -> bool:
    """Whether the points can carry the model at all (rank of the column-scaled table).

    Valid       any table
    Source      algebra
    Proved by   tests/levels/test_least_squares.py
    """
    if table.shape[0] <= table.shape[1]:
        return False
    norms = np.linalg.norm(table, axis=0)
    if np.any(norms == 0.0):
        return False
    singular = np.linalg.svd(table / norms, compute_uv=False)
    return bool(singular[-1] >= LEAST_SINGULAR_SHARE * singular[0])


def fit(table: Array, level_mm: Array, sd_mm: float, used: Mask) -> Fit:
    """Ordinary least squares on the used rows, covariance from the stated reading error.

    Valid       a table that carries its model
    Source      algebra (normal equations by QR); checked on [nist-strd] Norris
    Proved by   tests/published/test_nist_norris.py, tests/levels/test_least_squares.py
    """
    scale = np.linalg.norm(table[used], axis=0)
    q, r = np.linalg.qr(table[used] / scale)
    coefficients = np.linalg.solve(r, q.T @ level_mm[used]) / scale
    r_inverse = np.linalg.inv(r) / scale[:, None]
    unit_covariance = r_inverse @ r_inverse.T
    leverage = np.einsum("ij,jk,ik->i", table, unit_covariance, table)
    return Fit(coefficients, unit_covariance * sd_mm**2, leverage, level_mm - table @ coefficients, used)


def robust_residuals_mm(table: Array, level_mm: Array, sd_mm: float, used: Mask) -> Array:
    """Residuals from Huber's M-estimate by iteratively reweighted least squares.

    Valid       known reading error; weights below 1 only beyond 1.345 sd
    Source      [huber-1964] (from memory)
    Proved by   tests/levels/test_least_squares.py
    """
    weights = used.astype(float)
    residual = level_mm.copy()
    for _ in range(50):
        root = np.sqrt(weights)[:, None]
        coefficients = np.linalg.lstsq(table * root, level_mm * root[:, 0], rcond=None)[0]
        fresh = level_mm - table @ coefficients
        if np.max(np.abs(fresh - residual)) < 1e-9:
            break
        residual = fresh
        size = np.maximum(np.abs(residual) / sd_mm, HUBER_TUNING_RATIO)
        weights = np.where(used, HUBER_TUNING_RATIO / size, 0.0)
    return residual


def normal_quantile_ratio(probability: float) -> float:
    """The standard normal law's quantile.

    Valid       0 < probability < 1
    Source      algebra
    Proved by   tests/levels/test_least_squares.py
    """
    from scipy.special import ndtri

    return float(ndtri(probability))


def critical_ratio(count: int, false_alarm_share: float) -> float:
    """Size of the greatest of `count` test statistics that false alarms pass only with the stated share.

    Valid       two-sided, Bonferroni over the readings
    Source      [baarda-1968] data snooping with known reading error (from memory)
    Proved by   tests/levels/test_least_squares.py
    """
    return normal_quantile_ratio(1.0 - false_alarm_share / (2.0 * count))


def without_gross(
    table: Array, level_mm: Array, sd_mm: float, false_alarm_share: float, most_removed: int
) -> tuple[Fit, tuple[tuple[int, float, float], ...]]:
    """The fit without gross readings: (index, how far off what the others say, statistic), one found at a time.

    The Huber residuals name the suspect; the test is the w-statistic r / (sd sqrt(1 - h)) of that reading in the
    plain least-squares fit of those still used, which equals its deleted residual over that residual's own error.

    Valid       at least two readings more than terms after each removal; reading error known
    Source      [baarda-1968] (from memory); [huber-1964] (from memory)
    Proved by   tests/levels/test_least_squares.py
    """
    used = np.ones(len(level_mm), dtype=bool)
    removed: list[tuple[int, float, float]] = []
    current = fit(table, level_mm, sd_mm, used)
    limit = critical_ratio(len(level_mm), false_alarm_share)
    while len(removed) < most_removed and used.sum() - table.shape[1] > 2:
        spread = sd_mm * np.sqrt(np.maximum(1.0 - current.leverage, 1e-9))
        size = np.where(used, np.abs(robust_residuals_mm(table, level_mm, sd_mm, used)) / spread, -1.0)
        suspect = int(np.argmax(size))
        statistic = float(current.residual_mm[suspect] / spread[suspect])
        if np.abs(statistic) <= limit or current.leverage[suspect] > 0.999:
            break
        used = used.copy()
        used[suspect] = False
        if not carries(table[used]):
            used[suspect] = True
            break
        current = fit(table, level_mm, sd_mm, used)
        removed.append((suspect, float(current.residual_mm[suspect]), statistic))
    return current, tuple(removed)
