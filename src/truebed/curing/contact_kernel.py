"""A rigid foot on a bed that takes no tension: exact moments of the pressed part, and the balance by Newton's way.

Lengths are in units of the seating's own size and counted from its middle, so that all terms are of about one size.
Pressure p = v0 + v1 x + v2 y where that is above nought, else nothing. Balance is where
Phi(v) = 1/2 integral of p^2 - load . v is least; Phi is convex, and its Newton step is M(v)^-1 load - v with M the
second moments of the pressed part. The seating is a bag of directed edges (outer rings anticlockwise, holes clockwise).
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled

Array = NDArray[np.float64]

MOST_STEPS = 200
MOST_HALVINGS = 60
#: Balance is met to this share of the load; where rounding stops the way before, the second share must be met.
BALANCE_SHARE, ROUNDED_SHARE = 1e-12, 1e-8
#: A load nearer than this share of the seating's size to the edge of its hull counts as tipping.
HULL_SHARE = 1e-6
CONVERGED, UNFINISHED, TIPS = 0, 1, 2


@compiled
def _add_edge(x_ratio: float, y_ratio: float, to_x_ratio: float, to_y_ratio: float, m: Array) -> None:
    """A directed edge's share of area, first and second moments about the origin (the triangle it makes with it)."""
    turn_ratio = x_ratio * to_y_ratio - to_x_ratio * y_ratio
    m[0] += turn_ratio / 2.0
    m[1] += turn_ratio * (x_ratio + to_x_ratio) / 6.0
    m[2] += turn_ratio * (y_ratio + to_y_ratio) / 6.0
    m[3] += turn_ratio * (x_ratio * x_ratio + x_ratio * to_x_ratio + to_x_ratio * to_x_ratio) / 12.0
    m[4] += turn_ratio * (x_ratio * (2.0 * y_ratio + to_y_ratio) + to_x_ratio * (y_ratio + 2.0 * to_y_ratio)) / 24.0
    m[5] += turn_ratio * (y_ratio * y_ratio + y_ratio * to_y_ratio + to_y_ratio * to_y_ratio) / 12.0


@compiled
def _shift(m: Array, x_ratio: float, y_ratio: float) -> None:
    """Moments about an origin at (x, y) brought back to (0, 0)."""
    m[3] += 2.0 * x_ratio * m[1] + x_ratio * x_ratio * m[0]
    m[4] += x_ratio * m[2] + y_ratio * m[1] + x_ratio * y_ratio * m[0]
    m[5] += 2.0 * y_ratio * m[2] + y_ratio * y_ratio * m[0]
    m[1] += x_ratio * m[0]
    m[2] += y_ratio * m[0]


@compiled
def pressed_moments(edges: Array, v: Array, m: Array) -> None:
    """Area, Sx, Sy, Sxx, Sxy, Syy of the part of the seating where v0 + v1 x + v2 y is above nought, into m.

    The origin lies on the neutral line: what closes the cut edges runs through it and adds nothing, so the edges need
    no order and the cut no polygon.

    edges       x, y, to x, to y of each directed edge, in units of the seating's size from its middle (within 2 of it)
    Valid       outer rings anticlockwise, holes clockwise
    Source      algebra (Green's theorem)
    Proved by   tests/curing/test_contact.py, tests/oracles/test_contact_ways.py
    """
    for k in range(6):
        m[k] = 0.0
    x0_ratio, y0_ratio = 0.0, 0.0
    steep = v[1] * v[1] + v[2] * v[2]
    if v[0] * v[0] <= 4.0 * steep and steep > 0.0:
        x0_ratio, y0_ratio = -v[0] * v[1] / steep, -v[0] * v[2] / steep
    for i in range(edges.shape[0]):
        ax, ay, bx, by = edges[i, 0], edges[i, 1], edges[i, 2], edges[i, 3]
        at, to = v[0] + v[1] * ax + v[2] * ay, v[0] + v[1] * bx + v[2] * by
        if at <= 0.0 and to <= 0.0:
            continue
        if at < 0.0 or to < 0.0:
            cut = at / (at - to)
            cx, cy = ax + cut * (bx - ax), ay + cut * (by - ay)
            if at < 0.0:
                ax, ay = cx, cy
            else:
                bx, by = cx, cy
        _add_edge(ax - x0_ratio, ay - y0_ratio, bx - x0_ratio, by - y0_ratio, m)
    _shift(m, x0_ratio, y0_ratio)


