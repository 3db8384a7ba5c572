"""From a works to arrays: which covers a batch takes, in which company, and why not the others."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from truebed.chamber.cut_arrays import ManyShapes
from truebed.chamber.kerb import kerb_side_ratio
from truebed.curing.night_temps import NightTemps
from truebed.errors import NotDesignedError, NotDeterminedError
from truebed.given.cover import Cover, Plan2D
from truebed.given.works import Works
from truebed.levels.booking import Spot, reduce_survey
from truebed.levels.road_rules import road_rules, survey_rules
from truebed.plan.case import Case
from truebed.plan.chamber_top import MeasuredTop
from truebed.plan.closure import case_of
from truebed.plan.cutting import LOOK_FURTHER_MM, fill_width, margins_of, number_or
from truebed.plan.network_types import ManyCovers, NetworkLimits
from truebed.plan.seating import band_of
from truebed.plan.shelf import Shelf
from truebed.why import Why

MM_PER_M = 1000.0
#: A sweep asks about the ground alone: there is no night, so no temperatures.
_NONE = Why("temperature", "none", "", "a sweep asks about the ground alone", "house")
NO_NIGHT = NightTemps(math.nan, "no night", math.nan, "no night", False, _NONE, _NONE)


@dataclass(frozen=True, slots=True)
class Batch:
    """Covers that go together: their places among the cases, limits and arrays."""

    rows: tuple[int, ...]
    limits: NetworkLimits
    covers: ManyCovers


@dataclass(frozen=True, slots=True)
class Apart:
    """A cover that no batch takes: its place among the cases, 'refused' or 'not taken', why and what mends it."""

    row: int
    status: str
    why: str


@dataclass(frozen=True, slots=True)
class _Row:
    place: int
    case: Case
    spots: tuple[Spot, ...]
    margins: tuple[float, float, float, float]


def cases_of(works: Works, shelf: Shelf, measured: dict[str, MeasuredTop]) -> tuple[Case, ...]:
    """Every cover of a works as a case without a night, in the order of covers.csv.

    Valid       covers whose methods are on the shelf
    Source      house (assembly)
    Proved by   tests/plan/test_network_works.py
    """
    readings, soundings, obstacles = defaultdict(list), defaultdict(list), defaultdict(list)
    for reading in works.readings:
        readings[reading.cover].append(reading)
    for sounding in works.soundings:
        soundings[sounding.cover].append(sounding)
    for obstacle in works.obstacles:
        obstacles[obstacle.cover].append(obstacle)
    bare = replace(works, readings=(), soundings=(), obstacles=(), condition=())
    return tuple(
        replace(
            case_of(bare, shelf, cover, NO_NIGHT, measured.get(cover.cover)),
            readings=tuple(readings[cover.cover]),
            soundings=tuple(soundings[cover.cover]),
            obstacles=tuple(obstacles[cover.cover]),
        )
        for cover in works.covers
    )


def limits_of(case: Case) -> NetworkLimits:
    """What rule set and method say of a case's ground.

    Valid       a method with a bed
    Source      rule set, sheets, method
    Raises      NotDesignedError, NotDeterminedError where something is not said
    Proved by   tests/plan/test_network_works.py
    """
    rules, words, layers = case.rules, case.words(), case.method.layers
    bed = case.sheet_for("bed")
    if bed is None:
        raise NotDesignedError(f"The method {case.method.key} has no bed.", "Give the method a role 'bed'.")
    low, high, _ = band_of(rules, words)

    def or_nought(name: str) -> float:
        found = number_or(rules, name, words)
        return 0.0 if found is None else found

    return NetworkLimits(
        reading_sd_mm=rules.number("reading_sd_mm", *words),
        false_alarm_share=rules.number("false_alarm_share", *words),
        road=road_rules(rules, *words),
        band_low_mm=low,
        band_high_mm=high,
        setting_sd_mm=rules.number("setting_sd_mm", *words),
        bed_least_mm=bed.limits.thickness_least_mm,
        bed_most_mm=bed.limits.thickness_most_mm,
        surface_depth_mm=layers.surface_depth_mm,
        over_flange_mm=layers.over_flange_mm,
        floor_below_mm=layers.floor_below_mm,
        joint_width_mm=layers.joint_width_mm,
        joint_depth_mm=layers.joint_depth_mm,
        least_width_mm=fill_width(case)[0],
        strip_least_mm=or_nought("cut_strip_least_mm"),
        blade_mm=case.blade_mm,
        seat_least_mm=or_nought("seat_width_least_mm"),
        chamber_sd_mm=or_nought("chamber_top_sd_mm"),
        fall_least_ratio=number_or(rules, "gully_least_fall_ratio", words) if case.cover.kind == "gully" else None,
    )


def why_apart(case: Case) -> str:
    """Why a batch cannot take a cover, by what is given of it; '' where it can.

    Valid       any case
    Source      house
    Proved by   tests/plan/test_network_works.py
    """
    cover = case.cover
    odd = {"D": "a D", "triangular pair": "a pair of three-point lids"}
    shapes = [s.shape for s in (cover.opening, cover.body, cover.flange, cover.chamber) if s.shape in odd]
    if shapes:
        return f"an outline is {odd[shapes[0]]}"
    if cover.parts_count > 1:
        return f"its frame is of {cover.parts_count} castings"
    if case.measured is not None:
        return "its chamber top has been measured; the batch works on the estimate"
    if case.obstacles:
        return f"there are obstacles beside it ({case.obstacles[0].what})"
    return ""


def _reach_mm(cover: Cover, margin_mm: float) -> float:
    return math.hypot(cover.flange.along_mm, cover.flange.across_mm) / 2.0 + margin_mm


def close_pairs(rows: Sequence[tuple[int, float, float, float]], further_mm: float) -> frozenset[int]:
    """The places of covers so near to another that their cuts may meet: (place, x_m, y_m, reach [mm]) of each.

    Valid       one coordinate system
    Source      house: a circle round each cut, on the safe side
    Proved by   tests/plan/test_network_works.py
    """
    if not rows:
        return frozenset()
    cell_mm = 2.0 * max(r[3] for r in rows) + further_mm
    grid: dict[tuple[int, int], list[tuple[int, float, float, float]]] = defaultdict(list)
    for row in rows:
        grid[int(row[1] * MM_PER_M // cell_mm), int(row[2] * MM_PER_M // cell_mm)].append(row)
    near = set()
    for (cx, cy), held in grid.items():
        around = [r for i in (-1, 0, 1) for j in (-1, 0, 1) for r in grid.get((cx + i, cy + j), ())]
        for place, x_m, y_m, reach_mm in held:
            for other, ox_m, oy_m, other_mm in around:
                away_mm = math.hypot(x_m - ox_m, y_m - oy_m) * MM_PER_M
                if other != place and away_mm < reach_mm + other_mm + further_mm:
                    near.add(place)
    return frozenset(near)


def _near(cases: Sequence[Case]) -> frozenset[int]:
    strips_mm = [number_or(c.rules, "cut_strip_least_mm", c.words()) for c in cases]
    further_mm = LOOK_FURTHER_MM + max((s for s in strips_mm if s is not None), default=0.0)
    placed = []
    for i, case in enumerate(cases):
        cover = case.cover
        if cover.x_m is not None and cover.y_m is not None and cover.bearing_deg is not None:
            given_mm = 0.0 if cover.sound_margin_mm is None else cover.sound_margin_mm
            tapped = [math.hypot(s.x_mm, s.y_mm) for s in case.soundings]
            reach_mm = max([_reach_mm(cover, max(given_mm, fill_width(case)[0])), *tapped])
            placed.append((i, cover.x_m, cover.y_m, reach_mm))
    return close_pairs(placed, further_mm)


def _row(place: int, case: Case) -> _Row | Apart:
    """A cover's reduced readings and margins, or why it stands apart."""
    words = case.words()
    survey = reduce_survey(case.readings, survey_rules(case.rules, *words))
    spots, errors = survey.on("road")
    sd_mm, least = case.rules.number("reading_sd_mm", *words), road_rules(case.rules, *words).least_readings_count
    if len(spots) < least:
        return Apart(place, "refused", f"only {len(spots)} road readings; at least {least}")
    if any(errors.lines) or not np.allclose(errors.covariance, sd_mm**2 * np.eye(len(spots)), rtol=0.0, atol=1e-9):
        return Apart(place, "not taken", "its readings share errors (several stands, a straightedge or a string)")
    return _Row(place, case, spots, margins_of(case).sides_mm)


