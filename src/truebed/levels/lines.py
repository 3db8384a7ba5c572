"""Straight-edges and string lines: gaps and offsets down from a line turned into levels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.errors import NotDesignedError

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LineEnd:
    """A point of the straight-edge's underside or of the string, with its level and where its reading stands."""

    x_mm: float
    y_mm: float
    level_mm: float
    row: int


def shares_along(ends: tuple[LineEnd, ...], x_mm: float, y_mm: float, line: str, off_line_most_mm: float) -> Array:
    """How much each end's level counts in the line's level beside a point (shares add up to 1).

    off_line_most_mm  rule value: furthest that a point may lie beside the line in plan
    Valid       two ends or more at different places; more than two: the straight line of least squares
    Source      algebra
    Raises      NotDesignedError where the line has one end, its ends are one place, or the point lies off it
    Proved by   tests/levels/test_lines.py
    """
    places = np.array([(e.x_mm, e.y_mm) for e in ends])
    reach = places[-1] - places[0]
    size = float(np.hypot(*reach))
    if len(ends) < 2 or size < 1.0:
        raise NotDesignedError(
            f"Line '{line}' has the level of one end only: it may tilt.",
            "Give the level of both its ends (where = line end), or of neither.",
        )
    along = (places - places[0]) @ reach / size
    from_first = np.array([x_mm, y_mm]) - places[0]
    beside_mm = float(np.abs(reach[0] * from_first[1] - reach[1] * from_first[0])) / size
    if beside_mm > off_line_most_mm:
        raise NotDesignedError(
            f"A reading at {x_mm:g}, {y_mm:g} lies {beside_mm:.0f} mm beside line '{line}' in plan"
            f" (at most {off_line_most_mm:g}).",
            "Measure its place or the line's ends again, or name the line that it was read from.",
        )
    table = np.column_stack([np.ones(len(ends)), along])
    shares: Array = np.array([1.0, float(from_first @ reach) / size]) @ np.linalg.pinv(table)
    return shares


def free_columns(lines: tuple[str, ...], x_mm: Array, y_mm: Array) -> Array:
    """The unknowns of the lines whose ends have no level: two columns a line (its height, its tilt), one row a reading.

    lines       of each reading the free line that it hangs on, '' for none
    Valid       readings of one line lie about on a straight line in plan
    Source      algebra: level = a + b s - offset, so -offset = road - a - b s
    Proved by   tests/levels/test_lines.py
    """
    columns = []
    for line in sorted({name for name in lines if name}):
        on = np.array([name == line for name in lines])
        places = np.column_stack([x_mm[on], y_mm[on]])
        middle = places.mean(axis=0)
        direction = np.linalg.svd(places - middle)[2][0]
        along = (np.column_stack([x_mm, y_mm]) - middle) @ direction
        columns += [np.where(on, -1.0, 0.0), np.where(on, -along, 0.0)]
    return np.column_stack(columns) if columns else np.empty((len(lines), 0))
