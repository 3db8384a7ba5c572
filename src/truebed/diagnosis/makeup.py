"""Chamber make-up: which courses, rings and frame in stock bring the bed within its limits, least work first."""

from __future__ import annotations

import math
from dataclasses import dataclass

from truebed.errors import NotDesignedError
from truebed.given.survey import YardUnit

#: Heights and work are counted in whole thousandths of a millimetre and of a minute, so that sums are exact.
PER_MM = 1000
#: How many choices are handed back.
CHOICES = 5


@dataclass(frozen=True, slots=True)
class MakeupQuestion:
    """What is asked.

    gaps_mm          at each point of the seating: from the chamber top up to the underside of the frame set true, with
                     the frame that is there and nothing added; negative where the chamber top stands too high
    frame_depth_mm   of that frame
    bed_least_mm, bed_most_mm   the bed's limits, held at every point
    units            in stock and fitting; a 'frame' takes the place of the one that is there, at most one
    courses_off_most how many courses could be taken off; course_off_mm the height, off_work_min the work of each
    """

    gaps_mm: tuple[float, ...]
    frame_depth_mm: float
    bed_least_mm: float
    bed_most_mm: float
    units: tuple[YardUnit, ...]
    courses_off_most: int = 0
    course_off_mm: float = 0.0
    off_work_min: float = 0.0


@dataclass(frozen=True, slots=True)
class MakeupChoice:
    """One choice: how many of which units (name, count), courses taken off, the bed after it.

    change_mm   how much less the bed gets, all over; frame: name of the frame unit, '' for the one that is there
    """

    units: tuple[tuple[str, int], ...]
    courses_off: int
    frame: str
    change_mm: float
    bed_least_mm: float
    bed_most_mm: float
    work_min: float
    pieces: int

    def sentence(self) -> str:
        """The choice in words."""
        parts = [f"{count} x {name}" for name, count in self.units]
        parts += [f"{self.courses_off} courses off"] if self.courses_off > 1 else []
        parts += ["1 course off"] if self.courses_off == 1 else []
        parts += [f"frame {self.frame}"] if self.frame else []
        what = ", ".join(parts) if parts else "nothing to add"
        return f"{what}: bed {self.bed_least_mm:.1f} to {self.bed_most_mm:.1f} mm, {self.work_min:g} min"


@dataclass(frozen=True, slots=True)
class Makeup:
    """The answer.

    choices    that hold the limits at every point, best first; () if none does
    nearest    where none does: the choice that misses by least; miss_mm by how much, at the worst point
    uneven_mm  by how much the chamber top varies more than the bed's limits can take up: no even raise can mend that;
               0 where it can
    """

    choices: tuple[MakeupChoice, ...]
    nearest: MakeupChoice | None
    miss_mm: float
    uneven_mm: float


@dataclass(frozen=True, slots=True, order=True)
class _Label:
    """The cheapest way to one total change: by work (thousandths of a minute), then pieces, then the counts."""

    work: int
    pieces: int
    counts: tuple[int, ...]
    off: int
    frame: str


def whole(length_mm: float) -> int:
    """A length in whole thousandths of a millimetre (work: of a minute).

    Valid       any length of a works
    Source      algebra (rounding)
    Proved by   tests/diagnosis/test_makeup.py
    """
    return round(length_mm * PER_MM)