def sorted_out(cases: Sequence[Case]) -> tuple[tuple[Batch, ...], tuple[Apart, ...]]:
    """The covers in batches of one method, one set of limits and one number of readings; and those that stand apart.

    Valid       cases of one works
    Source      house
    Proved by   tests/plan/test_network_works.py
    """
    groups: dict[tuple[NetworkLimits, int], list[_Row]] = {}
    known: dict[tuple[object, ...], NetworkLimits] = {}
    apart: list[Apart] = []
    near = _near(cases)
    for place, case in enumerate(cases):
        why = why_apart(case) or ("another cover stands so near that the cuts may meet" if place in near else "")
        if why:
            apart.append(Apart(place, "not taken", why))
            continue
        try:
            row = _row(place, case)
            key = (case.method.key, *case.words())
            if key not in known:
                known[key] = limits_of(case)
        except NotDesignedError as refused:
            apart.append(Apart(place, "refused", f"{refused.reason} {refused.mend}"))
            continue
        except NotDeterminedError as unknown:
            apart.append(Apart(place, "refused", f"{unknown}"))
            continue
        if isinstance(row, Apart):
            apart.append(row)
        else:
            groups.setdefault((known[key], len(row.spots)), []).append(row)
    batches = tuple(Batch(tuple(r.place for r in g), lim, _arrays(g)) for (lim, _), g in groups.items())
    return batches, tuple(apart)


