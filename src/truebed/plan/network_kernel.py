"""Chance of tolerance of many covers, each on its own fitted road, in one loop."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled
from truebed.levels.tolerance_kernel import factor, smooth_share

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

#: An error of the level smaller than this is a step, not a spread.
LEAST_SD_MM = 1e-6


@compiled
def _term(j: int, x_mm: float, y_mm: float) -> float:
    """Term j of the network's models: 1, x, y, x y, x^2 - y^2."""
    if j == 0:
        return 1.0
    if j == 1:
        return x_mm
    if j == 2:
        return y_mm
    return x_mm * y_mm if j == 3 else x_mm * x_mm - y_mm * y_mm


@compiled
def _one_share(
    terms: int, at: Array, plane: Array, road: Array, covariance: Array, rim: Array, stretches: Whole,
    low_mm: float, high_mm: float, draws: Array,
) -> float:  # fmt: skip
    """One cover: errors of 'rim less road' drawn with the level last, its own error in closed form."""
    joint, lower = np.zeros((terms, terms)), np.zeros((terms, terms))
    for i in range(terms):
        for j in range(terms):
            # the level, term 0, comes last
            a, b = terms - 1 - i, terms - 1 - j
            joint[i, j] = covariance[a, b] + (rim[a, b] if a < 3 and b < 3 else 0.0)
    factor(joint, lower)
    count = at.shape[0]
    mean, moved = np.zeros(count), np.zeros((terms - 1, count))
    for p in range(count):
        x_mm, y_mm = at[p, 0], at[p, 1]
        mean[p] = plane[0] + plane[1] * x_mm + plane[2] * y_mm
        for i in range(terms):
            term = _term(terms - 1 - i, x_mm, y_mm)
            mean[p] -= road[terms - 1 - i] * term
            for j in range(min(i + 1, terms - 1)):
                moved[j, p] += term * lower[i, j]
    level_sd_mm = max(lower[terms - 1, terms - 1], LEAST_SD_MM)
    return smooth_share(mean, moved, level_sd_mm, stretches, low_mm, high_mm, draws)


@compiled
def rim_shares(
    terms: Whole, at: Array, plane: Array, road: Array, covariance: Array, rim: Array, stretches: Whole,
    low_mm: float, high_mm: float, draws: Array, shares: Array,
) -> None:  # fmt: skip
    """Chance that each cover's whole rim lies in the band, into shares; rows of no terms are left as they are.

    terms       how many terms each road has: 0, 3, 4 or 5
    at          (covers, points, 2) along each rim; stretches as truebed.levels.tolerance_kernel.smooth_share
    Valid       Gaussian errors; the road's chosen model is true
    Source      algebra (see truebed.levels.tolerance_kernel)
    Proved by   tests/plan/test_network_probability.py
    """
    for c in range(len(terms)):
        if terms[c] > 0:
            shares[c] = _one_share(
                terms[c], at[c], plane[c], road[c], covariance[c], rim[c], stretches, low_mm, high_mm, draws
            )
