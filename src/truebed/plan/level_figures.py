"""Why the rim is where it is: readings, road, chamber top, bed limits, and the figures of levels and verdicts."""

from __future__ import annotations

import math

import numpy as np

from truebed.levels.frame_setting import rim_samples, seat_question
from truebed.levels.seat_program import governors
from truebed.levels.setting import BedPoint, RimPoint, Verdict
from truebed.levels.tolerance import setting_covariance
from truebed.plan.case import Case
from truebed.plan.ground import Ground, road_sd_at_mm
from truebed.plan.result import CoverDesign
from truebed.why import Figure, Why

NINETY = 1.645
#: How many of the readings that move the setting most are told.
PULLS_TOLD_COUNT = 3
Named = list[tuple[str, Figure]]


def rule_cite(case: Case) -> str:
    """Where the reading error comes from.

    Valid       a rule set with reading_sd_mm
    Source      rule set
    Proved by   tests/plan/test_cover_figures.py
    """
    rule = case.rules.find("reading_sd_mm")
    return "" if rule is None else rule.cite()


def set_sd_at_mm(case: Case, ground: Ground, x_mm: float, y_mm: float) -> float:
    """Error of the set rim at a point, one standard deviation, from errors of the points that are set [mm].

    Valid       a setting of the same ground; of a frame in parts, as of one plane through all its points
    Source      algebra (least squares of a plane on the set points); rule set value setting_sd_mm
    Proved by   tests/plan/test_cover_figures.py
    """
    at = np.array([1.0, x_mm, y_mm])
    points = tuple((c.x_mm, c.y_mm) for c in ground.setting.corners)
    covariance = setting_covariance(points, case.rules.number("setting_sd_mm", *case.words()))
    return float(np.sqrt(at @ covariance @ at))


def slope_words(slope_ratio: float) -> str:
    """A slope in mm/m, without a minus before nought.

    Valid       any slope
    Source      house (wording)
    Proved by   tests/plan/test_cover_figures.py
    """
    return f"{round(1000.0 * slope_ratio, 2) + 0.0:+.2f} mm/m"


def reading_whys(ground: Ground) -> tuple[Why, ...]:
    """The readings behind the road's fit, used ones with their residuals, gross ones named.

    Valid       a ground with its road
    Source      readings.csv
    Proved by   tests/plan/test_cover_figures.py
    """
    gross = {g.row: g for g in ground.road.gross}
    return tuple(
        Why(
            f"reading {p.point} at x {p.x_mm:.0f}, y {p.y_mm:.0f}",
            round(p.level_mm, 3),
            "mm",
            "not used: gross, " + gross[p.row].likely_cause
            if p.row in gross
            else f"used; fit misses it by {p.residual_mm:+.1f} mm",
            f"readings.csv row {p.row}",
        )
        for p in ground.road.points
    )


def shape_whys(ground: Ground) -> tuple[Why, ...]:
    """The shapes of road that were tried, each with the error to which it foretells left-out readings.

    Valid       a ground with its road
    Source      leave-one-out
    Proved by   tests/plan/test_cover_figures.py
    """
    return tuple(
        Why(
            f"shape tried: {one.model}",
            "not carried" if one.loo_mm is None else round(one.loo_mm, 3),
            "" if one.loo_mm is None else "mm",
            "taken" if one.taken else one.why,
            "leave-one-out",
        )
        for one in ground.road.tried
    )


def road_why(case: Case, ground: Ground) -> Why:
    """Why the road's surface is what it is.

    Valid       a ground with its road
    Source      [baarda-1968], [rousseeuw-1984] (from memory); leave-one-out
    Proved by   tests/plan/test_cover_figures.py
    """
    road = ground.road
    return Why(
        "the road's surface",
        road.model,
        "",
        f"least squares on the readings kept; of the candidates this one foretells left-out readings to "
        f"{road.loo_mm:.2f} mm; gross readings by the w-test",
        "[baarda-1968], [rousseeuw-1984] (from memory); leave-one-out",
        (
            Why("reading error, one standard deviation", road.reading_sd_mm, "mm", "rule set", rule_cite(case)),
            *shape_whys(ground),
            *reading_whys(ground),
        ),
    )


def bed_limit_why(case: Case, design: CoverDesign) -> Why:
    """The bed's limits as the sheet gives them.

    Valid       a method with a bed
    Source      the bed's sheet
    Proved by   tests/plan/test_cover_figures.py
    """
    bed = case.sheet_for("bed")
    setting = design.setting
    return Why(
        "bed thickness limits",
        f"{setting.bed_limit_least_mm:g} to {setting.bed_limit_most_mm:g}",
        "mm",
        "limits of the bedding material",
        f"{bed.file}: limits" if bed is not None else "",
    )


