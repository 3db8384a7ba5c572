"""The ground of one cover: road, cut-out, frame setting, solids, what the wheel asks."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from truebed.chamber.cut import CutQuestion, cut_out
from truebed.chamber.outlines import CutOut, Outlines
from truebed.chamber.plane import Plane, Ring
from truebed.chamber.shapes import hull_ring, polygon
from truebed.chamber.solids import Levels, Solid, role_solids, seating
from truebed.curing.wheel import WheelDemand, wheel_demand
from truebed.errors import NotDesignedError
from truebed.levels.booking import Spot, reduce_readings
from truebed.levels.frame_setting import SettingQuestion, centre_level_mm, set_frame
from truebed.levels.road_fit import fit_road
from truebed.levels.road_terms import error_terms, road_levels_mm
from truebed.levels.seat_question import edge_points, fold_crossings
from truebed.levels.setting import FrameSetting
from truebed.levels.surface import RoadSurface
from truebed.plan.case import Case
from truebed.plan.chamber_top import ChamberTop, chamber_top, seat_samples
from truebed.plan.outline import adjacent_points, corners_of, outlines_of, plane_of_road, ring_for
from truebed.rules.ruleset import RuleSet

#: Points along the cut's edge no further apart than this.
EDGE_SPACING_MM = 50.0


@dataclass(frozen=True, slots=True)
class Ground:
    """What the ground of a cover comes to.

    rim_sd_mm, road_sd_mm  error of the rim's and the road's mean level
    edge_low_mm, edge_high_mm  laid surface less road along the cut's edge, least and greatest
    """

    spots: tuple[Spot, ...]
    road: RoadSurface
    road_plane: Plane
    top: ChamberTop
    outlines: Outlines
    cut: CutOut
    setting: FrameSetting
    levels: Levels
    solids: dict[str, Solid]
    wheel: WheelDemand | None
    rim_sd_mm: float
    road_sd_mm: float
    edge_low_mm: float
    edge_high_mm: float


def edge_departures_mm(road: RoadSurface, plane: Plane, cut: Ring) -> tuple[float, float]:
    """The laid surface minus the road along the cut's edge, least and greatest [mm].

    The surface is taken as laid to the plane that its litres were worked out for; on a plane road it is flush.

    Valid       cut within the readings' reach
    Source      algebra
    Proved by   tests/plan/test_ground.py
    """
    points = (*edge_points(cut, EDGE_SPACING_MM), *fold_crossings(cut, road.model, road.ridge_mm))
    levels = road_levels_mm(road, np.array([p[0] for p in points]), np.array([p[1] for p in points]))
    off = [plane.at(x, y) - float(z) for (x, y), z in zip(points, levels, strict=True)]
    return min(off), max(off)


def road_sd_at_mm(road: RoadSurface, x_mm: float, y_mm: float) -> float:
    """Error of the fitted road at a point, one standard deviation [mm].

    Valid       Gaussian reading errors; a fold's place counted to first order
    Source      algebra (propagation of the fit's covariance)
    Proved by   tests/plan/test_ground.py
    """
    terms = error_terms(road.model, np.array([x_mm]), np.array([y_mm]), road.ridge_mm, road.coefficients)[0]
    return float(np.sqrt(terms @ np.array(road.covariance) @ terms))


def fill_width(case: Case) -> tuple[float, str]:
    """The least width that the surrounding materials need beside the flange, and whose it is.

    Valid       a method's own sheets
    Source      the sheets' limits
    Proved by   tests/plan/test_ground.py
    """
    widest, whose = 0.0, ""
    for role in case.method.roles:
        sheet = case.sheets[role.sheet]
        if role.role != "bed" and sheet.limits.least_width_mm > widest:
            widest, whose = sheet.limits.least_width_mm, sheet.name
    return widest, whose


def cut_of(case: Case, dig_depth_mm: float) -> CutOut:
    """The cut-out of a cover.

    Valid       a cover that passed the works folder's checks
    Source      see truebed.chamber.cut
    Raises      NotDesignedError where a kerb is in the way, or no sound margin is given
    Proved by   tests/plan/test_ground.py
    """
    cover = case.cover
    if cover.sound_margin_mm is None:
        raise NotDesignedError("covers.csv gives no sound margin.", "Write sound_margin_mm, as tapped and probed.")
    width, whose = fill_width(case)
    return cut_out(
        CutQuestion(
            cover.flange.along_mm,
            cover.flange.across_mm,
            cover.turn_deg,
            cover.sound_margin_mm,
            width,
            whose,
            cover.kerb_side,
            cover.kerb_mm,
            cover.bound_depth_mm,
            dig_depth_mm,
            case.blade_mm,
            cover.flange.shape,
        )
    )


def band_of(rules: RuleSet, words: tuple[str, ...]) -> tuple[float, float, str]:
    """The tolerance band of a fixed feature against the road and its citation.

    Valid       a rule set that gives both limits
    Source      rule set values fixed_feature_low_mm, fixed_feature_high_mm
    Raises      NotDesignedError where the rule set gives none
    Proved by   tests/plan/test_ground.py
    """
    low, high = rules.find("fixed_feature_low_mm", *words), rules.find("fixed_feature_high_mm", *words)
    if low is None or high is None or isinstance(low.value, str) or isinstance(high.value, str):
        raise NotDesignedError(
            f"The rule set '{rules.key}' gives no level tolerance for a {words[0]}.",
            "Add fixed_feature_low_mm and fixed_feature_high_mm to your rule set.",
        )
    return low.value, high.value, low.cite()


def refuse_without_seat(case: Case, outlines: Outlines) -> None:
    """Refuse a frame whose flange does not stand on the chamber's wall all round, by the rule's least width.

    Valid       outlines of the same cover
    Source      rule set value seat_width_least_mm (nought where the set has none: then only an empty seat is refused)
    Raises      NotDesignedError with what is missing
    Proved by   tests/plan/test_ground.py
    """
    rule = case.rules.find("seat_width_least_mm", *case.words())
    least = rule.value if rule is not None and not isinstance(rule.value, str) else 0.0
    hollow = polygon(outlines.opening).union(polygon(outlines.chamber))
    foot = polygon(outlines.flange).intersection(polygon(outlines.wall))
    inner = hollow.buffer(max(least, 0.1), join_style="mitre")
    if not foot.covers(inner):
        raise NotDesignedError(
            f"The flange has no seat of {least:g} mm on the chamber's wall all round: the chamber's hollow or the "
            "clear opening reaches too far out.",
            "Measure flange, chamber and wall again; else rebuild the chamber top or use a frame with a wider flange.",
        )


def setting_of(case: Case, road: RoadSurface, top: ChamberTop, outlines: Outlines, seat_ring: Ring) -> FrameSetting:
    """The frame's setting for a case.

    Valid       outlines of the same cover
    Source      see truebed.levels.frame_setting
    Raises      NotDesignedError where the bed's limits leave no place
    Proved by   tests/plan/test_ground.py
    """
    cover, rules = case.cover, case.rules
    bed = case.sheet_for("bed")
    if bed is None:
        raise NotDesignedError(f"The method {case.method.key} has no bed.", "Give the method a role 'bed'.")
    low, high, source = band_of(rules, case.words())
    return set_frame(
        SettingQuestion(
            road=road,
            rim=outlines.body,
            corners=corners_of(cover),
            adjacent=adjacent_points(outlines.body, rules.number("adjacent_window_mm")),
            seat=seat_samples(top, seat_ring, outlines.flange),
            chamber_top=top.plane,
            chamber=top.known,
            frame_depth_mm=cover.frame_depth_mm,
            bed_least_mm=bed.limits.thickness_least_mm,
            bed_most_mm=bed.limits.thickness_most_mm,
            band_low_mm=low,
            band_high_mm=high,
            band_source=source,
            setting_sd_mm=rules.number("setting_sd_mm"),
        )
    )


def wheel_of(case: Case) -> WheelDemand | None:
    """What the rule set's wheel asks of the bed, None where the rule set has no wheel for this place.

    Valid       the seating as the only bearing role counted (on the safe side)
    Source      rule set value wheel_load_kn
    Proved by   tests/plan/test_ground.py
    """
    rule = case.rules.find("wheel_load_kn", *case.words())
    if rule is None or isinstance(rule.value, str):
        return None
    cover = case.cover
    straight = outlines_of(cover, ring_for(cover.flange, 0.0, 1.0), turn_deg=0.0)
    try:
        return wheel_demand(
            seating(straight),
            rule.value,
            cover.opening.along_mm / 2.0,
            cover.opening.across_mm / 2.0,
            round_opening=cover.opening.shape == "round",
        )
    except ValueError:
        raise NotDesignedError(
            "The frame would tip under a wheel at the edge of its opening: its seat does not reach round the load.",
            "Measure flange, chamber and wall again, or use a frame with a wider flange.",
        ) from None


def ground_of(case: Case) -> Ground:
    """Road, cut-out, setting and solids of one cover.

    Valid       a cover that passed the works folder's checks
    Source      see the rooms levels and chamber
    Raises      NotDesignedError with reason and mend
    Proved by   tests/plan/test_ground.py, tests/whole_job/test_demo_plan.py
    """
    cover, rules = case.cover, case.rules
    spots = reduce_readings(case.readings)
    on_road = tuple(s for s in spots if s.where == "road")
    rim = edge_points(ring_for(cover.body, cover.turn_deg), EDGE_SPACING_MM)
    reading_sd = rules.number("reading_sd_mm", *case.words())
    try:
        road = fit_road(on_road, reading_sd, rules.number("false_alarm_share"), rim)
    except NotDesignedError as refused:
        if cover.kerb_side == "none" or "surround" not in refused.reason:
            raise
        raise NotDesignedError(
            refused.reason,
            "Beyond a kerb there is no road: read points in the channel close to the kerb, beside the frame.",
        ) from None
    top = chamber_top(cover, road, rules, case.measured)
    floor = top.plane.raised(-case.method.layers.floor_below_mm)
    dig_depth = centre_level_mm(road) - floor.at(0.0, 0.0)
    cut = cut_of(case, dig_depth)
    outlines = outlines_of(cover, cut.ring, turn_deg=cover.turn_deg)
    refuse_without_seat(case, outlines)
    foot = polygon(outlines.flange).intersection(polygon(outlines.wall))
    setting = setting_of(case, road, top, outlines, hull_ring(foot))
    road_plane = plane_of_road(road, polygon(outlines.cut).difference(polygon(outlines.body)))
    layers = case.method.layers
    levels = Levels(
        rim=setting.rim,
        road=road_plane,
        chamber_top=top.plane,
        floor=floor,
        frame_depth_mm=cover.frame_depth_mm,
        flange_thick_mm=cover.flange_thick_mm,
        over_flange_mm=layers.over_flange_mm,
        surface_depth_mm=layers.surface_depth_mm,
        joint_width_mm=layers.joint_width_mm,
        joint_depth_mm=layers.joint_depth_mm,
        joint_length_mm=1000.0 * cut.saw_length_m,
    )
    road_sd = road_sd_at_mm(road, 0.0, 0.0)
    edge = edge_departures_mm(road, road_plane, cut.ring)
    return Ground(
        spots=spots,
        road=road,
        road_plane=road_plane,
        top=top,
        outlines=outlines,
        cut=cut,
        setting=setting,
        levels=levels,
        solids=role_solids(outlines, levels),
        wheel=wheel_of(case),
        edge_low_mm=edge[0],
        edge_high_mm=edge[1],
        rim_sd_mm=math.hypot(road_sd, rules.number("setting_sd_mm") / 2.0),
        road_sd_mm=road_sd,
    )
