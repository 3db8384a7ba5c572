"""The loops of the network's road fit: one cover after another, scalars only, compiled where numba is installed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled
from truebed.levels.least_squares import LEAST_FREE_SHARE, LEAST_SINGULAR_SHARE

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

#: Terms of the models in order: plane, plane and twist, five terms.
TERMS = (3, 4, 5)
LEAST_SINGULAR, LEAST_FREE = LEAST_SINGULAR_SHARE, LEAST_FREE_SHARE


@compiled
def _row(terms: int, u_ratio: float, v_ratio: float, row: Array) -> None:
    """The terms of one point in scaled places."""
    row[0], row[1], row[2] = 1.0, u_ratio, v_ratio
    if terms > 3:
        row[3] = u_ratio * v_ratio
    if terms > 4:
        row[4] = u_ratio * u_ratio - v_ratio * v_ratio


@compiled
def _orthonormal(terms: int, u: Array, v: Array, skip: int, q: Array, r: Array, norms: Array) -> bool:
    """Gram-Schmidt, twice over, of the unit columns; row `skip` left out (-1: none). False where a column is nought."""
    count = len(u)
    row = np.empty(5)
    for i in range(count):
        _row(terms, u[i], v[i], row)
        for j in range(terms):
            q[i, j] = 0.0 if i == skip else row[j]
    for j in range(terms):
        norms[j] = np.sqrt(np.sum(q[:count, j] ** 2))
        if norms[j] == 0.0:
            return False
        q[:count, j] /= norms[j]
        for k in range(terms):
            r[k, j] = 0.0
        for _ in range(2):
            for k in range(j):
                along = np.sum(q[:count, k] * q[:count, j])
                r[k, j] += along
                q[:count, j] -= along * q[:count, k]
        r[j, j] = np.sqrt(np.sum(q[:count, j] ** 2))
        if r[j, j] < 1e-14:
            return False
        q[:count, j] /= r[j, j]
    return True


@compiled
def _carried(terms: int, r: Array) -> bool:
    """Whether the unit columns tell the terms apart; a bound by the determinant first, the singular values where close.

    With unit columns the squares of the singular values add up to p, so s_min >= det ((p - 1) / p)^((p - 1) / 2) and
    s_max <= sqrt p.
    """
    product = 1.0
    for j in range(terms):
        product *= r[j, j]
    if product * ((terms - 1.0) / terms) ** ((terms - 1.0) / 2.0) >= LEAST_SINGULAR * np.sqrt(terms * 1.0):
        return True
    singular = np.linalg.svd(np.ascontiguousarray(r[:terms, :terms]))[1]
    return bool(singular[terms - 1] >= LEAST_SINGULAR * singular[0])


@compiled
def _solve(terms: int, r: Array, norms: Array, along: Array, out: Array) -> None:
    """Coefficients of the scaled terms from their shares along the orthonormal columns."""
    for j in range(terms - 1, -1, -1):
        total = along[j]
        for k in range(j + 1, terms):
            total -= r[j, k] * out[k]
        out[j] = total / r[j, j]
    for j in range(terms):
        out[j] /= norms[j]


@compiled
def _residuals(terms: int, z: Array, skip: int, q: Array, along: Array, left: Array, free: Array) -> float:
    """Residuals, their free shares (one less leverage) and the sum of squares; 0 at the row left out."""
    total = 0.0
    for j in range(terms):
        along[j] = np.sum(q[: len(z), j] * z)
    for i in range(len(z)):
        if i == skip:
            left[i], free[i] = 0.0, 0.0
            continue
        left[i], free[i] = z[i], 1.0
        for j in range(terms):
            left[i] -= q[i, j] * along[j]
            free[i] -= q[i, j] * q[i, j]
        total += left[i] * left[i]
    return total


@compiled
def _suspect(left: Array, free: Array, sd_mm: float) -> tuple[int, float]:
    """The reading whose w-statistic is greatest, and that statistic with its sign."""
    which, greatest, signed = 0, -1.0, 0.0
    for i in range(len(left)):
        ratio = left[i] / (sd_mm * np.sqrt(free[i])) if free[i] > LEAST_FREE else 0.0
        if np.abs(ratio) > greatest:
            which, greatest, signed = i, np.abs(ratio), ratio
    return which, signed


@compiled
def _score(left: Array, free: Array, removed: int, sd_mm: float, limit_ratio: float) -> tuple[float, float]:
    """Leave-one-out root mean square error, a removed reading at its price; and the greatest statistic left."""
    total, greatest = 0.0, 0.0
    for i in range(len(left)):
        if i == removed:
            total += (limit_ratio * sd_mm) ** 2
            continue
        spare = max(free[i], 1e-9)
        total += (left[i] / spare) ** 2
        greatest = max(greatest, np.abs(left[i]) / (sd_mm * np.sqrt(spare)))
    return np.sqrt(total / len(left)), greatest


@compiled
def _worst_rim(terms: int, r: Array, norms: Array, rim_x: Array, rim_y: Array, size_mm: float) -> float:
    """The worst variance of the road at the rim over one reading's: |R'^-1 t|^2."""
    row, w = np.empty(5), np.empty(5)
    worst = 0.0
    for i in range(len(rim_x)):
        _row(terms, rim_x[i] / size_mm, rim_y[i] / size_mm, row)
        total = 0.0
        for j in range(terms):
            w[j] = row[j] / norms[j]
            for k in range(j):
                w[j] -= r[k, j] * w[k]
            w[j] /= r[j, j]
            total += w[j] * w[j]
        worst = max(worst, total)
    return worst


@compiled
def _gap_deg(x: Array, y: Array) -> float:
    """The widest angle between neighbouring readings seen from the frame's centre."""
    angles = np.sort(np.degrees(np.arctan2(y, x)))
    widest = angles[0] + 360.0 - angles[-1]
    for i in range(1, len(angles)):
        widest = max(widest, angles[i] - angles[i - 1])
    return float(widest)


