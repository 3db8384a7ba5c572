"""A frame of several castings in a row: each part a plane of its own, set together, the steps between them held."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.plane import Plane, Point, Ring
from truebed.chamber.shapes import FAR_MM, polygon, rectangle_ring, ring_of, turned_point
from truebed.errors import NotDesignedError
from truebed.levels.frame_setting import SettingQuestion, cannot_sit, rim_samples, seat_question, setting_at
from truebed.levels.least import Optimum, least
from truebed.levels.rims import set_points
from truebed.levels.seat_question import SeatMend, SeatQuestion
from truebed.levels.setting import FrameSetting
from truebed.levels.wall_top import WallTop, seat_points

Array = NDArray[np.float64]

MM_PER_UNIT = 1000.0
#: Room for a second stage beyond the first one's answer, and for a mend beyond the road's own shape [mm].
SLACK_MM, ROOM_MM = 1e-7, 0.01


@dataclass(frozen=True, slots=True)
class PartsQuestion:
    """A frame of several rigid parts.

    parts        one question a part, from the back to the front; same road, limits and band
    joints       both ends of each edge that two neighbours share
    step_most_mm greatest step between two parts at their shared edge, with its source
    """

    parts: tuple[SettingQuestion, ...]
    joints: tuple[tuple[Point, Point], ...]
    step_most_mm: float
    step_source: str


@dataclass(frozen=True, slots=True)
class PartStep:
    """The step between part `part` and the next at one end of their shared edge: next less this [mm]."""

    part: int
    x_mm: float
    y_mm: float
    step_mm: float


@dataclass(frozen=True, slots=True)
class PartsSetting:
    """The parts as set, and the steps between them.

    greatest_departure_mm   over all parts; part: which has it, counted from 1 at the back
    least_probability, most_probability   bounds on the chance that every part's rim lies in the band: the parts share
                            one road, so their chances do not simply multiply
    """

    parts: tuple[FrameSetting, ...]
    steps: tuple[PartStep, ...]
    step_most_mm: float
    step_source: str
    greatest_departure_mm: float
    part: int
    least_probability: float | None
    most_probability: float | None


def split_frame(
    whole: SettingQuestion,
    along_mm: float,
    across_mm: float,
    turn_deg: float,
    count: int,
    top: WallTop,
    seat_ring: Ring,
    step_most_mm: float,
    step_source: str,
    shape: str = "rectangle",
) -> PartsQuestion:
    """A frame of `count` equal parts in a row along its own x, each with its piece of rim, seat and adjacent road.

    whole       the question as of one casting; its seat is replaced part by part
    seat_ring   outline of the seating (its hull), not split yet

    Valid       rectangles, 2 to 4 parts
    Source      house: truebed.given.cover.Cover.parts_count
    Raises      NotDesignedError for other shapes and counts, or where a part has no seat
    Proved by   tests/levels/test_parts.py
    """
    if shape != "rectangle" or not 2 <= count <= 4:
        raise NotDesignedError(
            f"A {shape} frame in {count} parts is not reckoned here: only rectangles of 2 to 4 parts in a row are.",
            "Give the frame as one casting, or as covers of their own beside each other.",
        )
    long_mm = along_mm / count
    parts = []
    for k in range(count):
        middle_mm = -along_mm / 2.0 + (k + 0.5) * long_mm

        def place(point: Point, middle_mm: float = middle_mm) -> Point:
            return turned_point((point[0] + middle_mm, point[1]), turn_deg)

        low_mm = -FAR_MM if k == 0 else middle_mm - long_mm / 2.0
        high_mm = FAR_MM if k == count - 1 else middle_mm + long_mm / 2.0
        parts.append(
            replace(
                whole,
                rim=tuple(place(p) for p in rectangle_ring(long_mm, across_mm)),
                corners=tuple(
                    (f"part {k + 1} {name}", place(p)) for name, p in set_points("rectangle", long_mm, across_mm, 0.0)
                ),
                adjacent=tuple(p for p in whole.adjacent if low_mm <= turned_point(p, -turn_deg)[0] <= high_mm),
                seat=seat_points(top, _strip(seat_ring, low_mm, high_mm, turn_deg, k + 1)),
            )
        )
    edges = [-along_mm / 2.0 + k * long_mm for k in range(1, count)]
    joints = tuple(
        (turned_point((x, -across_mm / 2.0), turn_deg), turned_point((x, across_mm / 2.0), turn_deg)) for x in edges
    )
    return PartsQuestion(tuple(parts), joints, step_most_mm, step_source)


def _strip(ring: Ring, low_mm: float, high_mm: float, turn_deg: float, part: int) -> Ring:
    from shapely.geometry import Polygon

    corners = ((low_mm, -FAR_MM), (high_mm, -FAR_MM), (high_mm, FAR_MM), (low_mm, FAR_MM))
    piece = polygon(ring).intersection(polygon(tuple(turned_point(c, turn_deg) for c in corners)))
    if not isinstance(piece, Polygon) or piece.is_empty:
        raise NotDesignedError(
            f"Part {part} of the frame has no seat of its own on the chamber's wall.",
            "Measure frame, flange and chamber again; a part that spans between others is not reckoned here.",
        )
    return ring_of(piece)


def _terms(points: list[Point], part: int, count: int, more: int) -> Array:
    """Rows of the plane of one part (0-based) among all unknowns."""
    table = np.zeros((len(points), 3 * count + more))
    table[:, 3 * part] = 1.0
    table[:, 3 * part + 1 : 3 * part + 3] = np.array(points, dtype=float).reshape(-1, 2) / MM_PER_UNIT
    return table


def _with(table: Array, column: int, number_ratio: float) -> Array:
    rows = table.copy()
    rows[:, column] = number_ratio
    return rows


def _steps(question: PartsQuestion, more: int) -> tuple[list[Array], list[Array]]:
    count = len(question.parts)
    rows, limits = [], []
    for k, ends in enumerate(question.joints):
        step = _terms(list(ends), k + 1, count, more) - _terms(list(ends), k, count, more)
        rows += [step, -step]
        limits += [np.full(2, question.step_most_mm)] * 2
    return rows, limits


def _fall(asked: SeatQuestion, part: int, count: int, more: int) -> tuple[list[Array], list[Array]]:
    if asked.fall_least_ratio is None:
        return [], []
    row = np.zeros((1, 3 * count + more))
    row[0, 3 * part + 1 : 3 * part + 3] = asked.fall_towards
    return [row], [np.array([-asked.fall_least_ratio * MM_PER_UNIT])]


def _bed(asked: SeatQuestion, part: int, count: int, more: int) -> tuple[Array, Array]:
    seat = _terms([(s.x_mm, s.y_mm) for s in asked.seat], part, count, more)
    ground = np.array([s.chamber_top_mm + asked.frame_depth_mm for s in asked.seat])
    return seat, ground


def _least_greatest(question: PartsQuestion, asked: list[SeatQuestion], *, with_bed: bool) -> Optimum:
    """One t over all parts: unknowns a, b, c of each part and t."""
    count = len(asked)
    rows, limits = _steps(question, 1)
    for k, one in enumerate(asked):
        rim = _terms([(s.x_mm, s.y_mm) for s in one.rim], k, count, 1)
        target = np.array([s.road_mm - one.set_down_mm for s in one.rim])
        rows += [_with(rim, -1, -1.0), _with(-rim, -1, -1.0)]
        limits += [target, -target]
        more_rows, more_limits = _fall(one, k, count, 1)
        if with_bed:
            seat, ground = _bed(one, k, count, 1)
            more_rows += [seat, -seat]
            more_limits += [ground + one.bed_most_mm, -(ground + one.bed_least_mm)]
        rows += more_rows
        limits += more_limits
    cost = np.zeros(3 * count + 1)
    cost[-1] = 1.0
    return least(cost, np.vstack(rows), np.concatenate(limits))


def _own_limits(
    question: PartsQuestion, asked: list[SeatQuestion], ceilings_mm: list[float], more: int
) -> tuple[list[Array], list[Array]]:
    """Rows that hold each part's own greatest departure (unknown 3 parts + k) under its ceiling, its bed, its fall."""
    count = len(asked)
    rows, limits = _steps(question, more)
    for k, one in enumerate(asked):
        rim = _terms([(s.x_mm, s.y_mm) for s in one.rim], k, count, more)
        target = np.array([s.road_mm - one.set_down_mm for s in one.rim])
        own = 3 * count + k
        ceiling = np.zeros((1, 3 * count + more))
        ceiling[0, own] = 1.0
        seat, ground = _bed(one, k, count, more)
        fall_rows, fall_limits = _fall(one, k, count, more)
        rows += [_with(rim, own, -1.0), _with(-rim, own, -1.0), ceiling, seat, -seat, *fall_rows]
        limits += [target, -target, np.array([ceilings_mm[k] + SLACK_MM])]
        limits += [ground + one.bed_most_mm, -(ground + one.bed_least_mm), *fall_limits]
    return rows, limits


