"""Litres of all roles of one cover, for sweeps: rectangles and rounds about one middle, in one turn, between planes.

Any intersection of such outlines is a rectangle cut by a circle about its middle: half sizes a, b and radius r, each
the least of its kind. Where a thickness is positive all over, its volume is area times its middle value; else the
boundary's integral of max(0, u)² / (2 g) along the gradient, closed on sides and arcs.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled

Array = NDArray[np.float64]
Outline = tuple[float, float, float]
Tilt = tuple[float, float, float]

TURN = 2.0 * math.pi
#: Gradients whose square is below this lift nothing that a float can hold.
LEVEL_RATIO = 1.0e-280
#: Rows of a cover's outlines and of its planes; places of its depths.
OPENING, BODY, FLANGE, WALL, CHAMBER, CUT = range(6)
RIM, ROAD, TOP, FLOOR = range(4)
FRAME_DEPTH, FLANGE_THICK, OVER_FLANGE, SURFACE_DEPTH, JOINT_WIDTH, JOINT_DEPTH = range(6)


@compiled
def _both(p: Outline, q: Outline) -> Outline:
    return min(p[0], q[0]), min(p[1], q[1]), min(p[2], q[2])


@compiled
def _corner(o: Outline) -> tuple[float, float, float, float]:
    """Half lengths of the straight sides at x = a and y = b, and the first quarter's arc."""
    a, b, r = o
    if r * r >= a * a + b * b:
        return b, a, 0.0, 0.0
    side_x = math.sqrt((r - a) * (r + a)) if a < r else 0.0
    side_y = math.sqrt((r - b) * (r + b)) if b < r else 0.0
    first = math.acos(a / r) if a < r else 0.0
    last = math.asin(b / r) if b < r else 0.25 * TURN
    return side_x, side_y, first, last


@compiled
def _area_mm2(o: Outline) -> float:
    if o[2] * o[2] >= o[0] * o[0] + o[1] * o[1]:
        return 4.0 * o[0] * o[1]
    if o[2] <= o[0] and o[2] <= o[1]:
        return 0.5 * TURN * o[2] * o[2]
    side_x, side_y, first, last = _corner(o)
    straight = (o[0] * side_x if side_x > 0.0 else 0.0) + (o[1] * side_y if side_y > 0.0 else 0.0)
    return 2.0 * (straight + o[2] * o[2] * (last - first))


@compiled
def _reach_mm(o: Outline, u: Tilt) -> float:
    return abs(u[1]) * min(o[0], o[2]) + abs(u[2]) * min(o[1], o[2])


@compiled
def _side(first_mm: float, last_mm: float, half_mm: float) -> float:
    """The integral of max(0, u)² along a side of length 2 half, u linear between its ends."""
    low, high = min(first_mm, last_mm), max(first_mm, last_mm)
    if high <= 0.0:
        return 0.0
    if low >= 0.0:
        return 2.0 * half_mm * (low * low + low * high + high * high) / 3.0
    return 2.0 * half_mm * high * high * high / (3.0 * (high - low))


@compiled
def _turned_sum(level_mm: float, fall_mm: float, at_ratio: float) -> float:
    """The antiderivative of (h + f cos t)² cos t."""
    s, c = math.sin(at_ratio), math.cos(at_ratio)
    return s * (level_mm * level_mm + fall_mm * fall_mm * (1.0 - s * s / 3.0)) + level_mm * fall_mm * (at_ratio + s * c)


@compiled
def _arc(level_mm: float, fall_mm: float, ends: tuple[float, float], wet_ratio: float) -> float:
    """The integral of max(0, h + f cos t)² cos t over an arc; positive within `wet` of t = 0."""
    total = 0.0
    for turn in (-1.0, 0.0, 1.0):
        first, last = max(ends[0], turn * TURN - wet_ratio), min(ends[1], turn * TURN + wet_ratio)
        if last > first:
            total += _turned_sum(level_mm, fall_mm, last) - _turned_sum(level_mm, fall_mm, first)
    return total


