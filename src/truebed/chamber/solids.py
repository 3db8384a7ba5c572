"""Exact volumes between planes over outlines, by role."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Plane
from truebed.chamber.shapes import FAR_MM, polygon

MM3_PER_LITRE = 1.0e6


@dataclass(frozen=True, slots=True)
class Solid:
    """Volume of a layer, its plan area, least and greatest thickness over it (before clipping at nothing)."""

    volume_l: float
    area_mm2: float
    least_mm: float
    most_mm: float


@dataclass(frozen=True, slots=True)
class Levels:
    """The planes and depths that bound the layers. Depths and thicknesses in mm.

    joint_length_mm  of the joint: the sawn edge; None: the whole perimeter
    rim        top of frame; road: the road over the cut-out; chamber_top: under the bed; floor: of the dig
    """

    rim: Plane
    road: Plane
    chamber_top: Plane
    floor: Plane
    frame_depth_mm: float
    flange_thick_mm: float
    over_flange_mm: float
    surface_depth_mm: float
    joint_width_mm: float
    joint_depth_mm: float
    joint_length_mm: float | None = None


EMPTY = Solid(0.0, 0.0, 0.0, 0.0)


def _parts(region: BaseGeometry) -> tuple[Polygon, ...]:
    if isinstance(region, Polygon):
        return (region,) if region.area > 0.0 else ()
    if isinstance(region, MultiPolygon):
        return tuple(part for part in region.geoms if part.area > 0.0)
    return tuple(p for g in getattr(region, "geoms", ()) for p in _parts(g))


def positive_side(thickness: Plane) -> Polygon | None:
    """The half-plane where a thickness is positive, as a large polygon; None where it is the same everywhere.

    Valid       outlines within 10 m of the origin
    Source      algebra
    Proved by   tests/chamber/test_solids.py
    """
    gx, gy = thickness.slope_x_ratio, thickness.slope_y_ratio
    steep = (gx * gx + gy * gy) ** 0.5
    if steep < 1e-12:
        return None
    nx, ny = gx / steep, gy / steep
    foot_mm = -thickness.level_mm / steep
    px, py = nx * foot_mm, ny * foot_mm
    corners = [
        (px - ny * FAR_MM, py + nx * FAR_MM),
        (px + ny * FAR_MM, py - nx * FAR_MM),
        (px + ny * FAR_MM + nx * FAR_MM, py - nx * FAR_MM + ny * FAR_MM),
        (px - ny * FAR_MM + nx * FAR_MM, py + nx * FAR_MM + ny * FAR_MM),
    ]
    return Polygon(corners)


def between(region: BaseGeometry, thickness: Plane) -> Solid:
    """The solid of a linear thickness over a region, nothing where the thickness is negative.

    The region is clipped along the line where the thickness is nought; over what is left the volume of a linear
    thickness is area times the thickness at the centroid.

    Valid       outlines within 10 m of the origin
    Source      algebra (prismatoid; exact for polygons)
    Proved by   tests/chamber/test_solids.py, tests/oracles/test_solids_by_booleans.py
    """
    parts = _parts(region)
    if not parts:
        return EMPTY
    heights = [
        thickness.at(x, y) for part in parts for ring in (part.exterior, *part.interiors) for x, y in ring.coords
    ]
    least, most = min(heights), max(heights)
    if least < 0.0 < most:
        side = positive_side(thickness)
        parts = _parts(region.intersection(side)) if side is not None else parts
    elif most <= 0.0:
        parts = ()
    volume_mm3 = sum(part.area * thickness.at(part.centroid.x, part.centroid.y) for part in parts)
    return Solid(volume_mm3 / MM3_PER_LITRE, float(region.area), least, most)


def together(solids: tuple[Solid, ...]) -> Solid:
    """Several solids as one: volumes and areas added, least and greatest thickness of all that have an area.

    Valid       solids over separate regions
    Source      algebra
    Proved by   tests/chamber/test_solids.py
    """
    real = tuple(s for s in solids if s.area_mm2 > 1.0)
    if not real:
        return EMPTY
    return Solid(
        sum(s.volume_l for s in real),
        sum(s.area_mm2 for s in real),
        min(s.least_mm for s in real),
        max(s.most_mm for s in real),
    )


def seating(outlines: Outlines) -> BaseGeometry:
    """Where the flange stands on the chamber's wall: (F within W) less the opening and the chamber's hollow.

    Valid       outlines of one cover
    Source      house: section and its roles; the hollow of the chamber is taken off with the opening
    Proved by   tests/chamber/test_solids.py
    """
    hollow = polygon(outlines.opening).union(polygon(outlines.chamber))
    return polygon(outlines.flange).intersection(polygon(outlines.wall)).difference(hollow)


def role_solids(outlines: Outlines, levels: Levels) -> dict[str, Solid]:
    """Each role's solid: bed, under_flange_fill, surround_fill, running_surface, edge_seal.

    Thicknesses are over the role's own plan; a negative least thickness says that surfaces cross.

    Valid       planes; joint within the running surface's plan
    Source      house: section and its roles; algebra
    Proved by   tests/chamber/test_solids.py, tests/oracles/test_solids_by_booleans.py
    """
    flange, body = polygon(outlines.flange), polygon(outlines.body)
    wall, cut = polygon(outlines.wall), polygon(outlines.cut)
    underside = levels.rim.raised(-levels.frame_depth_mm)
    flange_top = underside.raised(levels.flange_thick_mm)
    fill_top = flange_top.raised(levels.over_flange_mm)
    trench = cut.difference(flange)
    bed = between(seating(outlines), underside.minus(levels.chamber_top))
    fill = together(
        (
            between(flange.difference(wall), underside.minus(levels.floor)),
            between(trench.intersection(wall), fill_top.minus(levels.chamber_top)),
            between(trench.difference(wall), fill_top.minus(levels.floor)),
            between(flange.difference(body), fill_top.minus(flange_top)),
        )
    )
    round_body = cut.difference(body)
    surround = between(round_body, levels.road.raised(-levels.surface_depth_mm).minus(fill_top))
    to_road = between(round_body, levels.road.minus(fill_top))
    joint_depth = min(levels.joint_depth_mm, levels.surface_depth_mm) if levels.surface_depth_mm else 0.0
    joint_length = cut.length if levels.joint_length_mm is None else levels.joint_length_mm
    joint_l = joint_length * levels.joint_width_mm * joint_depth / MM3_PER_LITRE
    deep = levels.surface_depth_mm
    surface = Solid(to_road.volume_l - surround.volume_l - joint_l, round_body.area, min(deep, to_road.least_mm), deep)
    seal = Solid(joint_l, joint_length * levels.joint_width_mm, joint_depth, joint_depth)
    return {
        "bed": bed,
        "under_flange_fill": fill,
        "surround_fill": surround,
        "running_surface": surface if deep > 0.0 else EMPTY,
        "edge_seal": seal if joint_l > 0.0 else EMPTY,
    }
