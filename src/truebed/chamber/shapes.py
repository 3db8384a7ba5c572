"""Outlines as polygons about the frame's centre: rectangles, circles, turned."""

from __future__ import annotations

import math

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from truebed.chamber.plane import Point, Ring

#: Sides of the polygon that stands for a circle. Its radius is stretched so that it has the circle's own area: volumes
#: over whole circles are exact, over circles cut by straight edges they are within 5e-5 (tests/chamber/test_solids.py).
CIRCLE_SIDES = 240
#: Further than any outline reaches [mm]: half-planes are drawn as shapes of this size.
FAR_MM = 1.0e5


def circle_ring(diameter_mm: float) -> Ring:
    """A circle as a ring of the circle's own area.

    Valid       diameter > 0
    Source      algebra (n-gon of area pi r^2)
    Proved by   tests/chamber/test_shapes.py
    """
    turn = 2.0 * math.pi / CIRCLE_SIDES
    radius_mm = diameter_mm / 2.0 * math.sqrt(turn / math.sin(turn))
    return tuple(
        (radius_mm * math.cos((i + 0.5) * turn), radius_mm * math.sin((i + 0.5) * turn)) for i in range(CIRCLE_SIDES)
    )


def rectangle_ring(along_mm: float, across_mm: float) -> Ring:
    """A rectangle about the origin, anticlockwise from the back-right corner.

    Valid       sizes > 0
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    a, b = along_mm / 2.0, across_mm / 2.0
    return ((-a, -b), (a, -b), (a, b), (-a, b))


def outline_ring(shape: str, along_mm: float, across_mm: float, turn_deg: float) -> Ring:
    """A rectangle or circle, turned anticlockwise about the origin.

    Valid       shape 'rectangle' or 'round'; a round one has along = across = its diameter
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    ring = circle_ring(along_mm) if shape == "round" else rectangle_ring(along_mm, across_mm)
    return turned(ring, turn_deg)


def turned(ring: Ring, turn_deg: float) -> Ring:
    """A ring turned anticlockwise about the origin.

    Valid       any ring
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    if turn_deg == 0.0:
        return ring
    return tuple(turned_point(point, turn_deg) for point in ring)


def turned_point(point: Point, turn_deg: float) -> Point:
    """A point turned anticlockwise about the origin.

    Valid       any point
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return (cos * point[0] - sin * point[1], sin * point[0] + cos * point[1])


def polygon(ring: Ring) -> Polygon:
    """A ring as a polygon.

    Valid       a simple ring of three points or more
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    return Polygon(ring)


def ring_of(shape: Polygon) -> Ring:
    """The outer ring of a polygon, anticlockwise, not closed, beginning at its least point.

    Valid       a simple polygon
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    points = [(float(x), float(y)) for x, y in shape.exterior.normalize().coords[:-1]]
    oriented = points if Polygon(points).exterior.is_ccw else points[::-1]
    start = oriented.index(min(oriented))
    return tuple(oriented[start:] + oriented[:start])


def hull_ring(region: BaseGeometry) -> Ring:
    """The convex hull of a region, as a ring.

    Valid       a region with an area
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    hull = region.convex_hull
    if not isinstance(hull, Polygon):
        raise ValueError("a region without an area has no outline")
    return ring_of(hull)
