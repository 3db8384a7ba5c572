"""The frame set true in its road: rim plane, corner levels, bed, and both level verdicts."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.plane import Plane, Point, Ring
from truebed.errors import NotDesignedError
from truebed.levels.rim_range import departure_range_mm
from truebed.levels.rims import middle_of
from truebed.levels.road_average import mean_share_within, rim_share_within
from truebed.levels.road_terms import road_level_mm, road_levels_mm
from truebed.levels.seat_program import mend, seat_frame
from truebed.levels.seat_question import RoadSample, SeatMend, SeatQuestion, SeatSample, edge_points, fold_crossings
from truebed.levels.setting import BedPoint, FrameSetting, RimPoint, Verdict
from truebed.levels.surface import RoadSurface
from truebed.levels.tolerance import setting_covariance

#: Rim samples no further apart than this, corners always.
RIM_SPACING_MM = 50.0


@dataclass(frozen=True, slots=True)
class SettingQuestion:
    """All that setting one frame needs.

    rim        outline of the frame's top; corners: the four named points on it
    adjacent   points of the road beside the frame over which the clause's mean is taken
    seat       chamber top at the seating's points; chamber 'estimate' or 'measured'
    band       low and high limit of departure with its source
    corners are the points that are set, each with setting_sd_mm
    more_rim   points of the iron's top inside the outline that must lie true as well (the joint of a triangular pair)
    fall_least_ratio  least fall of the rim towards fall_towards (a unit vector in plan); None: no rule asks one
    """

    road: RoadSurface
    rim: Ring
    corners: tuple[tuple[str, Point], ...]
    adjacent: tuple[Point, ...]
    seat: tuple[SeatSample, ...]
    chamber_top: Plane
    chamber: str
    frame_depth_mm: float
    bed_least_mm: float
    bed_most_mm: float
    band_low_mm: float
    band_high_mm: float
    band_source: str
    setting_sd_mm: float
    more_rim: tuple[Point, ...] = ()
    fall_least_ratio: float | None = None
    fall_towards: Point = (0.0, -1.0)

    @property
    def set_down_mm(self) -> float:
        """How far below the road the target lies: the middle of the band, furthest from both its limits [mm]."""
        return -(self.band_low_mm + self.band_high_mm) / 2.0

    @property
    def half_band_mm(self) -> float:
        """Half the width of the band [mm]."""
        return (self.band_high_mm - self.band_low_mm) / 2.0

    @property
    def bed_text(self) -> str:
        """The bed's limits in words."""
        return f"{self.bed_least_mm:g} to {self.bed_most_mm:g} mm"


def rim_samples(question: SettingQuestion) -> tuple[RoadSample, ...]:
    """The road along the rim: named corners first, then points along the sides.

    Valid       rim within the ring of readings
    Source      algebra
    Proved by   tests/levels/test_frame_setting.py
    """
    named = {point: f"lids' joint {i}" for i, point in enumerate(question.more_rim, start=1)}
    named |= {point: name for name, point in question.corners}
    along = edge_points(question.rim, RIM_SPACING_MM)
    folds = fold_crossings(question.rim, question.road.model, question.road.ridge_mm)
    more = (*along, *folds, *question.more_rim)
    corners = {point for _, point in question.corners}
    points = tuple(p for _, p in question.corners) + tuple(p for p in more if p not in corners)
    levels = road_levels_mm(question.road, np.array([p[0] for p in points]), np.array([p[1] for p in points]))
    return tuple(
        RoadSample(named.get(p) or f"rim {i}", p[0], p[1], z)
        for i, (p, z) in enumerate(zip(points, levels.tolist(), strict=True))
    )


def span_text(low_mm: float, high_mm: float) -> str:
    """A span in whole mm that lies inside the exact one; with a decimal where no whole mm does.

    Valid       low <= high
    Source      house (wording)
    Proved by   tests/levels/test_frame_setting.py
    """
    low, high = math.ceil(low_mm - 1e-6), math.floor(high_mm + 1e-6)
    return f"{low} to {high}" if low <= high else f"{low_mm:.1f} to {high_mm:.1f}"


