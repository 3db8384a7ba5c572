"""The make-up of a chamber: whole courses and rings added or taken off, another frame, so that the bed fits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from truebed.given.survey import YardUnit
from truebed.levels.frame_setting import SettingQuestion, rim_samples, seat_question
from truebed.levels.seat_program import ROOM_MM, mend, seat_frame
from truebed.levels.seat_question import SeatQuestion, SeatSample

#: Courses and rings that one make-up may add at most: more than this is a rebuild, not a make-up.
ADDED_MOST_COUNT = 6


@dataclass(frozen=True, slots=True)
class Courses:
    """What stands on the chamber and can come off: how many courses, height of one, minutes to take one off."""

    count: int
    height_mm: float
    off_work_min: float


@dataclass(frozen=True, slots=True)
class Makeup:
    """One whole-number choice that brings the bed inside its limits, worked out again and found to do so.

    off_count      courses taken off; added: (unit, how many), names in order; frame: another frame's name, '' as it is
    raise_mm       what the chamber top comes up by (negative: down); frame_depth_mm: of the frame then
    greatest_mm    greatest departure from the target; bed_least_mm, bed_most_mm: of the bed then
    """

    off_count: int
    added: tuple[tuple[str, int], ...]
    frame: str
    raise_mm: float
    frame_depth_mm: float
    work_min: float
    units_count: int
    greatest_mm: float
    bed_least_mm: float
    bed_most_mm: float

    def words(self) -> str:
        """The choice in words."""
        bits = [f"take {self.off_count} course{'s' if self.off_count > 1 else ''} off"] if self.off_count else []
        bits += [f"add {count} x {unit}" for unit, count in self.added]
        named = self.frame if self.frame.startswith("frame") else f"frame {self.frame}"
        bits += [f"use {named} ({self.frame_depth_mm:g} mm deep)"] if self.frame else []
        return ", ".join(bits) if bits else "nothing to add or take off"


def _additions(
    units: tuple[YardUnit, ...], left_count: int
) -> Iterator[tuple[tuple[tuple[str, int], ...], float, float, int]]:
    """Every choice of units to add: what, height, minutes, how many; depth first, in the order of the list."""
    if not units:
        yield (), 0.0, 0.0, 0
        return
    first, rest = units[0], units[1:]
    for count in range(min(first.count, left_count) + 1):
        for more, height, work, number in _additions(rest, left_count - count):
            named = ((first.unit, count), *more) if count else more
            yield named, height + count * first.height_mm, work + count * first.work_min, number + count


def _frames(question: SettingQuestion, units: tuple[YardUnit, ...]) -> list[tuple[str, float, float, int]]:
    """Frames to choose from: name ('' = the one at hand), depth, minutes, units used."""
    others = [
        (u.unit, u.height_mm, u.work_min, 1)
        for u in units
        if u.kind == "frame" and u.count > 0 and u.height_mm != question.frame_depth_mm
    ]
    return [("", question.frame_depth_mm, 0.0, 0), *others]


def raised_seat(asked: SeatQuestion, raise_mm: float, frame_depth_mm: float) -> SeatQuestion:
    """The same question over a chamber top raised evenly, with a frame of another depth.

    Valid       any
    Source      algebra
    Proved by   tests/levels/test_mends.py
    """
    seat = tuple(SeatSample(s.name, s.x_mm, s.y_mm, s.chamber_top_mm + raise_mm) for s in asked.seat)
    return replace(asked, seat=seat, frame_depth_mm=frame_depth_mm)


def makeup(
    question: SettingQuestion,
    units: tuple[YardUnit, ...],
    courses: Courses | None = None,
    most_count: int = 5,
) -> tuple[Makeup, ...]:
    """Whole-number make-ups with which the frame sits in tolerance and the bed in its limits everywhere.

    Least work first, then fewest units, then least greatest departure. Every combination is looked at: courses off,
    units of kind 'course' and 'ring' added (six at most), each frame in stock. () where none does, or where the wall's
    tilt defies any even raising. Where the road's own shape holds the frame out, what that shape allows is asked.
    units       those that fit this chamber; count: how many lie in the yard

    Valid       even raising of the whole wall top
    Source      algebra (linear programme for the range of raising, then enumeration)
    Proved by   tests/levels/test_mends.py
    """
    asked = seat_question(question, rim_samples(question))
    allowed = mend(asked)
    low_mm, high_mm = allowed.raise_least_mm, allowed.raise_most_mm
    if low_mm is None or high_mm is None:
        return ()
    added = tuple(u for u in units if u.kind in ("course", "ring") and u.count > 0)
    choices = list(_additions(added, ADDED_MOST_COUNT))
    picked = []
    for name, depth_mm, frame_min, frame_count in _frames(question, units):
        deeper_mm = depth_mm - question.frame_depth_mm
        for off in range((courses.count if courses else 0) + 1):
            off_mm, off_min = (courses.height_mm * off, courses.off_work_min * off) if courses else (0.0, 0.0)
            for named, height_mm, work_min, number in choices:
                raised_mm = height_mm - off_mm
                if low_mm - 1e-9 <= raised_mm + deeper_mm <= high_mm + 1e-9:
                    cost = (work_min + off_min + frame_min, number + off + frame_count)
                    picked.append((cost, off, named, name, raised_mm, depth_mm))
    picked.sort(key=lambda p: (p[0], p[1], p[3], p[2]))
    found = [_worked_out(asked, *one) for one in picked[: 4 * most_count]]
    good = [m for m in found if m is not None]
    good.sort(key=lambda m: (m.work_min, m.units_count, round(m.greatest_mm, 6)))
    return tuple(good[:most_count])


def _worked_out(
    asked: SeatQuestion,
    cost: tuple[float, int],
    off: int,
    added: tuple[tuple[str, int], ...],
    frame: str,
    raise_mm: float,
    depth_mm: float,
) -> Makeup | None:
    """The setting over the changed chamber: None where it does not do after all."""
    changed = raised_seat(asked, raise_mm, depth_mm)
    answer = seat_frame(changed)
    if answer is None or answer.greatest_mm > max(asked.half_band_mm, answer.free_mm + ROOM_MM) + 1e-6:
        return None
    bed = [answer.rim.at(s.x_mm, s.y_mm) - depth_mm - s.chamber_top_mm for s in changed.seat]
    return Makeup(
        off, added, frame, raise_mm, depth_mm, cost[0], cost[1], answer.greatest_mm, min(bed), max(bed)
    )  # fmt: skip
