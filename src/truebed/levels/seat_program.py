"""The rigid frame's best plane as a linear programme (HiGHS through SciPy)."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.plane import Plane
from truebed.levels.seat_question import SeatAnswer, SeatMend, SeatQuestion

Array = NDArray[np.float64]

#: Coordinates enter the programme in metres so that its numbers are of one size.
MM_PER_UNIT = 1000.0
SLACK_MM = 1e-7
#: Room beyond the road's own shape, so that a mend does not rest on the last digit of a programme's answer.
ROOM_MM = 0.01


def _solve(cost: Array, rows: Array, limits: Array, bounds: list[tuple[float | None, float | None]]) -> Array | None:
    from scipy.optimize import linprog

    result = linprog(cost, A_ub=rows, b_ub=limits, bounds=bounds, method="highs-ds")
    if result.status == 0:
        answer: Array = np.asarray(result.x, dtype=float)
        return answer
    return None


def _plane_terms(points: list[tuple[float, float]]) -> Array:
    table = np.array(points, dtype=float) / MM_PER_UNIT
    return np.column_stack([np.ones(len(points)), table])


def _parts(question: SeatQuestion) -> tuple[Array, Array, Array, Array]:
    rim = _plane_terms([(s.x_mm, s.y_mm) for s in question.rim])
    target = np.array([s.road_mm - question.set_down_mm for s in question.rim])
    seat = _plane_terms([(s.x_mm, s.y_mm) for s in question.seat])
    ground = np.array([s.chamber_top_mm + question.frame_depth_mm for s in question.seat])
    return rim, target, seat, ground


def _columns(table: Array, *more: Array | float) -> Array:
    ones = np.ones(len(table))
    return np.column_stack([table, *[m * ones if isinstance(m, float) else m for m in more]])


def _as_plane(answer: Array) -> Plane:
    return Plane(float(answer[0]), float(answer[1]) / MM_PER_UNIT, float(answer[2]) / MM_PER_UNIT)


FREE: list[tuple[float | None, float | None]] = [(None, None)] * 3


def least_greatest_mm(question: SeatQuestion, *, with_bed: bool) -> tuple[Array, float] | None:
    """The plane of least greatest departure: unknowns a, b, c and t, |plane - target| <= t; bed limits on or off.

    Valid       three rim samples or more not in line
    Source      [cheney] Chebyshev solution by linear programming (from memory)
    Proved by   tests/oracles/test_chebyshev.py
    """
    rim, target, seat, ground = _parts(question)
    rows = [_columns(rim, -1.0), _columns(-rim, -1.0)]
    limits = [target, -target]
    if with_bed:
        rows += [_columns(seat, 0.0), _columns(-seat, 0.0)]
        limits += [ground + question.bed_most_mm, -(ground + question.bed_least_mm)]
    answer = _solve(np.array([0.0, 0.0, 0.0, 1.0]), np.vstack(rows), np.concatenate(limits), [*FREE, (0.0, None)])
    return None if answer is None else (answer[:3], float(answer[3]))


def _nearest_of_equals(question: SeatQuestion, greatest_mm: float) -> Array | None:
    rim, target, seat, ground = _parts(question)
    count = len(rim)
    eye = np.eye(count)
    none = np.zeros((len(rim), count))
    bare = np.zeros((len(seat), count))
    rows = np.vstack(
        [
            np.hstack([rim, -eye]),
            np.hstack([-rim, -eye]),
            np.hstack([rim, none]),
            np.hstack([-rim, none]),
            np.hstack([seat, bare]),
            np.hstack([-seat, bare]),
        ]
    )
    room = greatest_mm + SLACK_MM
    limits = np.concatenate(
        [
            target,
            -target,
            target + room,
            room - target,
            ground + question.bed_most_mm + SLACK_MM,
            -(ground + question.bed_least_mm) + SLACK_MM,
        ]
    )
    cost = np.concatenate([np.zeros(3), np.ones(count)])
    answer = _solve(cost, rows, limits, [*FREE, *[(0.0, None)] * count])
    return None if answer is None else answer[:3]


def seat_frame(question: SeatQuestion) -> SeatAnswer | None:
    """The rim plane of least greatest departure within the bed's limits; among equals the one nearest on average.

    None where no plane at all keeps the bed within its limits.

    Valid       three rim samples or more not in line, bed_least <= bed_most
    Source      [cheney] (from memory); second stage: least sum of departures among equals
    Proved by   tests/oracles/test_chebyshev.py, tests/levels/test_frame_setting.py
    """
    free = least_greatest_mm(question, with_bed=False)
    bound = least_greatest_mm(question, with_bed=True)
    if free is None or bound is None:
        return None
    nearest = _nearest_of_equals(question, bound[1])
    plane = bound[0] if nearest is None else nearest
    return SeatAnswer(_as_plane(plane), bound[1], free[1])


def _raise_mm(question: SeatQuestion, sign_ratio: float) -> float | None:
    rim, target, seat, ground = _parts(question)
    rows = np.vstack([_columns(rim, 0.0), _columns(-rim, 0.0), _columns(seat, -1.0), _columns(-seat, 1.0)])
    limits = np.concatenate(
        [
            target + question.half_band_mm,
            question.half_band_mm - target,
            ground + question.bed_most_mm,
            -(ground + question.bed_least_mm),
        ]
    )
    answer = _solve(np.array([0.0, 0.0, 0.0, sign_ratio]), rows, limits, [*FREE, (None, None)])
    return None if answer is None else float(answer[3])


def _relax_mm(question: SeatQuestion) -> float | None:
    rim, target, seat, ground = _parts(question)
    rows = np.vstack([_columns(rim, 0.0), _columns(-rim, 0.0), _columns(seat, -1.0), _columns(-seat, -1.0)])
    limits = np.concatenate(
        [
            target + question.half_band_mm,
            question.half_band_mm - target,
            ground + question.bed_most_mm,
            -(ground + question.bed_least_mm),
        ]
    )
    answer = _solve(np.array([0.0, 0.0, 0.0, 1.0]), rows, limits, [*FREE, (0.0, None)])
    return None if answer is None else float(answer[3])


def mend(question: SeatQuestion) -> SeatMend:
    """What would mend a frame that cannot sit: even raising of the chamber top, and how far the bed is out of limits.

    Where the road's own shape holds the frame out of the half band, the mend asks for what that shape allows.

    Valid       a question that seat_frame answers with more than the half band, or not at all
    Source      algebra (linear programmes over the raising and over the relaxation)
    Proved by   tests/oracles/test_chebyshev.py
    """
    free = least_greatest_mm(question, with_bed=False)
    shape_mm = 0.0 if free is None else free[1] + ROOM_MM
    asked = replace(question, half_band_mm=max(question.half_band_mm, shape_mm))
    return SeatMend(_raise_mm(asked, 1.0), _raise_mm(asked, -1.0), _relax_mm(asked))