def cannot_sit(
    found: SeatMend, greatest_mm: float | None, half_band_mm: float, bed: str, free_mm: float = 0.0
) -> NotDesignedError:
    """The refusal of a frame that cannot sit, with what would mend it.

    free_mm     departure that the road's own shape leaves, without bed limits

    Valid       the mend of the same question
    Source      house (wording)
    Proved by   tests/levels/test_frame_setting.py
    """
    out = (
        f"With the bed held to {bed} the frame would be {greatest_mm - half_band_mm:.1f} mm out of tolerance."
        if greatest_mm is not None
        else f"No level or tilt of the frame keeps the bed within {bed}."
    )
    if greatest_mm is not None and free_mm > half_band_mm:
        out += f" The road's own shape alone holds it {free_mm - half_band_mm:.1f} mm out."
    low, high = found.raise_least_mm, found.raise_most_mm
    if low is None or high is None:
        beyond = (
            "" if found.relax_mm is None else f": each side is {found.relax_mm:.0f} mm beyond what the bed can take up"
        )
        return NotDesignedError(
            f"{out} The chamber top is tilted against the road: even raising does not help.",
            f"Re-shape the chamber top{beyond}; cut the high side and build up the low side, then measure again.",
        )
    if low > 0.0:
        return NotDesignedError(
            out, f"Raise the chamber top by {span_text(low, high)} mm all over (raising units or courses)."
        )
    return NotDesignedError(
        out,
        f"Take the chamber top down by {span_text(-high, -low)} mm all over (a course off, or cut), "
        "or use a frame that much shallower.",
    )


def seat_question(question: SettingQuestion, samples: tuple[RoadSample, ...] | None = None) -> SeatQuestion:
    """The bare programme of a frame's setting: samples of the road round the rim, the seat, the limits.

    samples     as of rim_samples; None: taken here

    Valid       as set_frame
    Source      house (assembly)
    Proved by   tests/levels/test_frame_setting.py
    """
    return SeatQuestion(
        rim_samples(question) if samples is None else samples,
        question.seat,
        question.set_down_mm,
        question.half_band_mm,
        question.frame_depth_mm,
        question.bed_least_mm,
        question.bed_most_mm,
        question.fall_least_ratio,
        question.fall_towards,
    )


def set_frame(question: SettingQuestion) -> FrameSetting:
    """Where the rigid frame sits best, with both verdicts.

    Drainage has a band below the road: the target is the middle of the band, as of any band. A frame that the road's
    own shape holds out of the rim tolerance is still set, at its best, and its rim verdict fails; one that only the
    bed's limits hold out is refused with what would mend it.

    Valid       Gaussian reading and setting errors
    Source      [cheney] (from memory) for the fit; bands from the rule set
    Raises      NotDesignedError where the bed's limits leave no place for the frame
    Proved by   tests/levels/test_frame_setting.py, tests/oracles/test_chebyshev.py
    """
    samples = rim_samples(question)
    asked = seat_question(question, samples)
    answer = seat_frame(asked)
    half_band = question.half_band_mm
    if answer is None:
        raise cannot_sit(mend(asked), None, half_band, question.bed_text)
    if answer.greatest_mm > max(half_band, answer.free_mm + 1e-6):
        raise cannot_sit(mend(asked), answer.greatest_mm, half_band, question.bed_text, answer.free_mm)
    return setting_at(question, answer.rim, samples, bed_governs=answer.greatest_mm > answer.free_mm + 1e-6)


def setting_at(
    question: SettingQuestion, rim: Plane, samples: tuple[RoadSample, ...], *, bed_governs: bool
) -> FrameSetting:
    """All that follows from a rim plane: departures, bed and both verdicts.

    samples     as of rim_samples

    Valid       any plane, the best or not
    Source      algebra
    Proved by   tests/levels/test_frame_setting.py
    """
    set_down = question.set_down_mm
    levels = [rim.at(s.x_mm, s.y_mm) for s in samples]
    rim_points = tuple(
        RimPoint(s.name, s.x_mm, s.y_mm, level, s.road_mm, level - s.road_mm)
        for s, level in zip(samples, levels, strict=True)
    )
    bed = bed_points(question, rim)
    worst = max(rim_points, key=lambda p: abs(p.departure_mm + set_down))
    return FrameSetting(
        rim=rim,
        chamber_top=question.chamber_top,
        chamber=question.chamber,
        set_down_mm=set_down,
        greatest_departure_mm=abs(worst.departure_mm + set_down),
        greatest_at=worst.name,
        corners=rim_points[: len(question.corners)],
        rim_points=rim_points,
        bed=bed,
        bed_least_mm=min(p.bed_mm for p in bed),
        bed_most_mm=max(p.bed_mm for p in bed),
        bed_limit_least_mm=question.bed_least_mm,
        bed_limit_most_mm=question.bed_most_mm,
        bed_governs=bed_governs,
        clause=clause_verdict(question, rim),
        rim_verdict=rim_verdict(question, rim),
    )


