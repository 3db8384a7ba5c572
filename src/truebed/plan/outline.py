"""From a cover's sizes to the section's outlines, corners and sampling points."""

from __future__ import annotations

import numpy as np
from shapely.geometry.base import BaseGeometry

from truebed.chamber.outline_shapes import OutlineShape, OutlineShapes
from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Plane, Point, Ring
from truebed.chamber.shapes import outline_ring
from truebed.given.cover import Cover, Plan2D
from truebed.levels.road_terms import road_levels_mm
from truebed.levels.surface import RoadSurface

SAMPLE_MM = 50.0


def ring_for(size: Plan2D, turn_deg: float, wider_mm: float = 0.0) -> Ring:
    """The outline of a size, turned, widened all round by wider_mm.

    Valid       sizes > 0
    Source      algebra
    Proved by   tests/plan/test_outline.py
    """
    return outline_ring(size.shape, size.along_mm + 2.0 * wider_mm, size.across_mm + 2.0 * wider_mm, turn_deg)


def shape_for(size: Plan2D, turn_deg: float, wider_mm: float = 0.0) -> OutlineShape:
    """The same outline as a shape, so that volumes are those of true circles.

    Valid       sizes > 0; a D is not widened
    Source      algebra
    Proved by   tests/plan/test_outline.py
    """
    return OutlineShape(size.shape, size.along_mm + 2.0 * wider_mm, size.across_mm + 2.0 * wider_mm, turn_deg)


def outlines_of(cover: Cover, cut: Ring, *, turn_deg: float, round_cut_mm: float | None = None) -> Outlines:
    """The section's outlines of a cover with a given cut-out ring.

    round_cut_mm   diameter of a round cut about the frame's centre, None of any other
    Valid       a cover that passed the works folder's checks
    Source      house: section and its roles
    Proved by   tests/plan/test_outline.py
    """
    round_cut = None if round_cut_mm is None else OutlineShape("round", round_cut_mm, round_cut_mm)
    return Outlines(
        opening=ring_for(cover.opening, turn_deg),
        body=ring_for(cover.body, turn_deg),
        flange=ring_for(cover.flange, turn_deg),
        wall=ring_for(cover.chamber, turn_deg, cover.wall_mm),
        chamber=ring_for(cover.chamber, turn_deg),
        cut=cut,
        shapes=OutlineShapes(
            opening=shape_for(cover.opening, turn_deg),
            body=shape_for(cover.body, turn_deg),
            flange=shape_for(cover.flange, turn_deg),
            wall=shape_for(cover.chamber, turn_deg, cover.wall_mm),
            chamber=shape_for(cover.chamber, turn_deg),
            cut=round_cut,
        ),
    )


def _widened(ring: Ring, by_mm: float) -> Ring:
    """A convex ring with its sides moved out, its corners kept sharp."""
    corners = np.array(ring)
    side = np.roll(corners, -1, axis=0) - corners
    out = np.column_stack([side[:, 1], -side[:, 0]]) / np.hypot(side[:, 0], side[:, 1])[:, None]
    before = np.roll(out, 1, axis=0)
    moved = corners + by_mm * (before + out) / (1.0 + np.sum(before * out, axis=1))[:, None]
    return tuple(map(tuple, moved.tolist()))


def _evenly_along(ring: Ring) -> list[Point]:
    """Points along a ring from its first corner, evenly spaced."""
    corners = np.array((*ring, ring[0]))
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
    count = max(8, round(float(gone[-1]) / SAMPLE_MM))
    at = gone[-1] * np.arange(count) / count
    return list(
        zip(np.interp(at, gone, corners[:, 0]).tolist(), np.interp(at, gone, corners[:, 1]).tolist(), strict=True)
    )


def adjacent_points(body: Ring, window_mm: float) -> tuple[Point, ...]:
    """Points of the road beside the frame, from its rim out to the window, over which the clause's mean is taken.

    Valid       window > 0
    Source      rule set value adjacent_window_mm
    Proved by   tests/plan/test_outline.py
    """
    points: list[Point] = []
    for share in (0.0, 0.5, 1.0):
        points += _evenly_along(_widened(body, share * window_mm) if share else body)
    return tuple(points)


def plane_of_road(road: RoadSurface, region: BaseGeometry) -> Plane:
    """The road over a region as a plane: exact for a plane road, else the least-squares plane over a grid of it.

    The mean of the road over the region is kept, so volumes of layers under a curved road keep their litres.

    Valid       a region within the readings' reach
    Source      algebra
    Proved by   tests/plan/test_outline.py
    """
    if road.model == "plane":
        return Plane(*road.coefficients)
    from shapely import contains_xy, prepare

    prepare(region)
    min_x, min_y, max_x, max_y = region.bounds
    x, y = np.meshgrid(np.arange(min_x + 5.0, max_x, 10.0), np.arange(min_y + 5.0, max_y, 10.0))
    inside = contains_xy(region, x, y)
    px, py = x[inside], y[inside]
    level = road_levels_mm(road, px, py)
    table = np.column_stack([np.ones_like(px), px, py])
    answer = np.linalg.lstsq(table, level, rcond=None)[0]
    return Plane(float(answer[0]), float(answer[1]), float(answer[2]))
