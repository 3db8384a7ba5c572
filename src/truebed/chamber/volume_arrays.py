"""The same closed forms as truebed.chamber.volume_kernel, over whole arrays of covers."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
TURN = 2.0 * math.pi
#: Gradients whose square is below this lift nothing that a float can hold.
LEVEL_RATIO = 1.0e-280


@dataclass(frozen=True, slots=True)
class Section:
    """Outlines (n, 6, 3), planes (n, 4, 3) in the outlines' own axes, depths (n, 6): see truebed.chamber.many."""

    outlines: Array
    planes: Array
    depths: Array


@dataclass(frozen=True, slots=True)
class Shapes:
    """Rectangles cut by circles about their middles: half sizes and radii."""

    a: Array
    b: Array
    r: Array

    def some(self, chosen: NDArray[np.intp]) -> Shapes:
        """Some of them."""
        return Shapes(self.a[chosen], self.b[chosen], self.r[chosen])

    def within(self, other: Shapes) -> Shapes:
        """What both hold."""
        return Shapes(np.minimum(self.a, other.a), np.minimum(self.b, other.b), np.minimum(self.r, other.r))

    def areas(self) -> Array:
        """Their areas [mm2]."""
        areas = 4.0 * np.minimum(self.a, self.r) * np.minimum(self.b, self.r)
        rounded = np.flatnonzero(self.r * self.r < self.a * self.a + self.b * self.b)
        if rounded.size:
            some = self.some(rounded)
            side_x, side_y, first, last = some.corners()
            straight = np.minimum(some.a, some.r) * side_x + np.minimum(some.b, some.r) * side_y
            areas[rounded] = 2.0 * (straight + some.r * some.r * (last - first))
        return areas

    def corners(self) -> tuple[Array, Array, Array, Array]:
        """Half lengths of the sides at x = a and y = b, and the first quarter's arc."""
        r = self.r
        a, b = np.minimum(self.a, r), np.minimum(self.b, r)
        side_x, side_y = np.sqrt((r - a) * (r + a)), np.sqrt((r - b) * (r + b))
        return side_x, side_y, np.arccos(a / r), np.arcsin(b / r)


@dataclass(frozen=True, slots=True)
class Tilts:
    """Thicknesses h + gx x + gy y."""

    h: Array
    gx: Array
    gy: Array

    def some(self, chosen: NDArray[np.intp]) -> Tilts:
        """Some of them."""
        return Tilts(self.h[chosen], self.gx[chosen], self.gy[chosen])

    def raised(self, by: Array) -> Tilts:
        """The same, higher."""
        return Tilts(self.h + by, self.gx, self.gy)

    def reach(self, shapes: Shapes) -> Array:
        """The most by which they differ from their middle value over shapes."""
        along = np.abs(self.gx) * np.minimum(shapes.a, shapes.r)
        whole: Array = along + np.abs(self.gy) * np.minimum(shapes.b, shapes.r)
        return whole


def _side(middle: Array, rise: Array, half: Array) -> Array:
    low, high = middle - np.abs(rise), np.maximum(middle + np.abs(rise), 0.0)
    whole = low * low + low * high + high * high
    with np.errstate(divide="ignore", invalid="ignore"):
        part = high * high * high / (high - low)
    squares: Array = 2.0 / 3.0 * half * np.where(low >= 0.0, whole, np.where(high > 0.0, part, 0.0))
    return squares


def _turned_sum(h: Array, fall: Array, at: Array) -> Array:
    s, c = np.sin(at), np.cos(at)
    total: Array = s * (h * h + fall * fall * (1.0 - s * s / 3.0)) + h * fall * (at + s * c)
    return total


def _arcs(u: Tilts, shapes: Shapes, first: Array, last: Array) -> Array:
    steep = np.hypot(u.gx, u.gy)
    fall, toward = steep * shapes.r, np.arctan2(u.gy, u.gx)
    wet = np.arccos(np.clip(-u.h / fall, -1.0, 1.0))
    total = np.zeros_like(fall)
    half = 0.5 * TURN
    for start in (first, half - last, half + first, -last):
        begin = start - toward
        begin -= TURN * np.floor((begin + half) / TURN)
        end = begin + last - first
        for turn in (-TURN, 0.0, TURN):
            low, high = np.maximum(begin, turn - wet), np.minimum(end, turn + wet)
            some = np.flatnonzero(high > low)
            if some.size:
                h, f = u.h[some], fall[some]
                total[some] += _turned_sum(h, f, high[some]) - _turned_sum(h, f, low[some])
    moved: Array = steep * shapes.r * total
    return moved