def _each_at_its_best(question: PartsQuestion, asked: list[SeatQuestion], greatest_mm: float) -> Optimum:
    """Among equals: the sum of the parts' own greatest departures is least, none above the greatest of all; among
    those the sum of the steps between parts is least."""
    count, joints = len(asked), 2 * len(question.joints)
    cost = np.concatenate([np.zeros(3 * count), np.ones(count)])
    rows, limits = _own_limits(question, asked, [greatest_mm] * count, count)
    best = least(cost, np.vstack(rows), np.concatenate(limits))
    if not best.found:
        return best
    more = count + joints
    rows, limits = _own_limits(question, asked, [float(t) for t in best.x[3 * count :]], more)
    for k, ends in enumerate(question.joints):
        step = _terms(list(ends), k + 1, count, more) - _terms(list(ends), k, count, more)
        size = np.zeros_like(step)
        size[[0, 1], [4 * count + 2 * k, 4 * count + 2 * k + 1]] = -1.0
        rows += [step + size, -step + size]
        limits += [np.zeros(2), np.zeros(2)]
    smooth = least(np.concatenate([np.zeros(4 * count), np.ones(joints)]), np.vstack(rows), np.concatenate(limits))
    return smooth if smooth.found else best


def _raise_mm(
    question: PartsQuestion, asked: list[SeatQuestion], half_band_mm: float, sign_ratio: float
) -> float | None:
    """Least (sign +1) or most (-1) even raising of the chamber top that lets every part sit within the half band."""
    count = len(asked)
    rows, limits = _steps(question, 1)
    for k, one in enumerate(asked):
        rim = _terms([(s.x_mm, s.y_mm) for s in one.rim], k, count, 1)
        target = np.array([s.road_mm - one.set_down_mm for s in one.rim])
        seat, ground = _bed(one, k, count, 1)
        fall_rows, fall_limits = _fall(one, k, count, 1)
        rows += [rim, -rim, _with(seat, -1, -1.0), _with(-seat, -1, 1.0), *fall_rows]
        limits += [target + half_band_mm, half_band_mm - target]
        limits += [ground + one.bed_most_mm, -(ground + one.bed_least_mm), *fall_limits]
    cost = np.zeros(3 * count + 1)
    cost[-1] = sign_ratio
    found = least(cost, np.vstack(rows), np.concatenate(limits))
    return float(found.x[-1]) if found.found else None


