"""Every road that the readings allow, each with its weight: what the probability of tolerance is averaged over."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.plane import Plane, Point
from truebed.levels.road_terms import FOLDED, error_terms, fold_span_mm, term_table
from truebed.levels.seat_question import fold_crossings
from truebed.levels.surface import OtherRoad, RoadSurface
from truebed.levels.tolerance import coefficient_errors, normal_points, normal_share_within, share_within

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


def drawn_road_errors(one: OtherRoad, x_mm: Array, y_mm: Array, span_mm: tuple[float, float], draws: Array) -> Array:
    """True road less fitted road at points, one row a draw.

    A fold is moved bodily in each draw (within the span it was looked for in): beside the fold a first-order step
    would overstate the error.

    Valid       draws of the standard normal law, one column a term of error_terms
    Source      algebra
    Proved by   tests/levels/test_road_average.py
    """
    terms = error_terms(one.model, x_mm, y_mm, one.ridge_mm, one.coefficients)
    errors = coefficient_errors(terms, np.array(one.covariance), draws)
    if one.model not in FOLDED:
        first_order: Array = errors @ terms.T
        return first_order
    table = term_table(one.model, x_mm, y_mm, one.ridge_mm)
    own = np.array(one.coefficients)
    drawn = own + errors[:, :-1]
    ridge = np.clip(one.ridge_mm + errors[:, -1:], *span_mm)
    places = y_mm if one.model == "two planes along" else x_mm
    moved: Array = drawn[:, :3] @ table[:, :3].T + drawn[:, 3:] * np.abs(places - ridge) - table @ own
    return moved


def fold_reach_mm(road: RoadSurface, one: OtherRoad) -> tuple[float, float]:
    """Between which places a road's fold can lie [mm]; without limits where the readings are not at hand.

    Valid       any road
    Source      see truebed.levels.road_terms.fold_span_mm
    Proved by   tests/levels/test_road_average.py
    """
    if not road.points or one.model not in FOLDED:
        return -np.inf, np.inf
    return fold_span_mm(one.model, np.array([p.x_mm for p in road.points]), np.array([p.y_mm for p in road.points]))


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
        departure = rim_terms @ np.array([rim.level_mm, rim.slope_x_ratio, rim.slope_y_ratio]) - level
        count = len(one.covariance)
        draws = normal_points(count + 3)
        road_error = drawn_road_errors(one, x, y, fold_reach_mm(road, one), draws[:, :count])
        rim_error = coefficient_errors(rim_terms, rim_covariance, draws[:, count:]) @ rim_terms.T
        total += one.weight_share * share_within(departure, road_error, rim_error, band_low_mm, band_high_mm)
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
