"""Frames of many covers set one after another: least departure, evenest bed among equals, and what would mend them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled
from truebed.levels.least_kernel import OPTIMAL, UNFINISHED, descend
from truebed.levels.seat_kernel import greatest_limit_mm, least_departure

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

IN_TOLERANCE, OUT_OF_TOLERANCE, NO_PLACE = 0, 1, 2
#: As in truebed.levels.seat_program.
SLACK_MM, ROOM_MM, HOLDS_RATIO = 1e-10, 0.01, 1e-9
#: A frame this much beyond its half band is still called in tolerance (the last digit of a sum).
BAND_SLACK_MM = 1e-9
MOST_STEPS = 4000


@compiled
def _pair(rows: Array, limits: Array, at: int, one: Array, high_mm: float, low_mm: float) -> None:
    """Two rows: the plane at a point is no more than high, no less than low."""
    n = rows.shape[1]
    for j in range(n):
        rows[at, j] = 0.0
        rows[at + 1, j] = 0.0
    rows[at, 0], rows[at, 1], rows[at, 2] = 1.0, one[0], one[1]
    rows[at + 1, 0], rows[at + 1, 1], rows[at + 1, 2] = -1.0, -one[0], -one[1]
    limits[at], limits[at + 1] = high_mm, -low_mm


@compiled
def _last_row(rows: Array, limits: Array, at: int, fall: Array) -> None:
    for j in range(rows.shape[1]):
        rows[at, j] = 0.0
    rows[at, 1], rows[at, 2], limits[at] = fall[0], fall[1], -fall[2]


@compiled
def _solved(cost: Array, rows: Array, limits: Array, x: Array) -> int:
    y = np.zeros(len(limits))
    return descend(cost, rows, limits, MOST_STEPS, x, y)[0]


@compiled
def _departure_slowly(rim: Array, target: Array, seat: Array, bed: Array, fall: Array, x: Array, basis: Whole,
                      weights: Array) -> int:  # fmt: skip
    """The same as least_departure for rims that give it no start (three points, or four in line)."""
    n, m = len(target), len(seat)
    rows, limits, y = np.zeros((2 * n + 2 * m + 1, 4)), np.zeros(2 * n + 2 * m + 1), np.zeros(2 * n + 2 * m + 1)
    for i in range(n):
        _pair(rows, limits, 2 * i, rim[i], target[i], target[i])
        rows[2 * i, 3], rows[2 * i + 1, 3] = -1.0, -1.0
    for i in range(m):
        _pair(rows, limits, 2 * n + 2 * i, seat[i], bed[i, 0], bed[i, 1])
    _last_row(rows, limits, 2 * n + 2 * m, fall)
    status = descend(np.array([0.0, 0.0, 0.0, 1.0]), rows, limits, MOST_STEPS, x, y)[0]
    found = 0
    for s in range(4):
        basis[s], weights[s] = -1, 0.0
    for r in range(len(y)):
        if y[r] > 0.0 and found < 4:
            half, odd = r // 2, r % 2
            basis[found] = half + odd * n if r < 2 * n else 2 * n + (half - n) + odd * m
            if r == 2 * n + 2 * m:
                basis[found] = r
            weights[found] = y[r]
            found += 1
    return status


@compiled
def departure(rim: Array, target: Array, seat: Array, bed: Array, fall: Array, room: Array, x: Array, basis: Whole,
              weights: Array) -> int:  # fmt: skip
    """Least greatest departure of one cover, whatever its rim; see least_departure.

    Valid       as least_departure, three rim points or more
    Source      algebra
    Proved by   tests/levels/test_seat_many.py
    """
    status = least_departure(rim, target, seat, bed, fall, greatest_limit_mm(target, bed), room, x, basis, weights)
    if status == UNFINISHED:
        status = _departure_slowly(rim, target, seat, bed, fall, x, basis, weights)
    return status


@compiled
def _evenest(rim: Array, target: Array, seat: Array, ground: Array, bed_least_mm: float, bed_most_mm: float,
             fall: Array, greatest_mm: float, x: Array) -> int:  # fmt: skip
    """Of planes within greatest of the target the one whose bed changes least, into x (5)."""
    n, m = len(target), len(seat)
    rows, limits = np.zeros((2 * n + 2 * m + 3, 5)), np.zeros(2 * n + 2 * m + 3)
    room_mm = greatest_mm + SLACK_MM
    for i in range(n):
        _pair(rows, limits, 2 * i, rim[i], target[i] + room_mm, target[i] - room_mm)
    for i in range(m):
        at = 2 * n + 2 * i
        _pair(rows, limits, at, seat[i], ground[i], ground[i])
        rows[at, 3], rows[at + 1, 4] = -1.0, 1.0
    at = 2 * n + 2 * m
    _last_row(rows, limits, at, fall)
    rows[at + 1, 3], limits[at + 1] = 1.0, bed_most_mm
    rows[at + 2, 4], limits[at + 2] = -1.0, -bed_least_mm
    return _solved(np.array([0.0, 0.0, 0.0, 1.0, -1.0]), rows, limits, x)


@compiled
def _mend(rim: Array, target: Array, seat: Array, bed: Array, fall: Array, band_mm: float, cost_ratio: float,
          greatest_ratio: float, least_ratio: float) -> float:  # fmt: skip
    """The least of cost x amount with the half band kept; nan where no amount helps."""
    n, m = len(target), len(seat)
    rows, limits = np.zeros((2 * n + 2 * m + 1, 4)), np.zeros(2 * n + 2 * m + 1)
    for i in range(n):
        _pair(rows, limits, 2 * i, rim[i], target[i] + band_mm, target[i] - band_mm)
    for i in range(m):
        at = 2 * n + 2 * i
        _pair(rows, limits, at, seat[i], bed[i, 0], bed[i, 1])
        rows[at, 3], rows[at + 1, 3] = greatest_ratio, least_ratio
    _last_row(rows, limits, 2 * n + 2 * m, fall)
    x = np.zeros(4)
    status = _solved(np.array([0.0, 0.0, 0.0, cost_ratio]), rows, limits, x)
    return float(x[3]) if status == OPTIMAL else np.nan


@compiled
def _mends(rim: Array, target: Array, seat: Array, bed: Array, fall: Array, band_mm: float, out: Array) -> None:
    relax_mm = _mend(rim, target, seat, bed, fall, band_mm, 1.0, -1.0, -1.0)
    out[0] = relax_mm if np.isnan(relax_mm) else max(relax_mm, 0.0)
    out[1] = _mend(rim, target, seat, bed, fall, band_mm, 1.0, -1.0, 1.0)
    out[2] = _mend(rim, target, seat, bed, fall, band_mm, -1.0, -1.0, 1.0)


@compiled
def _bed_limits(ground: Array, bed_least_mm: float, bed_most_mm: float, bed: Array) -> None:
    for i in range(len(ground)):
        bed[i, 0], bed[i, 1] = ground[i] + bed_most_mm, ground[i] + bed_least_mm


@compiled
def _bed_range(seat: Array, ground: Array, x: Array, out: Array) -> None:
    out[0], out[1] = np.inf, -np.inf
    for i in range(len(ground)):
        bed_mm = x[0] + x[1] * seat[i, 0] + x[2] * seat[i, 1] - ground[i]
        out[0], out[1] = min(out[0], bed_mm), max(out[1], bed_mm)


@compiled
def departures(rim: Array, target: Array, seat: Array, ground: Array, bed_least: Array, bed_most: Array, fall: Array,
               greatest: Array, rows: Whole, weights: Array) -> None:  # fmt: skip
    """Least greatest departure of each cover into greatest (inf: no plane keeps the bed), touching rows, multipliers.

    Valid       as departure; one row of each array a cover
    Source      algebra
    Proved by   tests/levels/test_seat_many.py
    """
    room, x, bed = np.zeros((10, 4)), np.zeros(4), np.zeros((seat.shape[1], 2))
    for c in range(len(greatest)):
        _bed_limits(ground[c], bed_least[c], bed_most[c], bed)
        status = departure(rim[c], target[c], seat[c], bed, fall[c], room, x, rows[c], weights[c])
        greatest[c] = np.nan if status == UNFINISHED else (max(x[3], 0.0) if status == OPTIMAL else np.inf)


@compiled
def set_batch(
    rim: Array, target: Array, seat: Array, ground: Array, bed_least: Array, bed_most: Array, half_band: Array,
    fall: Array, plane: Array, departed: Array, beds: Array, mends: Array, rows: Whole, weights: Array, status: Whole,
) -> None:  # fmt: skip
    """Each cover's plane [mm, mm per m], departures (with bed, without), bed range, mends (relax, raise: two).

    Valid       as departures
    Source      algebra
    Proved by   tests/levels/test_seat_many.py
    """
    room, x, five = np.zeros((10, 4)), np.zeros(4), np.zeros(5)
    bed, spare, spent = np.zeros((seat.shape[1], 2)), np.zeros(4, np.int64), np.zeros(4)
    for c in range(len(status)):
        _bed_limits(ground[c], bed_least[c], bed_most[c], bed)
        departure(rim[c], target[c], seat[c, :0], bed[:0], fall[c], room, x, spare, spent)
        departed[c, 1] = max(x[3], 0.0)
        found = departure(rim[c], target[c], seat[c], bed, fall[c], room, x, rows[c], weights[c])
        departed[c, 0] = np.nan if found == UNFINISHED else (max(x[3], 0.0) if found == OPTIMAL else np.inf)
        status[c] = NO_PLACE
        if found == OPTIMAL:
            if min(weights[c, 0], weights[c, 1], weights[c, 2], weights[c, 3]) <= HOLDS_RATIO and len(bed) > 0:
                even = _evenest(
                    rim[c], target[c], seat[c], ground[c], bed_least[c], bed_most[c], fall[c], departed[c, 0], five
                )
                if even == OPTIMAL:
                    x[:3] = five[:3]
            plane[c] = x[:3]
            _bed_range(seat[c], ground[c], x, beds[c])
            status[c] = IN_TOLERANCE if departed[c, 0] <= half_band[c] + BAND_SLACK_MM else OUT_OF_TOLERANCE
        if status[c] != IN_TOLERANCE:
            band_mm = max(half_band[c], departed[c, 1] + ROOM_MM)
            _mends(rim[c], target[c], seat[c], bed, fall[c], band_mm, mends[c])
