"""Least squares of readings whose errors are known, shared or not, with what each reading does to the answer."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

#: A column-scaled table whose smallest singular value is below this share of its greatest cannot carry its model
#: (statistical: 1e-3 leaves 10 of 16 digits and an error a thousand times the reading's).
LEAST_SINGULAR_SHARE = 1e-3
#: A reading whose share of free information is below this cannot be tested: the model bends to it.
LEAST_FREE_SHARE = 1e-3


@dataclass(frozen=True, slots=True)
class Weights:
    """The inverse of the readings' covariance by its root: whitener @ covariance @ whitener.T is the unit matrix."""

    covariance: Array
    whitener: Array
    independent: bool


@dataclass(frozen=True, slots=True)
class Fit:
    """A fit of the readings used.

    residual_mm   at all readings, used or not: reading less fit
    pull          of each reading: inverse covariance times residuals (0 where not used)
    own, free     diagonals of the inverse covariance and of its part that no coefficient can follow (0 where not used);
                  pull / free is the residual if the reading were left out, free / own one less its leverage
    follow        the whitened table's orthonormal columns; chi_square_ratio the weighted sum of squares
    gain          of each coefficient by each reading (0 where not used)
    """

    coefficients: Array
    covariance: Array
    residual_mm: Array
    pull: Array
    own: Array
    free: Array
    follow: Array
    gain: Array
    chi_square_ratio: float
    used: Mask


def equal_weights(count: int, sd_mm: float) -> Weights:
    """Readings of one known error, none shared.

    Valid       sd above 0
    Source      algebra
    Proved by   tests/levels/test_least_squares.py
    """
    unit = np.eye(count)
    return Weights(unit * sd_mm**2, unit / sd_mm, True)


def shared_weights(covariance: Array) -> Weights:
    """Readings whose errors have a covariance.

    Valid       a positive definite covariance
    Source      algebra (inverse Cholesky factor)
    Proved by   tests/levels/test_least_squares.py
    """
    off = covariance - np.diag(np.diag(covariance))
    if not np.any(off):
        return Weights(covariance, np.diag(1.0 / np.sqrt(np.diag(covariance))), True)
    return Weights(covariance, np.linalg.inv(np.linalg.cholesky(covariance)), False)


def whitener_of(weights: Weights, used: Mask) -> Array:
    """The whitener of the readings used.

    Valid       some readings used
    Source      algebra
    Proved by   tests/levels/test_least_squares.py
    """
    if used.all():
        return weights.whitener
    pick = np.ix_(used, used)
    if weights.independent:
        return weights.whitener[pick]
    inverse: Array = np.linalg.inv(np.linalg.cholesky(weights.covariance[pick]))
    return inverse


def carries(table: Array) -> bool:
    """Whether the points can carry the model at all (rank of the column-scaled table).

    Valid       any table
    Source      algebra
    Proved by   tests/levels/test_least_squares.py
    """
    if table.shape[0] <= table.shape[1]:
        return False
    norms = np.sqrt(np.einsum("ij,ij->j", table, table))
    if not norms.all():
        return False
    singular = np.linalg.svd(table / norms, compute_uv=False)
    return bool(singular[-1] >= LEAST_SINGULAR_SHARE * singular[0])


def fit(table: Array, level_mm: Array, weights: Weights, used: Mask) -> Fit:
    """Least squares weighted by the inverse covariance of the readings used.

    Valid       a table that carries its model
    Source      algebra (whitened, QR of the column-scaled table); checked on [nist-strd] Norris, Pontius and Wampler1
    Proved by   tests/published/test_nist_strd.py, tests/levels/test_least_squares.py
    """
    count, every = len(level_mm), bool(used.all())
    whitener = whitener_of(weights, used)
    rows = table if every else table[used]
    levels = level_mm if every else level_mm[used]
    if weights.independent:
        roots = np.diagonal(whitener)
        white, white_level = rows * roots[:, None], levels * roots
    else:
        white, white_level = whitener @ rows, whitener @ levels
    scale = np.sqrt(np.einsum("ij,ij->j", white, white))
    q, r = np.linalg.qr(white / scale)
    inverse = np.linalg.inv(r) / scale[:, None]
    coefficients = inverse @ (q.T @ white_level)
    left = white_level - white @ coefficients
    if weights.independent:
        follow = q * roots[:, None]
        pull, own = left * roots, roots * roots
    else:
        follow = whitener.T @ q
        pull, own = whitener.T @ left, np.einsum("ij,ij->j", whitener, whitener)
    free = own - np.einsum("ij,ij->i", follow, follow)
    gain = inverse @ follow.T
    if not every:
        pull, own, free = (_spread(v, used, count) for v in (pull, own, free))
        follow, gain = _spread(follow, used, count), _spread(gain.T, used, count).T
    return Fit(
        coefficients, inverse @ inverse.T, level_mm - table @ coefficients, pull, own, free, follow, gain,
        float(left @ left), used,
    )  # fmt: skip


def _spread(values: Array, used: Mask, count: int) -> Array:
    """Values of the readings used put back to all of them, 0 elsewhere."""
    spread = np.zeros((count, *values.shape[1:]))
    spread[used] = values
    return spread


def free_information(fitted: Fit, weights: Weights) -> Array:
    """The inverse covariance less what the coefficients follow, of the readings used (0 elsewhere).

    Valid       a fit and the weights it was made with
    Source      algebra: P - P A (A' P A)^-1 A' P; its product with the readings is the pull
    Proved by   tests/levels/test_gross_search.py
    """
    whitener = whitener_of(weights, fitted.used)
    inverse = whitener.T @ whitener
    if not fitted.used.all():
        full = np.zeros((len(fitted.used), len(fitted.used)))
        full[np.ix_(fitted.used, fitted.used)] = inverse
        inverse = full
    information: Array = inverse - fitted.follow @ fitted.follow.T
    return information


def statistics_ratio(fitted: Fit) -> Array:
    """The w-statistic of each reading: residual if left out, over its own error; 0 where it cannot be tested.

    Valid       any covariance of the readings
    Source      [baarda-1968] data snooping in its general form (from memory): w = e'P v / sqrt(e'P Qv P e)
    Proved by   tests/levels/test_least_squares.py
    """
    testable = fitted.free > LEAST_FREE_SHARE * fitted.own
    safe = np.where(testable, fitted.free, 1.0)
    ratio: Array = np.where(testable, fitted.pull / np.sqrt(safe), 0.0)
    return ratio


def normal_quantile_ratio(probability: float) -> float:
    """The standard normal law's quantile.

    Valid       0 < probability < 1
    Source      algebra
    Proved by   tests/levels/test_least_squares.py
    """
    from scipy.special import ndtri

    return float(ndtri(probability))


@cache
def critical_ratio(count: int, false_alarm_share: float) -> float:
    """Size of the greatest of `count` test statistics that false alarms pass only with the stated share.

    Valid       two-sided, Bonferroni over the readings
    Source      [baarda-1968] data snooping with known reading error (from memory)
    Proved by   tests/levels/test_least_squares.py
    """
    return normal_quantile_ratio(1.0 - false_alarm_share / (2.0 * count))
