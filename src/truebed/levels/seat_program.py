"""The rigid frame's best plane as a linear programme over its level and two slopes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.plane import Plane
from truebed.levels.least import Optimum, least
from truebed.levels.seat_question import SeatAnswer, SeatMend, SeatQuestion

Array = NDArray[np.float64]

#: Room that the second stage has beside the least greatest departure, far below what can be measured or set.
SLACK_MM = 1e-10
#: Room beyond the road's own shape, so that a mend does not rest on the last digit of a programme's answer.
ROOM_MM = 0.01
#: A multiplier below this does not hold the plane in its place.
HOLDS_RATIO = 1e-9


@dataclass(frozen=True, slots=True)
class Held:
    """Further limits on the rim plane, a kerb's or a rule's: rows @ (level_mm, slope_x, slope_y) <= limits [mm]."""

    rows: Array
    limits: Array


@dataclass(frozen=True, slots=True)
class Governor:
    """A limit that holds the frame where it is.

    kind          above or below its target by the greatest departure, at a limit of the bed, at the least fall
    weight_ratio  by how many mm the greatest departure falls for each mm by which that limit gives way
    """

    name: str
    kind: Literal["rim above", "rim below", "bed greatest", "bed least", "fall", "held"]
    weight_ratio: float


NOTHING_HELD = Held(np.zeros((0, 3)), np.zeros(0))


def _terms(points: list[tuple[float, float]]) -> Array:
    table = np.array(points, dtype=float).reshape(-1, 2)
    return np.column_stack([np.ones(len(table)), table])


def _rim(question: SeatQuestion) -> tuple[Array, Array]:
    target = np.array([s.road_mm - question.set_down_mm for s in question.rim])
    return _terms([(s.x_mm, s.y_mm) for s in question.rim]), target


def _seat(question: SeatQuestion) -> tuple[Array, Array]:
    """The seat points and the rim's level there at no bed at all."""
    ground = np.array([s.chamber_top_mm + question.frame_depth_mm for s in question.seat])
    return _terms([(s.x_mm, s.y_mm) for s in question.seat]), ground


def _always(question: SeatQuestion, held: Held) -> tuple[Array, Array]:
    """Limits on the plane that no mend touches: the least fall, and what is held besides."""
    if question.fall_least_ratio is None:
        return held.rows, held.limits
    fall = np.array([[0.0, *question.fall_towards]])
    return np.vstack([fall, held.rows]), np.concatenate([[-question.fall_least_ratio], held.limits])


def _with(rows: Array, last_ratio: float) -> Array:
    return np.column_stack([rows, np.full(len(rows), last_ratio)])


def _departure(question: SeatQuestion, held: Held, with_bed: bool) -> Optimum:
    (rim, target), (seat, ground), (always, kept) = _rim(question), _seat(question), _always(question, held)
    rows = [_with(rim, -1.0), _with(-rim, -1.0), _with(always, 0.0)]
    limits = [target, -target, kept]
    if with_bed:
        rows += [_with(seat, 0.0), _with(-seat, 0.0)]
        limits += [ground + question.bed_most_mm, -(ground + question.bed_least_mm)]
    return least(np.array([0.0, 0.0, 0.0, 1.0]), np.vstack(rows), np.concatenate(limits))


def least_greatest_mm(
    question: SeatQuestion, *, with_bed: bool, held: Held = NOTHING_HELD
) -> tuple[Array, float] | None:
    """The plane (level, slopes) of least greatest departure, and that departure; bed limits on or off.

    None where no plane keeps the limits.

    Valid       any rim samples; for a plane that is the only one, three or more not in line
    Source      [cheney] Chebyshev solution by linear programming (from memory)
    Proved by   tests/oracles/test_chebyshev.py
    """
    answer = _departure(question, held, with_bed)
    return (answer.x[:3], max(answer.value, 0.0)) if answer.found else None


def evenest_bed(question: SeatQuestion, greatest_mm: float, *, held: Held = NOTHING_HELD) -> Array | None:
    """Of the planes no further than greatest_mm from the target, the one whose bed changes least.

    Change: greatest less least bed over the seat samples.

    Valid       greatest_mm that some plane keeps; seat samples
    Source      algebra (linear programme over plane, greatest bed, least bed)
    Proved by   tests/levels/test_seat_program.py
    """
    (rim, target), (seat, ground), (always, kept) = _rim(question), _seat(question), _always(question, held)
    room = greatest_mm + SLACK_MM
    rows = [
        _with(_with(rim, 0.0), 0.0),
        _with(_with(-rim, 0.0), 0.0),
        _with(_with(always, 0.0), 0.0),
        _with(_with(seat, -1.0), 0.0),
        _with(_with(-seat, 0.0), 1.0),
        np.array([[0.0, 0.0, 0.0, 1.0, 0.0], [0.0, 0.0, 0.0, 0.0, -1.0]]),
    ]
    ends = np.array([question.bed_most_mm, -question.bed_least_mm])
    limits = [target + room, room - target, kept, ground, -ground, ends]
    answer = least(np.array([0.0, 0.0, 0.0, 1.0, -1.0]), np.vstack(rows), np.concatenate(limits))
    return answer.x[:3] if answer.found else None


