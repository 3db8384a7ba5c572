"""Every road that the readings allow, each with its weight: what the probability of tolerance is averaged over."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.plane import Plane, Point
from truebed.levels.rim_range import FEW_CORNERS_COUNT, straight_sides, whole_rim
from truebed.levels.road_terms import FOLDED, error_terms, fold_span_mm, term_table
from truebed.levels.surface import OtherRoad, RoadSurface
from truebed.levels.tolerance import (
    joint_factor,
    lattice_for,
    normal_lattice,
    normal_share_within,
    probability_within,
)

Array = NDArray[np.float64]

#: Turn of an arc's stretches beside a fold.
FOLDED_ARC_DEG = 12.0


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


def fold_reach_mm(road: RoadSurface, one: OtherRoad) -> tuple[float, float]:
    """Between which places a road's fold can lie [mm]; without limits where the readings are not at hand.

    Valid       any road
    Source      see truebed.levels.road_terms.fold_span_mm
    Proved by   tests/levels/test_road_average.py
    """
    if not road.points or one.model not in FOLDED:
        return -np.inf, np.inf
    return fold_span_mm(one.model, np.array([p.x_mm for p in road.points]), np.array([p.y_mm for p in road.points]))


def _smooth_rim_share(
    one: OtherRoad, points: tuple[Point, ...], ring: tuple[Point, ...], rim: Plane, rim_covariance: Array,
    low_mm: float, high_mm: float,
) -> float:  # fmt: skip
    # along straight sides a plane has its extremes at the corners
    at_corners = one.model == "plane" and len(ring) <= FEW_CORNERS_COUNT
    at, table = whole_rim((), (*ring, *points)) if at_corners else whole_rim(ring, points)
    x, y = at[:, 0], at[:, 1]
    terms = term_table(one.model, x, y, one.ridge_mm)
    off = rim.level_mm + rim.slope_x_ratio * x + rim.slope_y_ratio * y - terms @ np.array(one.coefficients)
    return probability_within(
        off, terms, np.array(one.covariance), rim_covariance, table, low_mm, high_mm, lattice_for(one.weight_share)
    )


def _folded_rim_share(
    one: OtherRoad, points: tuple[Point, ...], ring: tuple[Point, ...], rim: Plane, rim_covariance: Array,
    low_mm: float, high_mm: float, reach: tuple[float, float],
) -> float:  # fmt: skip
    """A fold is moved bodily in each draw, within its reach: beside it a first-order step would overstate the error."""
    from truebed.levels.tolerance_kernel import folded_share

    level, slope_x, slope_y, fold = one.coefficients
    mean = np.array([one.ridge_mm, fold, rim.slope_x_ratio - slope_x, rim.slope_y_ratio - slope_y, 0.0])
    mean[4] = rim.level_mm - level
    # the road's errors enter 'rim less road' with a minus: so do those of fold and ridge, to keep their covariance
    lower = joint_factor(np.array(one.covariance), rim_covariance, (4, 3, 1, 2, 0))
    lower[:2] *= -1.0
    across = 1 if one.model == "two planes along" else 0
    return folded_share(
        *straight_sides(ring, points, FOLDED_ARC_DEG), across, mean, lower, np.array(reach), low_mm, high_mm,
        normal_lattice(lattice_for(one.weight_share)),
    )  # fmt: skip


def rim_share_within(
    road: RoadSurface, points: tuple[Point, ...], ring: tuple[Point, ...], rim: Plane, rim_covariance: Array,
    band_low_mm: float, band_high_mm: float,
) -> float:  # fmt: skip
    """Chance that every point of a rim held where it is lies in the band, over every road that the readings allow.

    The whole ring counts, sides between its corners too, and those of the points that lie inside it (a joint of lids).
    A dome or dish round the frame is invisible to a single ring of readings, so it is not in this chance.

    Valid       Gaussian errors; the road is one of the models
    Source      algebra (law of total probability over the models' weights)
    Proved by   tests/levels/test_road_average.py, tests/oracles/test_tolerance.py
    """
    total = 0.0
    for one in allowed_roads(road):
        if one.model in FOLDED:
            reach = fold_reach_mm(road, one)
            within = _folded_rim_share(one, points, ring, rim, rim_covariance, band_low_mm, band_high_mm, reach)
        else:
            within = _smooth_rim_share(one, points, ring, rim, rim_covariance, band_low_mm, band_high_mm)
        total += one.weight_share * within
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