@lru_cache(maxsize=16)
def _set_covariance(corners: tuple[tuple[str, Point], ...], setting_sd_mm: float) -> NDArray[np.float64]:
    return setting_covariance(tuple(p for _, p in corners), setting_sd_mm)


def bed_points(question: SettingQuestion, rim: Plane) -> tuple[BedPoint, ...]:
    """Underside, chamber top and bed at each seat sample.

    Valid       the rim plane of the same question
    Source      algebra
    Proved by   tests/levels/test_frame_setting.py
    """
    points = []
    for seat in question.seat:
        under = rim.at(seat.x_mm, seat.y_mm) - question.frame_depth_mm
        points.append(
            BedPoint(seat.name, seat.x_mm, seat.y_mm, under, seat.chamber_top_mm, under - seat.chamber_top_mm)
        )
    return tuple(points)


def rim_verdict(question: SettingQuestion, rim: Plane) -> Verdict:
    """The stricter verdict: every point of the rim within the band, with its probability.

    value_mm is the departure nearest to (or furthest beyond) a limit, between the samples too. The probability is
    averaged over every road that the readings allow; a dome is invisible to a single ring of readings and is not in it.

    Valid       Gaussian errors
    Source      house: two level verdicts; band from the rule set
    Proved by   tests/levels/test_frame_setting.py
    """
    # the outline is looked at whole; besides it only the points inside it count
    at = question.more_rim
    least, most = departure_range_mm(question.road, question.rim, rim, at)
    over_low, over_high = question.band_low_mm - least, most - question.band_high_mm
    probability = rim_share_within(
        question.road,
        at,
        question.rim,
        rim,
        _set_covariance(question.corners, question.setting_sd_mm),
        question.band_low_mm,
        question.band_high_mm,
    )
    return Verdict(
        "rim",
        most if over_high >= over_low else least,
        question.band_low_mm,
        question.band_high_mm,
        max(over_low, over_high) <= 1e-6,
        probability,
        question.band_source,
    )


def clause_verdict(question: SettingQuestion, rim: Plane) -> Verdict:
    """The clause's verdict: the frame's mean level against the mean of the adjacent road.

    Valid       Gaussian errors; adjacent points within the readings' reach
    Source      rule set (fixed feature against the mean level of the immediately adjacent surface)
    Proved by   tests/levels/test_frame_setting.py
    """
    x, y = np.array([p[0] for p in question.adjacent]), np.array([p[1] for p in question.adjacent])
    road_mean = float(np.mean(road_levels_mm(question.road, x, y)))
    middle = middle_of(question.rim)
    rim_mean = rim.at(*middle)
    weights = np.array([1.0, *middle])
    covariance = _set_covariance(question.corners, question.setting_sd_mm)
    rim_sd = float(weights @ covariance @ weights) ** 0.5
    value = rim_mean - road_mean
    return Verdict(
        "clause",
        value,
        question.band_low_mm,
        question.band_high_mm,
        question.band_low_mm - 1e-6 <= value <= question.band_high_mm + 1e-6,
        mean_share_within(
            question.road, question.adjacent, rim_mean, rim_sd, question.band_low_mm, question.band_high_mm
        ),
        question.band_source,
    )


def centre_level_mm(road: RoadSurface) -> float:
    """The road at the frame's centre, as if there were no frame [mm].

    Valid       readings surround the frame
    Source      algebra
    Proved by   tests/levels/test_frame_setting.py
    """
    return road_level_mm(road, 0.0, 0.0)