def _only_one(answer: Optimum) -> bool:
    """Whether the limits that hold the plane leave it no other place: as many of them as there are unknowns."""
    return int(np.sum(answer.multipliers > HOLDS_RATIO)) >= len(answer.x)


def seat_frame(question: SeatQuestion, *, held: Held = NOTHING_HELD) -> SeatAnswer | None:
    """The rim plane of least greatest departure within the bed's limits; among equals the one whose bed changes least.

    Least change: greatest less least bed over the seat samples. Without seat samples equals stay as the first programme
    gives them (always the same). None where no plane at all keeps the bed within its limits.

    Valid       three rim samples or more not in line, bed_least <= bed_most
    Source      [cheney] (from memory); second stage: house
    Proved by   tests/oracles/test_chebyshev.py, tests/levels/test_seat_program.py
    """
    bound = _departure(question, held, True)
    free = _departure(question, held, False)
    if not (free.found and bound.found):
        return None
    greatest = max(bound.value, 0.0)
    even = None if _only_one(bound) or not question.seat else evenest_bed(question, greatest, held=held)
    plane = bound.x[:3] if even is None else even
    return SeatAnswer(Plane(float(plane[0]), float(plane[1]), float(plane[2])), greatest, max(free.value, 0.0))


def governors(question: SeatQuestion, *, held: Held = NOTHING_HELD) -> tuple[Governor, ...]:
    """The limits that hold the frame where it is, heaviest first; () where no plane keeps them.

    Their weights prove the answer: no plane can do better than what they add up to (docs/theory/ground.md).

    Valid       a question that seat_frame answers
    Source      algebra (multipliers of the linear programme)
    Proved by   tests/levels/test_seat_program.py
    """
    answer = _departure(question, held, True)
    if not answer.found:
        return ()
    rim, seat = [s.name for s in question.rim], [s.name for s in question.seat]
    fall = [] if question.fall_least_ratio is None else [("fall", "fall")]
    further = [(f"held {i + 1}", "held") for i in range(len(held.limits))]
    # a row 'plane no more than target + t' touches where the frame stands above its target
    names = [(n, "rim above") for n in rim] + [(n, "rim below") for n in rim] + fall + further
    names += [(n, "bed greatest") for n in seat] + [(n, "bed least") for n in seat]
    found = [
        Governor(name, kind, float(w))  # type: ignore[arg-type]
        for (name, kind), w in zip(names, answer.multipliers, strict=True)
        if w > HOLDS_RATIO
    ]
    return tuple(sorted(found, key=lambda g: -g.weight_ratio))


def _mend_mm(question: SeatQuestion, held: Held, cost_ratio: float, columns: tuple[float, float]) -> Optimum:
    """The least of cost x amount with the half band kept; columns: what the amount does to greatest and least bed."""
    (rim, target), (seat, ground), (always, kept) = _rim(question), _seat(question), _always(question, held)
    band = question.half_band_mm
    rows = [_with(rim, 0.0), _with(-rim, 0.0), _with(always, 0.0), _with(seat, columns[0]), _with(-seat, columns[1])]
    limits = [target + band, band - target, kept, ground + question.bed_most_mm, -(ground + question.bed_least_mm)]
    return least(np.array([0.0, 0.0, 0.0, cost_ratio]), np.vstack(rows), np.concatenate(limits))


def mend(question: SeatQuestion, *, held: Held = NOTHING_HELD) -> SeatMend:
    """What would mend a frame that cannot sit: even raising of the chamber top, and how far the bed is out of limits.

    Where the road's own shape holds the frame out of the half band, the mend asks for what that shape allows.

    Valid       a question that seat_frame answers with more than the half band, or not at all
    Source      algebra (linear programmes over the raising and over the relaxation)
    Proved by   tests/oracles/test_chebyshev.py, tests/levels/test_seat_program.py
    """
    free = _departure(question, held, False)
    shape_mm = free.value + ROOM_MM if free.found else 0.0
    asked = replace(question, half_band_mm=max(question.half_band_mm, shape_mm))
    up, down = _mend_mm(asked, held, 1.0, (-1.0, 1.0)), _mend_mm(asked, held, -1.0, (-1.0, 1.0))
    relax = _mend_mm(asked, held, 1.0, (-1.0, -1.0))
    return SeatMend(
        float(up.x[3]) if up.found else None,
        float(down.x[3]) if down.found else None,
        max(float(relax.x[3]), 0.0) if relax.found else None,
    )
