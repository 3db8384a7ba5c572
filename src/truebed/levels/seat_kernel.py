"""The frame's least greatest departure, row by row for four unknowns: level, two slopes, departure (exchange method).

Rows are never stored: row i < n says that rim point i is not above its target by more than t, n + i not below it, then
come the seat points' greatest bed, their least bed and, last, the least fall. Lengths in the plan are in metres here so
that all terms are of about one size. The start is the exact answer for four points spread round the rim.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled
from truebed.levels.least_kernel import (
    INFEASIBLE,
    OPTIMAL,
    PIVOT_RATIO,
    STALLED_STEPS,
    TIE_RATIO,
    UNFINISHED,
    WITHIN_RATIO,
)

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

MOST_STEPS = 400
#: The basis rows must meet to this [mm], or their inverse is worked out anew.
MEET_MM = 1e-11


@compiled
def _row(r: int, rim: Array, target: Array, seat: Array, bed: Array, fall: Array, a: Array) -> float:
    """Row r's terms into a; its limit. bed: greatest, least rim level at each seat point; fall: direction, least."""
    n, m = rim.shape[0], seat.shape[0]
    if r < 2 * n:
        i, sign_ratio = (r, 1.0) if r < n else (r - n, -1.0)
        a[0], a[1], a[2], a[3] = sign_ratio, sign_ratio * rim[i, 0], sign_ratio * rim[i, 1], -1.0
        return float(sign_ratio * target[i])
    if r < 2 * n + 2 * m:
        i, sign_ratio = (r - 2 * n, 1.0) if r < 2 * n + m else (r - 2 * n - m, -1.0)
        a[0], a[1], a[2], a[3] = sign_ratio, sign_ratio * seat[i, 0], sign_ratio * seat[i, 1], 0.0
        return float(bed[i, 0] if sign_ratio > 0.0 else -bed[i, 1])
    a[0], a[1], a[2], a[3] = 0.0, fall[0], fall[1], 0.0
    return float(-fall[2])


@compiled
def _worst(rim: Array, target: Array, seat: Array, bed: Array, fall: Array, x: Array, within_mm: float) -> int:
    """The row most out of its limit; -1 where none is."""
    n, m, found, worst_mm = rim.shape[0], seat.shape[0], -1, within_mm
    level_mm, along_mm, across_mm = x[0], x[1], x[2]
    above_mm, below_mm, above, below = -np.inf, np.inf, 0, 0
    for i in range(n):
        off_mm = level_mm + along_mm * rim[i, 0] + across_mm * rim[i, 1] - target[i]
        if off_mm > above_mm:
            above_mm, above = off_mm, i
        if off_mm < below_mm:
            below_mm, below = off_mm, i
    if above_mm - x[3] > worst_mm:
        worst_mm, found = above_mm - x[3], above
    if -below_mm - x[3] > worst_mm:
        worst_mm, found = -below_mm - x[3], n + below
    for i in range(m):
        rim_mm = level_mm + along_mm * seat[i, 0] + across_mm * seat[i, 1]
        if rim_mm - bed[i, 0] > worst_mm:
            worst_mm, found = rim_mm - bed[i, 0], 2 * n + i
        if bed[i, 1] - rim_mm > worst_mm:
            worst_mm, found = bed[i, 1] - rim_mm, 2 * n + m + i
    if fall[0] * along_mm + fall[1] * across_mm + fall[2] > worst_mm:
        found = 2 * n + 2 * m
    return found


@compiled
def _first_out(rim: Array, target: Array, seat: Array, bed: Array, fall: Array, x: Array, within_mm: float) -> int:
    """The first row out of its limit (Bland's rule)."""
    a = np.zeros(4)
    for r in range(2 * rim.shape[0] + 2 * seat.shape[0] + 1):
        limit_mm = _row(r, rim, target, seat, bed, fall, a)
        if a[0] * x[0] + a[1] * x[1] + a[2] * x[2] + a[3] * x[3] - limit_mm > within_mm:
            return r
    return -1


@compiled
def _area(p: Array, i: int, j: int, k: int) -> float:
    """Twice the area of the triangle of three rim points, with its sign."""
    return float((p[j, 0] - p[i, 0]) * (p[k, 1] - p[i, 1]) - (p[k, 0] - p[i, 0]) * (p[j, 1] - p[i, 1]))


@compiled
def _start(rim: Array, target: Array, basis: Whole, weights: Array) -> bool:
    """The exact answer for four points spread round the rim: rows that touch, and their multipliers."""
    n = rim.shape[0]
    i, j, k, m = 0, n // 4, n // 2, (3 * n) // 4
    weights[0], weights[1] = _area(rim, j, k, m), -_area(rim, i, k, m)
    weights[2], weights[3] = _area(rim, i, j, m), -_area(rim, i, j, k)
    basis[0], basis[1], basis[2], basis[3] = i, j, k, m
    total_ratio, twist_mm = 0.0, 0.0
    for s in range(4):
        total_ratio += abs(weights[s])
        twist_mm += weights[s] * target[basis[s]]
    if n < 4 or total_ratio < 1e-6:
        return False
    turn_ratio = -1.0 if twist_mm > 0.0 else 1.0
    for s in range(4):
        weights[s] *= turn_ratio / total_ratio
        if weights[s] < 0.0:
            weights[s] = -weights[s]
            basis[s] += n
    return True


