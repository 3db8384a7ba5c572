"""Ride check: the steps that a wheel meets over the set frame, and the gap under a straightedge laid over it."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from truebed.chamber.plane import Plane, Point, Ring
from truebed.levels.reach import readings_reach
from truebed.levels.road_terms import FOLDED, road_levels_mm
from truebed.levels.straightedge import Gap, Profile, greatest_gap
from truebed.levels.surface import RoadSurface

#: Wheel lines and straightedge lines no further apart than this, and points along a line [mm].
LINE_SPACING_MM, POINT_SPACING_MM = 50.0, 25.0
#: A line this near to a ring's end does not cross it [mm].
TOUCH_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit with its source."""

    value: float
    source: str


@dataclass(frozen=True, slots=True)
class RideQuestion:
    """What the ride check is asked. Local axes: x along the traffic.

    iron        the rim of each casting with its set plane, from the back to the front
    tyre_width_mm  width over which a tyre meets an edge, with its source
    band        allowed departure of the frame, low and high [mm], with its source
    straightedge_mm, gap  length and greatest gap that the rule set asks; None: no such rule
    """

    road: RoadSurface
    iron: tuple[tuple[Ring, Plane], ...]
    tyre_width_mm: float
    band_low_mm: float
    band_high_mm: float
    band_source: str
    straightedge_mm: Limit | None = None
    gap: Limit | None = None


@dataclass(frozen=True, slots=True)
class WheelStep:
    """One step of a wheel line: where, and how far up (down: negative) for a wheel that runs along +x.

    place       'onto the frame', 'off the frame', 'from part 1 to part 2'
    proud_mm    iron less road there: what the band judges; None between two castings
    """

    line_y_mm: float
    x_mm: float
    y_mm: float
    place: str
    step_mm: float
    proud_mm: float | None


@dataclass(frozen=True, slots=True)
class LineGap:
    """The gap under the straightedge on one line: 'along' the traffic at y = at_mm, or 'across' it at x = at_mm.

    length_mm   what of the line is known: the readings' reach; known: whether that is the straightedge's whole length
    """

    way: str
    at_mm: float
    gap: Gap
    length_mm: float
    known: bool


@dataclass(frozen=True, slots=True)
class Ride:
    """The ride over the set frame.

    steps       every wheel line's; worst: the step of greatest size; steps_pass: all of them within the band
    gaps        every line's, () without a straightedge rule; worst_gap; gap_passes: None without a limit
    lines_unjudged  lines over the frame on which the readings do not reach past it: no gap is told there
    """

    steps: tuple[WheelStep, ...]
    worst: WheelStep
    steps_pass: bool
    band_source: str
    gaps: tuple[LineGap, ...]
    worst_gap: LineGap | None
    gap_passes: bool | None
    gap_limit: Limit | None
    lines_unjudged: int = 0


def span_on(ring: Ring, axis: int, at_mm: float) -> tuple[float, float] | None:
    """Where a line leaves and enters a convex ring: axis 0: the line x = at; axis 1: the line y = at.

    Valid       convex rings
    Source      algebra
    Proved by   tests/levels/test_ride.py
    """
    other = 1 - axis
    places = []
    for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
        low, high = a[axis] - at_mm, b[axis] - at_mm
        if low == 0.0:
            places.append(a[other])
        elif low * high < 0.0:
            places.append(a[other] + low / (low - high) * (b[other] - a[other]))
    if len(places) < 2 or max(places) - min(places) < TOUCH_MM:
        return None
    return min(places), max(places)


def _point(axis: int, at_mm: float, along_mm: float) -> Point:
    return (at_mm, along_mm) if axis == 0 else (along_mm, at_mm)


def _road_at(road: RoadSurface, points: list[Point]) -> list[float]:
    table = np.array(points, dtype=float).reshape(-1, 2)
    return [float(z) for z in road_levels_mm(road, table[:, 0], table[:, 1])]


def _pieces(question: RideQuestion, axis: int, at_mm: float) -> list[tuple[float, float, int]]:
    """Where the castings lie on a line, in rising order."""
    found = []
    for k, (ring, _) in enumerate(question.iron):
        span = span_on(ring, axis, at_mm)
        if span is not None:
            found.append((*span, k))
    return sorted(found)


def steps_on(question: RideQuestion, y_mm: float) -> tuple[WheelStep, ...]:
    """The steps along one line y, not yet over a tyre's width.

    Valid       rings convex; castings in a row
    Source      algebra
    Proved by   tests/levels/test_ride.py
    """
    pieces = _pieces(question, 1, y_mm)
    if not pieces:
        return ()
    ends = [(pieces[0][0], y_mm), (pieces[-1][1], y_mm)]
    before, after = _road_at(question.road, ends)
    first, last = question.iron[pieces[0][2]][1], question.iron[pieces[-1][2]][1]
    on, off = first.at(*ends[0]) - before, last.at(*ends[1]) - after
    steps = [WheelStep(y_mm, ends[0][0], y_mm, "onto the frame", on, on)]
    for (_, x, k), (_, _, m) in itertools.pairwise(pieces):
        step = question.iron[m][1].at(x, y_mm) - question.iron[k][1].at(x, y_mm)
        steps.append(WheelStep(y_mm, x, y_mm, f"from part {k + 1} to part {m + 1}", step, None))
    return (*steps, WheelStep(y_mm, ends[1][0], y_mm, "off the frame", -off, off))


