"""The chamber's top: an estimate before the frame is lifted, a plane through measured points after."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from truebed.chamber.plane import Plane, Ring
from truebed.chamber.shapes import polygon
from truebed.errors import NotDesignedError
from truebed.given.cover import Cover
from truebed.levels.frame_setting import centre_level_mm
from truebed.levels.least_squares import carries
from truebed.levels.road_fit import WIDEST_GAP_DEG, widest_gap_deg
from truebed.levels.seat_question import SeatSample
from truebed.levels.surface import RoadSurface
from truebed.plan.outline import ring_for
from truebed.rules.ruleset import RuleSet

#: How far a measured point may lie off the wall top as drawn: a hand's breadth, since chambers are not true.
ON_THE_WALL_MM = 80.0


@dataclass(frozen=True, slots=True)
class MeasuredTop:
    """A chamber top as recorded at the hold point: points (x_mm, y_mm, level_mm), by whom, when, in which event."""

    points: tuple[tuple[float, float, float], ...]
    author: str
    at: str
    event: str


@dataclass(frozen=True, slots=True)
class ChamberTop:
    """The plane used, its error [mm] (None: unknown), how it is known, and how rough measured points are.

    worst            which measured point is furthest off the plane, in words
    off_estimate_mm  how far the measured centre lies above the estimate (None: not measured)
    """

    plane: Plane
    sd_mm: float | None
    known: str
    rough_mm: float
    points: tuple[tuple[float, float, float], ...]
    worst: str = ""
    off_estimate_mm: float | None = None


def refuse_off_the_wall(cover: Cover, measured: MeasuredTop) -> None:
    """Refuse points that do not lie on the chamber's wall top: over its hollow, or outside the wall.

    Valid       points in the cover's own axes
    Source      house: a slip of axes or units must not order a rebuild
    Raises      NotDesignedError naming the points
    Proved by   tests/plan/test_chamber_top.py
    """
    from shapely.geometry import Point

    hollow = polygon(ring_for(cover.chamber, cover.turn_deg)).buffer(-ON_THE_WALL_MM)
    wall = polygon(ring_for(cover.chamber, cover.turn_deg, cover.wall_mm)).buffer(ON_THE_WALL_MM)
    places = [(i, Point(x, y)) for i, (x, y, _) in enumerate(measured.points, start=1)]
    off = [str(i) for i, p in places if hollow.covers(p) or not wall.covers(p)]
    if off:
        raise NotDesignedError(
            f"Measured points {', '.join(off)} do not lie on the chamber's wall top.",
            "Measure on the wall top, in the cover's own axes from the frame's centre, in mm; withdraw the record and "
            "record it again.",
        )


def chamber_top(cover: Cover, road: RoadSurface, rules: RuleSet, measured: MeasuredTop | None) -> ChamberTop:
    """The chamber top under a cover.

    Estimate: level, chamber_depth_mm below the road at the frame's centre, its error from the rule set (unknown where
    the set does not say). Measured: least-squares plane through the points; its error is that at the flange's corners,
    where it is greatest, from their scatter and the reading error.

    Valid       measured: three points or more on the wall top, not in line
    Source      house: the chamber top is not known before the frame is lifted
    Raises      NotDesignedError where measured points are in line or do not surround the opening
    Proved by   tests/plan/test_chamber_top.py
    """
    if measured is None:
        level = centre_level_mm(road) - cover.chamber_depth_mm
        rule = rules.find("chamber_top_sd_mm", cover.kind, cover.place, cover.load_class)
        sd = rule.value if rule is not None and not isinstance(rule.value, str) else None
        return ChamberTop(Plane(level, 0.0, 0.0), sd, "estimate", 0.0, ())
    table = np.array([[1.0, x, y] for x, y, _ in measured.points])
    levels = np.array([z for _, _, z in measured.points])
    if not carries(table):
        raise NotDesignedError(
            "The measured points of the chamber top lie in line.", "Measure points all round the chamber top again."
        )
    refuse_off_the_wall(cover, measured)
    gap = widest_gap_deg(table[:, 1], table[:, 2])
    if gap > WIDEST_GAP_DEG:
        raise NotDesignedError(
            f"The measured points of the chamber top leave a gap of {gap:.0f} degrees (at most {WIDEST_GAP_DEG:g}).",
            "Measure points all round the chamber top.",
        )
    answer = np.linalg.lstsq(table, levels, rcond=None)[0]
    residual = levels - table @ answer
    rough = float(np.sqrt(np.sum(residual**2) / (len(levels) - 3)))
    reading = rules.number("reading_sd_mm", cover.kind, cover.place, cover.load_class)
    worst = int(np.argmax(np.abs(residual)))
    named = f"point {worst + 1} at x {table[worst, 1]:.0f}, y {table[worst, 2]:.0f} is {residual[worst]:+.0f} mm off it"
    estimate = centre_level_mm(road) - cover.chamber_depth_mm
    a, b = cover.flange.along_mm / 2.0, cover.flange.across_mm / 2.0
    far = np.array([[1.0, sx * a, sy * b] for sx in (-1.0, 1.0) for sy in (-1.0, 1.0)])
    spread = np.einsum("ij,jk,ik->i", far, np.linalg.inv(table.T @ table), far)
    sd = math.hypot(rough, reading) * math.sqrt(float(np.max(spread)))
    return ChamberTop(
        Plane(float(answer[0]), float(answer[1]), float(answer[2])),
        sd,
        "measured",
        rough,
        measured.points,
        named,
        float(answer[0]) - estimate,
    )


def seat_samples(top: ChamberTop, seating_corners: Ring, flange: Ring) -> tuple[SeatSample, ...]:
    """Where the bed's limits are held: the seating's corners on the plane, and each measured point under the flange.

    Valid       linear thickness between corners
    Source      algebra (a linear thickness is extreme at corners)
    Proved by   tests/plan/test_chamber_top.py
    """
    corners = tuple(SeatSample(f"seat {i + 1}", x, y, top.plane.at(x, y)) for i, (x, y) in enumerate(seating_corners))
    from shapely.geometry import Point

    under = polygon(flange)
    measured = tuple(
        SeatSample(f"measured {i + 1}", x, y, z) for i, (x, y, z) in enumerate(top.points) if under.covers(Point(x, y))
    )
    return corners + measured
