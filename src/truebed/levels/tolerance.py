"""How likely the set frame truly lies in tolerance, given reading and setting errors."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

#: Lattices: number of points and the generator whose powers give their places (least worst-case error in two to five
#: dimensions over all generators; from a search). The first is for what weighs most.
LATTICES: tuple[tuple[int, int], ...] = ((4093, 1515), (1021, 467), (251, 44))
#: A road of less weight than this is integrated on the second, the third lattice: its error counts only by its weight.
LIGHT_SHARES = (0.15, 0.01)
#: An error of the level smaller than this is a step, not a spread.
LEAST_SD_MM = 1e-6


@cache
def normal_lattice(lattice: int) -> Array:
    """A fixed even sample of five independent standard normal errors (rows), a column a point of LATTICES[lattice].

    Valid       lattice 0, 1, 2
    Source      algebra (rank-one lattice, folded at its middle, through the normal quantile)
    Proved by   tests/levels/test_tolerance_kernel.py
    """
    from scipy.special import ndtri

    count, generator = LATTICES[lattice]
    places = np.array([[(k * pow(generator, j, count)) % count for j in range(5)] for k in range(count)]) / count
    folded = 1.0 - np.abs(2.0 * places - 1.0)
    points: Array = ndtri(np.clip(folded, 0.25 / count, 1.0 - 0.25 / count))
    return np.ascontiguousarray(points.T)


def lattice_for(weight_share: float) -> int:
    """Which lattice serves a road of that weight.

    Valid       0 to 1
    Source      house (LIGHT_SHARES)
    Proved by   tests/levels/test_tolerance_kernel.py
    """
    return sum(1 for light in LIGHT_SHARES if weight_share < light)


def setting_covariance(set_points: tuple[tuple[float, float], ...], corner_sd_mm: float) -> Array:
    """Covariance of the rim plane's level and slopes from independent errors at the points that are set.

    Valid       three points or more, not in line
    Source      algebra (least squares of a plane on those points: sd^2 (T^T T)^-1)
    Proved by   tests/oracles/test_tolerance.py
    """
    points = np.array(set_points, dtype=float)
    size = float(np.max(np.abs(points)))
    table = np.column_stack([np.ones(len(points)), points / size])
    scale = np.array([1.0, size, size])
    covariance: Array = corner_sd_mm**2 * np.linalg.inv(table.T @ table) / np.outer(scale, scale)
    return covariance


def joint_factor(road_covariance: Array, rim_covariance: Array, order: tuple[int, ...]) -> Array:
    """Factor of the covariance of 'rim less road', its coefficients in an order that ends with the level's.

    The rim errs in level and two slopes, the first three of the road's own coefficients.

    Valid       road and setting errors independent; order a permutation of the road's coefficients
    Source      algebra
    Proved by   tests/levels/test_tolerance_kernel.py
    """
    from truebed.levels.tolerance_kernel import factor

    joint = np.array(road_covariance, dtype=float)
    joint[:3, :3] += rim_covariance
    chosen = np.ascontiguousarray(joint[np.ix_(order, order)])
    lower = np.zeros_like(chosen)
    factor(chosen, lower)
    lower[-1, -1] = max(lower[-1, -1], LEAST_SD_MM)
    return lower


def probability_within(
    departure_mm: Array, road_terms: Array, road_covariance: Array, rim_covariance: Array, stretches: Whole,
    band_low_mm: float, band_high_mm: float, lattice: int = 0,
) -> float:  # fmt: skip
    """Chance that the true departure lies in the band along every stretch of a rim.

    departure_mm   best estimate at each point
    road_terms     one row a point, so that error of the road = terms @ error of its coefficients; the first three
                   columns 1, x, y, in which the rim errs too
    stretches      three points each (first end, middle, last end) between which the departure is a parabola; a table of
                   rows i, i, i looks at the points alone

    Valid       Gaussian errors, road fit and setting independent; at most six coefficients
    Source      algebra (lattice over all errors but the level's; within 0.001)
    Proved by   tests/oracles/test_tolerance.py
    """
    from truebed.levels.tolerance_kernel import smooth_share

    count = road_terms.shape[1]
    order = (*range(count - 1, 0, -1), 0)
    lower = joint_factor(road_covariance, rim_covariance, order)
    moved = np.ascontiguousarray((road_terms[:, order] @ lower)[:, :-1].T)
    return smooth_share(
        np.ascontiguousarray(departure_mm), moved, float(lower[-1, -1]), stretches, band_low_mm, band_high_mm,
        normal_lattice(lattice),
    )  # fmt: skip


def points_alone(count: int) -> Whole:
    """The table of stretches that looks at each point by itself.

    Valid       count >= 1
    Source      algebra
    Proved by   tests/oracles/test_tolerance.py
    """
    return np.repeat(np.arange(count, dtype=np.int64)[:, None], 3, axis=1)


def normal_share_within(value_mm: float, sd_mm: float, low_mm: float, high_mm: float) -> float:
    """Chance that a single Gaussian value lies in a band.

    Valid       sd > 0
    Source      algebra
    Proved by   tests/oracles/test_tolerance.py
    """
    return 0.5 * (
        math.erf((high_mm - value_mm) / (sd_mm * math.sqrt(2.0)))
        - math.erf((low_mm - value_mm) / (sd_mm * math.sqrt(2.0)))
    )
