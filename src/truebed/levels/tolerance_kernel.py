"""Chance that a whole rim lies in its band: fixed points over all errors but the level's, that one in closed form.

For given errors of slopes, twist and fold, the departures along the rim are known but for a common level; the chance
that this level leaves the highest and the lowest of them in the band is a difference of two normal integrals.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import COMPILED, compiled

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

ROOT_TWO = math.sqrt(2.0)
#: Beyond so many standard deviations both ways a normal error is not looked for (3e-12).
SURE_RATIO = 7.0
#: A variance that is this share of its unconditional value or less is rounding.
NOUGHT_SHARE = 1e-12


@compiled
def band_share(low_ratio: float, high_ratio: float) -> float:
    """Chance of a standard normal value between two limits; 0 where they cross.

    Valid       any, infinite too
    Source      algebra
    Proved by   tests/levels/test_tolerance_kernel.py
    """
    if not high_ratio > low_ratio:
        return 0.0
    if low_ratio > 0.0:
        return 0.5 * (math.erfc(low_ratio / ROOT_TWO) - math.erfc(high_ratio / ROOT_TWO))
    return 0.5 * (math.erf(high_ratio / ROOT_TWO) - math.erf(low_ratio / ROOT_TWO))


@compiled
def factor(covariance: Array, lower: Array) -> None:
    """lower @ lower.T = covariance, row by row; a direction without error gives a column of noughts.

    Valid       symmetric, not negative but for rounding
    Source      algebra (Cholesky)
    Proved by   tests/levels/test_tolerance_kernel.py
    """
    n = covariance.shape[0]
    for j in range(n):
        left_mm2 = covariance[j, j]
        for k in range(j):
            left_mm2 -= lower[j, k] * lower[j, k]
        sure = left_mm2 <= NOUGHT_SHARE * covariance[j, j]
        lower[j, j] = 0.0 if sure else math.sqrt(left_mm2)
        for i in range(j + 1, n):
            shared_mm2 = covariance[i, j]
            for k in range(j):
                shared_mm2 -= lower[i, k] * lower[j, k]
            lower[i, j] = 0.0 if sure else shared_mm2 / lower[j, j]
        for i in range(j):
            lower[i, j] = 0.0


@compiled
def _bulge(a_mm: float, mid_mm: float, b_mm: float) -> float:
    """The extreme inside a stretch of a parabola through its ends and middle; its middle where there is none."""
    bend_mm = 2.0 * (a_mm - 2.0 * mid_mm + b_mm)
    pull_mm = 4.0 * mid_mm - 3.0 * a_mm - b_mm
    if -2.0 * abs(bend_mm) < pull_mm < 2.0 * abs(bend_mm) and pull_mm * bend_mm < 0.0:
        return a_mm - 0.25 * pull_mm * pull_mm / bend_mm
    return mid_mm


@compiled
def span(values: Array, stretches: Whole, out: Array) -> None:
    """Least and greatest value along a rim of stretches (first end, middle, last end), each one a parabola.

    Valid       values at the points that the stretches name
    Source      algebra
    Proved by   tests/levels/test_tolerance_kernel.py
    """
    least_mm, most_mm = np.inf, -np.inf
    for e in range(stretches.shape[0]):
        a_mm, mid_mm, b_mm = values[stretches[e, 0]], values[stretches[e, 1]], values[stretches[e, 2]]
        bulge_mm = _bulge(a_mm, mid_mm, b_mm)
        least_mm = min(least_mm, a_mm, bulge_mm)
        most_mm = max(most_mm, a_mm, bulge_mm)
    out[0], out[1] = least_mm, most_mm


def _bulges(a: Array, middle: Array, b: Array) -> Array:
    """As _bulge, for all draws at once."""
    bend = 2.0 * (a - 2.0 * middle + b)
    pull = 4.0 * middle - 3.0 * a - b
    turns = (np.abs(pull) < 2.0 * np.abs(bend)) & (pull * bend < 0.0)
    return np.where(turns, a - 0.25 * pull * pull / np.where(turns, bend, 1.0), middle)


@compiled
def _mean_share(least: Array, most: Array, level_sd_mm: float, low_mm: float, high_mm: float) -> float:
    """Over all draws, the chance that the level's own error leaves least and most in the band."""
    total_share = 0.0
    for n in range(len(least)):
        low_ratio, high_ratio = (low_mm - least[n]) / level_sd_mm, (high_mm - most[n]) / level_sd_mm
        sure = low_ratio < -SURE_RATIO and high_ratio > SURE_RATIO
        total_share += 1.0 if sure else band_share(low_ratio, high_ratio)
    return float(total_share / len(least))


@compiled
def _spans_by_draw(mean: Array, terms: Array, stretches: Whole, draws: Array, least: Array, most: Array) -> None:
    """As _spans, draw by draw: what is quick once compiled."""
    k, p = terms.shape
    values = np.empty(p)
    for n in range(draws.shape[1]):
        values[:] = mean
        for j in range(k):
            draw = draws[j, n]
            for i in range(p):
                values[i] += terms[j, i] * draw
        low_mm, high_mm = np.inf, -np.inf
        for e in range(stretches.shape[0]):
            a_mm = values[stretches[e, 0]]
            bulge_mm = _bulge(a_mm, values[stretches[e, 1]], values[stretches[e, 2]])
            low_mm = min(low_mm, a_mm, bulge_mm)
            high_mm = max(high_mm, a_mm, bulge_mm)
        least[n], most[n] = low_mm, high_mm