def top_why(case: Case, ground: Ground) -> Why:
    """Where the chamber top comes from.

    Valid       a ground with its chamber top
    Source      covers.csv, or the record
    Proved by   tests/plan/test_cover_figures.py
    """
    top = ground.top
    if top.known == "measured" and case.measured is not None:
        inputs = tuple(
            Why(f"chamber top at x {x:.0f}, y {y:.0f}", z, "mm", "as recorded", f"journal event {case.measured.event}")
            for x, y, z in top.points
        )
        relation = f"least-squares plane through the recorded points; they scatter {top.rough_mm:.1f} mm about it"
        return Why("chamber top at the centre", top.plane.level_mm, "mm", relation, "algebra", inputs)
    road_level = top.plane.level_mm + case.cover.chamber_depth_mm
    return Why(
        "chamber top at the centre (estimate, level)",
        top.plane.level_mm,
        "mm",
        "road at the centre - chamber_depth_mm",
        f"covers.csv row {case.cover.row}",
        (
            Why(
                "road at the centre", road_level, "mm", "fitted road at x 0, y 0", "algebra", (road_why(case, ground),)
            ),
            Why("chamber depth", case.cover.chamber_depth_mm, "mm", "as surveyed", f"covers.csv row {case.cover.row}"),
        ),
    )


#: A limit of the setting's programme in words.
HELD_WORDS = {
    "rim above": "the rim there stands above its target by the greatest departure",
    "rim below": "the rim there lies below its target by the greatest departure",
    "bed greatest": "the bed there is at its greatest",
    "bed least": "the bed there is at its least",
    "fall": "the least fall asked",
    "held": "a further limit",
}


def governor_whys(ground: Ground) -> tuple[Why, ...]:
    """The limits that hold the rim where it is, heaviest first; () of a frame in parts.

    Their weights prove that no plane does better (docs/theory/ground.md).

    Valid       a setting of the same ground
    Source      algebra (multipliers of the linear programme)
    Proved by   tests/plan/test_cover_figures.py
    """
    if ground.seat.parts is not None:
        return ()
    asked = seat_question(ground.seat.question, rim_samples(ground.seat.question))
    return tuple(
        Why(
            f"holds the frame: {g.name}",
            round(g.weight_ratio, 3),
            "mm per mm",
            f"{HELD_WORDS[g.kind]}; by so much the greatest departure falls for each mm that it gives way",
            "algebra (multiplier of the linear programme)",
        )
        for g in governors(asked)
    )


def pull_whys(design: CoverDesign) -> tuple[Why, ...]:
    """The readings that move the setting most.

    Valid       a design with its site aids
    Source      algebra (gain of the fit through the setting)
    Proved by   tests/plan/test_cover_figures.py
    """
    if design.aids is None:
        return ()
    return tuple(
        Why(
            f"reading that moves a corner much: {pull.point}",
            round(pull.most_ratio, 3),
            "mm per mm",
            f"1 mm more there moves the greatest departure by {pull.greatest_ratio:+.2f} mm",
            f"readings.csv row {pull.row}",
        )
        for pull in design.aids.pulls[:PULLS_TOLD_COUNT]
    )


def rim_why(case: Case, ground: Ground, design: CoverDesign) -> Why:
    """Why the rim's plane is where it is.

    Valid       a setting of the same ground
    Source      [cheney] (from memory)
    Proved by   tests/plan/test_cover_figures.py
    """
    setting = ground.setting
    rim = setting.rim
    room_mm = setting.rim_verdict.band_high_mm + setting.set_down_mm - setting.greatest_departure_mm
    governed = (
        f"bed limits {setting.bed_limit_least_mm:g} to {setting.bed_limit_most_mm:g} mm; {room_mm:.2f} mm of the level "
        "band are left"
        if setting.bed_governs
        else f"the road round the rim (worst at {setting.greatest_at})"
    )
    return Why(
        "rim plane",
        f"{rim.level_mm:.2f} mm at the centre, {slope_words(rim.slope_x_ratio)} along, "
        f"{slope_words(rim.slope_y_ratio)} across",
        "",
        "least greatest departure from road less set-down round the rim, bed within limits at every seat corner",
        "[cheney] Chebyshev fit by linear programme (from memory)",
        (
            Why("set-down", setting.set_down_mm, "mm", "middle of the tolerance band", setting.rim_verdict.source),
            road_why(case, ground),
            bed_limit_why(case, design),
            top_why(case, ground),
            *governor_whys(ground),
            *pull_whys(design),
        ),
        governed,
        None if setting.bed_governs else room_mm,
    )


