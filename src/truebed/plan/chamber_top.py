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
from truebed.levels.seat_question import SeatSample
from truebed.levels.surface import RoadSurface
from truebed.rules.ruleset import RuleSet


@dataclass(frozen=True, slots=True)
class MeasuredTop:
    """A chamber top as recorded at the hold point: points (x_mm, y_mm, level_mm), by whom, when, in which event."""

    points: tuple[tuple[float, float, float], ...]
    author: str
    at: str
    event: str


@dataclass(frozen=True, slots=True)
class ChamberTop:
    """The plane used, its error [mm] (None: unknown), how it is known, and how rough measured points are."""

    plane: Plane
    sd_mm: float | None
    known: str
    rough_mm: float
    points: tuple[tuple[float, float, float], ...]


def chamber_top(cover: Cover, road: RoadSurface, rules: RuleSet, measured: MeasuredTop | None) -> ChamberTop:
    """The chamber top under a cover.

    Estimate: level, chamber_depth_mm below the road at the frame's centre, its error from the rule set (unknown where
    the set does not say). Measured: least-squares plane through the points, error from their scatter.

    Valid       measured: three points or more not in line
    Source      house: the chamber top is not known before the frame is lifted
    Raises      NotDesignedError where measured points are in line
    Proved by   tests/plan/test_chamber_top.py
    """
    if measured is None:
        level = centre_level_mm(road) - cover.chamber_depth_mm
        rule = rules.find("chamber_top_sd_mm", cover.kind, cover.place)
        sd = rule.value if rule is not None and not isinstance(rule.value, str) else None
        return ChamberTop(Plane(level, 0.0, 0.0), sd, "estimate", 0.0, ())
    table = np.array([[1.0, x, y] for x, y, _ in measured.points])
    levels = np.array([z for _, _, z in measured.points])
    if not carries(table):
        raise NotDesignedError(
            "The measured points of the chamber top lie in line.", "Measure points all round the chamber top again."
        )
    answer = np.linalg.lstsq(table, levels, rcond=None)[0]
    residual = levels - table @ answer
    rough = float(np.sqrt(np.sum(residual**2) / (len(levels) - 3)))
    reading = rules.number("reading_sd_mm")
    sd = math.hypot(rough, reading) / math.sqrt(len(levels))
    return ChamberTop(
        Plane(float(answer[0]), float(answer[1]), float(answer[2])), sd, "measured", rough, measured.points
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
