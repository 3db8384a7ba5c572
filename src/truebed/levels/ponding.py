"""Does water run to the grating: the fitted road filled with water up to where it spills."""

from __future__ import annotations

import heapq
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.plane import Plane, Point, Ring
from truebed.chamber.shapes import hull_ring, polygon
from truebed.levels.reach import readings_reach
from truebed.levels.road_terms import road_levels_mm
from truebed.levels.surface import RoadSurface

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

#: Side of a cell of the grid [mm].
CELL_MM = 20.0
#: Water shallower than this is a film, not a pond [mm].
FILM_MM = 0.5
#: A channel reading stands this near to the kerb's face or nearer: between them the road is taken as known [mm].
CHANNEL_MM = 100.0
#: The four neighbours of a cell.
BESIDE = ((1, 0), (-1, 0), (0, 1), (0, -1))


@dataclass(frozen=True, slots=True)
class Ponding:
    """Where water would stand round a set grating, as far as the readings reach.

    depth_mm, at    of the deepest water (nought: none) and its place
    area_m2, volume_l  of all water deeper than a film
    to_grating_share  share of the road within reach whose water ends in the grating; the rest runs off beyond
    low_mm, low_at  the lowest road within reach; grating_low_mm: the lowest point of the set rim
    low_below_mm    how far the lowest road lies below the grating's lowest point (negative: above, water can run in)
    cell_mm         side of the grid's cells; film_mm: water shallower than this is not counted
    """

    depth_mm: float
    at: Point
    area_m2: float
    volume_l: float
    to_grating_share: float
    low_mm: float
    low_at: Point
    grating_low_mm: float
    low_below_mm: float
    cell_mm: float
    film_mm: float


@dataclass(frozen=True, slots=True)
class _Grid:
    x: Array
    y: Array
    road: Array
    open: Mask
    iron: Mask


def _grid(road: RoadSurface, rim: Ring, reach: Ring, kerb_side: str, kerb_mm: float | None, cell_mm: float) -> _Grid:
    from shapely import contains_xy

    region = polygon(reach)
    low_x, low_y, high_x, high_y = region.bounds
    # a border of closed cells all round; cells lie evenly about the frame's centre
    nx, ny = (
        np.arange(np.floor(a / cell_mm) - 1, np.ceil(b / cell_mm) + 1) for a, b in ((low_x, high_x), (low_y, high_y))
    )
    x, y = np.meshgrid((nx + 0.5) * cell_mm, (ny + 0.5) * cell_mm)
    within = contains_xy(region, x, y)
    iron = contains_xy(polygon(rim), x, y)
    if kerb_side != "none" and kerb_mm is not None:
        within &= y < kerb_mm if kerb_side == "left" else y > -kerb_mm
    levels = road_levels_mm(road, x.ravel(), y.ravel()).reshape(x.shape)
    return _Grid(x, y, levels, within & ~iron, iron)


def _to_the_kerb(reach: Ring, kerb_side: str, kerb_mm: float | None) -> Ring:
    """The readings' reach, carried on to the kerb's face beside readings in the channel."""
    if kerb_side == "none" or kerb_mm is None:
        return reach
    from shapely.geometry import MultiPoint

    face_mm = kerb_mm if kerb_side == "left" else -kerb_mm
    at_kerb = [(x, face_mm) for x, y in reach if -CHANNEL_MM <= y - face_mm <= CHANNEL_MM]
    return hull_ring(MultiPoint([*reach, *at_kerb]))


def _beyond_kerb(grid: _Grid, j: int, i: int, kerb_side: str, kerb_mm: float | None) -> bool:
    if kerb_side == "none" or kerb_mm is None:
        return False
    y = float(grid.y[j, i])
    return y >= kerb_mm if kerb_side == "left" else y <= -kerb_mm