def makeup(question: MakeupQuestion) -> Makeup:
    """The choices of courses, rings and frame that bring the bed within its limits, least work first.

    Order: least work, then fewest pieces, then least change of height. Exact: every reachable total is kept with its
    cheapest way, and a total beyond the limits is not built on further, since more units only take it further out.

    Valid       an even raise all over; heights to a thousandth of a mm, units that add height
    Source      algebra (dynamic programme over totals)
    Raises      NotDesignedError for limits or units that cannot be
    Proved by   tests/diagnosis/test_makeup.py, tests/oracles/test_makeup_brute.py
    """
    _refuse_bad(question)
    low = whole(max(question.gaps_mm)) - whole(question.bed_most_mm)
    high = whole(min(question.gaps_mm)) - whole(question.bed_least_mm)
    adds = tuple(unit for unit in question.units if unit.kind in ("course", "ring"))
    reached = _reached(question, adds, max(low, high))
    uneven = max(0, low - high) / PER_MM
    fitting = sorted(
        (label.work, label.pieces, abs(total), total) for total, label in reached.items() if low <= total <= high
    )
    if fitting:
        best = tuple(_choice(question, adds, total, reached[total]) for _, _, _, total in fitting[:CHOICES])
        return Makeup(best, None, 0.0, uneven)
    missed = min(
        (max(low - total, total - high), label.work, label.pieces, abs(total), total)
        for total, label in reached.items()
    )
    nearest = _choice(question, adds, missed[-1], reached[missed[-1]])
    return Makeup((), nearest, missed[0] / PER_MM, uneven)


def _refuse_bad(question: MakeupQuestion) -> None:
    if not question.gaps_mm:
        raise NotDesignedError(
            "No point of the seating is given: nothing can be made up.", "Measure the chamber top at eight points."
        )
    if not all(math.isfinite(gap) for gap in question.gaps_mm):
        raise NotDesignedError("A point of the seating has no finite height.", "Measure that point again.")
    if question.bed_least_mm > question.bed_most_mm:
        raise NotDesignedError(
            f"The bed's least thickness {question.bed_least_mm:g} mm is above its most {question.bed_most_mm:g} mm.",
            "Mend the limits on the bed's data sheet.",
        )
    for unit in question.units:
        if whole(unit.height_mm) <= 0 or unit.count < 0 or unit.work_min < 0.0:
            raise NotDesignedError(
                f"units.csv row {unit.row}: unit '{unit.unit}' adds {unit.height_mm:g} mm, {unit.count} in stock, "
                f"{unit.work_min:g} min of work; each must not be below nought, the height above it.",
                "Mend that row.",
            )


def _starts(question: MakeupQuestion) -> list[tuple[int, _Label]]:
    """Before anything is added: each frame with each number of courses taken off."""
    frames: list[tuple[int, int, int, str]] = [(0, 0, 0, "")]
    for unit in question.units:
        if unit.kind == "frame" and unit.count > 0:
            change = whole(unit.height_mm) - whole(question.frame_depth_mm)
            frames.append((change, whole(unit.work_min), 1, unit.unit))
    return [
        (
            change - off * whole(question.course_off_mm),
            _Label(work + off * whole(question.off_work_min), pieces + off, (), off, frame),
        )
        for change, work, pieces, frame in frames
        for off in range(question.courses_off_most + 1)
    ]


def _reached(question: MakeupQuestion, adds: tuple[YardUnit, ...], top: int) -> dict[int, _Label]:
    """Every total change that can be reached, with its cheapest way; beyond `top` more only misses by more."""
    reached: dict[int, _Label] = {}
    for total, label in _starts(question):
        _keep(reached, total, label)
    for unit in adds:
        step, longer = whole(unit.height_mm), dict[int, _Label]()
        for total, label in reached.items():
            for count in range(unit.count + 1):
                new = total + count * step
                work = label.work + count * whole(unit.work_min)
                _keep(longer, new, _Label(work, label.pieces + count, (*label.counts, count), label.off, label.frame))
                if new > top:
                    break
        reached = longer
    return reached


def _keep(reached: dict[int, _Label], total: int, label: _Label) -> None:
    if total not in reached or label < reached[total]:
        reached[total] = label


def _choice(question: MakeupQuestion, adds: tuple[YardUnit, ...], total: int, label: _Label) -> MakeupChoice:
    """A total with its way, told in units and in the bed it leaves."""
    used = tuple((unit.unit, count) for unit, count in zip(adds, label.counts, strict=True) if count)
    change = total / PER_MM
    return MakeupChoice(
        units=used,
        courses_off=label.off,
        frame=label.frame,
        change_mm=change,
        bed_least_mm=min(question.gaps_mm) - change,
        bed_most_mm=max(question.gaps_mm) - change,
        work_min=label.work / PER_MM,
        pieces=label.pieces,
    )
