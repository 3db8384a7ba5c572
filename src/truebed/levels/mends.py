"""A frame that cannot sit: by how much at the least, where, and what would mend it, each mend worked out to its end."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from truebed.chamber.plane import Plane
from truebed.errors import NotDesignedError
from truebed.given.survey import YardUnit
from truebed.levels.frame_setting import SettingQuestion, rim_samples, seat_question, set_frame, span_text
from truebed.levels.makeup import Courses, Makeup, makeup, raised_seat
from truebed.levels.seat_program import ROOM_MM, mend, seat_frame
from truebed.levels.seat_question import SeatQuestion, SeatSample
from truebed.levels.setting import FrameSetting

MendKind = Literal["make-up", "even raising", "re-shape", "feather the road"]
#: Less than this is not worth a mark on the wall [mm].
WORTH_MM = 0.05
MM_PER_UNIT = 1000.0


@dataclass(frozen=True, slots=True)
class Broken:
    """A bed limit that cannot be held: at which seat point, by how much (positive: too thick; negative: too thin)."""

    name: str
    x_mm: float
    y_mm: float
    over_mm: float


@dataclass(frozen=True, slots=True)
class LeastViolation:
    """With the tolerance held (or what the road's own shape allows): the least sum of mm by which bed limits break."""

    sum_mm: float
    greatest_mm: float
    broken: tuple[Broken, ...]
    rim: Plane


@dataclass(frozen=True, slots=True)
class Mend:
    """One way to mend it, worked out again and found to do so, or told why it may not be used.

    allowed     False: shown, but no rule allows it
    work_min    None: not known
    greatest_mm, bed_least_mm, bed_most_mm   after the mend
    """

    kind: MendKind
    what: str
    allowed: bool
    work_min: float | None
    units_count: int
    greatest_mm: float
    bed_least_mm: float
    bed_most_mm: float


@dataclass(frozen=True, slots=True)
class FeatherRule:
    """The steepest ramp with which a rule lets the road be feathered to a frame that stands out of it."""

    most_ratio: float
    source: str


def held_half_band_mm(asked: SeatQuestion) -> float:
    """The half band, or a little more than what the road's own shape allows where that is more [mm].

    Valid       any
    Source      algebra
    Proved by   tests/levels/test_mends.py
    """
    bare = replace(asked, bed_least_mm=-1.0e6, bed_most_mm=1.0e6)
    free = seat_frame(bare)
    return asked.half_band_mm if free is None else max(asked.half_band_mm, free.greatest_mm + ROOM_MM)


def least_violation(asked: SeatQuestion) -> LeastViolation:
    """With the tolerance held, the rim plane whose bed breaks its limits by the least sum of mm over the seat points.

    Valid       rim samples not in line
    Source      algebra (linear programme, HiGHS through SciPy; the sum counts every seat point once)
    Raises      ArithmeticError where the tolerance itself leaves no plane (a fall that the road forbids)
    Proved by   tests/levels/test_mends.py
    """
    from scipy.optimize import linprog

    half_mm = held_half_band_mm(asked)
    rim = np.array([[1.0, s.x_mm / MM_PER_UNIT, s.y_mm / MM_PER_UNIT] for s in asked.rim])
    seat = np.array([[1.0, s.x_mm / MM_PER_UNIT, s.y_mm / MM_PER_UNIT] for s in asked.seat])
    target = np.array([s.road_mm - asked.set_down_mm for s in asked.rim])
    ground = np.array([s.chamber_top_mm + asked.frame_depth_mm for s in asked.seat])
    count = len(seat)
    none, eye = np.zeros((len(rim), count)), np.eye(count)
    rows = np.vstack(
        [np.hstack([rim, none]), np.hstack([-rim, none]), np.hstack([seat, -eye]), np.hstack([-seat, -eye])]
    )
    limits = np.concatenate(
        [target + half_mm, half_mm - target, ground + asked.bed_most_mm, -(ground + asked.bed_least_mm)]
    )
    if asked.fall_least_ratio is not None:
        fall = np.zeros((1, 3 + count))
        fall[0, 1:3] = asked.fall_towards
        rows = np.vstack([rows, fall])
        limits = np.append(limits, -asked.fall_least_ratio * MM_PER_UNIT)
    cost = np.concatenate([np.zeros(3), np.ones(count)])
    found = linprog(cost, A_ub=rows, b_ub=limits, bounds=[(None, None)] * 3 + [(0.0, None)] * count, method="highs-ds")
    if found.status != 0 or found.x is None:
        raise ArithmeticError("no plane keeps the tolerance at all")
    plane = Plane(float(found.x[0]), float(found.x[1]) / MM_PER_UNIT, float(found.x[2]) / MM_PER_UNIT)
    return _violation_of(asked, plane)


def _violation_of(asked: SeatQuestion, plane: Plane) -> LeastViolation:
    broken = []
    for s in asked.seat:
        bed_mm = plane.at(s.x_mm, s.y_mm) - asked.frame_depth_mm - s.chamber_top_mm
        over_mm = bed_mm - asked.bed_most_mm if bed_mm > asked.bed_most_mm else min(0.0, bed_mm - asked.bed_least_mm)
        if abs(over_mm) > 1e-6:
            broken.append(Broken(s.name, s.x_mm, s.y_mm, over_mm))
    sizes = [abs(b.over_mm) for b in broken]
    return LeastViolation(sum(sizes), max(sizes, default=0.0), tuple(broken), plane)


def _after(asked: SeatQuestion) -> tuple[float, float, float] | None:
    """Greatest departure and bed of a changed question; None where it does not do."""
    answer = seat_frame(asked)
    if answer is None or answer.greatest_mm > max(asked.half_band_mm, answer.free_mm + ROOM_MM) + 1e-6:
        return None
    bed = [answer.rim.at(s.x_mm, s.y_mm) - asked.frame_depth_mm - s.chamber_top_mm for s in asked.seat]
    return answer.greatest_mm, min(bed), max(bed)


def _of_makeup(one: Makeup) -> Mend:
    return Mend(
        "make-up", one.words(), True, one.work_min, one.units_count, one.greatest_mm, one.bed_least_mm, one.bed_most_mm
    )


def _even_raising(asked: SeatQuestion) -> list[Mend]:
    """The chamber top built up or cut down evenly by what it takes, in whole mm where there is one."""
    range_mm = mend(asked)
    low, high = range_mm.raise_least_mm, range_mm.raise_most_mm
    if low is None or high is None or low <= 0.0 <= high:
        return []
    by_mm = low if low > 0.0 else high
    room_mm = min(1.0, (high - low) / 2.0)
    after = _after(raised_seat(asked, by_mm + (room_mm if low > 0.0 else -room_mm), asked.frame_depth_mm))
    if after is None:
        return []
    way = (
        f"raise the chamber top by {span_text(low, high)} mm all over"
        if low > 0.0
        else f"take the chamber top down by {span_text(-high, -low)} mm all over"
    )
    return [Mend("even raising", way, True, None, 0, *after)]


def _re_shape(asked: SeatQuestion) -> list[Mend]:
    """The chamber top cut where the bed is too thin and built up where it is too thick, point by point."""
    try:
        least = least_violation(asked)
    except ArithmeticError:
        return []
    by_point = {(b.name, b.x_mm, b.y_mm): b.over_mm for b in least.broken}
    seat = tuple(
        SeatSample(s.name, s.x_mm, s.y_mm, s.chamber_top_mm + by_point.get((s.name, s.x_mm, s.y_mm), 0.0))
        for s in asked.seat
    )
    after = _after(replace(asked, seat=seat))
    cut = max((-b.over_mm for b in least.broken if b.over_mm < 0.0), default=0.0)
    build = max((b.over_mm for b in least.broken if b.over_mm > 0.0), default=0.0)
    bits = [f"cut the high places by up to {cut:.1f} mm"] if cut > WORTH_MM else []
    bits += [f"build up the low places by up to {build:.1f} mm"] if build > WORTH_MM else []
    if after is None or not bits:
        return []
    places = len([b for b in least.broken if abs(b.over_mm) > WORTH_MM])
    what = f"re-shape the chamber top: {' and '.join(bits)} ({places} of {len(asked.seat)} places), measure again"
    return [Mend("re-shape", what, True, None, 0, *after)]


def _feather(asked: SeatQuestion, rule: FeatherRule | None) -> list[Mend]:
    """The road brought to the frame by a ramp: only where a rule gives one."""
    answer = seat_frame(asked)
    if answer is None or answer.greatest_mm <= asked.half_band_mm:
        return []
    over_mm = answer.greatest_mm - asked.half_band_mm
    bed = [answer.rim.at(s.x_mm, s.y_mm) - asked.frame_depth_mm - s.chamber_top_mm for s in asked.seat]
    if rule is None:
        what = (
            f"feather the road by {over_mm:.1f} mm to the frame: not allowed, the rule set gives no ramp "
            "(feather_most_ratio); a thin edge fails first"
        )
    else:
        what = f"feather the road by {over_mm:.1f} mm over {over_mm / rule.most_ratio:.0f} mm or more ({rule.source})"
    return [Mend("feather the road", what, rule is not None, None, 0, answer.greatest_mm, min(bed), max(bed))]


def ranked_mends(
    question: SettingQuestion,
    units: tuple[YardUnit, ...],
    courses: Courses | None = None,
    feather: FeatherRule | None = None,
) -> tuple[Mend, ...]:
    """What mends a frame that cannot sit, allowed ones first: make-ups of whole units by least work, then fewest
    units; then an even raising or cutting to measure, re-shaping point by point, feathering.

    Setting lower (or higher) within the band needs no mend: the setting already uses the band up before it refuses.
    () where nothing is out.

    Valid       a question that set_frame refuses
    Source      algebra; each mend is set again over the changed chamber
    Proved by   tests/levels/test_mends.py
    """
    asked = seat_question(question, rim_samples(question))
    if _after(asked) is not None:
        return ()
    found = [_of_makeup(m) for m in makeup(question, units, courses)]
    found += _even_raising(asked) + _re_shape(asked) + _feather(asked, feather)
    return tuple(m for m in found if m.allowed) + tuple(m for m in found if not m.allowed)


def mends_text(mends: tuple[Mend, ...], most_count: int = 4) -> str:
    """The mends in one short text for a refusal: numbered, with what each comes to.

    Valid       as ranked_mends gives them
    Source      house (wording)
    Proved by   tests/levels/test_mends.py
    """
    said = []
    for i, one in enumerate(mends[:most_count], start=1):
        if not one.allowed:
            said.append(f"({i}) {one.what}.")
            continue
        work = "" if not one.work_min else f", about {one.work_min:.0f} min"
        said.append(
            f"({i}) {one.what}: frame then {one.greatest_mm:.1f} mm off at most, "
            f"bed {one.bed_least_mm:.1f} to {one.bed_most_mm:.1f} mm{work}."
        )
    return " ".join(said)


def violation_text(least: LeastViolation) -> str:
    """The least violation in one sentence: how much in all, and the place that is furthest out; '' where none is.

    Valid       as least_violation gives it
    Source      house (wording)
    Proved by   tests/levels/test_mends.py
    """
    if least.greatest_mm <= WORTH_MM:
        return ""
    worst = max(least.broken, key=lambda b: abs(b.over_mm))
    way = "too thick" if worst.over_mm > 0.0 else "too thin"
    return (
        f"With the tolerance held, the bed is at least {least.sum_mm:.1f} mm out of its limits over all places "
        f"together, most at {worst.name} (x {worst.x_mm:.0f}, y {worst.y_mm:.0f}): {abs(worst.over_mm):.1f} mm {way}."
    )


def set_or_mend(
    question: SettingQuestion,
    units: tuple[YardUnit, ...],
    courses: Courses | None = None,
    feather: FeatherRule | None = None,
) -> FrameSetting:
    """The frame's setting; where it cannot sit, the refusal carries the least violation and the ranked mends.

    Valid       as set_frame
    Source      see set_frame and ranked_mends
    Raises      NotDesignedError with what is broken, where, and what would mend it, least work first
    Proved by   tests/levels/test_mends.py
    """
    try:
        return set_frame(question)
    except NotDesignedError as refused:
        asked = seat_question(question, rim_samples(question))
        try:
            broken = violation_text(least_violation(asked))
        except ArithmeticError:
            broken = ""
        mends = ranked_mends(question, units, courses, feather)
        reason = f"{refused.reason} {broken}".strip()
        raise NotDesignedError(reason, mends_text(mends) if any(m.allowed for m in mends) else refused.mend) from None
