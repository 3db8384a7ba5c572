"""How far the road is known: the hull of its readings."""

from __future__ import annotations

from truebed.chamber.plane import Ring
from truebed.chamber.shapes import hull_ring
from truebed.levels.surface import RoadSurface


def readings_reach(road: RoadSurface) -> Ring:
    """The outline that the used readings of a road span; () where they span none.

    Valid       any road
    Source      house: beyond its readings the fitted road is a guess
    Proved by   tests/levels/test_ride.py
    """
    from shapely.geometry import MultiPoint

    points = MultiPoint([(p.x_mm, p.y_mm) for p in road.points if p.used])
    return hull_ring(points) if points.convex_hull.area > 0.0 else ()