@compiled
def _invert4(table: Array, inverse: Array) -> bool:
    """Inverse of a 4 by 4 table (Gauss and Jordan, largest pivot); table is spent."""
    for i in range(4):
        for j in range(4):
            inverse[i, j] = 1.0 if i == j else 0.0
    for i in range(4):
        best = i
        for k in range(i + 1, 4):
            if abs(table[k, i]) > abs(table[best, i]):
                best = k
        if abs(table[best, i]) < 1e-12:
            return False
        one_ratio = 1.0 / table[best, i]
        for j in range(4):
            table[i, j], table[best, j] = table[best, j], table[i, j]
            inverse[i, j], inverse[best, j] = inverse[best, j], inverse[i, j]
            table[i, j] *= one_ratio
            inverse[i, j] *= one_ratio
        for k in range(4):
            share_ratio = table[k, i]
            if k != i and share_ratio != 0.0:
                for j in range(4):
                    table[k, j] -= share_ratio * table[i, j]
                    inverse[k, j] -= share_ratio * inverse[i, j]
    return True


@compiled
def _fresh4(
    rim: Array, target: Array, seat: Array, bed: Array, fall: Array, basis: Whole, limits: Array, table: Array,
    inverse: Array,
) -> bool:  # fmt: skip
    for s in range(4):
        limits[s] = _row(basis[s], rim, target, seat, bed, fall, table[s])
    return bool(_invert4(table, inverse))


@compiled
def _leaves(basis: Whole, weights: Array, w: Array, first: bool) -> int:
    """Which basis row's multiplier first falls to nought; -1 where none falls."""
    least_ratio, found = np.inf, -1
    for s in range(4):
        if w[s] > PIVOT_RATIO:
            ratio = max(weights[s], 0.0) / w[s]
            tie = found >= 0 and abs(ratio - least_ratio) <= TIE_RATIO
            better = (basis[s] < basis[found] if first else w[s] > w[found]) if tie else ratio < least_ratio
            if better:
                least_ratio, found = ratio, s
    return found


@compiled
def _swap(inverse: Array, weights: Array, w: Array, out: int) -> float:
    step_ratio: float = max(weights[out], 0.0) / w[out]
    one_ratio = 1.0 / w[out]
    for j in range(4):
        kept_ratio = inverse[j, out] * one_ratio
        for s in range(4):
            inverse[j, s] -= kept_ratio * w[s]
        inverse[j, out] = kept_ratio
    for s in range(4):
        weights[s] -= step_ratio * w[s]
    weights[out] = step_ratio
    return step_ratio


@compiled
def _meet(limits: Array, inverse: Array, x: Array) -> None:
    for j in range(4):
        x[j] = (
            inverse[j, 0] * limits[0]
            + inverse[j, 1] * limits[1]
            + inverse[j, 2] * limits[2]
            + inverse[j, 3] * limits[3]
        )


@compiled
def _settled(rim: Array, target: Array, seat: Array, bed: Array, fall: Array, basis: Whole, x: Array, a: Array) -> bool:
    """Whether the basis rows truly meet at x."""
    for s in range(4):
        limit_mm = _row(basis[s], rim, target, seat, bed, fall, a)
        if abs(a[0] * x[0] + a[1] * x[1] + a[2] * x[2] + a[3] * x[3] - limit_mm) > MEET_MM:
            return False
    return True


@compiled
def least_departure(
    rim: Array, target: Array, seat: Array, bed: Array, fall: Array, within_mm: float, room: Array, x: Array,
    basis: Whole, weights: Array,
) -> int:  # fmt: skip
    """Level, slopes [mm per m] and greatest departure into x, touching rows into basis, their multipliers into weights.

    room    (10, 4) of working room
    Valid       rim and seat in metres; four rim points or more, listed round it; fall (0, 0, -1) where none is asked
    Source      [cheney] (from memory): exchange method, which is the dual simplex
    Proved by   tests/levels/test_seat_many.py
    """
    table, inverse, limits, w = room[0:4], room[4:8], room[8], room[9]
    if not _start(rim, target, basis, weights):
        return UNFINISHED
    if not _fresh4(rim, target, seat, bed, fall, basis, limits, table, inverse):
        return UNFINISHED
    stalled, renewed = 0, False
    for step in range(MOST_STEPS):
        _meet(limits, inverse, x)
        first = stalled > STALLED_STEPS
        if first:
            row = _first_out(rim, target, seat, bed, fall, x, within_mm)
        else:
            row = _worst(rim, target, seat, bed, fall, x, within_mm)
        if row < 0:
            if renewed or _settled(rim, target, seat, bed, fall, basis, x, w):
                return OPTIMAL
            renewed = _fresh4(rim, target, seat, bed, fall, basis, limits, table, inverse)
            continue
        limit_mm = _row(row, rim, target, seat, bed, fall, table[0])
        for s in range(4):
            w[s] = (
                table[0, 0] * inverse[0, s] + table[0, 1] * inverse[1, s] + table[0, 2] * inverse[2, s]
                + table[0, 3] * inverse[3, s]
            )  # fmt: skip
        out = _leaves(basis, weights, w, first)
        if out < 0:
            return INFEASIBLE
        gain_ratio = _swap(inverse, weights, w, out)
        basis[out], limits[out] = row, limit_mm
        stalled = stalled + 1 if gain_ratio <= TIE_RATIO else 0
        if step % 24 == 23:
            _fresh4(rim, target, seat, bed, fall, basis, limits, table, inverse)
    return UNFINISHED


@compiled
def greatest_limit_mm(target: Array, bed: Array) -> float:
    """How far out of a limit a row may be: a share of the greatest limit.

    Valid       any
    Source      house
    Proved by   tests/levels/test_seat_many.py
    """
    greatest_mm = 1.0
    for i in range(len(target)):
        greatest_mm = max(greatest_mm, abs(target[i]))
    for i in range(bed.shape[0]):
        greatest_mm = max(greatest_mm, abs(bed[i, 0]), abs(bed[i, 1]))
    return 4.0 * WITHIN_RATIO * greatest_mm