@compiled
def under(o: Outline, u: Tilt) -> float:
    """The volume under max(0, u), u = h + gx x + gy y, over a rectangle cut by a circle about its middle [mm3].

    Valid       half sizes and radius > 0, infinite where there is none
    Source      algebra (divergence theorem along the gradient)
    Proved by   tests/chamber/test_many.py, tests/oracles/test_volumes_to_fifty_digits.py
    """
    h, gx, gy = u
    reach = _reach_mm(o, u)
    if h >= reach:
        return h * _area_mm2(o)
    if h <= -reach:
        return 0.0
    a, b, r = o
    side_x, side_y, first, last = _corner(o)
    steep_sq = gx * gx + gy * gy
    if steep_sq < LEVEL_RATIO:
        return 0.0
    total = 0.0
    for sign in (-1.0, 1.0):
        if side_x > 0.0:
            middle = h + sign * gx * a
            total += sign * gx * _side(middle - gy * side_x, middle + gy * side_x, side_x)
        if side_y > 0.0:
            middle = h + sign * gy * b
            total += sign * gy * _side(middle - gx * side_y, middle + gx * side_y, side_y)
    if last > first:
        steep = math.sqrt(steep_sq)
        fall, toward = steep * r, math.atan2(gy, gx)
        wet = math.acos(min(max(-h / fall, -1.0), 1.0))
        arcs = 0.0
        for start, stop in ((first, last), (0.5 * TURN - last, 0.5 * TURN - first),
                            (0.5 * TURN + first, 0.5 * TURN + last), (-last, -first)):  # fmt: skip
            # every quarter within one turn of where u is greatest
            base = start - toward
            base -= TURN * math.floor((base + 0.5 * TURN) / TURN)
            arcs += _arc(h, fall, (base, base + stop - start), wet)
        total += steep * r * arcs
    return total / (2.0 * steep_sq)


@compiled
def _row(outlines: Array, i: int) -> Outline:
    return outlines[i, 0], outlines[i, 1], outlines[i, 2]


@compiled
def _less(planes: Array, upper: int, lower: int, lift_mm: float) -> Tilt:
    return (
        planes[upper, 0] - planes[lower, 0] + lift_mm,
        planes[upper, 1] - planes[lower, 1],
        planes[upper, 2] - planes[lower, 2],
    )


@compiled
def _ring(outer: Outline, inner: Outline, plan_mm2: float, u: Tilt) -> float:
    """The volume between two outlines, one within the other; `plan` is the area between them."""
    if u[0] >= _reach_mm(outer, u):
        return float(u[0] * plan_mm2)
    return float(under(outer, u) - under(inner, u))


@compiled
def _bed(outlines: Array, foot: Outline, u: Tilt) -> float:
    opening, chamber = _row(outlines, OPENING), _row(outlines, CHAMBER)
    both = _both(opening, chamber)
    if both == opening:
        return under(foot, u) - under(chamber, u)
    if both == chamber:
        return under(foot, u) - under(opening, u)
    return under(foot, u) - under(opening, u) - under(chamber, u) + under(both, u)


@compiled
def _fill(outlines: Array, planes: Array, depths: Array, foot: Outline) -> float:
    body, flange, wall, cut = (
        _row(outlines, BODY), _row(outlines, FLANGE), _row(outlines, WALL), _row(outlines, CUT),
    )  # fmt: skip
    lift = depths[FLANGE_THICK] + depths[OVER_FLANGE] - depths[FRAME_DEPTH]
    footing = _both(cut, wall)
    area_foot, area_flange = _area_mm2(foot), _area_mm2(flange)
    area_footing, area_cut = _area_mm2(footing), _area_mm2(cut)
    total = max(depths[OVER_FLANGE], 0.0) * (area_flange - _area_mm2(body))
    if foot != flange:
        total += _ring(flange, foot, area_flange - area_foot, _less(planes, RIM, FLOOR, -depths[FRAME_DEPTH]))
    if footing != foot:
        total += _ring(footing, foot, area_footing - area_foot, _less(planes, RIM, TOP, lift))
    over_floor = _less(planes, RIM, FLOOR, lift)
    if over_floor[0] >= _reach_mm(cut, over_floor):
        return float(total + over_floor[0] * (area_cut - area_flange - area_footing + area_foot))
    whole = under(cut, over_floor) - under(flange, over_floor)
    return float(total + whole - under(footing, over_floor) + under(foot, over_floor))


@compiled
def _joint(cut: Outline, u: Tilt, width_mm: float, depth_mm: float) -> float:
    if width_mm <= 0.0 or depth_mm <= 0.0:
        return 0.0
    inner = (cut[0] - width_mm, cut[1] - width_mm, cut[2] - width_mm)
    plan = _area_mm2(cut) - _area_mm2(inner)
    below = (u[0] - depth_mm, u[1], u[2])
    return _ring(cut, inner, plan, u) - _ring(cut, inner, plan, below)


