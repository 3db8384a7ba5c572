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
from truebed.levels.tolerance import points_alone

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

#: A side this much of the ring's extent or less may be part of an arc.
SHORT_SIDE_SHARE = 0.06
#: An arc is taken in stretches of at most this turn: a road of second degree is a parabola on it within 2e-3 of what
#: it varies by (third derivative of a second harmonic over 20 degrees).
ARC_STRETCH_DEG = 20.0
#: Neighbouring short sides that bend by more than this meet in a corner.
CORNER_DEG = 10.0
#: A point this near to a side lies on it [mm].
ON_RING_MM = 0.01
#: A ring of at most so many corners is taken corner by corner beside a fold; of a longer one, points so far apart.
FEW_CORNERS_COUNT = 24


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


@lru_cache(maxsize=64)
def inside_points(points: tuple[Point, ...], ring: Ring) -> Array:
    """Those of the points that do not lie on the ring: a joint between lids, say; in their order.

    Valid       a ring of three corners or more
    Source      algebra (distance from each side)
    Proved by   tests/levels/test_rim_range.py
    """
    corners = set(ring)
    left = np.array([p for p in points if p not in corners], dtype=float).reshape(-1, 2)
    begin = np.array(ring, dtype=float)
    side = np.roll(begin, -1, axis=0) - begin
    off = left[:, None, :] - begin[None, :, :]
    share = np.clip(np.sum(off * side, axis=2) / np.sum(side * side, axis=1), 0.0, 1.0)
    near = np.min(np.hypot(*np.moveaxis(off - share[:, :, None] * side, 2, 0)), axis=1, initial=np.inf)
    kept: Array = left[near > ON_RING_MM]
    return kept


@lru_cache(maxsize=64)
def whole_rim(ring: Ring, points: tuple[Point, ...], most_turn_deg: float = ARC_STRETCH_DEG) -> tuple[Array, Whole]:
    """The stretches of a ring and, each by itself, the points inside it that must lie true as well.

    Valid       a ring of three corners or more, or () and points
    Source      house (assembly)
    Proved by   tests/levels/test_rim_range.py
    """
    at, table = stretches(ring, most_turn_deg) if ring else (np.zeros((0, 2)), np.zeros((0, 3), np.int64))
    more = inside_points(points, ring) if ring else np.array(points, dtype=float)
    return np.vstack([at, more]), np.vstack([table, len(at) + points_alone(len(more))])


@lru_cache(maxsize=64)
def straight_sides(ring: Ring, points: tuple[Point, ...], most_turn_deg: float) -> tuple[Array, Whole]:
    """The same as straight sides for a road with a fold: the ring's, and one line through the points inside it.

    Valid       as whole_rim
    Source      house (assembly)
    Proved by   tests/levels/test_rim_range.py
    """
    corners = np.array(ring, dtype=float).reshape(-1, 2)
    if len(ring) > FEW_CORNERS_COUNT and most_turn_deg > 0.0:
        at, table = stretches(ring, most_turn_deg)
        corners = at[table[:, :2].ravel()]
    more = inside_points(points, ring) if ring else np.array(points, dtype=float)
    n, m = len(corners), len(more)
    around = np.column_stack([np.arange(n), np.roll(np.arange(n), -1)])
    chain = np.column_stack([np.arange(n, n + m), np.minimum(np.arange(n + 1, n + m + 1), n + m - 1)])
    return np.ascontiguousarray(np.vstack([corners, more])), np.vstack([around, chain]).astype(np.int64)


def departure_range_mm(
    road: RoadSurface | OtherRoad, ring: Ring, rim: Plane, points: tuple[Point, ...] = ()
) -> tuple[float, float]:
    """Least and greatest of rim less road over the whole ring, corners, sides and folds, and at points inside it.

    Valid       exact on the ring's own sides
    Source      algebra
    Proved by   tests/levels/test_rim_range.py
    """
    from truebed.levels.tolerance_kernel import span

    if road.model in FOLDED:
        at, table = whole_rim((), (*ring, *points, *fold_crossings(ring, road.model, road.ridge_mm)), 0.0)
    else:
        at, table = whole_rim(ring, points, 0.0)
    out = np.zeros(2)
    span(_departures(road, at, rim), table, out)
    return float(out[0]), float(out[1])


def _departures(road: RoadSurface | OtherRoad, at: Array, rim: Plane) -> Array:
    x, y = at[:, 0], at[:, 1]
    level = term_table(road.model, x, y, road.ridge_mm) @ np.array(road.coefficients)
    off: Array = rim.level_mm + rim.slope_x_ratio * x + rim.slope_y_ratio * y - level
    return off


def quadratic_range_many(ring: Ring, coefficients: Array, planes: Array) -> tuple[Array, Array]:
    """Least and greatest of rim less road over one ring for many covers: roads 1, x, y, xy, x^2, y^2; planes 1, x, y.

    Valid       a row a cover; exact on the ring's own sides
    Source      algebra
    Proved by   tests/levels/test_rim_range.py
    """
    points, table = stretches(ring, 0.0)
    x, y = points[:, 0], points[:, 1]
    terms = np.column_stack([np.ones_like(x), x, y, x * y, x * x, y * y])
    off = planes @ terms[:, :3].T - coefficients @ terms.T
    a, middle, b = off[:, table[:, 0]], off[:, table[:, 1]], off[:, table[:, 2]]
    bend, pull = 2.0 * (a - 2.0 * middle + b), 4.0 * middle - 3.0 * a - b
    turns = (np.abs(pull) < 2.0 * np.abs(bend)) & (pull * bend < 0.0)
    bulge = np.where(turns, a - 0.25 * pull * pull / np.where(turns, bend, 1.0), a)
    return np.minimum(a, bulge).min(axis=1), np.maximum(a, bulge).max(axis=1)
