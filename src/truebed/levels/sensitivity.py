"""Which road reading matters most: how the set corners move with each reading, and without it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.plane import Plane
from truebed.levels.frame_setting import SettingQuestion, rim_samples, seat_question
from truebed.levels.road_terms import FOLDED, error_terms, term_table
from truebed.levels.seat_program import seat_frame
from truebed.levels.surface import RoadSurface

Array = NDArray[np.float64]

#: A reading is moved by half of this each way: the setting changes with it in straight pieces [mm].
MOVED_MM = 1.0
#: A reading that alone holds a term up (leverage this near to one) cannot be left out.
ALONE_SHARE = 1.0 - 1e-6


@dataclass(frozen=True, slots=True)
class Pull:
    """What 1 mm more in one road reading does to the setting.

    corners         (name, mm of level for each mm of the reading)
    greatest_ratio  mm of greatest departure for each mm
    most_ratio      the corner's that moves most, its sign kept
    """

    point: str
    row: int
    corners: tuple[tuple[str, float], ...]
    most_ratio: float
    greatest_ratio: float


@dataclass(frozen=True, slots=True)
class LeftOut:
    """What changes if one road reading is left out, the road's shape kept.

    carried     False: the others do not carry the shape without it; nothing is told then
    corners     (name, mm that the corner's level moves); greatest_mm: departure then; sits: the bed's limits allow it
    """

    point: str
    row: int
    carried: bool
    corners: tuple[tuple[str, float], ...]
    most_mm: float
    greatest_mm: float | None
    sits: bool


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """Each used reading's pull and what leaving it out changes; most: the point whose reading moves a corner most."""

    pulls: tuple[Pull, ...]
    left_out: tuple[LeftOut, ...]
    most: str


def coefficient_gain(road: RoadSurface) -> Array:
    """How far each coefficient (and of a fold its place, if known) moves for 1 mm of each reading.

    The road's own `gain` where it has one; else of its linear terms by least squares, its fold held.

    Valid       equal weights where the road carries no gain of its own
    Source      algebra ((T'T)^-1 T' over the readings used)
    Proved by   tests/levels/test_sensitivity.py
    """
    if road.gain:
        return np.array(road.gain)
    used = np.array([p.used for p in road.points])
    table = _table(road)
    norms = np.linalg.norm(table[used], axis=0)
    scaled = table[used] / norms
    gain = np.zeros((table.shape[1], len(road.points)))
    gain[:, used] = np.linalg.solve(scaled.T @ scaled, scaled.T) / norms[:, None]
    return gain


def _terms(road: RoadSurface, gain: Array) -> Array:
    """The terms that a gain's rows belong to: of a fold whose place moves too, one more."""
    if len(gain) == len(road.coefficients):
        return _table(road)
    x, y = np.array([p.x_mm for p in road.points]), np.array([p.y_mm for p in road.points])
    return error_terms(road.model, x, y, road.ridge_mm, road.coefficients)


def _table(road: RoadSurface) -> Array:
    x, y = np.array([p.x_mm for p in road.points]), np.array([p.y_mm for p in road.points])
    return term_table(road.model, x, y, road.ridge_mm)


def shifted(road: RoadSurface, shift: Array) -> RoadSurface:
    """The road with its coefficients (and the fold's place, where the shift has one more) moved.

    Valid       small shifts
    Source      algebra
    Proved by   tests/levels/test_sensitivity.py
    """
    count = len(road.coefficients)
    coefficients = tuple(float(c + s) for c, s in zip(road.coefficients, shift[:count], strict=True))
    moved_mm = float(shift[count]) if road.model in FOLDED and len(shift) > count else 0.0
    return replace(road, coefficients=coefficients, ridge_mm=road.ridge_mm + moved_mm)


def _set(question: SettingQuestion, road: RoadSurface) -> tuple[Plane, float] | None:
    changed = replace(question, road=road)
    answer = seat_frame(seat_question(changed, rim_samples(changed)))
    return None if answer is None else (answer.rim, answer.greatest_mm)


def _corners(question: SettingQuestion, plane: Plane) -> Array:
    return np.array([plane.at(x, y) for _, (x, y) in question.corners])


def _most(values: Array) -> float:
    return float(values[int(np.argmax(np.abs(values)))])


def pulls(question: SettingQuestion) -> tuple[Pull, ...]:
    """What 1 mm more in each used road reading does to each corner's level and to the greatest departure.

    The chamber top is held. The reading is moved half a millimetre each way and the frame set anew.

    Valid       readings that the fit used; a question that set_frame answers
    Source      algebra (central difference of the programme's answer over the fit's linear gain)
    Proved by   tests/levels/test_sensitivity.py
    """
    gain = coefficient_gain(question.road)
    found = []
    for j, point in enumerate(question.road.points):
        if not point.used:
            continue
        step = gain[:, j] * MOVED_MM / 2.0
        up, down = _set(question, shifted(question.road, step)), _set(question, shifted(question.road, -step))
        if up is None or down is None:
            continue
        corners = (_corners(question, up[0]) - _corners(question, down[0])) / MOVED_MM
        named = tuple((name, float(c)) for (name, _), c in zip(question.corners, corners, strict=True))
        found.append(Pull(point.point, point.row, named, _most(corners), (up[1] - down[1]) / MOVED_MM))
    return tuple(found)


def left_out(question: SettingQuestion) -> tuple[LeftOut, ...]:
    """The setting without each used road reading in turn, the road's shape kept.

    Valid       a least-squares fit of independent readings, weighted or not (readings of one string or straightedge
                share its error: then nearly); a fold's place moves to first order where its gain is known
    Source      algebra (deletion of one row: gain x residual / (1 - leverage))
    Proved by   tests/levels/test_sensitivity.py
    """
    road = question.road
    gain = coefficient_gain(road)
    table = _terms(road, gain)
    base = _set(question, road)
    if base is None:
        return ()
    before = _corners(question, base[0])
    found = []
    for j, point in enumerate(road.points):
        if not point.used:
            continue
        leverage = float(table[j] @ gain[:, j])
        if leverage >= ALONE_SHARE:
            found.append(LeftOut(point.point, point.row, False, (), 0.0, None, sits=False))
            continue
        answer = _set(question, shifted(road, -gain[:, j] * point.residual_mm / (1.0 - leverage)))
        if answer is None:
            found.append(LeftOut(point.point, point.row, True, (), 0.0, None, sits=False))
            continue
        change = _corners(question, answer[0]) - before
        named = tuple((name, float(c)) for (name, _), c in zip(question.corners, change, strict=True))
        found.append(LeftOut(point.point, point.row, True, named, _most(change), answer[1], sits=True))
    return tuple(found)


def sensitivity(question: SettingQuestion) -> Sensitivity:
    """Pulls and left-out settings of every used road reading, and which reading moves a corner most for each mm.

    Valid       as pulls and left_out
    Source      as pulls and left_out
    Proved by   tests/levels/test_sensitivity.py
    """
    each = pulls(question)
    most = max(each, key=lambda p: round(abs(p.most_ratio), 9)).point if each else ""
    return Sensitivity(each, left_out(question), most)
