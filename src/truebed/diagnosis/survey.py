"""All that is known of one cover before it is dug: sheet, frame readings against the road, taps, height for the bed."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from truebed.chamber.shapes import turned_point
from truebed.given.cover import Cover
from truebed.given.survey import Sounding
from truebed.given.works import Condition
from truebed.levels.booking import Spot
from truebed.levels.road_terms import error_terms, road_level_mm
from truebed.levels.surface import RoadSurface
from truebed.rules.ruleset import RuleSet
from truebed.sheets.sheet import Sheet

#: Corners as the survey sheet names them, with the sign of along and of across.
CORNERS = (("front_left", 1.0, 1.0), ("front_right", 1.0, -1.0), ("back_left", -1.0, 1.0), ("back_right", -1.0, -1.0))
#: Fewest readings on the frame that say how it lies: three carry a plane.
FEWEST_ON_FRAME = 3
#: Fewest taps on the flange whose share of hollow ones is worth a word.
FEWEST_TAPS = 4


@dataclass(frozen=True, slots=True)
class Departure:
    """One reading on the frame against the fitted road: proud +, with its error and the row it came from."""

    point: str
    x_mm: float
    y_mm: float
    off_mm: float
    error_mm: float
    row: int


@dataclass(frozen=True, slots=True)
class BedHeight:
    """What the frame set true leaves for its bed, from the estimate of the chamber top, and the sheet's limits.

    error_mm   one standard deviation; None where the rule set does not say
    """

    left_mm: float
    error_mm: float | None
    least_mm: float
    most_mm: float
    material: str


@dataclass(frozen=True, slots=True)
class Survey:
    """One cover as surveyed."""

    condition: Condition
    departures: tuple[Departure, ...] = ()
    taps_count: int = 0
    taps_hollow_count: int = 0
    bed: BedHeight | None = None


def bed_height(cover: Cover, bed: Sheet, rules: RuleSet) -> BedHeight:
    """What a frame set flush would leave for its bed, by the estimate of the chamber top.

    bed         the sheet that the cover's method uses for its bed
    Valid       before the chamber top is measured; a set-down of the frame is not taken off
    Source      algebra (depth to the chamber top less depth of the frame); rule value chamber_top_sd_mm
    Proved by   tests/diagnosis/test_survey.py
    """
    rule = rules.find("chamber_top_sd_mm", cover.kind, cover.place, cover.load_class)
    error = rule.value if rule is not None and not isinstance(rule.value, str) else None
    left = cover.chamber_depth_mm - cover.frame_depth_mm
    return BedHeight(left, error, bed.limits.thickness_least_mm, bed.limits.thickness_most_mm, bed.name)


def frame_departures(spots: tuple[Spot, ...], road: RoadSurface | None, reading_sd_mm: float) -> tuple[Departure, ...]:
    """How each reading on the frame stands to the fitted road; () without a road.

    The error is that of the reading and of the fit at that place together.

    Valid       spots and road of one cover, in the same zero
    Source      algebra (propagation of the fit's covariance)
    Proved by   tests/diagnosis/test_survey.py
    """
    if road is None:
        return ()
    covariance = np.array(road.covariance)
    found = []
    for spot in spots:
        if spot.where != "frame":
            continue
        at = np.array([spot.x_mm]), np.array([spot.y_mm])
        terms = error_terms(road.model, *at, road.ridge_mm, road.coefficients)[0]
        error = math.sqrt(reading_sd_mm**2 + max(0.0, float(terms @ covariance @ terms)))
        off = spot.level_mm - road_level_mm(road, spot.x_mm, spot.y_mm)
        found.append(Departure(spot.point, spot.x_mm, spot.y_mm, off, error, spot.row))
    return tuple(found)


def on_flange(cover: Cover, x_mm: float, y_mm: float) -> bool:
    """Whether a sounding lies on the flange, where it tells of the bed and not of the road.

    Valid       local axes; a round flange by its circle, a D by its rectangle and half circle
    Source      algebra
    Proved by   tests/diagnosis/test_survey.py
    """
    half_along, half_across = cover.flange.along_mm / 2.0, cover.flange.across_mm / 2.0
    if cover.flange.shape == "round":
        return math.hypot(x_mm, y_mm) <= half_along
    along, across = turned_point((x_mm, y_mm), -cover.turn_deg)
    nose = half_along - half_across
    if cover.flange.shape == "D" and along > nose:
        return math.hypot(along - nose, across) <= half_across
    return abs(along) <= half_along and abs(across) <= half_across


def flange_taps(cover: Cover, soundings: tuple[Sounding, ...]) -> tuple[int, int]:
    """How many taps lie on the flange, and how many of them rang hollow.

    Valid       soundings of one cover
    Source      algebra (counting)
    Proved by   tests/diagnosis/test_survey.py
    """
    taps = [s for s in soundings if s.kind == "tap" and on_flange(cover, s.x_mm, s.y_mm)]
    return len(taps), sum(1 for s in taps if s.found != "sound")


def nearest_corner(cover: Cover, x_mm: float, y_mm: float) -> str:
    """The corner of the survey sheet that a point lies nearest to, in the frame's own axes.

    Valid       any point
    Source      docs/axes-and-signs.md; house (turned with the frame)
    Proved by   tests/diagnosis/test_survey.py
    """
    along, across = turned_point((x_mm, y_mm), -cover.turn_deg)
    return ("front" if along >= 0.0 else "back") + ("_left" if across >= 0.0 else "_right")
