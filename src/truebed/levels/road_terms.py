"""The candidate road surfaces as linear terms of x and y."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from truebed.levels.surface import Model, RoadSurface

Array = NDArray[np.float64]

#: Simplest first: of models that foretell equally well the simpler one is taken.
MODELS: tuple[Model, ...] = (
    "plane", "plane and twist", "two planes along", "two planes across", "five terms", "full quadratic",
)  # fmt: skip

#: The models with a fold.
FOLDED: tuple[Model, ...] = ("two planes along", "two planes across")

#: A fold is looked for only within this share of the readings' reach: further out it would rest on one or two readings
#: and could swallow a gross one.
FOLD_WITHIN_SHARE = 0.5


def fold_span_mm(model: Model, x_mm: Array, y_mm: Array) -> tuple[float, float]:
    """Between which places the fold of a two-plane model is looked for [mm].

    Valid       a two-plane model; readings that surround the frame
    Source      house (FOLD_WITHIN_SHARE)
    Proved by   tests/levels/test_road_fit.py
    """
    places = y_mm if model == "two planes along" else x_mm
    return FOLD_WITHIN_SHARE * float(np.min(places)), FOLD_WITHIN_SHARE * float(np.max(places))


def term_table(model: Model, x_mm: Array, y_mm: Array, ridge_mm: float) -> Array:
    """The model's terms at points, one row a point.

    plane 1, x, y; plane and twist + xy; five terms + xy, x^2 - y^2 (harmonic: a single ring carries it);
    full quadratic + x^2 + y^2 as well (constant on a ring: only a second ring carries it);
    two planes along: fold line along the traffic at y = ridge_mm, + |y - ridge|; across: at x = ridge_mm.

    Valid       any points
    Source      algebra
    Proved by   tests/levels/test_road_fit.py
    """
    columns = [np.ones_like(x_mm), x_mm, y_mm]
    if model == "plane and twist":
        columns.append(x_mm * y_mm)
    elif model == "five terms":
        columns += [x_mm * y_mm, x_mm**2 - y_mm**2]
    elif model == "full quadratic":
        columns += [x_mm * y_mm, x_mm**2 - y_mm**2, x_mm**2 + y_mm**2]
    elif model == "two planes along":
        columns.append(np.abs(y_mm - ridge_mm))
    elif model == "two planes across":
        columns.append(np.abs(x_mm - ridge_mm))
    return np.array(columns).T


def error_terms(model: Model, x_mm: Array, y_mm: Array, ridge_mm: float, coefficients: tuple[float, ...]) -> Array:
    """The terms that a road's covariance belongs to: its own, and for a two-plane model the pull of its fold's place.

    The fold's place was read off the same readings, so it errs as well: to first order a fold moved by 1 mm moves the
    road by -c sign(y - ridge) (across: x), c being the fold's own coefficient.

    Valid       any points; near the fold, first order overstates the error
    Source      algebra (derivative of c |y - ridge| by ridge)
    Proved by   tests/levels/test_road_fit.py
    """
    table = term_table(model, x_mm, y_mm, ridge_mm)
    if model not in FOLDED:
        return table
    places = y_mm if model == "two planes along" else x_mm
    return np.column_stack([table, -coefficients[-1] * np.sign(places - ridge_mm)])


def road_levels_mm(road: RoadSurface, x_mm: Array, y_mm: Array) -> Array:
    """The fitted road at points [mm].

    Valid       within the ring of readings; beyond it the surface is extrapolated
    Source      algebra
    Proved by   tests/levels/test_road_fit.py
    """
    levels: Array = term_table(road.model, x_mm, y_mm, road.ridge_mm) @ np.array(road.coefficients)
    return levels


def road_level_mm(road: RoadSurface, x_mm: float, y_mm: float) -> float:
    """The fitted road at one point [mm].

    Valid       within the ring of readings
    Source      algebra
    Proved by   tests/levels/test_road_fit.py
    """
    return float(road_levels_mm(road, np.array([x_mm]), np.array([y_mm]))[0])
