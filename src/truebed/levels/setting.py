"""The frame's setting as a value: the rim plane, levels and bed at each corner, and the verdicts."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.chamber.plane import Plane


@dataclass(frozen=True, slots=True)
class RimPoint:
    """A point of the rim: the rim's level, the road's there, departure = rim - road (positive: proud)."""

    name: str
    x_mm: float
    y_mm: float
    rim_mm: float
    road_mm: float
    departure_mm: float


@dataclass(frozen=True, slots=True)
class BedPoint:
    """A point of the seating: underside of flange, chamber top, bed between them."""

    name: str
    x_mm: float
    y_mm: float
    underside_mm: float
    chamber_top_mm: float
    bed_mm: float


@dataclass(frozen=True, slots=True)
class Verdict:
    """A level verdict: 'clause' (mean adjacent level) or 'rim' (every point), its value against its band.

    probability  that the set frame truly conforms, given reading and setting error, averaged over every road shape
                 that the readings allow; a dome (or dish) under a single ring of readings is invisible and not in it
    """

    name: str
    value_mm: float
    band_low_mm: float
    band_high_mm: float
    passes: bool
    probability: float | None
    source: str


@dataclass(frozen=True, slots=True)
class FrameSetting:
    """Where a rigid frame sits best.

    rim            plane of the rim (top of the frame)
    set_down_mm    how far below the road the target lies (covers 0; drainage the middle of its band)
    greatest_departure_mm  from the target, the Chebyshev optimum
    corners        four named corners (rectangle) or four quarter points (round): 'front-left' ... as the crew sees
                   them looking along the traffic; rim_points: all points checked
    bed            bed at the seating's corners, or at measured chamber points
    chamber        'estimate' or 'measured'
    """

    rim: Plane
    chamber_top: Plane
    chamber: str
    set_down_mm: float
    greatest_departure_mm: float
    greatest_at: str
    corners: tuple[RimPoint, ...]
    rim_points: tuple[RimPoint, ...]
    bed: tuple[BedPoint, ...]
    bed_least_mm: float
    bed_most_mm: float
    bed_limit_least_mm: float
    bed_limit_most_mm: float
    bed_governs: bool
    clause: Verdict
    rim_verdict: Verdict