@compiled
def _solve(m: Array, load: Array, v: Array) -> bool:
    """v of M v = load, M = [[A, Sx, Sy], [Sx, Sxx, Sxy], [Sy, Sxy, Syy]], by elimination; False where M is singular."""
    if m[0] <= 0.0:
        return False
    x, y = m[1] / m[0], m[2] / m[0]
    xx, xy, yy = m[3] - x * m[1], m[4] - x * m[2], m[5] - y * m[2]
    det = xx * yy - xy * xy
    if det <= 0.0:
        return False
    mx, my = load[1] - x * load[0], load[2] - y * load[0]
    v[1] = (yy * mx - xy * my) / det
    v[2] = (xx * my - xy * mx) / det
    v[0] = load[0] / m[0] - x * v[1] - y * v[2]
    return True


@compiled
def _phi(m: Array, load: Array, v: Array, slope: Array) -> float:
    """Phi at v, its slope M v - load into slope."""
    slope[0] = m[0] * v[0] + m[1] * v[1] + m[2] * v[2] - load[0]
    slope[1] = m[1] * v[0] + m[3] * v[1] + m[4] * v[2] - load[1]
    slope[2] = m[2] * v[0] + m[4] * v[1] + m[5] * v[2] - load[2]
    total = 0.0
    for k in range(3):
        total += 0.5 * v[k] * (slope[k] - load[k])
    return total


@compiled
def _length(a: Array) -> float:
    """The length of three numbers."""
    return math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2])


@compiled
def _line_search(edges: Array, load: Array, v: Array, step: Array, old: Array, m: Array) -> bool:
    """v (with its moments m) moved along step, halved until Phi falls by a fair share of what its slope (old) says or
    the slope is halved; False where neither comes: rounding."""
    trial, slope, moved, share = np.empty(3), np.empty(3), np.empty(6), 1.0
    at, falls = _phi(m, load, v, slope), old[0] * step[0] + old[1] * step[1] + old[2] * step[2]
    for _ in range(MOST_HALVINGS):
        for k in range(3):
            trial[k] = v[k] + share * step[k]
        pressed_moments(edges, trial, moved)
        now = _phi(moved, load, trial, slope)
        if now < at + 1e-4 * share * falls or _length(slope) <= 0.5 * _length(old):
            for k in range(3):
                v[k] = trial[k]
            for k in range(6):
                m[k] = moved[k]
            return True
        share *= 0.5
    return False


@compiled
def balance(edges: Array, load: Array, v: Array) -> int:
    """The pressure v that balances a load (force, its moments along x and y): CONVERGED or UNFINISHED.

    Valid       the load inside the hull of the seating (else there is none)
    Source      algebra (rigid foot, no tension; Newton on a convex function, with line search)
    Proved by   tests/curing/test_contact.py, tests/oracles/test_contact_ways.py
    """
    m, slope, step, wanted = np.empty(6), np.empty(3), np.empty(3), np.empty(3)
    v[0], v[1], v[2] = 1.0, 0.0, 0.0
    pressed_moments(edges, v, m)
    if not _solve(m, load, v):
        return UNFINISHED
    off = np.inf
    pressed_moments(edges, v, m)
    for _ in range(MOST_STEPS):
        _phi(m, load, v, slope)
        off = _length(slope) / load[0]
        if off <= BALANCE_SHARE or not _solve(m, load, wanted):
            break
        for k in range(3):
            step[k] = wanted[k] - v[k]
        if not _line_search(edges, load, v, step, slope, m):
            break
    return CONVERGED if off <= ROUNDED_SHARE else UNFINISHED


