"""How likely the set frame truly lies in tolerance, given reading and setting errors."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: Points of the deterministic normal sequence: P within 0.003 of ten million draws (tests/oracles/test_tolerance.py).
DRAWS_COUNT = 1 << 13


@cache
def normal_points(dimensions: int) -> Array:
    """A fixed low-discrepancy normal sample, DRAWS_COUNT x dimensions.

    Valid       1 to 20 dimensions
    Source      algebra (Sobol points through the normal quantile; fixed seed, so the same every time)
    Proved by   tests/oracles/test_tolerance.py
    """
    from scipy.special import ndtri
    from scipy.stats import qmc

    sample = qmc.Sobol(dimensions, scramble=True, rng=20_270_101).random(DRAWS_COUNT)
    points: Array = ndtri(np.clip(sample, 1e-9, 1.0 - 1e-9))
    return points


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


def root_of(covariance: Array) -> Array:
    """A square root of a covariance matrix, by its eigenvectors.

    Valid       symmetric, not negative
    Source      algebra
    Proved by   tests/oracles/test_tolerance.py
    """
    values, vectors = np.linalg.eigh(covariance)
    root: Array = vectors * np.sqrt(np.maximum(values, 0.0))
    return root


def probability_within(
    departure_mm: Array,
    road_terms: Array,
    road_covariance: Array,
    rim_terms: Array,
    rim_covariance: Array,
    band_low_mm: float,
    band_high_mm: float,
) -> float:
    """Chance that every point's true departure lies in the band.

    departure_mm   best estimate at each point; *_terms: one row a point, so that error = terms @ coefficient error
    Valid       Gaussian errors, road fit and setting independent
    Source      algebra (quasi Monte Carlo over the coefficients)
    Proved by   tests/oracles/test_tolerance.py
    """
    count_road, count_rim = road_terms.shape[1], rim_terms.shape[1]
    draws = normal_points(count_road + count_rim)
    size = np.linalg.norm(road_terms, axis=0)
    scale = np.where(size > 0.0, size, 1.0)
    scaled = road_covariance * np.outer(scale, scale)
    error = draws[:, :count_road] @ root_of(scaled).T @ (road_terms / scale).T
    rim_scale = np.linalg.norm(rim_terms, axis=0)
    rim_scaled = rim_covariance * np.outer(rim_scale, rim_scale)
    error -= draws[:, count_road:] @ root_of(rim_scaled).T @ (rim_terms / rim_scale).T
    value = departure_mm - error
    return float(np.mean(np.all((value >= band_low_mm) & (value <= band_high_mm), axis=1)))


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
