"""A void under one side of the frame: what the rest of the bed is asked, how the frame rocks, whether it tips."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from truebed.chamber.plane import Point, Ring
from truebed.curing.contact import Bed, Contact, bed_of, contact
from truebed.curing.tyre import Tyre, TyreDemand, load_on_iron, tyre_demand, with_own_weight

Side = Literal["front", "left", "back", "right"]

#: Clock positions as seen from above with the traffic running to 12: each side's begin and end.
SIDE_HOURS: dict[Side, tuple[float, float]] = {
    "front": (10.5, 1.5), "right": (1.5, 4.5), "back": (4.5, 7.5), "left": (7.5, 10.5),
}  # fmt: skip
#: Further than any seating reaches [mm].
FAR_MM = 1.0e5


@dataclass(frozen=True, slots=True)
class Movement:
    """How far one corner of the frame goes under the load [mm]: up is above nought."""

    x_mm: float
    y_mm: float
    up_mm: float


@dataclass(frozen=True, slots=True)
class Rock:
    """What a frame does under one load.

    corners     in the order of the ring that was asked; () where nothing is known of them
    most_up, most_down  greatest rise and fall among them, nought or more
    pivot       the edge of the supported hull that a tipping frame turns about; None where it stands
    """

    verdict: Literal["stands whole", "lifts at one side", "tips"]
    contact: Contact
    corners: tuple[Movement, ...]
    most_up_mm: float
    most_down_mm: float
    pivot: tuple[Point, Point] | None


@dataclass(frozen=True, slots=True)
class VoidDemand:
    """A seating with voids under one tyre at its worst place, beside the whole seating under the same tyre.

    loss_ratio  greatest pressure over that of the whole seating; None where the frame tips
    """

    voided: TyreDemand
    whole: TyreDemand
    void_share: float
    loss_ratio: float | None

    def stands(self) -> bool:
        """Whether the frame stands at every place of the tyre."""
        return self.voided.verdict != "tips"


def clock_wedge(from_h: float, to_h: float) -> Polygon:
    """The part of the plan between two clock positions, clockwise from the first, seen from above; 12 is along +x.

    Valid       hours 0 to 12, a span of less than 12 hours
    Source      algebra
    Raises      ValueError for a span of nought
    Proved by   tests/curing/test_void_bed.py
    """
    span_deg = (to_h - from_h) % 12.0 * 30.0
    if span_deg == 0.0:
        raise ValueError("a void from one clock position to the same one has no extent")
    count = max(2, math.ceil(span_deg / 30.0) + 1)
    turns = [math.radians(-30.0 * from_h - span_deg * i / (count - 1)) for i in range(count)]
    return Polygon([(0.0, 0.0), *((FAR_MM * math.cos(t), FAR_MM * math.sin(t)) for t in turns)])


def without_voids(
    seating: BaseGeometry,
    sides: Sequence[Side] = (),
    hours: Sequence[tuple[float, float]] = (),
    voids: Sequence[Ring] = (),
) -> BaseGeometry:
    """A seating less what is hollow under it: by sides, by clock positions, by outlines.

    Valid       a seating about the frame's centre
    Source      algebra
    Raises      ValueError where nothing is left to stand on
    Proved by   tests/curing/test_void_bed.py
    """
    left = seating
    for hollow in (
        *(clock_wedge(*SIDE_HOURS[side]) for side in sides),
        *(clock_wedge(*span) for span in hours),
        *(Polygon(ring) for ring in voids),
    ):
        left = left.difference(hollow)
    if left.area <= 1e-9 * seating.area:
        raise ValueError("the voids leave no bed to stand on")
    return left


def void_demand(seating: BaseGeometry, voided: BaseGeometry, iron: Ring, tyre: Tyre, iron_kg: float) -> VoidDemand:
    """Greatest bed pressure of a seating with voids under one tyre anywhere, and how many times the whole seating's.

    Valid       as tyre_demand; a void taken as one that never bears
    Source      algebra
    Raises      ValueError where a balance is not found
    Proved by   tests/curing/test_void_bed.py
    """
    part = tyre_demand(bed_of(voided), iron, tyre, iron_kg)
    whole = tyre_demand(bed_of(seating), iron, tyre, iron_kg)
    ratio = None
    if part.peak_n_per_mm2 is not None and whole.peak_n_per_mm2 is not None:
        ratio = part.peak_n_per_mm2 / whole.peak_n_per_mm2
    return VoidDemand(part, whole, 1.0 - voided.area / seating.area, ratio)


def rock_under(
    bed: Bed, corners: Sequence[Point], load_n: float, at_x_mm: float, at_y_mm: float, *,
    modulus_n_per_mm2: float, bed_mm: float, void_gap_mm: float | None = None,
) -> Rock:  # fmt: skip
    """How a rigid frame moves at its corners under one load, as a spring bed or, where it tips, until the void is shut.

    Where it stands, the bed gives by pressure / (modulus / thickness); a corner that goes up has lifted. Where it tips,
    it turns about the edge of the supported hull that the load passed, until its lowest corner has gone down by the
    void's gap; without a gap the movement is not known.

    Valid       small turns; bed_mm the bed's thickness
    Source      algebra; modulus: rule set value bed_modulus_n_per_mm2 (assumption)
    Raises      ValueError where a balance is not found
    Proved by   tests/curing/test_void_bed.py
    """
    found = contact(bed, load_n, at_x_mm, at_y_mm)
    if found.verdict == "tips":
        return _tipped(bed, found, corners, at_x_mm, at_y_mm, void_gap_mm)
    give_mm = bed_mm / modulus_n_per_mm2
    slope_x, slope_y = found.slopes_per_mm
    moved = tuple(Movement(x, y, -give_mm * (found.level_n_per_mm2 + slope_x * x + slope_y * y)) for x, y in corners)
    verdict: Literal["stands whole", "lifts at one side"] = (
        "stands whole" if found.verdict == "whole bed pressed" else "lifts at one side"
    )
    return _rock(verdict, found, moved, None)


def _rock(
    verdict: Literal["stands whole", "lifts at one side", "tips"],
    found: Contact,
    moved: tuple[Movement, ...],
    pivot: tuple[Point, Point] | None,
) -> Rock:
    ups = [0.0, *(corner.up_mm for corner in moved)]
    return Rock(verdict, found, moved, max(ups), -min(ups), pivot)


def _tipped(
    bed: Bed, found: Contact, corners: Sequence[Point], at_x_mm: float, at_y_mm: float, void_gap_mm: float | None
) -> Rock:
    """The frame turned about the edge of its supported hull that the load is furthest beyond."""
    ring = [(bed.x_mm + bed.size_mm * float(x), bed.y_mm + bed.size_mm * float(y)) for x, y in bed.hull]
    edges = list(zip(ring, [*ring[1:], ring[0]], strict=True))
    pivot = max(edges, key=lambda edge: _beyond_mm(edge, (at_x_mm, at_y_mm)))
    reaches = [_beyond_mm(pivot, corner) for corner in corners]
    if void_gap_mm is None or max(reaches, default=0.0) <= 0.0:
        return _rock("tips", found, (), pivot)
    turn = void_gap_mm / max(reaches)
    moved = tuple(Movement(x, y, -turn * reach) for (x, y), reach in zip(corners, reaches, strict=True))
    return _rock("tips", found, moved, pivot)


def _beyond_mm(edge: tuple[Point, Point], point: Point) -> float:
    """How far a point lies outside an edge of an anticlockwise hull; below nought inside."""
    (ax, ay), (bx, by) = edge
    return ((by - ay) * (point[0] - ax) - (bx - ax) * (point[1] - ay)) / math.hypot(bx - ax, by - ay)


def rock_as_wheel_passes(
    bed: Bed, iron: Ring, corners: Sequence[Point], tyre: Tyre, iron_kg: float, *,
    modulus_n_per_mm2: float, bed_mm: float, void_gap_mm: float | None = None, places_count: int = 41,
    also_at: Sequence[Point] = (),
) -> tuple[float | None, ...]:  # fmt: skip
    """How far each corner goes between its highest and its lowest while a tyre rolls over the frame [mm].

    The tyre rolls along x with its middle at the frame's centre and at either edge of the iron, and stands at the
    places of also_at (its worst, as a rule); None for a corner whose movement is not known because the frame tips and
    the void's gap is not given.

    Valid       as rock_under
    Source      algebra
    Raises      ValueError where a balance is not found
    Proved by   tests/curing/test_void_bed.py
    """
    reach_mm = max(abs(x) for x, _ in iron) + tyre.along_mm / 2.0
    side_mm = max(abs(y) for _, y in iron)
    steps = [reach_mm * (2.0 * i / (places_count - 1) - 1.0) for i in range(places_count)]
    ranges = [(0.0, 0.0)] * len(corners)
    for x_mm, y_mm in (*((x, y) for y in (-side_mm, 0.0, side_mm) for x in steps), *also_at):
        load = with_own_weight(load_on_iron(iron, tyre, x_mm, y_mm), iron_kg)
        if load.load_n <= 0.0:
            continue
        rock = rock_under(
            bed, corners, load.load_n, load.x_mm, load.y_mm,
            modulus_n_per_mm2=modulus_n_per_mm2, bed_mm=bed_mm, void_gap_mm=void_gap_mm,
        )  # fmt: skip
        if not rock.corners:
            return tuple(None for _ in corners)
        ranges = [(min(r[0], c.up_mm), max(r[1], c.up_mm)) for r, c in zip(ranges, rock.corners, strict=True)]
    return tuple(r[1] - r[0] for r in ranges)
