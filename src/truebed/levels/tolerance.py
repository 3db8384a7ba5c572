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


def coefficient_errors(terms: Array, covariance: Array, draws: Array) -> Array:
    """Errors of a fit's coefficients, one row a draw.

    Valid       draws of the standard normal law, one column a coefficient
    Source      algebra (root of the column-scaled covariance)
    Proved by   tests/oracles/test_tolerance.py
    """
    size = np.linalg.norm(terms, axis=0)
    scale = np.where(size > 0.0, size, 1.0)
    errors: Array = draws @ root_of(covariance * np.outer(scale, scale)).T / scale
    return errors


def share_within(
    departure_mm: Array, road_error: Array, rim_error: Array, band_low_mm: float, band_high_mm: float
) -> float:
    """Share of draws in which every point's true departure lies in the band.

    departure_mm   best estimate at each point; *_error: true less estimate, one row a draw, one column a point
    Valid       both errors from draws of the same sequence, in columns of their own
    Source      algebra (quasi Monte Carlo)
    Proved by   tests/oracles/test_tolerance.py
    """
    value = departure_mm + rim_error - road_error
    return float(np.mean(np.all((value >= band_low_mm) & (value <= band_high_mm), axis=1)))


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
    count = road_terms.shape[1]
    draws = normal_points(count + rim_terms.shape[1])
    road_error = coefficient_errors(road_terms, road_covariance, draws[:, :count]) @ road_terms.T
    rim_error = coefficient_errors(rim_terms, rim_covariance, draws[:, count:]) @ rim_terms.T
    return share_within(departure_mm, road_error, rim_error, band_low_mm, band_high_mm)


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