def _spans(mean: Array, terms: Array, stretches: Whole, draws: Array, least: Array, most: Array) -> None:
    """Least and greatest departure of every draw, all draws together: what is quick in plain Python."""
    k, p = terms.shape
    values = np.zeros((p, draws.shape[1]))
    for i in range(p):
        values[i] += mean[i]
        for j in range(k):
            values[i] += terms[j, i] * draws[j]
    least[:], most[:] = np.inf, -np.inf
    for e in range(stretches.shape[0]):
        a, middle, b = values[stretches[e, 0]], values[stretches[e, 1]], values[stretches[e, 2]]
        bulge = _bulges(a, middle, b)
        least[:] = np.minimum(least, np.minimum(a, bulge))
        most[:] = np.maximum(most, np.maximum(a, bulge))


spans_of_draws = _spans_by_draw if COMPILED else _spans


@compiled
def smooth_share(
    mean: Array, terms: Array, level_sd_mm: float, stretches: Whole, low_mm: float, high_mm: float, draws: Array
) -> float:
    """Chance that every point of the rim lies in the band, its departures being mean + draw @ terms + level error.

    mean, terms   at the points that the stretches name; terms: one row a unit normal error
    draws         one row an error, one column a draw
    Valid       level_sd > 0; departures that are parabolas along each stretch
    Source      algebra (lattice points over the other errors, the level's in closed form)
    Proved by   tests/levels/test_tolerance_kernel.py, tests/oracles/test_tolerance.py
    """
    least, most = np.empty(draws.shape[1]), np.empty(draws.shape[1])
    spans_of_draws(mean, terms, stretches, draws, least, most)
    return _mean_share(least, most, level_sd_mm, low_mm, high_mm)


def _kinks(
    a: Array, b: Array, across: int, plane: Array, ridge: Array, crossed: Whole, least: Array, most: Array
) -> None:
    """Values on the fold where it crosses a side from a to b, for the draws in which it does."""
    along, at = 1 - across, ridge[crossed]
    other = a[along] + (a[across] - at) / (a[across] - b[across]) * (b[along] - a[along])
    kink = plane[0][crossed] + plane[1 + across][crossed] * at + plane[1 + along][crossed] * other
    least[crossed] = np.minimum(least[crossed], kink)
    most[crossed] = np.maximum(most[crossed], kink)


def _folded_spans(
    corners: Array, sides: Whole, across: int, plane: Array, fold: Array, ridge: Array, least: Array, most: Array
) -> None:
    """Least and greatest of plane - fold |place - ridge| along straight sides: at their ends and on the fold."""
    for s in range(sides.shape[0]):
        a, b = corners[sides[s, 0]], corners[sides[s, 1]]
        value = plane[0] + plane[1] * a[0] + plane[2] * a[1] - fold * np.abs(a[across] - ridge)
        least[:] = np.minimum(least, value)
        most[:] = np.maximum(most, value)
        near_mm, far_mm = min(a[across], b[across]), max(a[across], b[across])
        crossed = np.nonzero((near_mm < ridge) & (ridge < far_mm))[0]
        if len(crossed) > 0:
            _kinks(a, b, across, plane, ridge, crossed, least, most)


@compiled
def _folded_spans_by_draw(
    corners: Array, sides: Whole, across: int, plane: Array, fold: Array, ridge: Array, least: Array, most: Array
) -> None:
    """As _folded_spans, draw by draw: what is quick once compiled."""
    along = 1 - across
    for n in range(len(ridge)):
        level_mm, at_mm, low_mm, high_mm = plane[0, n], ridge[n], np.inf, -np.inf
        for s in range(sides.shape[0]):
            i, j = sides[s, 0], sides[s, 1]
            a_mm, b_mm = corners[i, across], corners[j, across]
            value_mm = level_mm + plane[1, n] * corners[i, 0] + plane[2, n] * corners[i, 1]
            value_mm -= fold[n] * abs(a_mm - at_mm)
            low_mm, high_mm = min(low_mm, value_mm), max(high_mm, value_mm)
            if min(a_mm, b_mm) < at_mm < max(a_mm, b_mm):
                share = (a_mm - at_mm) / (a_mm - b_mm)
                other_mm = corners[i, along] + share * (corners[j, along] - corners[i, along])
                kink_mm = level_mm + plane[1 + across, n] * at_mm + plane[1 + along, n] * other_mm
                low_mm, high_mm = min(low_mm, kink_mm), max(high_mm, kink_mm)
        least[n], most[n] = low_mm, high_mm


folded_spans_of_draws = _folded_spans_by_draw if COMPILED else _folded_spans


@compiled
def folded_share(
    corners: Array, sides: Whole, across: int, mean: Array, lower: Array, reach: Array, low_mm: float, high_mm: float,
    draws: Array,
) -> float:  # fmt: skip
    """The same on a road of two planes whose fold is moved bodily in each draw, within reach.

    sides    which corners each straight side joins; every corner begins one
    mean     ridge, fold, slopes along x and y, level: place of the fold, its bend, and rim less road
    lower    factor of their covariance in that order
    Valid       error of the level > 0
    Source      algebra
    Proved by   tests/levels/test_tolerance_kernel.py, tests/oracles/test_tolerance.py
    """
    count = draws.shape[1]
    drawn = np.zeros((5, count))
    for i in range(5):
        drawn[i] += mean[i]
        for j in range(min(i + 1, 4)):
            drawn[i] += lower[i, j] * draws[j]
    ridge = np.minimum(np.maximum(drawn[0], reach[0]), reach[1])
    plane = np.zeros((3, count))
    plane[0], plane[1], plane[2] = drawn[4], drawn[2], drawn[3]
    least, most = np.full(count, np.inf), np.full(count, -np.inf)
    folded_spans_of_draws(corners, sides, across, plane, drawn[1], ridge, least, most)
    return _mean_share(least, most, lower[4, 4], low_mm, high_mm)