@compiled
def _covariance(terms: int, r: Array, norms: Array, size_mm: float, sd_mm: float, out: Array) -> None:
    """Covariance of the coefficients in mm from the orthonormal columns' triangle."""
    inverse, unit, column = np.zeros((5, 5)), np.zeros(5), np.zeros(5)
    for j in range(terms):
        unit[:] = 0.0
        unit[j] = 1.0
        _solve(terms, r, norms, unit, column)
        for i in range(terms):
            scale = 1.0 if i == 0 else (size_mm if i < 3 else size_mm * size_mm)
            inverse[i, j] = column[i] * sd_mm / scale
    for i in range(terms):
        for k in range(terms):
            out[i, k] = np.sum(inverse[i, :terms] * inverse[k, :terms])


@compiled
def _one_model(
    terms: int, u: Array, v: Array, z: Array, sd_mm: float, limit_ratio: float, most_removed: int,
    q: Array, r: Array, norms: Array, along: Array, left: Array, free: Array,
) -> tuple[bool, int, float, float, float, float]:  # fmt: skip
    """One model with its one gross reading: (carried, removed or -1, its offset, leave-one-out, statistic, squares)."""
    count = len(z)
    sound = count - terms >= 2 and _orthonormal(terms, u, v, -1, q, r, norms)
    if not sound or not _carried(terms, r):
        return False, -1, 0.0, 0.0, 0.0, 0.0
    squares = _residuals(terms, z, -1, q, along, left, free)
    removed, off_mm = -1, 0.0
    which, ratio = _suspect(left, free, sd_mm)
    most = min(most_removed, (count - terms - 1) // 4)
    if most >= 1 and count - terms >= 3 and np.abs(ratio) > limit_ratio:
        off_mm = left[which] / free[which]
        if _orthonormal(terms, u, v, which, q, r, norms) and _carried(terms, r):
            removed = which
        else:
            off_mm = 0.0
            _orthonormal(terms, u, v, -1, q, r, norms)
        squares = _residuals(terms, z, removed, q, along, left, free)
    loo_mm, greatest = _score(left, free, removed, sd_mm, limit_ratio)
    return True, removed, off_mm, loo_mm, greatest, squares


@compiled
def _one_cover(
    x: Array, y: Array, z: Array, rim_x: Array, rim_y: Array, sd_mm: float, limit_ratio: float, worth_ratio: float,
    most_removed: int, misfit_limits: Array, removed: Whole, figures: Array, coefficients: Array, covariance: Array,
) -> tuple[int, int]:  # fmt: skip
    """One cover's models fitted and one chosen: (model or -1, why refused).

    removed, figures  of each model: the reading removed; offset, leave-one-out, misfit, worst rim variance
    """
    count = len(z)
    size_mm = max(np.max(np.abs(x)), np.max(np.abs(y)))
    u, v = x / size_mm, y / size_mm
    q, r, norms, along = np.empty((count, 5)), np.zeros((5, 5)), np.empty(5), np.zeros(5)
    left, free = np.empty(count), np.empty(count)
    kept = np.zeros(3, dtype=np.int64)
    held, any_takes_all = False, False
    for m in range(3):
        terms = TERMS[m]
        carried, removed[m], off_mm, loo_mm, greatest, squares = _one_model(
            terms, u, v, z, sd_mm, limit_ratio, most_removed, q, r, norms, along, left, free
        )
        if not carried or _worst_rim(terms, r, norms, rim_x, rim_y, size_mm) > 1.0:
            continue
        held = True
        freedom = count - terms - (1 if removed[m] >= 0 else 0)
        misfit_ratio = np.sqrt(squares / freedom) / sd_mm
        figures[m, 0], figures[m, 1], figures[m, 2] = off_mm, loo_mm, misfit_ratio
        if misfit_ratio <= misfit_limits[freedom]:
            kept[m] = 1
            any_takes_all = any_takes_all or (removed[m] < 0 and greatest <= limit_ratio)
    best = -1
    for m in range(3):
        if kept[m] == 0 or (any_takes_all and removed[m] >= 0):
            continue
        enough = best >= 0 and figures[best, 1] < 0.1 * sd_mm
        if best < 0 or (not enough and figures[m, 1] < worth_ratio * figures[best, 1]):
            best = m
    if best < 0:
        return -1, 3 if held else 2
    terms = TERMS[best]
    _orthonormal(terms, u, v, removed[best], q, r, norms)
    _residuals(terms, z, removed[best], q, along, left, free)
    _solve(terms, r, norms, along, coefficients)
    for j in range(1, terms):
        coefficients[j] /= size_mm if j < 3 else size_mm * size_mm
    _covariance(terms, r, norms, size_mm, sd_mm, covariance)
    return best, 0


@compiled
def roads_kernel(
    x: Array, y: Array, z: Array, rim_x: Array, rim_y: Array, sd_mm: float, limit_ratio: float, worth_ratio: float,
    gap_most_deg: float, rim_share: float, most_removed: int, misfit_limits: Array, model: Whole, refused: Whole,
    removed: Whole, figures: Array, coefficients: Array, covariance: Array,
) -> None:  # fmt: skip
    """Roads of all covers, written into the arrays given (zeros before): one row a cover.

    rim_x, rim_y  one row a cover, one row for all, or no column: a ring at rim_share of the readings' middle distance
    refused       1 readings do not surround the frame, 2 no model holds the rim, 3 no surface fits
    Valid         as truebed.levels.road_network.fit_roads
    Source        see truebed.levels.road_fit
    Proved by     tests/levels/test_road_network.py
    """
    points = 24 if rim_x.shape[1] == 0 else rim_x.shape[1]
    ring_x, ring_y = np.empty(points), np.empty(points)
    which, scores = np.empty(3, dtype=np.int64), np.zeros((3, 3))
    for c in range(len(z)):
        model[c], removed[c] = -1, -1
        if _gap_deg(x[c], y[c]) > gap_most_deg:
            refused[c] = 1
            continue
        if rim_x.shape[1] == 0:
            radius_mm = rim_share * np.median(np.hypot(x[c], y[c]))
            for k in range(points):
                ring_x[k] = radius_mm * np.cos(2.0 * np.pi * k / points)
                ring_y[k] = radius_mm * np.sin(2.0 * np.pi * k / points)
        else:
            at = c if len(rim_x) > 1 else 0
            ring_x[:], ring_y[:] = rim_x[at], rim_y[at]
        model[c], refused[c] = _one_cover(
            x[c], y[c], z[c], ring_x, ring_y, sd_mm, limit_ratio, worth_ratio, most_removed, misfit_limits, which,
            scores, coefficients[c], covariance[c],
        )  # fmt: skip
        if model[c] >= 0:
            removed[c] = which[model[c]]
            figures[c, :] = scores[model[c]]