def _crossing(shapes: Shapes, u: Tilts) -> Array:
    """Volumes where the thickness changes sign."""
    total = np.zeros_like(u.h)
    straight = np.flatnonzero(shapes.r * shapes.r >= shapes.a * shapes.a + shapes.b * shapes.b)
    rounded = np.flatnonzero(shapes.r * shapes.r < shapes.a * shapes.a + shapes.b * shapes.b)
    for chosen, is_round in ((straight, False), (rounded, True)):
        if not chosen.size:
            continue
        s, v = shapes.some(chosen), u.some(chosen)
        a, b = np.minimum(s.a, s.r), np.minimum(s.b, s.r)
        side_x, side_y = (b, a) if not is_round else s.corners()[:2]
        part = np.zeros_like(v.h)
        for sign in (-1.0, 1.0):
            part += sign * v.gx * _side(v.h + sign * v.gx * a, v.gy * side_x, side_x)
            part += sign * v.gy * _side(v.h + sign * v.gy * b, v.gx * side_y, side_y)
        if is_round:
            part += _arcs(v, s, *s.corners()[2:])
        steep_sq = v.gx * v.gx + v.gy * v.gy
        total[chosen] = np.where(steep_sq < LEVEL_RATIO, 0.0, part / (2.0 * np.maximum(steep_sq, LEVEL_RATIO)))
    return total


def under_all(shapes: Shapes, u: Tilts) -> Array:
    """Volumes under max(0, u) over shapes [mm3].

    Valid       as truebed.chamber.volume_kernel.under
    Source      algebra (divergence theorem along the gradient)
    Proved by   tests/chamber/test_many.py
    """
    reach = u.reach(shapes)
    total = np.where(u.h >= reach, u.h, 0.0) * shapes.areas()
    mixed = np.flatnonzero(np.abs(u.h) < reach)
    if mixed.size:
        total[mixed] = _crossing(shapes.some(mixed), u.some(mixed))
    return total


def _sum(terms: tuple[tuple[float, Shapes, Array], ...], widest: Shapes, u: Tilts) -> Array:
    """A signed sum of shapes under one thickness; term by term only where it may change sign within the widest."""
    plan = np.zeros_like(u.h)
    for sign, _, area in terms:
        plan += sign * area
    total = u.h * plan
    low = np.flatnonzero(u.h < u.reach(widest))
    if low.size:
        some = u.some(low)
        total[low] = 0.0
        for sign, shapes, _ in terms:
            total[low] += sign * under_all(shapes.some(low), some)
    return total


def litres_by_arrays(section: Section) -> Array:
    """Litres (n, 5) of bed, under-flange fill, surround fill, running surface and edge seal.

    Valid       as truebed.chamber.volume_kernel.cover_litres
    Source      house: section and its roles; algebra
    Proved by   tests/chamber/test_many.py
    """
    o, p, d = section.outlines, section.planes, section.depths
    opening, body, flange, wall, chamber, cut = (Shapes(o[:, i, 0], o[:, i, 1], o[:, i, 2]) for i in range(6))
    rim, road, top, floor = (p[:, i] for i in range(4))
    depth, over, deep = d[:, 0], d[:, 2], d[:, 3]
    lift = d[:, 1] + over - depth
    foot, footing, common = flange.within(wall), cut.within(wall), opening.within(chamber)
    a_body, a_flange, a_cut = body.areas(), flange.areas(), cut.areas()
    a_foot, a_footing = foot.areas(), footing.areas()

    def less(upper: Array, lower: Array, by: Array) -> Tilts:
        return Tilts(upper[:, 0] - lower[:, 0] + by, upper[:, 1] - lower[:, 1], upper[:, 2] - lower[:, 2])

    hollow = ((-1.0, opening, opening.areas()), (-1.0, chamber, chamber.areas()), (1.0, common, common.areas()))
    litres = np.empty((len(o), 5))
    litres[:, 0] = _sum(((1.0, foot, a_foot), *hollow), foot, less(rim, top, -depth))
    outer = ((1.0, cut, a_cut), (-1.0, flange, a_flange), (-1.0, footing, a_footing), (1.0, foot, a_foot))
    litres[:, 1] = (
        np.maximum(over, 0.0) * (a_flange - a_body)
        + _sum(((1.0, flange, a_flange), (-1.0, foot, a_foot)), flange, less(rim, floor, -depth))
        + _sum(((1.0, footing, a_footing), (-1.0, foot, a_foot)), footing, less(rim, top, lift))
        + _sum(outer, cut, less(rim, floor, lift))
    )
    ring = ((1.0, cut, a_cut), (-1.0, body, a_body))
    to_road = less(road, rim, -lift)
    litres[:, 2] = _sum(ring, cut, to_road.raised(-deep))
    litres[:, 4] = _joints(cut, to_road, d[:, 4], np.minimum(d[:, 5], deep))
    whole = _sum(ring, cut, to_road)
    litres[:, 3] = np.where(deep > 0.0, whole - litres[:, 2] - litres[:, 4], 0.0)
    return litres * 1e-6


def _joints(cut: Shapes, u: Tilts, width: Array, depth: Array) -> Array:
    if not np.any((width > 0.0) & (depth > 0.0)):
        return np.zeros_like(width)
    w = np.where((width > 0.0) & (depth > 0.0), width, 0.0)
    inner = Shapes(cut.a - w, cut.b - w, cut.r - w)
    strip = ((1.0, cut, cut.areas()), (-1.0, inner, inner.areas()))
    joint = _sum(strip, cut, u) - _sum(strip, cut, u.raised(-depth))
    return np.where(w > 0.0, joint, 0.0)
