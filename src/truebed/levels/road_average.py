"""Every road that the readings allow, each with its weight: what the probability of tolerance is averaged over."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.plane import Plane, Point
from truebed.levels.road_terms import error_terms, term_table
from truebed.levels.seat_question import fold_crossings
from truebed.levels.surface import OtherRoad, RoadSurface
from truebed.levels.tolerance import normal_share_within, probability_within

Array = NDArray[np.float64]


def schwarz_weights(cost: tuple[float, ...]) -> tuple[float, ...]:
    """Shares of weight from Schwarz costs (chi-square + terms x ln readings); they add up to 1.

    Valid       costs of models of the same readings
    Source      algebra: exp(-cost / 2) (Schwarz's criterion, from memory)
    Proved by   tests/levels/test_road_average.py
    """
    raw = np.exp(-(np.array(cost) - min(cost)) / 2.0)
    return tuple(float(w) for w in raw / np.sum(raw))


def allowed_roads(road: RoadSurface) -> tuple[OtherRoad, ...]:
    """The chosen road and the others, each with its weight.

    Valid       weights that add up to 1
    Source      house (assembly)
    Proved by   tests/levels/test_road_average.py
    """
    own = OtherRoad(road.model, road.coefficients, road.covariance, road.ridge_mm, road.weight_share)
    return (own, *road.others)


def rim_share_within(
    road: RoadSurface, points: tuple[Point, ...], ring: tuple[Point, ...], rim: Plane, rim_covariance: Array,
    band_low_mm: float, band_high_mm: float,
) -> float:  # fmt: skip
    """Chance that every point of a rim held where it is lies in the band, over every road that the readings allow.

    A dome or dish round the frame is invisible to a single ring of readings, so it is not in this chance.

    Valid       Gaussian errors; the road is one of the models
    Source      algebra (law of total probability over the models' weights)
    Proved by   tests/levels/test_road_average.py, tests/oracles/test_tolerance.py
    """
    total = 0.0
    for one in allowed_roads(road):
        at = (*points, *fold_crossings(ring, one.model, one.ridge_mm))
        x, y = np.array([p[0] for p in at]), np.array([p[1] for p in at])
        level = term_table(one.model, x, y, one.ridge_mm) @ np.array(one.coefficients)
        rim_terms = np.column_stack([np.ones_like(x), x, y])
        total += one.weight_share * probability_within(
            rim_terms @ np.array([rim.level_mm, rim.slope_x_ratio, rim.slope_y_ratio]) - level,
            error_terms(one.model, x, y, one.ridge_mm, one.coefficients),
            np.array(one.covariance),
            rim_terms,
            rim_covariance,
            band_low_mm,
            band_high_mm,
        )
    return total


def mean_share_within(
    road: RoadSurface, points: tuple[Point, ...], rim_mm: float, rim_sd_mm: float, band_low_mm: float,
    band_high_mm: float,
) -> float:  # fmt: skip
    """Chance that the rim's mean level lies in the band round the road's mean over points, over every allowed road.

    Valid       Gaussian errors; the road is one of the models
    Source      algebra (law of total probability over the models' weights)
    Proved by   tests/levels/test_road_average.py
    """
    x, y = np.array([p[0] for p in points]), np.array([p[1] for p in points])
    total = 0.0
    for one in allowed_roads(road):
        terms = np.mean(error_terms(one.model, x, y, one.ridge_mm, one.coefficients), axis=0)
        mean = float(np.mean(term_table(one.model, x, y, one.ridge_mm), axis=0) @ np.array(one.coefficients))
        sd = float(np.sqrt(terms @ np.array(one.covariance) @ terms + rim_sd_mm**2))
        total += one.weight_share * normal_share_within(rim_mm - mean, sd, band_low_mm, band_high_mm)
    return total
