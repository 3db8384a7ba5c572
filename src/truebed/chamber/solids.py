"""Exact volumes between surfaces over outlines, by role."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from truebed.chamber.curved import ring_pieces
from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Plane, Ring
from truebed.chamber.shapes import polygon
from truebed.chamber.surface import Surface

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

    joint_length_mm  of the joint: the sawn edge; None: all round, the strip exact at its corners
    rim           top of frame; road: the road over the cut-out; chamber_top: under the bed; floor: of the dig
    road_surface  the road itself where it is no plane; stands in the place of `road`
    top_points    measured points of the chamber top (x, y, level in mm), plane between neighbours; none: the plane
    packers       outlines of packers that stay under the flange; they take the bed's place
    joint_sides   which sides of the cut's ring are sawn and get the joint (0: from its first point to its second)
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
    road_surface: Surface | None = None
    top_points: tuple[tuple[float, float, float], ...] = ()
    packers: tuple[Ring, ...] = ()
    joint_sides: tuple[int, ...] | None = None


EMPTY = Solid(0.0, 0.0, 0.0, 0.0)


def _parts(region: BaseGeometry) -> tuple[Polygon, ...]:
    if isinstance(region, Polygon):
        return (region,) if region.area > 0.0 else ()
    if isinstance(region, MultiPolygon):
        return tuple(part for part in region.geoms if part.area > 0.0)
    return tuple(p for g in getattr(region, "geoms", ()) for p in _parts(g))


def between(region: BaseGeometry, thickness: Plane) -> Solid:
    """The solid of a linear thickness over a region, nothing where the thickness is negative.

    Where it is positive all over, its volume is area times the thickness at the centroid; else the boundary's
    integral of its positive part, which needs no clipping.

    Valid       any region of polygons, holes and all
    Source      algebra (prismatoid; Green); exact for polygons
    Proved by   tests/chamber/test_solids.py, tests/oracles/test_solids_by_booleans.py,
                tests/oracles/test_volumes_by_fractions.py
    """
    parts = _parts(region)
    if not parts:
        return EMPTY
    rings = [ring for part in parts for ring in (part.exterior, *part.interiors)]
    heights = [thickness.at(x, y) for ring in rings for x, y in ring.coords]
    least, most = float(min(heights)), float(max(heights))
    volume_mm3 = 0.0
    if least >= 0.0:
        volume_mm3 = sum(part.area * thickness.at(part.centroid.x, part.centroid.y) for part in parts)
    elif most > 0.0:
        volume_mm3 = _clipped_mm3(parts, thickness)
    return Solid(float(volume_mm3) / MM3_PER_LITRE, float(region.area), least, most)


def _clipped_mm3(parts: tuple[Polygon, ...], thickness: Plane) -> float:
    from truebed.chamber.integral_kernel import VOLUME, wet_integrals

    rings = [(part.exterior, 1.0) for part in parts] + [(hole, -1.0) for part in parts for hole in part.interiors]
    loops = [(ring_pieces(tuple((x, y) for x, y in ring.coords[:-1])), sign) for ring, sign in rings]
    signs = np.concatenate([np.full(len(pieces), sign) for pieces, sign in loops])
    height = np.array((thickness.level_mm, thickness.slope_x_ratio, thickness.slope_y_ratio, 0.0, 0.0))
    return float(wet_integrals(np.vstack([pieces for pieces, _ in loops]), signs, height)[VOLUME])


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

    Thicknesses are over the role's own plan; a negative least thickness says that surfaces cross. The opening and the
    chamber's hollow are kept free.

    Valid       surfaces over outlines of one cover; joint within the running surface's plan
    Source      house: section and its roles; algebra
    Proved by   tests/chamber/test_solids.py, tests/chamber/test_roles.py, tests/oracles/test_solids_by_booleans.py
    """
    from truebed.chamber.roles import layers_of

    layers = layers_of(outlines, levels)
    deep = levels.surface_depth_mm
    joint, round_body = layers["joint"], layers["to road"]
    joint_l = joint.volume_l
    litres = round_body.volume_l - layers["surround"].volume_l - joint_l
    surface = Solid(litres, round_body.area_mm2, min(deep, round_body.least_mm), deep)
    return {
        "bed": layers["bed"],
        "under_flange_fill": layers["fill"],
        "surround_fill": layers["surround"],
        "running_surface": surface if deep > 0.0 else EMPTY,
        "edge_seal": joint if joint_l > 0.0 else EMPTY,
    }