def _shapes(sizes: list[Plan2D]) -> ManyShapes:
    return ManyShapes(
        np.array([s.along_mm for s in sizes]),
        np.array([s.along_mm if s.shape == "round" else s.across_mm for s in sizes]),
        np.array([s.shape == "round" for s in sizes]),
    )


def _arrays(rows: list[_Row]) -> ManyCovers:
    covers = [r.case.cover for r in rows]
    kerbed = [c.kerb_side != "none" and c.kerb_mm is not None for c in covers]
    return ManyCovers(
        opening=_shapes([c.opening for c in covers]),
        body=_shapes([c.body for c in covers]),
        flange=_shapes([c.flange for c in covers]),
        chamber=_shapes([c.chamber for c in covers]),
        wall=np.array([c.wall_mm for c in covers]),
        frame_depth=np.array([c.frame_depth_mm for c in covers]),
        flange_thick=np.array([c.flange_thick_mm for c in covers]),
        chamber_depth=np.array([c.chamber_depth_mm for c in covers]),
        turn_deg=np.array([c.turn_deg for c in covers]),
        bound=np.array([c.bound_depth_mm for c in covers]),
        kerb_toward=np.array([kerb_side_ratio(c.kerb_side) if k else 0.0 for c, k in zip(covers, kerbed, strict=True)]),
        kerb=np.array([0.0 if c.kerb_mm is None else c.kerb_mm for c in covers]),
        margins=np.array([r.margins for r in rows]),
        cut_round=np.array([c.cut_shape == "round" for c in covers]),
        cut_with_frame=np.array([c.cut_turn == "frame" for c in covers]),
        x=np.array([[s.x_mm for s in r.spots] for r in rows]),
        y=np.array([[s.y_mm for s in r.spots] for r in rows]),
        level=np.array([[s.level_mm for s in r.spots] for r in rows]),
    )
