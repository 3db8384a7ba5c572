"""Where the fold of a two-plane road lies: all places tried at once, in closed form."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from truebed.levels.least_squares import Weights, equal_weights
from truebed.levels.road_terms import FOLDED, fold_span_mm, term_table
from truebed.levels.surface import Model

Array = NDArray[np.float64]

#: Places tried over the whole span, then near the best of them.
COARSE_COUNT, FINE_COUNT = 25, 21


def fold_reductions(base: Array, level: Array, whitener: Array, across_mm: Array, places: Array) -> Array:
    """How much of the sum of squares a fold at each place takes away from the base model.

    base        orthonormal columns of the whitened base model; level: whitened readings
    Valid       any places; 0 where a fold adds nothing to the base (all readings on one side of it)
    Source      algebra: (a z)^2 / (a a), a being the fold's column less its projection on the base
    Proved by   tests/levels/test_road_folds.py
    """
    columns = whitener @ np.abs(across_mm[:, None] - places[None, :])
    size = np.einsum("ij,ij->j", columns, columns)
    columns = columns - base @ (base.T @ columns)
    columns = columns - base @ (base.T @ columns)
    left = np.einsum("ij,ij->j", columns, columns)
    adds = left > 1e-12 * size
    along = level @ columns
    reductions: Array = np.where(adds, along**2 / np.where(adds, left, 1.0), 0.0)
    return reductions


def best_ridge_mm(
    model: Model, x_mm: Array, y_mm: Array, level_mm: Array, weights: Weights | None = None, lines: Array | None = None
) -> float:
    """Where the fold of a two-plane model lies: the place with the least sum of squares, to a whole mm; else 0.

    weights     None: equally good readings; lines: columns of the free lines' unknowns
    Valid       fold parallel to the traffic or square to it, within half the readings' reach
    Source      algebra (scan, coarse then fine)
    Proved by   tests/levels/test_road_fit.py, tests/levels/test_road_folds.py
    """
    if model not in FOLDED:
        return 0.0
    whitener = (equal_weights(len(x_mm), 1.0) if weights is None else weights).whitener
    table = term_table("plane", x_mm, y_mm, 0.0)
    if lines is not None and lines.shape[1]:
        table = np.column_stack([table, lines])
    white = whitener @ table
    base = np.linalg.qr(white / np.sqrt(np.einsum("ij,ij->j", white, white)))[0]
    level = whitener @ level_mm
    level = level - base @ (base.T @ level)
    across = y_mm if model == "two planes along" else x_mm
    low, high = fold_span_mm(model, x_mm, y_mm)
    places = np.linspace(low, high, COARSE_COUNT)
    coarse = float(places[int(np.argmax(fold_reductions(base, level, whitener, across, places)))])
    reach = (high - low) / (COARSE_COUNT - 1)
    near = np.linspace(max(low, coarse - reach), min(high, coarse + reach), FINE_COUNT)
    return round(float(near[int(np.argmax(fold_reductions(base, level, whitener, across, near)))]))
