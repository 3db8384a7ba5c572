"""The whole rim, not samples of it: stretches on which a departure is a parabola, and its true extremes."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.plane import Plane, Point, Ring
from truebed.levels.road_terms import FOLDED, term_table
from truebed.levels.seat_question import fold_crossings
from truebed.levels.surface import OtherRoad, RoadSurface

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

#: A side this much of the ring's extent or less may be part of an arc.
SHORT_SIDE_SHARE = 0.06
#: An arc is taken in stretches of at most this turn: a road of second degree is a parabola on it within 2e-3 of what
#: it varies by (third derivative of a second harmonic over 15 degrees).
ARC_STRETCH_DEG = 15.0
#: Neighbouring short sides that bend by more than this meet in a corner.
CORNER_DEG = 10.0


def _turn_deg(before: Point, at: Point, after: Point) -> float:
    first = math.atan2(at[1] - before[1], at[0] - before[0])
    second = math.atan2(after[1] - at[1], after[0] - at[0])
    return abs(math.degrees(math.remainder(second - first, 2.0 * math.pi)))


def _ends(ring: Ring, most_turn_deg: float) -> list[int]:
    """Corners at which a stretch begins: all but those inside an arc."""
    n = len(ring)
    if most_turn_deg <= 0.0:
        return list(range(n))
    extent = max(max(abs(x), abs(y)) for x, y in ring) * 2.0
    length = [math.dist(ring[i], ring[(i + 1) % n]) for i in range(n)]
    short = [side <= SHORT_SIDE_SHARE * extent for side in length]
    bend = [_turn_deg(ring[i - 1], ring[i], ring[(i + 1) % n]) for i in range(n)]
    ends, gone_deg = [0], 0.0
    for i in range(1, n):
        gone_deg += bend[i]
        corner = bend[i] > CORNER_DEG or not (short[i - 1] and short[i])
        if corner and (i - ends[-1]) % 2 and i - ends[-1] > 1:
            ends.append(i - 1)
        if corner or (gone_deg + bend[i] > most_turn_deg and (i - ends[-1]) % 2 == 0):
            ends.append(i)
            gone_deg = 0.0
    if (n - ends[-1]) % 2 and n - ends[-1] > 1:
        ends.append(n - 1)
    return ends


@lru_cache(maxsize=64)
def stretches(ring: Ring, most_turn_deg: float = ARC_STRETCH_DEG) -> tuple[Array, Whole]:
    """Points round a ring, and which three of them (first end, middle, last end) each stretch is known by.

    A straight side is one stretch; an arc drawn as many short sides is taken in stretches of an even number of them,
    or at most_turn_deg 0 side by side.

    Valid       a ring of three corners or more
    Source      algebra: a road of second degree is a parabola along a straight line
    Proved by   tests/levels/test_rim_range.py
    """
    ends = _ends(ring, most_turn_deg)
    points: list[Point] = [ring[i] for i in ends]
    table = []
    for k, begin in enumerate(ends):
        finish = ends[k + 1] if k + 1 < len(ends) else len(ring)
        sides, last = finish - begin, ring[finish % len(ring)]
        if sides % 2 == 0:
            middle = ring[begin + sides // 2]
        else:
            middle = ((ring[begin][0] + last[0]) / 2.0, (ring[begin][1] + last[1]) / 2.0)
        table.append((k, len(points), (k + 1) % len(ends)))
        points.append(middle)
    return np.array(points, dtype=float), np.array(table, dtype=np.int64)


def departure_range_mm(road: RoadSurface | OtherRoad, ring: Ring, rim: Plane) -> tuple[float, float]:
    """Least and greatest of rim less road over the whole ring, corners, sides and folds.

    Valid       exact on the ring's own sides
    Source      algebra
    Proved by   tests/levels/test_rim_range.py
    """
    from truebed.levels.tolerance_kernel import span

    folded = road.model in FOLDED
    if folded:
        points = np.array([*ring, *fold_crossings(ring, road.model, road.ridge_mm)], dtype=float)
    else:
        points, table = stretches(ring, 0.0)
    x, y = points[:, 0], points[:, 1]
    level = term_table(road.model, x, y, road.ridge_mm) @ np.array(road.coefficients)
    off = rim.level_mm + rim.slope_x_ratio * x + rim.slope_y_ratio * y - level
    if folded:
        return float(np.min(off)), float(np.max(off))
    out = np.zeros(2)
    span(off, table, out)
    return float(out[0]), float(out[1])


def furthest_points(road: RoadSurface | OtherRoad, ring: Ring, rim: Plane) -> tuple[Point, ...]:
    """Where inside a straight side the departure from the road turns: points to look at besides the samples.

    Set the frame on samples, add these, set it again: after two rounds the greatest departure over the samples is that
    over the whole rim.

    Valid       roads without a fold; sides longer than SHORT_SIDE_SHARE of the ring
    Source      algebra (exchange method of Remez, from memory)
    Proved by   tests/levels/test_rim_range.py
    """
    if road.model in FOLDED:
        return ()
    points, table = stretches(ring)
    x, y = points[:, 0], points[:, 1]
    level = term_table(road.model, x, y, road.ridge_mm) @ np.array(road.coefficients)
    off = rim.level_mm + rim.slope_x_ratio * x + rim.slope_y_ratio * y - level
    found = []
    for a, middle, b in table.tolist():
        bend, pull = 2.0 * (off[a] - 2.0 * off[middle] + off[b]), 4.0 * off[middle] - 3.0 * off[a] - off[b]
        share = -pull / (2.0 * bend) if abs(bend) > 1e-9 else -1.0
        if 0.0 < share < 1.0:
            start, end = points[a], points[b]
            found.append((float(start[0] + share * (end[0] - start[0])), float(start[1] + share * (end[1] - start[1]))))
    return tuple(found)
