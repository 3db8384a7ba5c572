"""Lines of equal level of the fitted road: marching squares on a grid that has the road's fold on a grid line."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.plane import Point
from truebed.levels.road_terms import road_levels_mm
from truebed.levels.surface import RoadSurface

Array = NDArray[np.float64]
#: Cells across the field. Between grid points the level runs straight: of a saddle of 20 mm in a metre that is within
#: 0.01 mm of the fit (tests/drawings/test_contours.py).
CELLS_COUNT = 64
#: Spacings of level between lines [mm]: the finest that gives no more than so many lines is taken.
SPACINGS_MM = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0)
LINES_MOST = 16
#: A road that rises less than this over the whole field is level.
LEVEL_MM = 1e-6

#: A point of a line on the grid: (0, row, column) lies on the edge to the right of that grid point, (1, ...) above it.
_Edge = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Field:
    """An upright field in local axes [mm]."""

    x_low_mm: float
    y_low_mm: float
    x_high_mm: float
    y_high_mm: float


@dataclass(frozen=True, slots=True)
class Contour:
    """One unbroken line of a level; a closed one ends where it began."""

    level_mm: float
    points: tuple[Point, ...]


def spacing_mm(low_mm: float, high_mm: float) -> float:
    """The level from line to line that shows a span in few enough lines [mm].

    Valid       low <= high
    Source      house (drawing)
    Proved by   tests/drawings/test_contours.py
    """
    span_mm = high_mm - low_mm
    return next((s for s in SPACINGS_MM if span_mm / s <= LINES_MOST), SPACINGS_MM[-1])


def road_contours(road: RoadSurface, field: Field) -> tuple[float, tuple[Contour, ...]]:
    """The spacing [mm] and the fitted road's lines of equal level in a field, lowest first; none on a level road.

    Valid       a field of some size
    Source      algebra (marching squares; a saddle's cell is parted by its middle)
    Proved by   tests/drawings/test_contours.py
    """
    x, y = _axes(road, field)
    grid_x, grid_y = np.meshgrid(x, y)
    levels = road_levels_mm(road, grid_x.ravel(), grid_y.ravel()).reshape(grid_x.shape)
    low, high = float(levels.min()), float(levels.max())
    step_mm = spacing_mm(low, high)
    if high - low < LEVEL_MM:
        return step_mm, ()
    out: list[Contour] = []
    for i in range(math.ceil(low / step_mm), math.floor(high / step_mm) + 1):
        out += _lines_at(i * step_mm, x, y, levels)
    return step_mm, tuple(out)


def _axes(road: RoadSurface, field: Field) -> tuple[Array, Array]:
    """The grid's places; the fold, where it crosses the field, is one of them: the road is straight between them."""
    x = np.linspace(field.x_low_mm, field.x_high_mm, CELLS_COUNT + 1)
    y = np.linspace(field.y_low_mm, field.y_high_mm, CELLS_COUNT + 1)
    if road.model == "two planes along" and field.y_low_mm < road.ridge_mm < field.y_high_mm:
        y = np.unique(np.append(y, road.ridge_mm))
    if road.model == "two planes across" and field.x_low_mm < road.ridge_mm < field.x_high_mm:
        x = np.unique(np.append(x, road.ridge_mm))
    return x, y


def _lines_at(level_mm: float, x: Array, y: Array, levels: Array) -> list[Contour]:
    """The lines of one level. A grid point at the very level counts as just above it, so no line meets a grid point."""
    above = levels >= level_mm
    cells = above[:-1, :-1].astype(int) + above[:-1, 1:] * 2 + above[1:, 1:] * 4 + above[1:, :-1] * 8
    links: dict[_Edge, list[_Edge]] = {}
    for row, column in np.argwhere((cells > 0) & (cells < 15)):
        for a, b in _crossed(int(row), int(column), int(cells[row, column]), level_mm, levels):
            links.setdefault(a, []).append(b)
            links.setdefault(b, []).append(a)
    return [
        Contour(level_mm, tuple(_place(edge, level_mm, x, y, levels) for edge in chain)) for chain in _chains(links)
    ]


def _crossed(row: int, column: int, cell: int, level_mm: float, levels: Array) -> list[tuple[_Edge, _Edge]]:
    """Which edges of a cell the line joins. Corners' bits: 1 lower left, 2 lower right, 4 upper right, 8 upper left."""
    low, high = (0, row, column), (0, row + 1, column)
    left, right = (1, row, column), (1, row, column + 1)
    if cell in (5, 10):
        middle_above = float(levels[row : row + 2, column : column + 2].mean()) >= level_mm
        if (cell == 5) == middle_above:
            return [(low, right), (left, high)]
        return [(low, left), (right, high)]
    joined = {1: (low, left), 2: (low, right), 4: (right, high), 8: (left, high), 3: (left, right), 6: (low, high)}
    return [joined[cell] if cell in joined else joined[15 - cell]]


def _place(edge: _Edge, level_mm: float, x: Array, y: Array, levels: Array) -> Point:
    upright, row, column = edge
    a = float(levels[row, column])
    b = float(levels[row + upright, column + 1 - upright])
    share = (level_mm - a) / (b - a)
    ax, ay = float(x[column]), float(y[row])
    if upright:
        return ax, ay + share * (float(y[row + 1]) - ay)
    return ax + share * (float(x[column + 1]) - ax), ay


def _chains(links: dict[_Edge, list[_Edge]]) -> list[list[_Edge]]:
    """Unbroken chains, those with loose ends first, each begun at its least end; the same order each time."""
    left = {edge: sorted(near) for edge, near in sorted(links.items())}
    starts = [e for e, near in left.items() if len(near) == 1] + list(left)
    out = []
    for start in starts:
        chain, at = [start], start
        while left[at]:
            ahead = left[at].pop(0)
            left[ahead].remove(at)
            chain.append(ahead)
            at = ahead
        if len(chain) > 1:
            out.append(chain)
    return out
