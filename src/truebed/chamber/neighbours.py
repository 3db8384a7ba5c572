"""Covers beside one another: where one lies in the other's axes, and their cut-outs joined into one."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from truebed.chamber.cut_parts import KeepOff, Neighbour
from truebed.chamber.plane import Ring
from truebed.chamber.shapes import turned


@dataclass(frozen=True, slots=True)
class Place:
    """Where a cover stands: its frame's centre in the works' system, its traffic's bearing clockwise from north."""

    x_m: float
    y_m: float
    bearing_deg: float


@dataclass(frozen=True, slots=True)
class Placed:
    """A cover with its place and outlines in its own local axes.

    cut       its cut-out made without neighbours; () where its frame stays as it is
    keep_off  what its cut keeps off: obstacles with clearance, the kerb (truebed.chamber.kerb.behind_kerb)
    """

    name: str
    place: Place
    flange: Ring
    cut: Ring = ()
    keep_off: tuple[KeepOff, ...] = ()


def relative(this: Place, other: Place) -> tuple[float, float, float]:
    """Another cover's centre in this cover's local axes [mm, mm] and its turn against them [deg, anticlockwise].

    Local x runs along the traffic, y to its left; a bearing is clockwise from grid north.

    Valid       one coordinate system, metres
    Source      house (axes); algebra
    Proved by   tests/chamber/test_neighbours.py
    """
    east_mm, north_mm = 1000.0 * (other.x_m - this.x_m), 1000.0 * (other.y_m - this.y_m)
    sin, cos = math.sin(math.radians(this.bearing_deg)), math.cos(math.radians(this.bearing_deg))
    turn_deg = math.remainder(this.bearing_deg - other.bearing_deg, 360.0)
    return sin * east_mm + cos * north_mm, sin * north_mm - cos * east_mm, turn_deg


def moved(ring: Ring, x_mm: float, y_mm: float, turn_deg: float) -> Ring:
    """A ring of another cover's axes in this one's: turned about its centre, then moved.

    Valid       any ring
    Source      algebra
    Proved by   tests/chamber/test_neighbours.py
    """
    return tuple((x + x_mm, y + y_mm) for x, y in turned(ring, turn_deg))


def neighbours_of(this: Placed, others: Sequence[Placed], reach_mm: float) -> tuple[Neighbour, ...]:
    """The other covers within reach, their outlines in this cover's local axes, by name.

    Covers that another one within reach is within reach of are taken too, so that a row of covers joins as one.

    reach_mm    from outline to outline, a little more than the rule's strip
    Valid       covers of one coordinate system
    Source      algebra
    Proved by   tests/chamber/test_neighbours.py
    """
    waiting = sorted((o for o in others if o.name != this.name), key=lambda o: o.name)
    found: list[Neighbour] = []
    around = [_circle(Neighbour(this.name, this.flange, this.cut))]
    grown = True
    while grown:
        grown = False
        for other in tuple(waiting):
            here = _in_axes_of(this, other)
            x, y, radius = _circle(here)
            if any(math.hypot(x - a, y - b) <= radius + r + reach_mm for a, b, r in around):
                found.append(here)
                waiting.remove(other)
                grown = grown or bool(here.cut)
                around += [(x, y, radius)] if here.cut else []
    return tuple(sorted(found, key=lambda n: n.name))


def _in_axes_of(this: Placed, other: Placed) -> Neighbour:
    place = relative(this.place, other.place)
    return Neighbour(
        other.name,
        moved(other.flange, *place),
        moved(other.cut, *place),
        tuple(KeepOff(k.what, moved(k.ring, *place)) for k in other.keep_off),
    )


def _circle(neighbour: Neighbour) -> tuple[float, float, float]:
    """A circle that holds its outlines."""
    points = (*neighbour.flange, *neighbour.cut)
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    x, y = (min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0
    return x, y, max(math.hypot(p[0] - x, p[1] - y) for p in points)
