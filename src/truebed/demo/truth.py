"""What is true at each cover of the invented town: the road, the chamber top, the misreading."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from truebed.chamber.plane import Plane

#: A twist is stated as the rise it gives at x = y = this far out.
TWIST_REACH_MM = 500.0

Layout = Literal["twelve", "ten", "kerb", "two rings"]


@dataclass(frozen=True, slots=True)
class PlaneRoad:
    """A road that is a plane around the cover."""

    level_mm: float
    along_ratio: float
    across_ratio: float


@dataclass(frozen=True, slots=True)
class TwistRoad:
    """A plane and a twist: twist_mm is what the twist adds at x = y = 500 mm."""

    level_mm: float
    along_ratio: float
    across_ratio: float
    twist_mm: float


@dataclass(frozen=True, slots=True)
class CrownRoad:
    """Two planes that meet in a ridge along the traffic at y = ridge_mm; both falls are downward ratios."""

    level_mm: float
    along_ratio: float
    left_fall_ratio: float
    right_fall_ratio: float
    ridge_mm: float


Road = PlaneRoad | TwistRoad | CrownRoad


@dataclass(frozen=True, slots=True)
class Misreading:
    """The one gross reading of a cover: booked value minus what was there."""

    point: str
    off_mm: float
    cause: str


@dataclass(frozen=True, slots=True)
class Staff:
    """Staff booking: the set-ups and what the staff on the bench mark truly reads in each.

    change_level_mm   of two stands: the level of the change point between them; None: each stand reads the bench mark
    closes_off_mm     what the closing reading on the bench mark is off
    """

    set_ups: tuple[str, ...]
    bench_mark_mm: tuple[float, ...]
    change_level_mm: float | None = None
    closes_off_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class CoverTruth:
    """The truth behind one row of covers.csv and its readings.

    chamber_top   the sound chamber top as the crew will find it after the lift; covers.csv holds only the estimate
    old_frame     top of the failed frame as it sits now
    reading_sd_mm the error of one reading that the demo adds
    trick         what is hard about this cover; outcome: what should come out
    """

    cover: str
    road: Road
    chamber_top: Plane
    old_frame: Plane
    reading_sd_mm: float
    layout: Layout
    trick: str
    outcome: str
    misreading: Misreading | None = None
    staff: Staff | None = None


def road_level_mm(road: Road, x_mm: float, y_mm: float) -> float:
    """The true road at a point, above the cover's zero.

    Valid       any point
    Source      algebra
    Proved by   tests/demo/test_truth.py
    """
    level_mm = road.level_mm + road.along_ratio * x_mm
    if isinstance(road, CrownRoad):
        aside_mm = y_mm - road.ridge_mm
        fall_ratio = road.left_fall_ratio if aside_mm > 0.0 else road.right_fall_ratio
        return level_mm - fall_ratio * (aside_mm if aside_mm > 0.0 else -aside_mm)
    level_mm += road.across_ratio * y_mm
    if isinstance(road, TwistRoad):
        level_mm += road.twist_mm * (x_mm / TWIST_REACH_MM) * (y_mm / TWIST_REACH_MM)
    return level_mm


def chamber_depth_mm(truth: CoverTruth) -> float:
    """The true depth from the road down to the chamber top at the frame's centre.

    Valid       any cover of the demo
    Source      algebra
    Proved by   tests/demo/test_truth.py
    """
    return road_level_mm(truth.road, 0.0, 0.0) - truth.chamber_top.at(0.0, 0.0)