def _extent(question: RideQuestion, axis: int) -> tuple[float, float]:
    places = [p[axis] for ring, _ in question.iron for p in ring]
    return min(places), max(places)


def _lines(low_mm: float, high_mm: float) -> list[float]:
    """Lines over an extent, its middle among them, both edges just inside."""
    count = max(2, 2 * math.ceil((high_mm - low_mm) / LINE_SPACING_MM / 2.0))
    edge = 1e-3
    return [low_mm + edge + (high_mm - low_mm - 2.0 * edge) * i / count for i in range(count + 1)]


def wheel_steps(question: RideQuestion) -> tuple[WheelStep, ...]:
    """The step of each wheel line at each edge: the one of greatest size over the tyre's width, its sign kept.

    Valid       lines no more than 50 mm apart over the frame; edges looked at every 50 mm or less
    Source      house: a tyre feels the worst of the edge under it
    Proved by   tests/levels/test_ride.py
    """
    low, high = _extent(question, 1)
    lines = _lines(low, high)
    fine = {y: steps_on(question, y) for y in lines}
    found = []
    for line in lines:
        under = [s for y, steps in fine.items() if abs(y - line) <= question.tyre_width_mm / 2.0 + 1e-9 for s in steps]
        for place in dict.fromkeys(s.place for s in fine[line]):
            worst = max((s for s in under if s.place == place), key=lambda s: (abs(s.step_mm), -s.y_mm))
            found.append(WheelStep(line, worst.x_mm, worst.y_mm, place, worst.step_mm, worst.proud_mm))
    return tuple(found)


def profile_on(question: RideQuestion, axis: int, at_mm: float, reach: Ring) -> Profile:
    """Road, frame, road along one line (axis as of span_on), as far as the readings reach; () where they do not reach
    past the frame at both ends.

    Valid       as steps_on; the surround is taken as laid to the road
    Source      algebra
    Proved by   tests/levels/test_ride.py
    """
    known = span_on(reach, axis, at_mm) if reach else None
    pieces = _pieces(question, axis, at_mm)
    if known is None or any(low <= known[0] or high >= known[1] for low, high, _ in pieces):
        return ()
    profile: list[tuple[float, float]] = []
    start = known[0]
    for low, high, k in pieces:
        profile += _road_piece(question.road, axis, at_mm, start, low)
        plane = question.iron[k][1]
        profile += [(s, plane.at(*_point(axis, at_mm, s))) for s in _marks(low, high)]
        start = high
    profile += _road_piece(question.road, axis, at_mm, start, known[1])
    return tuple(profile)


def _marks(low_mm: float, high_mm: float) -> list[float]:
    count = max(1, math.ceil((high_mm - low_mm) / POINT_SPACING_MM))
    return [low_mm + (high_mm - low_mm) * i / count for i in range(count + 1)]


def _road_piece(road: RoadSurface, axis: int, at_mm: float, low_mm: float, high_mm: float) -> Profile:
    if high_mm - low_mm < TOUCH_MM:
        return ()
    marks = set(_marks(low_mm, high_mm))
    fold_axis = 1 if road.model == "two planes along" else 0
    if road.model in FOLDED and fold_axis != axis and low_mm < road.ridge_mm < high_mm:
        marks.add(road.ridge_mm)
    places = sorted(marks)
    return tuple(zip(places, _road_at(road, [_point(axis, at_mm, s) for s in places]), strict=True))


def line_gaps(question: RideQuestion, straightedge_mm: float) -> tuple[LineGap, ...]:
    """The greatest gap on lines along the traffic and across it, no more than 50 mm apart over the frame.

    Valid       as profile_on; where the readings reach less far than the straightedge, over what they do
    Source      algebra
    Proved by   tests/levels/test_ride.py, tests/levels/test_straightedge.py
    """
    reach = readings_reach(question.road)
    found = []
    for way, axis in (("along", 1), ("across", 0)):
        for at in _lines(*_extent(question, axis)):
            profile = profile_on(question, axis, at, reach)
            if profile:
                length = profile[-1][0] - profile[0][0]
                gap = greatest_gap(profile, straightedge_mm)
                found.append(LineGap(way, at, gap, min(length, straightedge_mm), length >= straightedge_mm))
    return tuple(found)


def ride_check(question: RideQuestion) -> Ride:
    """Steps on every wheel line against the level band, and straightedge gaps against their limit where a rule has one.

    Valid       the frame as set, the surround laid to the road
    Source      rule set values named in the question
    Proved by   tests/levels/test_ride.py
    """
    steps = wheel_steps(question)
    worst = max(steps, key=lambda s: (abs(s.step_mm), -s.line_y_mm))
    proud = [s.proud_mm for s in steps if s.proud_mm is not None]
    passes = all(question.band_low_mm - 1e-6 <= p <= question.band_high_mm + 1e-6 for p in proud)
    if question.straightedge_mm is None:
        return Ride(steps, worst, passes, question.band_source, (), None, None, question.gap)
    gaps = line_gaps(question, question.straightedge_mm.value)
    worst_gap = max(gaps, key=lambda g: g.gap.gap_mm) if gaps else None
    judged = None
    if question.gap is not None and worst_gap is not None:
        judged = worst_gap.gap.gap_mm <= question.gap.value + 1e-6
    lines = sum(len(_lines(*_extent(question, axis))) for axis in (0, 1))
    return Ride(steps, worst, passes, question.band_source, gaps, worst_gap, judged, question.gap, lines - len(gaps))
