"""What comes out of the hole: litres and tonnes by layer, with their range, and loads where a load's size is given."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from truebed.chamber.outlines import Outlines
from truebed.chamber.shapes import polygon

MM3_PER_LITRE = 1.0e6
#: Half-width of a 90 % range in standard deviations (two-sided normal quantile).
_BAND_SD = 1.6448536269514722


@dataclass(frozen=True, slots=True)
class WasteAreas:
    """Plan areas that the waste stands on.

    beside      cut-out beyond the frame's body and off the chamber's wall: dug down to the floor
    over_wall   cut-out beyond the body, over the chamber's wall: dug down to the chamber top
    under_body  old bed under the frame's body: from the frame's underside to the chamber top
    flange      flange beyond the body: iron, not waste
    """

    beside_mm2: float
    over_wall_mm2: float
    under_body_mm2: float
    flange_mm2: float


@dataclass(frozen=True, slots=True)
class WasteDepths:
    """Depths below the road and their error (one standard deviation, of the level of what is dug to)."""

    bound_mm: float
    dig_mm: float
    chamber_mm: float
    frame_mm: float
    flange_thick_mm: float
    level_sd_mm: float


@dataclass(frozen=True, slots=True)
class WasteRules:
    """Figures of the rule set; None where it gives none: then tonnes, loose litres or loads are not told.

    bulking_ratio  loose over in place; load_l, load_kg: what one skip or van takes, loose
    """

    bound_kg_per_l: float | None = None
    unbound_kg_per_l: float | None = None
    bulking_ratio: float | None = None
    load_l: float | None = None
    load_kg: float | None = None


@dataclass(frozen=True, slots=True)
class WasteLayer:
    """One layer of the waste, in place: litres, half-width of their 90 % range, tonnes."""

    layer: str
    volume_l: float
    plus_minus_l: float
    mass_t: float | None


@dataclass(frozen=True, slots=True)
class Waste:
    """All that comes out. loose_l: as it lies in the skip; load_count: skips or vans, None without their size."""

    layers: tuple[WasteLayer, ...]
    volume_l: float
    plus_minus_l: float
    mass_t: float | None
    loose_l: float | None
    load_count: int | None


def waste_areas(outlines: Outlines, cut_area_mm2: float | None = None) -> WasteAreas:
    """The plan areas of a cover's waste.

    cut_area_mm2  the cut's own area where its ring only stands for it (a circle); None: the ring's
    Valid       body within the flange, flange within the cut
    Source      algebra
    Proved by   tests/chamber/test_waste.py
    """
    cut, wall, body = polygon(outlines.cut), polygon(outlines.wall), polygon(outlines.body)
    flange_mm2 = polygon(outlines.flange).area - body.area
    whole_mm2 = cut.area if cut_area_mm2 is None else cut_area_mm2
    walled = _common_mm2(cut, wall)
    body_over = _common_mm2(body, wall)
    hollow = polygon(outlines.opening).union(polygon(outlines.chamber))
    return WasteAreas(
        beside_mm2=whole_mm2 - body.area - (walled - body_over),
        over_wall_mm2=walled - body_over,
        under_body_mm2=body_over - _common_mm2(body, hollow),
        flange_mm2=flange_mm2,
    )


def _common_mm2(one: Polygon, other: BaseGeometry) -> float:
    return float(one.intersection(other).area)


def waste_of(areas: WasteAreas, depths: WasteDepths, rules: WasteRules) -> Waste:
    """Bound and unbound waste of a cut-out: area times depth, less the iron and the chamber.

    The range is that of the level dug to; the bound layer's own thickness is taken as cored.

    Valid       depths not negative; dig to the floor beside the wall, to the chamber top over it
    Source      algebra; densities and bulking are rule values
    Proved by   tests/chamber/test_waste.py
    """
    floor_mm, top_mm = max(0.0, depths.dig_mm), max(0.0, depths.chamber_mm)
    ring_mm2 = areas.beside_mm2 + areas.over_wall_mm2
    whole = areas.beside_mm2 * floor_mm + areas.over_wall_mm2 * top_mm
    bound = areas.beside_mm2 * min(depths.bound_mm, floor_mm) + areas.over_wall_mm2 * min(depths.bound_mm, top_mm)
    # the flange lies at the foot of the frame: its iron is taken off the layer it lies in
    top_of_flange_mm = depths.frame_mm - depths.flange_thick_mm
    in_bound_mm = min(max(depths.bound_mm - top_of_flange_mm, 0.0), depths.flange_thick_mm)
    bound -= areas.flange_mm2 * in_bound_mm
    bed_mm = max(0.0, top_mm - depths.frame_mm)
    old_bed = areas.under_body_mm2 * bed_mm
    unbound = whole - areas.flange_mm2 * depths.flange_thick_mm - bound + old_bed
    moved_mm2 = ring_mm2 + (areas.under_body_mm2 if bed_mm > 0.0 else 0.0)
    band_l = _BAND_SD * depths.level_sd_mm * moved_mm2 / MM3_PER_LITRE
    # where the dig ends in the bound layer its litres carry the error of the level
    bound_band_l = _BAND_SD * depths.level_sd_mm * _ending_in_mm2(areas, depths) / MM3_PER_LITRE
    layers = (
        _layer("bound", bound / MM3_PER_LITRE, bound_band_l, rules.bound_kg_per_l),
        _layer("unbound", unbound / MM3_PER_LITRE, band_l - bound_band_l, rules.unbound_kg_per_l),
    )
    return _together(layers, band_l, rules)


def _ending_in_mm2(areas: WasteAreas, depths: WasteDepths) -> float:
    beside = areas.beside_mm2 if depths.dig_mm <= depths.bound_mm else 0.0
    return beside + (areas.over_wall_mm2 if depths.chamber_mm <= depths.bound_mm else 0.0)


def _layer(layer: str, volume_l: float, band_l: float, density_kg_per_l: float | None) -> WasteLayer:
    mass = None if density_kg_per_l is None else volume_l * density_kg_per_l / 1000.0
    return WasteLayer(layer, volume_l, band_l, mass)


def _together(layers: tuple[WasteLayer, ...], band_l: float, rules: WasteRules) -> Waste:
    litres = sum(layer.volume_l for layer in layers)
    masses = [layer.mass_t for layer in layers]
    mass_t = None if None in masses else sum(m for m in masses if m is not None)
    loose_l = None if rules.bulking_ratio is None else litres * rules.bulking_ratio
    counts = []
    if rules.load_l is not None and loose_l is not None:
        counts.append(math.ceil(loose_l / rules.load_l - 1e-9))
    if rules.load_kg is not None and mass_t is not None:
        counts.append(math.ceil(1000.0 * mass_t / rules.load_kg - 1e-9))
    wanted = [rules.load_l, rules.load_kg].count(None)
    known = len(counts) == 2 - wanted and counts
    return Waste(layers, litres, band_l, mass_t, loose_l, max(counts) if known else None)
