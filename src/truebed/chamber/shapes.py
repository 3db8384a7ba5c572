"""Outlines as polygons about the frame's centre: rectangles, circles, turned."""

from __future__ import annotations

import math
from functools import lru_cache

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from truebed.chamber.plane import Point, Ring

#: Sides of the polygon that stands for a circle. Its radius is stretched so that it has the circle's own area: volumes
#: over whole circles are exact, over circles cut by straight edges they are within 5e-5 (tests/chamber/test_solids.py).
CIRCLE_SIDES = 240
#: Outlines kept at hand: one cover's section asks for the same few many times over.
KEPT_COUNT = 256
_TURN = 2.0 * math.pi / CIRCLE_SIDES
_AROUND = tuple((math.cos((i + 0.5) * _TURN), math.sin((i + 0.5) * _TURN)) for i in range(CIRCLE_SIDES))
#: Further than any outline reaches [mm]: half-planes are drawn as shapes of this size.
FAR_MM = 1.0e5


def circle_ring(diameter_mm: float) -> Ring:
    """A circle as a ring of the circle's own area.

    Valid       diameter > 0
    Source      algebra (n-gon of area pi r^2)
    Proved by   tests/chamber/test_shapes.py
    """
    radius_mm = diameter_mm / 2.0 * math.sqrt(_TURN / math.sin(_TURN))
    return tuple([(radius_mm * cos, radius_mm * sin) for cos, sin in _AROUND])


def rectangle_ring(along_mm: float, across_mm: float) -> Ring:
    """A rectangle about the origin, anticlockwise from the back-right corner.

    Valid       sizes > 0
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    a, b = along_mm / 2.0, across_mm / 2.0
    return ((-a, -b), (a, -b), (a, b), (-a, b))


def d_ring(along_mm: float, across_mm: float) -> Ring:
    """A D: straight back at -along/2, sides along x, a half circle of diameter across in front; of the D's own area.

    Valid       along >= across / 2
    Source      algebra (half of an n-gon stretched to the half circle's area)
    Raises      ValueError where the half circle is longer than the D
    Proved by   tests/chamber/test_shapes.py
    """
    radius_mm = across_mm / 2.0
    if along_mm < radius_mm:
        raise ValueError(f"a D {across_mm:g} mm across is at least {radius_mm:g} mm long")
    sides = CIRCLE_SIDES // 2
    turn = math.pi / sides
    # the end points stay on the straight sides, so the chords between them are stretched
    stretch_ratio = (math.pi / 2.0) / (sides / 2.0 * math.sin(turn))
    centre_mm = along_mm / 2.0 - radius_mm
    nose = [
        (
            centre_mm + radius_mm * stretch_ratio * math.sin(i * turn),
            -radius_mm * math.cos(i * turn),
        )
        for i in range(sides + 1)
    ]
    return ((-along_mm / 2.0, -radius_mm), *nose, (-along_mm / 2.0, radius_mm))


@lru_cache(maxsize=KEPT_COUNT)
def outline_ring(shape: str, along_mm: float, across_mm: float, turn_deg: float) -> Ring:
    """An outline of truebed.given.cover.Plan2D, turned anticlockwise about the origin.

    Valid       shape 'rectangle', 'triangular pair' (outline of a rectangle), 'round' (along = across = diameter), 'D'
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    if shape == "round":
        ring = circle_ring(along_mm)
    elif shape == "D":
        ring = d_ring(along_mm, across_mm)
    else:
        ring = rectangle_ring(along_mm, across_mm)
    return turned(ring, turn_deg)


def turned(ring: Ring, turn_deg: float) -> Ring:
    """A ring turned anticlockwise about the origin.

    Valid       any ring
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    if turn_deg == 0.0:
        return ring
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return tuple([(cos * x - sin * y, sin * x + cos * y) for x, y in ring])


def turned_point(point: Point, turn_deg: float) -> Point:
    """A point turned anticlockwise about the origin.

    Valid       any point
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return (cos * point[0] - sin * point[1], sin * point[0] + cos * point[1])


@lru_cache(maxsize=KEPT_COUNT)
def polygon(ring: Ring) -> Polygon:
    """A ring as a polygon.

    Valid       a simple ring of three points or more
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    return Polygon(ring)


@lru_cache(maxsize=KEPT_COUNT)
def common_region(one: Ring, other: Ring) -> BaseGeometry:
    """What two outlines have in common.

    Valid       simple rings
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    inner, outer = polygon(one), polygon(other)
    return inner if outer.covers(inner) else inner.intersection(outer)


@lru_cache(maxsize=KEPT_COUNT)
def joint_region(one: Ring, other: Ring) -> BaseGeometry:
    """What either of two outlines holds.

    Valid       simple rings
    Source      algebra
    Proved by   tests/chamber/test_shapes.py
    """
    outer, inner = polygon(one), polygon(other)
    return outer if outer.covers(inner) else outer.union(inner)


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