@compiled
def cover_litres(outlines: Array, planes: Array, depths: Array, litres: Array) -> None:
    """Litres of bed, under-flange fill, surround fill, running surface and edge seal of one cover, into `litres`.

    outlines    rows opening, body, flange, wall, chamber, cut: half along, half across, radius (infinite: none)
    planes      rows rim, road, chamber top, floor: level, slope along, slope across, in the outlines' own axes
    depths      frame depth, flange thickness, over flange, surface depth, joint width, joint depth
    Valid       body within flange within cut; opening and chamber within flange and wall
    Source      house: section and its roles; algebra
    Proved by   tests/chamber/test_many.py
    """
    flange, wall, cut, body = (
        _row(outlines, FLANGE), _row(outlines, WALL), _row(outlines, CUT), _row(outlines, BODY),
    )  # fmt: skip
    foot = _both(flange, wall)
    litres[0] = _bed(outlines, foot, _less(planes, RIM, TOP, -depths[FRAME_DEPTH])) * 1e-6
    litres[1] = _fill(outlines, planes, depths, foot) * 1e-6
    lift = depths[FLANGE_THICK] + depths[OVER_FLANGE] - depths[FRAME_DEPTH]
    to_road = _less(planes, ROAD, RIM, -lift)
    plan = _area_mm2(cut) - _area_mm2(body)
    deep = depths[SURFACE_DEPTH]
    surround = _ring(cut, body, plan, (to_road[0] - deep, to_road[1], to_road[2]))
    litres[2] = surround * 1e-6
    joint = _joint(cut, to_road, depths[JOINT_WIDTH], min(depths[JOINT_DEPTH], deep))
    litres[3] = (_ring(cut, body, plan, to_road) - surround - joint) * 1e-6 if deep > 0.0 else 0.0
    litres[4] = joint * 1e-6


@compiled
def _holds(outer: Outline, inner: Outline, slack_mm: float) -> bool:
    a, b = min(inner[0], inner[2]), min(inner[1], inner[2])
    if not (a > 0.0 and b > 0.0 and a + b < math.inf and a <= outer[0] + slack_mm and b <= outer[1] + slack_mm):
        return False
    if outer[2] == math.inf:
        return True
    far = inner[2] if inner[2] <= outer[2] else math.sqrt(inner[0] * inner[0] + inner[1] * inner[1])
    return far <= outer[2] + slack_mm


@compiled
def _fits(outlines: Array, planes: Array, depths: Array, slack_mm: float) -> bool:
    flange, wall, cut = _row(outlines, FLANGE), _row(outlines, WALL), _row(outlines, CUT)
    opening, chamber = _row(outlines, OPENING), _row(outlines, CHAMBER)
    total = 0.0
    for i in range(4):
        total += planes[i, 0] + planes[i, 1] + planes[i, 2]
    for i in range(6):
        total += depths[i]
    seat = _holds(flange, opening, slack_mm) and _holds(flange, chamber, slack_mm)
    on_wall = _holds(wall, opening, slack_mm) and _holds(wall, chamber, slack_mm)
    around = _holds(flange, _row(outlines, BODY), slack_mm) and _holds(cut, flange, slack_mm)
    sizes = min(cut[0], cut[2]) < math.inf and min(wall[0], wall[2]) < math.inf
    return seat and on_wall and around and sizes and math.isfinite(total)


@compiled
def all_litres(covers: tuple[Array, Array, Array, Array], slack_mm: float, litres: Array) -> int:
    """Litres of the roles of many covers, cover by cover, into `litres`; how many did not fit (theirs are left).

    covers      outlines, planes in local axes, depths, cosines and sines of the turns
    Valid       arrays as of truebed.chamber.many.Covers
    Source      as cover_litres
    Proved by   tests/chamber/test_many.py
    """
    outlines, planes, depths, turns = covers
    wrong = 0
    own = np.empty((4, 3))
    for i in range(outlines.shape[0]):
        if not _fits(outlines[i], planes[i], depths[i], slack_mm):
            wrong += 1
            continue
        c, s = turns[i, 0], turns[i, 1]
        for k in range(4):
            own[k, 0] = planes[i, k, 0]
            own[k, 1] = c * planes[i, k, 1] + s * planes[i, k, 2]
            own[k, 2] = c * planes[i, k, 2] - s * planes[i, k, 1]
        cover_litres(outlines[i], own, depths[i], litres[i])
    return wrong