@compiled
def stands_inside(hull: Array, x_ratio: float, y_ratio: float) -> bool:
    """Whether a point lies inside a hull (anticlockwise), by more than a hair.

    Valid       a convex ring of three points or more
    Source      algebra
    Proved by   tests/curing/test_contact.py
    """
    count = hull.shape[0]
    for i in range(count):
        j = (i + 1) % count
        ex, ey = hull[j, 0] - hull[i, 0], hull[j, 1] - hull[i, 1]
        off = ex * (y_ratio - hull[i, 1]) - ey * (x_ratio - hull[i, 0])
        if off <= HULL_SHARE * math.sqrt(ex * ex + ey * ey):
            return False
    return True


@compiled
def pressed(edges: Array, hull: Array, load: Array, v: Array) -> int:
    """The balance of a load where there is one: CONVERGED, UNFINISHED, or TIPS where it lies outside the hull.

    Valid       load[0] > 0
    Source      algebra
    Proved by   tests/curing/test_contact.py
    """
    if not stands_inside(hull, load[1] / load[0], load[2] / load[0]):
        return TIPS
    return balance(edges, load, v)


@compiled
def greatest_pressure(hull: Array, v: Array) -> float:
    """The greatest pressure: a linear pressure is greatest at a corner of the hull.

    Valid       a balance v
    Source      algebra
    Proved by   tests/curing/test_contact.py
    """
    most = 0.0
    for i in range(hull.shape[0]):
        here = v[0] + v[1] * hull[i, 0] + v[2] * hull[i, 1]
        most = max(most, here)
    return most


@compiled
def _clip(ring: Array, count: int, axis: int, sign_ratio: float, limit_mm: float, out: Array) -> int:
    """The part of a ring on one side of a line square to an axis (Sutherland and Hodgman), into out; its points."""
    n = 0
    for i in range(count):
        j = (i + 1) % count
        at, to = sign_ratio * (ring[i, axis] - limit_mm), sign_ratio * (ring[j, axis] - limit_mm)
        if at <= 0.0:
            out[n, 0], out[n, 1] = ring[i, 0], ring[i, 1]
            n += 1
        if (at < 0.0 and to > 0.0) or (at > 0.0 and to < 0.0):
            cut = at / (at - to)
            out[n, 0] = ring[i, 0] + cut * (ring[j, 0] - ring[i, 0])
            out[n, 1] = ring[i, 1] + cut * (ring[j, 1] - ring[i, 1])
            n += 1
    return n


@compiled
def patch_on_iron(ring: Array, box: Array, out: Array) -> None:
    """Area and middle (x, y) of the part of a rectangle that lies on the iron, into out; area nought where none does.

    ring        outline of the iron, anticlockwise; box: least x, greatest x, least y, greatest y
    Valid       a convex outline
    Source      algebra
    Proved by   tests/curing/test_tyre.py
    """
    one, two = np.empty((ring.shape[0] + 8, 2)), np.empty((ring.shape[0] + 8, 2))
    n = _clip(ring, ring.shape[0], 0, -1.0, box[0], one)
    n = _clip(one, n, 0, 1.0, box[1], two)
    n = _clip(two, n, 1, -1.0, box[2], one)
    n = _clip(one, n, 1, 1.0, box[3], two)
    m = np.zeros(6)
    x0, y0 = (box[0] + box[1]) / 2.0, (box[2] + box[3]) / 2.0
    for i in range(n):
        j = (i + 1) % n
        _add_edge(two[i, 0] - x0, two[i, 1] - y0, two[j, 0] - x0, two[j, 1] - y0, m)
    out[0], out[1], out[2] = m[0], x0, y0
    if m[0] > 0.0:
        out[1], out[2] = x0 + m[1] / m[0], y0 + m[2] / m[0]
