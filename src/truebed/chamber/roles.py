"""Which region each role stands on and between which surfaces: one table, measured on rings or on true shapes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol

from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from truebed.chamber.curved import Section
from truebed.chamber.joint import inset_pieces, joint_strip
from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Plane
from truebed.chamber.shapes import polygon
from truebed.chamber.solids import EMPTY, MM3_PER_LITRE, Levels, Solid, between, seating, together
from truebed.chamber.surface import Facets, less, plane_facets, raised, surface_facets, triangle_facets


@dataclass(frozen=True, slots=True)
class Surfaces:
    """The surfaces that bound the layers, as facets."""

    under: Facets
    flange_top: Facets
    fill_top: Facets
    road: Facets
    top: Facets
    floor: Facets


#: Whose level a bounding surface hangs on.
Bound = Literal["rim", "road", "top", "floor"]


@dataclass(frozen=True, slots=True)
class Term:
    """One solid of a layer: a region, the two surfaces between which it stands, and whose errors those have."""

    region: str
    upper: Facets
    lower: Facets
    upper_of: Bound
    lower_of: Bound


class Measure(Protocol):
    """Gives the solid of a thickness over a named region."""

    def __call__(self, region: str, thickness: Facets) -> Solid: ...


def surfaces_of(levels: Levels) -> Surfaces:
    """The bounding surfaces of a cover's layers.

    Valid       any levels
    Source      house: section and its roles
    Proved by   tests/chamber/test_roles.py
    """
    under = plane_facets(levels.rim.raised(-levels.frame_depth_mm))
    flange_top = raised(under, levels.flange_thick_mm)
    road = plane_facets(levels.road) if levels.road_surface is None else surface_facets(levels.road_surface)
    top = plane_facets(levels.chamber_top)
    if levels.top_points:
        top = triangle_facets(levels.top_points, levels.chamber_top)
    fill_top = raised(flange_top, levels.over_flange_mm)
    return Surfaces(under, flange_top, fill_top, road, top, plane_facets(levels.floor))


def terms_of(levels: Levels, surfaces: Surfaces) -> dict[str, tuple[Term, ...]]:
    """The solids of each layer; 'to road' is surround and running surface together, joint included.

    Valid       surfaces of the same levels
    Source      house: section and its roles
    Proved by   tests/chamber/test_roles.py
    """
    s = surfaces
    return {
        "bed": (Term("seat", s.under, s.top, "rim", "top"),),
        "fill": (
            Term("flange off the wall", s.under, s.floor, "rim", "floor"),
            Term("trench on the wall", s.fill_top, s.top, "rim", "top"),
            Term("trench off the wall", s.fill_top, s.floor, "rim", "floor"),
            Term("flange beside the body", s.fill_top, s.flange_top, "rim", "rim"),
        ),
        "surround": (Term("round the body", raised(s.road, -levels.surface_depth_mm), s.fill_top, "road", "rim"),),
        "to road": (Term("round the body", s.road, s.fill_top, "road", "rim"),),
    }


def plain(outlines: Outlines, levels: Levels) -> bool:
    """Whether planes over rings are all there is: then shapely's regions are enough.

    Valid       outlines and levels of one cover
    Source      house
    Proved by   tests/chamber/test_roles.py
    """
    return outlines.shapes is None and levels.road_surface is None and not levels.top_points


def ring_measure(outlines: Outlines, levels: Levels) -> Measure:
    """Solids of planes over regions of the outlines' rings.

    Valid       plane facets without bounds
    Source      algebra
    Proved by   tests/oracles/test_solids_by_booleans.py
    """
    flange, body = polygon(outlines.flange), polygon(outlines.body)
    wall, cut, chamber = polygon(outlines.wall), polygon(outlines.cut), polygon(outlines.chamber)
    hollow = polygon(outlines.opening).union(chamber)
    trench = cut.difference(flange).difference(chamber)
    seat = seating(outlines)
    packed = unary_union([polygon(p) for p in levels.packers])
    regions: dict[str, BaseGeometry] = {
        "seat": seat.difference(packed) if levels.packers else seat,
        "flange off the wall": flange.difference(wall).difference(hollow),
        "trench on the wall": trench.intersection(wall),
        "trench off the wall": trench.difference(wall),
        "flange beside the body": flange.difference(body),
        "round the body": cut.difference(body),
    }
    if wants_strip(levels):
        regions["joint"] = joint_strip(outlines.cut, levels).difference(body)

    def measure(region: str, thickness: Facets) -> Solid:
        level, slope_x, slope_y, _, _ = thickness[0].height
        return between(regions[region], Plane(level, slope_x, slope_y))

    return measure


def shape_measure(section: Section) -> Measure:
    """Solids of any facets over regions bounded by true arcs.

    Valid       facets that cover the outlines
    Source      see truebed.chamber.integral_kernel
    Proved by   tests/chamber/test_roles.py
    """
    from truebed.chamber.integral_kernel import AREA, LEAST, MOST, VOLUME

    def measure(region: str, thickness: Facets) -> Solid:
        found = section.integrals(region, thickness)
        solids = (
            Solid(float(w[VOLUME]) / MM3_PER_LITRE, float(w[AREA]), float(w[LEAST]), float(w[MOST])) for _, w in found
        )
        real = tuple(s for s in solids if s.area_mm2 > 0.0)
        return real[0] if len(real) == 1 else together(real)

    return measure


def section_of(outlines: Outlines, levels: Levels) -> Section:
    """The section drawn with true shapes, its packers and its joint's inner edge.

    Valid       outlines and levels of one cover
    Source      house: section and its roles
    Proved by   tests/chamber/test_roles.py
    """
    inset = inset_pieces(outlines, levels) if wants_strip(levels) else None
    return Section(outlines, levels.packers, inset)


def wants_strip(levels: Levels) -> bool:
    """Whether the joint is to be drawn as a strip; a bare length gives length times width.

    Valid       any levels
    Source      house
    Proved by   tests/chamber/test_roles.py
    """
    given = levels.joint_length_mm is None or levels.joint_sides is not None
    return given and joint_depth_mm(levels) > 0.0 and levels.joint_width_mm > 0.0


def joint_depth_mm(levels: Levels) -> float:
    """Depth of the joint: no deeper than the running surface.

    Valid       any levels
    Source      house
    Proved by   tests/chamber/test_roles.py
    """
    return min(levels.joint_depth_mm, levels.surface_depth_mm)


def joint_of(measure: Measure, levels: Levels, surfaces: Surfaces) -> Solid:
    """The joint's solid: from the road down by its depth over its strip; less where the layer is thinner than that.

    Valid       joint within the running surface's plan
    Source      algebra
    Proved by   tests/chamber/test_roles.py
    """
    depth = joint_depth_mm(levels)
    if depth <= 0.0 or levels.joint_width_mm <= 0.0:
        return EMPTY
    if not wants_strip(levels):
        plan = (levels.joint_length_mm or 0.0) * levels.joint_width_mm
        return Solid(plan * depth / MM3_PER_LITRE, plan, depth, depth)
    whole = measure("joint", less(surfaces.road, surfaces.fill_top))
    below = measure("joint", less(raised(surfaces.road, -depth), surfaces.fill_top))
    return Solid(whole.volume_l - below.volume_l, whole.area_mm2, min(depth, whole.least_mm), min(depth, whole.most_mm))


def layers_of(outlines: Outlines, levels: Levels) -> dict[str, Solid]:
    """The solids of bed, fill, surround, 'to road' (surround, running surface and joint together) and joint.

    Valid       outlines and levels of one cover
    Source      house: section and its roles
    Proved by   tests/chamber/test_roles.py, tests/oracles/test_solids_by_booleans.py
    """
    surfaces = surfaces_of(levels)
    measure = ring_measure(outlines, levels) if plain(outlines, levels) else shape_measure(section_of(outlines, levels))
    layers = {
        name: together(tuple(measure(t.region, less(t.upper, t.lower)) for t in terms))
        for name, terms in terms_of(levels, surfaces).items()
    }
    return {**layers, "joint": joint_of(measure, levels, surfaces)}
