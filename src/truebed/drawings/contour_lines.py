"""The road's lines of level as drawn: ended at the outermost readings, told apart inside the rim."""

from __future__ import annotations

from dataclasses import dataclass

from shapely import MultiPoint
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from truebed.chamber.plane import Point
from truebed.drawings.contours import Contour, Field, road_contours
from truebed.levels.surface import RoadSurface
from truebed.plan.result import CoverDesign

#: A line's points that lie this near the straight line between their neighbours are left out [mm of the road].
STRAIGHT_MM = 0.1
#: Shorter pieces of the road are not drawn [mm].
LEAST_MM = 1.0


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a line of level; inside: within the rim, where no reading can be."""

    level_mm: float
    inside: bool
    points: tuple[Point, ...]


def known_area(road: RoadSurface) -> BaseGeometry:
    """The area that the readings used surround.

    Valid       readings that do not lie in line
    Source      house (beyond the readings the road is not known)
    Proved by   tests/drawings/test_road_contours.py
    """
    return MultiPoint([(p.x_mm, p.y_mm) for p in road.points if p.used]).convex_hull


def pieces_of(design: CoverDesign) -> tuple[float, tuple[Piece, ...]]:
    """The spacing [mm] and the pieces of all lines of level within the readings, lowest first.

    Valid       any designed cover
    Source      algebra
    Proved by   tests/drawings/test_road_contours.py
    """
    known = known_area(design.road)
    if not isinstance(known, Polygon):
        return 0.0, ()
    step_mm, lines = road_contours(design.road, Field(*known.bounds))
    rim = Polygon(design.outlines.body)
    out: list[Piece] = []
    for contour in lines:
        shown = _line(contour).intersection(known)
        out += _pieces(contour.level_mm, False, shown.difference(rim))
        out += _pieces(contour.level_mm, True, shown.intersection(rim))
    return step_mm, tuple(out)


def fold_piece(design: CoverDesign) -> tuple[Point, ...]:
    """The fold of a road of two planes, from edge to edge of the known area; () without one.

    Valid       any designed cover
    Source      algebra
    Proved by   tests/drawings/test_road_contours.py
    """
    road = design.road
    known = known_area(road)
    x_low, y_low, x_high, y_high = known.bounds
    ends = {
        "two planes along": ((x_low, road.ridge_mm), (x_high, road.ridge_mm)),
        "two planes across": ((road.ridge_mm, y_low), (road.ridge_mm, y_high)),
    }.get(road.model)
    found = [] if ends is None else _pieces(0.0, False, LineString(ends).intersection(known))
    return found[0].points if found else ()


def _line(contour: Contour) -> BaseGeometry:
    return LineString(contour.points).simplify(STRAIGHT_MM)


def _pieces(level_mm: float, inside: bool, shape: BaseGeometry) -> list[Piece]:
    parts = [part for part in getattr(shape, "geoms", [shape]) if isinstance(part, LineString)]
    found = [tuple((float(x), float(y)) for x, y in part.coords) for part in parts if part.length >= LEAST_MM]
    return [Piece(level_mm, inside, points) for points in sorted(found)]