def _planes(x: Array, count: int) -> tuple[Plane, ...]:
    return tuple(
        Plane(float(x[3 * k]), float(x[3 * k + 1]) / MM_PER_UNIT, float(x[3 * k + 2]) / MM_PER_UNIT)
        for k in range(count)
    )


def set_parts(question: PartsQuestion) -> PartsSetting:
    """Where the parts of a frame sit best together: least greatest departure over all, then each part at its own best,
    then the least steps between them.

    Valid       2 to 4 parts; Gaussian reading and setting errors
    Source      [cheney] (from memory): one linear programme for all parts; step between parts from the rule set
    Raises      NotDesignedError where bed and step limits leave no place for the parts
    Proved by   tests/levels/test_parts.py
    """
    first = question.parts[0]
    samples = [rim_samples(p) for p in question.parts]
    asked = [seat_question(p, s) for p, s in zip(question.parts, samples, strict=True)]
    free = _least_greatest(question, asked, with_bed=False)
    bound = _least_greatest(question, asked, with_bed=True)
    allowed_mm = max(first.half_band_mm, free.value + 1e-6)
    if not bound.found or bound.value > allowed_mm:
        held_mm = max(first.half_band_mm, free.value + ROOM_MM)
        raises = tuple(_raise_mm(question, asked, held_mm, sign) for sign in (1.0, -1.0))
        refused = cannot_sit(
            SeatMend(raises[0], raises[1], None),
            bound.value if bound.found else None,
            first.half_band_mm,
            first.bed_text,
            free.value,
        )
        raise NotDesignedError(f"Frame in {len(asked)} parts: {refused.reason}", refused.mend)
    nearest = _each_at_its_best(question, asked, bound.value)
    planes = _planes(nearest.x if nearest.found else bound.x, len(asked))
    settings = tuple(
        setting_at(part, plane, one, bed_governs=bound.value > free.value + 1e-6)
        for part, plane, one in zip(question.parts, planes, samples, strict=True)
    )
    worst = max(range(len(settings)), key=lambda k: settings[k].greatest_departure_mm)
    chances = [s.rim_verdict.probability for s in settings if s.rim_verdict.probability is not None]
    whole = len(chances) == len(settings)
    return PartsSetting(
        settings,
        part_steps(planes, question.joints),
        question.step_most_mm,
        question.step_source,
        settings[worst].greatest_departure_mm,
        worst + 1,
        max(0.0, 1.0 - sum(1.0 - c for c in chances)) if whole else None,
        min(chances) if whole else None,
    )


def part_steps(planes: tuple[Plane, ...], joints: tuple[tuple[Point, Point], ...]) -> tuple[PartStep, ...]:
    """The step between neighbouring parts at both ends of each shared edge.

    Valid       one joint fewer than planes
    Source      algebra (the step is linear along the edge: greatest at an end)
    Proved by   tests/levels/test_parts.py
    """
    return tuple(
        PartStep(k + 1, x, y, after.at(x, y) - before.at(x, y))
        for k, ((before, after), ends) in enumerate(zip(itertools.pairwise(planes), joints, strict=True))
        for x, y in ends
    )