def level_figures(case: Case, ground: Ground, design: CoverDesign) -> Named:
    """Levels, road, departure at each corner; the greatest departure; bed least and most; verdicts.

    Valid       a setting of the same ground
    Source      see each figure
    Proved by   tests/plan/test_cover_figures.py
    """
    name, setting = case.cover.cover, ground.setting
    rim = rim_why(case, ground, design)
    worst = next(p for p in setting.rim_points if p.name == setting.greatest_at)
    set_sd = set_sd_at_mm(case, ground, worst.x_mm, worst.y_mm)
    spread = NINETY * math.hypot(road_sd_at_mm(ground.road, worst.x_mm, worst.y_mm), set_sd)
    found: Named = []
    for corner in setting.corners:
        found += corner_figures(case, ground, corner, rim)
    found.append(
        (
            f"{name}.departure.greatest",
            Figure(
                setting.greatest_departure_mm,
                "mm",
                Why(
                    f"greatest departure from target, at {setting.greatest_at}",
                    setting.greatest_departure_mm,
                    "mm",
                    "max over the rim of |rim - (road - set-down)|",
                    "algebra",
                    (rim,),
                ),
                spread,
            ),
        )
    )
    for label, value in (("least", setting.bed_least_mm), ("most", setting.bed_most_mm)):
        found.append((f"{name}.bed.{label}", bed_figure(case, ground, label, value, rim)))
    for verdict in (setting.clause, setting.rim_verdict):
        found += verdict_figures(name, verdict, rim)
    return found


def corner_figures(case: Case, ground: Ground, corner: RimPoint, rim: Why) -> Named:
    """The three figures of one corner, each with its own error: the fit's at that corner, and for the departure also
    the setting's there.

    Valid       a corner of the setting
    Source      algebra
    Proved by   tests/plan/test_cover_figures.py
    """
    name, road = case.cover.cover, road_why(case, ground)
    fit_sd = road_sd_at_mm(ground.road, corner.x_mm, corner.y_mm)
    set_sd = set_sd_at_mm(case, ground, corner.x_mm, corner.y_mm)
    spread_mm, departure_mm = NINETY * fit_sd, NINETY * math.hypot(fit_sd, set_sd)
    place = f"x {corner.x_mm:.0f}, y {corner.y_mm:.0f}"
    level = Why(
        f"level to set at {corner.name} ({place})", corner.rim_mm, "mm", "rim plane at the corner", "algebra", (rim,)
    )
    road_level = Why(f"road at {corner.name}", corner.road_mm, "mm", "fitted road at the corner", "algebra", (road,))
    departure = Why(
        f"departure at {corner.name}", corner.departure_mm, "mm", "rim - road", "algebra", (level, road_level)
    )
    return [
        (f"{name}.level.{corner.name}", Figure(corner.rim_mm, "mm", level, spread_mm)),
        (f"{name}.road.{corner.name}", Figure(corner.road_mm, "mm", road_level, spread_mm)),
        (f"{name}.departure.{corner.name}", Figure(corner.departure_mm, "mm", departure, departure_mm)),
    ]


def bed_figure(case: Case, ground: Ground, label: str, value_mm: float, rim: Why) -> Figure:
    """The bed's least or greatest thickness.

    Valid       a setting of the same ground
    Source      algebra
    Proved by   tests/plan/test_cover_figures.py
    """
    setting = ground.setting
    point: BedPoint = min(setting.bed, key=lambda p: p.bed_mm if label == "least" else -p.bed_mm)
    margin = value_mm - setting.bed_limit_least_mm if label == "least" else setting.bed_limit_most_mm - value_mm
    why = Why(
        f"{label} bed, at {point.name} (x {point.x_mm:.0f}, y {point.y_mm:.0f})",
        value_mm,
        "mm",
        "rim - frame depth - chamber top",
        "algebra",
        (
            rim,
            Why("frame depth", case.cover.frame_depth_mm, "mm", "as surveyed", f"covers.csv row {case.cover.row}"),
            top_why(case, ground),
        ),
        f"{setting.bed_limit_least_mm:g} to {setting.bed_limit_most_mm:g} mm",
        margin,
    )
    sd, set_sd = ground.top.sd_mm, set_sd_at_mm(case, ground, point.x_mm, point.y_mm)
    # the frame is set to levels: the road's error does not move it, so it is not in the bed's
    spread = None if sd is None else NINETY * math.hypot(sd, set_sd)
    return Figure(value_mm, "mm", why, spread)


def verdict_figures(name: str, verdict: Verdict, rim: Why) -> Named:
    """A verdict's value and its probability.

    Valid       a verdict of the setting
    Source      rule set band
    Proved by   tests/plan/test_cover_figures.py
    """
    band = f"{verdict.band_low_mm:g} to {verdict.band_high_mm:g} mm"
    margin = min(verdict.value_mm - verdict.band_low_mm, verdict.band_high_mm - verdict.value_mm)
    relation = "mean rim level - mean adjacent road" if verdict.name == "clause" else "rim - road at the worst point"
    value = Why(f"{verdict.name} verdict", verdict.value_mm, "mm", relation, verdict.source, (rim,), band, margin)
    found: Named = [(f"{name}.verdict.{verdict.name}", Figure(verdict.value_mm, "mm", value))]
    if verdict.probability is not None:
        chance = Why(
            f"probability that the {verdict.name} verdict truly holds",
            verdict.probability,
            "probability",
            "share of the reading and setting errors that keep the departure in the band",
            "algebra",
            (value,),
        )
        found.append((f"{name}.probability.{verdict.name}", Figure(verdict.probability, "probability", chance)))
    return found
