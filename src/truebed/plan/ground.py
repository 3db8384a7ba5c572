"""The ground of one cover: road, cut-out, frame setting, solids, what the wheel asks."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, get_coordinates
from shapely.geometry.base import BaseGeometry

from truebed.chamber.cut import cut_out
from truebed.chamber.dome import mean_square_mm2
from truebed.chamber.outlines import CutOut, Outlines
from truebed.chamber.plane import Plane, Ring
from truebed.chamber.sensitivity import level_covariance, litre_rates
from truebed.chamber.shapes import common_region, joint_region, polygon
from truebed.chamber.solids import Levels, Solid, role_solids
from truebed.chamber.surface import Surface
from truebed.errors import NotDesignedError
from truebed.given.cover import Cover
from truebed.levels.booking import Spot, Survey, reduce_survey
from truebed.levels.frame_setting import centre_level_mm
from truebed.levels.hanging import hanging_levels
from truebed.levels.road_fit import fit_road
from truebed.levels.road_rules import road_rules, survey_rules
from truebed.levels.road_terms import FOLDED, error_terms, road_levels_mm
from truebed.levels.seat_question import edge_points, fold_crossings
from truebed.levels.setting import FrameSetting
from truebed.levels.surface import RoadSurface
from truebed.levels.tolerance import setting_covariance
from truebed.mixing.takeoff import NINETY_PERCENT_SD_RATIO, LitreErrors
from truebed.plan.case import Case
from truebed.plan.chamber_top import ChamberTop, chamber_top
from truebed.plan.cutting import Margins, cut_question, margins_of
from truebed.plan.outline import outlines_of, plane_of_road, ring_for
from truebed.plan.seating import Seated, seated
from truebed.plan.wheel import BedWheel, bed_wheel
from truebed.rules.ruleset import RuleSet

Array = NDArray[np.float64]

#: Room for rounding where a seat is exactly as wide as asked [mm].
HAIR_MM = 1e-6
#: A strip round an outline of right angles or blunter reaches no further than so many times its width.
SHARPEST_RATIO = 1.5
#: Points along the cut's edge no further apart than this.
EDGE_SPACING_MM = 50.0


@dataclass(frozen=True, slots=True)
class Ground:
    """What the ground of a cover comes to.

    rim_sd_mm, road_sd_mm  error of the rim's mean level as set, and of the road's at the centre
    margins    what the cut's margins rest on; seat: the question and answer of the setting
    edge_low_mm, edge_high_mm  laid surface less road along the cut's edge, least and greatest
    """

    spots: tuple[Spot, ...]
    survey: Survey
    road: RoadSurface
    road_plane: Plane
    top: ChamberTop
    margins: Margins
    seat: Seated
    outlines: Outlines
    cut: CutOut
    setting: FrameSetting
    levels: Levels
    solids: dict[str, Solid]
    wheel: BedWheel | None
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


def rim_errors_mm(ground: Ground, setting_sd_mm: float) -> tuple[float, tuple[float, ...]]:
    """The road's greatest error round the rim (one standard deviation), and at each rim point the half-width that holds
    its true departure nine times in ten, from the fit's error and that of setting [mm].

    Valid       Gaussian errors; a fold's place counted to first order
    Source      algebra (propagation of covariance)
    Proved by   tests/plan/test_ground.py
    """
    points, road = ground.setting.rim_points, ground.road
    x, y = np.array([p.x_mm for p in points]), np.array([p.y_mm for p in points])
    terms = error_terms(road.model, x, y, road.ridge_mm, road.coefficients)
    of_road = np.einsum("ij,jk,ik->i", terms, np.array(road.covariance), terms)
    set_at = tuple((c.x_mm, c.y_mm) for c in ground.setting.corners)
    plane = np.column_stack([np.ones_like(x), x, y])
    of_setting = np.einsum("ij,jk,ik->i", plane, setting_covariance(set_at, setting_sd_mm), plane)
    both = NINETY_PERCENT_SD_RATIO * np.sqrt(of_road + of_setting)
    return float(np.sqrt(of_road.max())), tuple(float(v) for v in both)


def _clear_of(foot: BaseGeometry, hollow: BaseGeometry, room_mm: float) -> bool:
    """Whether a hollow lies so far inside every side of a convex foot; False where that is not plain to see."""
    if not isinstance(foot, Polygon):
        return False
    corners = get_coordinates(foot.exterior)
    side = np.diff(corners, axis=0)
    turn = 1.0 if foot.exterior.is_ccw else -1.0
    inward = turn * np.column_stack([-side[:, 1], side[:, 0]]) / np.hypot(side[:, 0], side[:, 1])[:, None]
    least = (inward @ get_coordinates(hollow).T).min(axis=1) - np.einsum("ij,ij->i", inward, corners[:-1])
    return bool(least.min() >= room_mm)


def refuse_without_seat(case: Case, outlines: Outlines) -> None:
    """Refuse a frame whose flange does not stand on the chamber's wall all round, by the rule's least width.

    Valid       outlines of the same cover
    Source      rule set value seat_width_least_mm (nought where the set has none: then only an empty seat is refused)
    Raises      NotDesignedError with what is missing
    Proved by   tests/plan/test_ground.py
    """
    rule = case.rules.find("seat_width_least_mm", *case.words())
    least = rule.value if rule is not None and not isinstance(rule.value, str) else 0.0
    hollow = joint_region(outlines.chamber, outlines.opening)
    foot = common_region(outlines.flange, outlines.wall)
    if _clear_of(foot, hollow, max(least, 0.1) * SHARPEST_RATIO):
        return
    if not foot.covers(hollow) or foot.boundary.distance(hollow) < max(least, 0.1) - HAIR_MM:
        raise NotDesignedError(
            f"The flange has no seat of {least:g} mm on the chamber's wall all round: the chamber's hollow or the "
            "clear opening reaches too far out.",
            "Measure flange, chamber and wall again; else rebuild the chamber top or use a frame with a wider flange.",
        )


def road_of(case: Case) -> tuple[Survey, RoadSurface]:
    """A case's readings reduced, and the road fitted to them.

    Valid       a cover that passed the works folder's checks
    Source      see truebed.levels.booking and truebed.levels.road_fit
    Raises      NotDesignedError with reason and mend
    Proved by   tests/plan/test_ground.py
    """
    survey = reduce_survey(case.readings, survey_rules(case.rules, *case.words()))
    return survey, road_under(case.cover, survey, case.rules)


def road_under(cover: Cover, survey: Survey, rules: RuleSet) -> RoadSurface:
    """The road fitted to a cover's reduced readings.

    Valid       a survey of the same cover
    Source      see truebed.levels.road_fit
    Raises      NotDesignedError with reason and mend
    Proved by   tests/plan/test_ground.py
    """
    words = (cover.kind, cover.place, cover.load_class)
    spots, errors = survey.on("road")
    kerbs, _ = survey.on("kerb")
    rim = edge_points(ring_for(cover.body, cover.turn_deg), EDGE_SPACING_MM)
    try:
        return fit_road(
            spots,
            rules.number("reading_sd_mm", *words),
            rules.number("false_alarm_share", *words),
            rim,
            errors=errors,
            rules=road_rules(rules, *words),
            kerbs=kerbs,
        )
    except NotDesignedError as refused:
        if cover.kerb_side == "none" or "surround" not in refused.reason:
            raise
        raise NotDesignedError(
            refused.reason,
            "Beyond a kerb there is no road: read points in the channel close to the kerb, beside the frame.",
        ) from None


def as_surface(road: RoadSurface, outlines: Outlines) -> Surface | None:
    """The fitted road as a height to integrate under; None where it is a plane.

    A full quadratic's dome is taken as the level that keeps the litres beside the frame.

    Valid       the models of truebed.levels.road_terms
    Source      algebra
    Proved by   tests/plan/test_ground.py
    """
    c = road.coefficients
    if road.model == "plane and twist":
        return Surface(c[0], c[1], c[2], twist_per_mm=c[3])
    if road.model == "five terms":
        return Surface(c[0], c[1], c[2], twist_per_mm=c[3], saddle_per_mm=c[4])
    if road.model == "full quadratic":
        return Surface(c[0] + c[5] * mean_square_mm2(outlines), c[1], c[2], twist_per_mm=c[3], saddle_per_mm=c[4])
    if road.model in FOLDED:
        along = road.model == "two planes along"
        return Surface(c[0], c[1], c[2], fold_ratio=c[3], fold_mm=road.ridge_mm, fold_along=along)
    return None


def levels_of(
    case: Case, road: RoadSurface, plane: Plane, top: ChamberTop, rim: Plane, cut: CutOut, outlines: Outlines
) -> Levels:
    """The heights and depths that bound the layers.

    Valid       parts of one case
    Source      the method's layers; algebra
    Proved by   tests/plan/test_ground.py
    """
    layers, cover = case.method.layers, case.cover
    sawn = tuple(i for i, side in enumerate(cut.sides) if side.kind == "sawn") if cut.sides else None
    return Levels(
        rim=rim,
        road=plane,
        chamber_top=top.plane,
        floor=top.plane.raised(-layers.floor_below_mm),
        frame_depth_mm=cover.frame_depth_mm,
        flange_thick_mm=cover.flange_thick_mm,
        over_flange_mm=layers.over_flange_mm,
        surface_depth_mm=layers.surface_depth_mm,
        joint_width_mm=layers.joint_width_mm,
        joint_depth_mm=layers.joint_depth_mm,
        joint_sides=sawn,
        road_surface=as_surface(road, outlines),
        top_points=top.points,
    )


#: Where each coefficient of a model (and its fold's place) stands among a surface's parameters; a dome counts as level.
PARAMETERS_OF: dict[str, tuple[int, ...]] = {
    "plane": (0, 1, 2),
    "plane and twist": (0, 1, 2, 3),
    "five terms": (0, 1, 2, 3, 4),
    "two planes along": (0, 1, 2, 5, 6),
    "two planes across": (0, 1, 2, 5, 6),
    "full quadratic": (0, 1, 2, 3, 4, 0),
}


def road_covariance(road: RoadSurface, outlines: Outlines) -> Array:
    """The covariance of the road's level, slopes, twist, saddle, fold and fold's place; nought where it has none.

    Valid       a fitted road
    Source      algebra (a full quadratic's dome as the level that keeps the litres beside the frame)
    Proved by   tests/plan/test_ground.py
    """
    places = PARAMETERS_OF[road.model]
    share = np.zeros((7, len(places)))
    share[places, range(len(places))] = 1.0
    if road.model == "full quadratic":
        share[0, 5] = mean_square_mm2(outlines)
    covariance: Array = share @ np.array(road.covariance)[: len(places), : len(places)] @ share.T
    return covariance


def litre_errors(case: Case, ground: Ground) -> LitreErrors:
    """How the litres of a ground follow its levels, and how wrong these are.

    The frame is set to levels, so its own error is that of setting; the chamber top errs evenly; the floor is dug
    down from the chamber top.

    Valid       a ground of the same case
    Source      rule set values setting_sd_mm, chamber_top_sd_mm; the road's fit
    Proved by   tests/plan/test_ground.py
    """
    corners = tuple(p for _, p in ground.seat.question.corners)
    rim = setting_covariance(corners, case.rules.number("setting_sd_mm", *case.words()))
    sd_mm = 0.0 if ground.top.sd_mm is None else ground.top.sd_mm
    covariance = level_covariance(
        rim, road_covariance(ground.road, ground.outlines), np.diag([sd_mm**2, 0.0, 0.0]), None
    )
    return LitreErrors(litre_rates(ground.outlines, ground.levels), covariance)


def known_spots(survey: Survey, road: RoadSurface) -> tuple[Spot, ...]:
    """Every point with a level: those reduced, and those under lines without levels, hung on the fitted road.

    Valid       the road fitted to the same survey
    Source      see truebed.levels.hanging
    Proved by   tests/plan/test_ground.py
    """
    known = tuple(s for s, line in zip(survey.spots, survey.errors.lines, strict=True) if not line)
    return (*known, *hanging_levels(survey, road))


def ground_of(case: Case, surveyed: tuple[Survey, RoadSurface] | None = None) -> Ground:
    """Road, cut-out, setting and solids of one cover, and what the wheel asks of its bed.

    surveyed    as set_ground
    Valid       a cover that passed the works folder's checks
    Source      see set_ground and truebed.plan.wheel
    Raises      NotDesignedError with reason and mend
    Proved by   tests/plan/test_ground.py, tests/whole_job/test_demo_plan.py
    """
    ground = set_ground(case, surveyed)
    return replace(ground, wheel=bed_wheel(case, ground.setting.bed_most_mm))


def set_ground(case: Case, surveyed: tuple[Survey, RoadSurface] | None = None) -> Ground:
    """Road, cut-out, setting and solids of one cover; the wheel is not asked.

    surveyed    its readings and road where they were worked out before; None: worked out here
    Valid       a cover that passed the works folder's checks
    Source      see the rooms levels and chamber
    Raises      NotDesignedError with reason and mend
    Proved by   tests/plan/test_ground.py, tests/whole_job/test_demo_plan.py
    """
    cover, rules, words = case.cover, case.rules, case.words()
    survey, road = road_of(case) if surveyed is None else surveyed
    top = chamber_top(cover, road, rules, case.measured)
    margins = margins_of(case)
    floor_mm = top.plane.level_mm - case.method.layers.floor_below_mm
    surround_mm = centre_level_mm(road) - top.plane.level_mm - case.method.layers.surface_depth_mm
    cut = cut_out(cut_question(case, margins, centre_level_mm(road) - floor_mm, max(0.0, surround_mm)))
    outlines = outlines_of(cover, cut.ring, turn_deg=cover.turn_deg, round_cut_mm=cut.diameter_mm)
    refuse_without_seat(case, outlines)
    seat = seated(case, road, top, outlines)
    if road.model == "plane":
        plane = Plane(*road.coefficients)
    else:
        plane = plane_of_road(road, polygon(outlines.cut).difference(polygon(outlines.body)))
    levels = levels_of(case, road, plane, top, seat.setting.rim, cut, outlines)
    edge = edge_departures_mm(road, plane, cut.ring)
    return Ground(
        spots=known_spots(survey, road),
        survey=survey,
        road=road,
        road_plane=plane,
        top=top,
        margins=margins,
        outlines=outlines,
        cut=cut,
        seat=seat,
        setting=seat.setting,
        levels=levels,
        solids=role_solids(outlines, levels),
        wheel=None,
        edge_low_mm=edge[0],
        edge_high_mm=edge[1],
        rim_sd_mm=rules.number("setting_sd_mm", *words) / 2.0,
        road_sd_mm=road_sd_at_mm(road, 0.0, 0.0),
    )
