"""Things in the way of the saw: the ground they keep, and the cut pulled back from them."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.chamber.convex import clipped, common, ring_area_mm2
from truebed.chamber.cut_parts import KeepOff, PulledBack
from truebed.chamber.plane import Ring
from truebed.chamber.shapes import rectangle_ring, turned
from truebed.errors import NotDesignedError

SIDES = ("front", "left", "back", "right")


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in the cut's own axes: how far out it reaches to each side from the frame's centre."""

    front_mm: float
    left_mm: float
    back_mm: float
    right_mm: float

    @property
    def area_mm2(self) -> float:
        """Its area."""
        return (self.front_mm + self.back_mm) * (self.left_mm + self.right_mm)

    def ring(self) -> Ring:
        """Its outline, anticlockwise."""
        f, left, b, r = self.front_mm, self.left_mm, -self.back_mm, -self.right_mm
        return ((b, r), (f, r), (f, left), (b, left))

    def reaching(self, side: int, to_mm: float) -> Box:
        """The same box with one side (0 front, 1 left, 2 back, 3 right) elsewhere."""
        far = [self.front_mm, self.left_mm, self.back_mm, self.right_mm]
        far[side] = to_mm
        return Box(*far)

    def far_mm(self, side: int) -> float:
        """How far out one side is."""
        return (self.front_mm, self.left_mm, self.back_mm, self.right_mm)[side]


def keep_off(
    what: str, x_mm: float, y_mm: float, along_mm: float, across_mm: float, turn_deg: float, clear_mm: float
) -> KeepOff:
    """The ground that an obstacle keeps: its rectangle, turned, grown by its clearance on every side.

    Valid       sizes and clearance not negative, one size more than nought
    Source      algebra (corners of the clearance square, not rounded: the safe side)
    Proved by   tests/chamber/test_obstacles.py
    """
    ring = turned(rectangle_ring(along_mm + 2.0 * clear_mm, across_mm + 2.0 * clear_mm), turn_deg)
    return KeepOff(what, tuple((x + x_mm, y + y_mm) for x, y in ring))


def pulled_back(
    box: Box, flange: Box, least_width_mm: float, least_of: str, in_the_way: tuple[KeepOff, ...]
) -> tuple[Box, tuple[PulledBack, ...]]:
    """The greatest rectangle that keeps off everything in the way, by drawing in one side for each.

    flange      how far out the flange reaches, in the same axes; the sides stay `least_width_mm` outside it
    in_the_way  convex rings in the cut's own axes
    Valid       few things in the way: all ways to draw in are tried
    Source      house (greatest area left; ties to the front, left, back, right); algebra
    Raises      NotDesignedError where no way leaves the least width
    Proved by   tests/chamber/test_obstacles.py
    """
    found = _best(box, flange, least_width_mm, in_the_way, 0)
    if found is None:
        names = " and ".join(k.what for k in in_the_way if _bites(box, k.ring))
        raise NotDesignedError(
            f"The cut cannot keep off {names}: less than {least_width_mm:g} mm would be left beside the flange for "
            f"{least_of or 'the surround'}.",
            "Have it moved or its clearance agreed with its owner, or use a material that fills a narrower gap.",
        )
    return found


def _best(
    box: Box, flange: Box, least_mm: float, in_the_way: tuple[KeepOff, ...], start: int
) -> tuple[Box, tuple[PulledBack, ...]] | None:
    for i in range(start, len(in_the_way)):
        if _bites(box, in_the_way[i].ring):
            break
    else:
        return box, ()
    best: tuple[Box, tuple[PulledBack, ...]] | None = None
    for side in range(4):
        to_mm = _drawn_to_mm(box, side, in_the_way[i].ring)
        if to_mm < flange.far_mm(side) + least_mm - 1e-9:
            continue
        tried = _best(box.reaching(side, to_mm), flange, least_mm, in_the_way, i + 1)
        if tried is not None and (best is None or tried[0].area_mm2 > best[0].area_mm2 + 1e-6):
            said = PulledBack(in_the_way[i].what, SIDES[side], box.far_mm(side), to_mm)
            best = (tried[0], (said, *tried[1]))
    return best


def _bites(box: Box, ring: Ring) -> bool:
    inside = common(ring, box.ring())
    return bool(inside) and ring_area_mm2(inside) > 1e-3


def _drawn_to_mm(box: Box, side: int, ring: Ring) -> float:
    """How far out a side may be so that the ring stays outside: only the ring's part within the box's band counts."""
    nx, ny = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[side]
    ends = ((0.0, 1.0), (0.0, -1.0)) if side % 2 == 0 else ((1.0, 0.0), (-1.0, 0.0))
    limits = (box.left_mm, box.right_mm) if side % 2 == 0 else (box.front_mm, box.back_mm)
    band = ring
    for (ex, ey), limit in zip(ends, limits, strict=True):
        band = clipped(band, ex, ey, limit)
    return min(nx * x + ny * y for x, y in band)
