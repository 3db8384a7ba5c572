"""The frame set in its road for a case: the question, castings of one or several parts, mends from the yard."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Plane
from truebed.chamber.shapes import FAR_MM, hull_ring, polygon, turned_point
from truebed.chamber.solids import seating
from truebed.errors import NotDesignedError
from truebed.given.cover import Cover
from truebed.given.survey import YardUnit
from truebed.levels.fall import fall_towards
from truebed.levels.frame_setting import SettingQuestion
from truebed.levels.makeup import Courses
from truebed.levels.mends import FeatherRule, set_or_mend
from truebed.levels.parts import PartsSetting, set_parts, split_frame
from truebed.levels.rims import rim_points, set_points
from truebed.levels.setting import FrameSetting
from truebed.levels.surface import RoadSurface
from truebed.levels.wall_top import WallTop, seat_on, wall_top
from truebed.plan.case import Case
from truebed.plan.chamber_top import ChamberTop
from truebed.plan.cutting import number_or
from truebed.plan.outline import adjacent_points
from truebed.rules.ruleset import RuleSet


@dataclass(frozen=True, slots=True)
class Seated:
    """A set frame: question, wall top, setting; parts: of a frame of several castings (then setting sums them up)."""

    question: SettingQuestion
    top: WallTop
    setting: FrameSetting
    parts: PartsSetting | None


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


def setting_question(
    case: Case, road: RoadSurface, top: ChamberTop, wall: WallTop, outlines: Outlines
) -> SettingQuestion:
    """What setting a case's frame is asked, as of one casting.

    Valid       outlines of the same cover
    Source      house (assembly)
    Raises      NotDesignedError where the method has no bed or the rule set no band
    Proved by   tests/plan/test_ground.py
    """
    cover, rules, words = case.cover, case.rules, case.words()
    bed = case.sheet_for("bed")
    if bed is None:
        raise NotDesignedError(f"The method {case.method.key} has no bed.", "Give the method a role 'bed'.")
    low, high, source = band_of(rules, words)
    body = (cover.body.shape, cover.body.along_mm, cover.body.across_mm, cover.turn_deg)
    return SettingQuestion(
        road=road,
        rim=outlines.body,
        corners=set_points(*body),
        adjacent=adjacent_points(outlines.body, rules.number("adjacent_window_mm", *words)),
        seat=seat_on(wall, outlines.flange, outlines.wall, outlines.chamber, outlines.opening),
        chamber_top=top.plane,
        chamber=top.known,
        frame_depth_mm=cover.frame_depth_mm,
        bed_least_mm=bed.limits.thickness_least_mm,
        bed_most_mm=bed.limits.thickness_most_mm,
        band_low_mm=low,
        band_high_mm=high,
        band_source=source,
        setting_sd_mm=rules.number("setting_sd_mm", *words),
        more_rim=rim_points(*body),
        fall_least_ratio=number_or(rules, "gully_least_fall_ratio", words) if cover.kind == "gully" else None,
        fall_towards=fall_towards(road, cover.kerb_side),
    )


def courses_of(case: Case) -> Courses | None:
    """The courses that could come off, where the survey counted them and the yard says how high one is.

    Valid       any case
    Source      condition.csv, units.csv
    Proved by   tests/plan/test_seating.py
    """
    count = None if case.condition is None else case.condition.courses_count
    course = next((u for u in case.units if u.kind == "course"), None)
    return None if not count or course is None else Courses(count, course.height_mm, course.work_min)


def feather_of(case: Case) -> FeatherRule | None:
    """The ramp by which a rule lets the road be feathered to a frame, if any.

    Valid       any case
    Source      rule set value feather_most_ratio
    Proved by   tests/plan/test_seating.py
    """
    rule = case.rules.find("feather_most_ratio", *case.words())
    return None if rule is None or isinstance(rule.value, str) else FeatherRule(rule.value, rule.cite())


def units_for(case: Case) -> tuple[YardUnit, ...]:
    """The yard's units that may serve a case: no frame shallower than the rule set asks of its class and place.

    Valid       any case; whether a unit fits this chamber in plan is for people to see (units.csv, fits)
    Source      rule set value frame_depth_least_mm
    Proved by   tests/plan/test_seating.py
    """
    least_mm = number_or(case.rules, "frame_depth_least_mm", case.words())
    return tuple(u for u in case.units if u.kind != "frame" or least_mm is None or u.height_mm >= least_mm)


def set_whole(case: Case, question: SettingQuestion) -> FrameSetting:
    """A frame of one casting set; where it cannot sit the refusal carries mends from the yard.

    Valid       a question of the same case
    Source      truebed.levels.mends
    Raises      NotDesignedError with the ranked mends
    Proved by   tests/plan/test_seating.py
    """
    units = units_for(case)
    try:
        return set_or_mend(question, units, courses_of(case), feather_of(case))
    except NotDesignedError as refused:
        named = any(u.unit in refused.mend for u in units)
        look = " See first that what the yard has fits this chamber." if named else ""
        raise NotDesignedError(refused.reason, f"{refused.mend}{look}") from None


def seated(case: Case, road: RoadSurface, top: ChamberTop, outlines: Outlines) -> Seated:
    """The frame set true for a case, whole or in parts.

    Valid       outlines of the same cover
    Source      truebed.levels.frame_setting, truebed.levels.parts
    Raises      NotDesignedError with the ranked mends where the bed's limits leave no place
    Proved by   tests/plan/test_seating.py
    """
    wall = wall_top(top.points) if top.points else WallTop(top.plane)
    question = setting_question(case, road, top, wall, outlines)
    if case.cover.parts_count == 1:
        return Seated(question, wall, set_whole(case, question), None)
    rule = case.rules.find("part_step_most_mm", *case.words())
    if rule is None or isinstance(rule.value, str):
        raise NotDesignedError(
            f"The rule set '{case.rules.key}' gives no greatest step between the parts of a frame.",
            "Add part_step_most_mm to your rule set.",
        )
    body = case.cover.body
    foot = hull_ring(polygon(outlines.flange).intersection(polygon(outlines.wall)))
    parts = set_parts(
        split_frame(
            question,
            body.along_mm,
            body.across_mm,
            case.cover.turn_deg,
            case.cover.parts_count,
            wall,
            foot,
            rule.value,
            rule.cite(),
            body.shape,
        )
    )
    return Seated(question, wall, as_one(parts, seating(outlines), case.cover), parts)


def plane_through(parts: PartsSetting, seat: BaseGeometry, cover: Cover) -> Plane:
    """The plane that stands for several castings where litres are taken: least squares over the area of the seating.

    So the bed keeps its litres and their balance, which a plane through the corners would not: over a crown the seat
    lies mostly at the frame's ends.

    Valid       rectangles in a row along the frame's own x
    Source      algebra (normal equations with the area's moments)
    Proved by   tests/plan/test_seating.py
    """
    count, long_mm = len(parts.parts), cover.body.along_mm / len(parts.parts)
    table, wanted = np.zeros((3, 3)), np.zeros(3)
    for k, one in enumerate(parts.parts):
        low_mm = -FAR_MM if k == 0 else -cover.body.along_mm / 2.0 + k * long_mm
        high_mm = FAR_MM if k == count - 1 else -cover.body.along_mm / 2.0 + (k + 1) * long_mm
        strip = ((low_mm, -FAR_MM), (high_mm, -FAR_MM), (high_mm, FAR_MM), (low_mm, FAR_MM))
        piece = seat.intersection(polygon(tuple(turned_point(c, cover.turn_deg) for c in strip)))
        moments = area_moments(piece)
        table += moments
        wanted += moments @ np.array((one.rim.level_mm, one.rim.slope_x_ratio, one.rim.slope_y_ratio))
    level, along, across = np.linalg.solve(table, wanted)
    return Plane(float(level), float(along), float(across))


def area_moments(region: BaseGeometry) -> NDArray[np.float64]:
    """The integrals of (1, x, y) times (1, x, y) over a region, as a matrix.

    Valid       polygons, holes and several pieces too
    Source      algebra (three midpoints of a triangle's sides are exact for squares)
    Proved by   tests/plan/test_seating.py
    """
    from shapely import constrained_delaunay_triangles
    from shapely.geometry import mapping

    found = np.zeros((3, 3))
    for triangle in constrained_delaunay_triangles(region).geoms:
        corners = np.array(mapping(triangle)["coordinates"][0][:3])
        middles = (corners + np.roll(corners, -1, axis=0)) / 2.0
        terms = np.column_stack([np.ones(3), middles])
        found += triangle.area / 3.0 * (terms.T @ terms)
    return found


def as_one(parts: PartsSetting, seat: BaseGeometry, cover: Cover) -> FrameSetting:
    """Several castings summed up as one setting: every part's points, worst verdicts, and one plane for the litres.

    The chance that all rims hold is told by its lower bound.

    Valid       parts of one frame; seat: where the flange stands on the wall
    Source      algebra
    Proved by   tests/plan/test_seating.py
    """
    settings = parts.parts
    corners = tuple(c for s in settings for c in s.corners)
    worst = settings[parts.part - 1]
    rims = [s.rim_verdict for s in settings]
    clauses = [s.clause for s in settings]
    rim = min(rims, key=lambda v: min(v.value_mm - v.band_low_mm, v.band_high_mm - v.value_mm))
    clause = min(clauses, key=lambda v: min(v.value_mm - v.band_low_mm, v.band_high_mm - v.value_mm))
    chances = [c.probability for c in clauses if c.probability is not None]
    return replace(
        worst,
        rim=plane_through(parts, seat, cover),
        corners=corners,
        rim_points=tuple(p for s in settings for p in s.rim_points),
        bed=tuple(b for s in settings for b in s.bed),
        bed_least_mm=min(s.bed_least_mm for s in settings),
        bed_most_mm=max(s.bed_most_mm for s in settings),
        bed_governs=any(s.bed_governs for s in settings),
        rim_verdict=replace(rim, passes=all(v.passes for v in rims), probability=parts.least_probability),
        clause=replace(clause, passes=all(v.passes for v in clauses), probability=min(chances, default=None)),
    )