def _outlets(grid: _Grid, rim_plane: Plane, kerb_side: str, kerb_mm: float | None) -> list[tuple[float, int, int, int]]:
    """Cells from which water leaves: (level, row, column, 1 = into the grating, 0 = beyond the readings)."""
    found = []
    for j, i in zip(*np.nonzero(grid.open), strict=True):
        z = float(grid.road[j, i])
        for dj, di in BESIDE:
            b, a = int(j) + dj, int(i) + di
            if grid.iron[b, a]:
                edge_x, edge_y = (grid.x[j, i] + grid.x[b, a]) / 2.0, (grid.y[j, i] + grid.y[b, a]) / 2.0
                found.append((max(z, rim_plane.at(float(edge_x), float(edge_y))), int(j), int(i), 1))
            elif not grid.open[b, a] and not _beyond_kerb(grid, b, a, kerb_side, kerb_mm):
                found.append((z, int(j), int(i), 0))
    return found


def _fill(grid: _Grid, outlets: list[tuple[float, int, int, int]]) -> tuple[Array, Array]:
    """Water level of each open cell (its least highest way out), and whether that way ends in the grating."""
    level = np.full(grid.road.shape, np.inf)
    into = np.zeros(grid.road.shape)
    heap = [(z, j, i, -to) for z, j, i, to in outlets]
    heapq.heapify(heap)
    while heap:
        z, j, i, minus = heapq.heappop(heap)
        if level[j, i] < np.inf:
            continue
        level[j, i], into[j, i] = z, -minus
        for dj, di in BESIDE:
            b, a = j + dj, i + di
            if grid.open[b, a] and level[b, a] == np.inf:
                heapq.heappush(heap, (max(z, float(grid.road[b, a])), b, a, minus))
    return level, into


def ponding(
    road: RoadSurface,
    rim: Ring,
    rim_plane: Plane,
    kerb_side: str = "none",
    kerb_mm: float | None = None,
    cell_mm: float = CELL_MM,
) -> Ponding:
    """Water round a set grating: the fitted road within the readings' reach filled until it spills.

    It spills over the grating's rim, and off the edge of the readings' reach (what lies beyond is not known, so a pond
    that reaches further is told too shallow); it does not pass a kerb, to which the reach is carried from readings in
    the channel.
    kerb_mm     from the frame's centre to the kerb's face, along the traffic

    Valid       readings that surround the frame; depth to within the road's fall over a cell
    Source      algebra (priority flood over a grid of cells; least highest way out)
    Raises      ValueError where the readings span no area
    Proved by   tests/levels/test_ponding.py
    """
    reach = readings_reach(road)
    if not reach:
        raise ValueError("the road's readings span no area")
    grid = _grid(road, rim, _to_the_kerb(reach, kerb_side, kerb_mm), kerb_side, kerb_mm, cell_mm)
    level, into = _fill(grid, _outlets(grid, rim_plane, kerb_side, kerb_mm))
    wet = grid.open & np.isfinite(level)
    depth = np.where(wet, level - grid.road, 0.0)
    deepest = np.unravel_index(int(np.argmax(depth)), depth.shape)
    dry_low = np.where(grid.open, grid.road, np.inf)
    lowest = np.unravel_index(int(np.argmin(dry_low)), dry_low.shape)
    cell_m2 = (cell_mm / 1000.0) ** 2
    pond = depth > FILM_MM
    grating = min(rim_plane.at(x, y) for x, y in rim)
    return Ponding(
        depth_mm=float(depth[deepest]),
        at=(float(grid.x[deepest]), float(grid.y[deepest])),
        area_m2=float(np.sum(pond)) * cell_m2,
        volume_l=float(np.sum(depth[pond])) * cell_m2,
        to_grating_share=float(np.sum(into[wet])) / max(1, int(np.sum(wet))),
        low_mm=float(dry_low[lowest]),
        low_at=(float(grid.x[lowest]), float(grid.y[lowest])),
        grating_low_mm=grating,
        low_below_mm=grating - float(dry_low[lowest]),
        cell_mm=cell_mm,
        film_mm=FILM_MM,
    )
