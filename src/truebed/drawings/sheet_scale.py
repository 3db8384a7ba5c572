"""From the cover's local axes (mm, y to the left of the traffic, z up) to the sheet (mm, y down) at a named scale."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from truebed.chamber.plane import Ring
from truebed.drawings.svg import BOLD_MM, Point, box, words

#: Scales of a sheet, finest first; the first that fits is taken.
SCALES: tuple[int, ...] = (5, 10, 15, 20, 25, 50)


@dataclass(frozen=True, slots=True)
class ToSheet:
    """A scale 1:`one_to` with the place of the local origin on the sheet. upright: local y (or z) points up."""

    one_to: int
    origin_x_mm: float
    origin_y_mm: float

    def at(self, x_mm: float, y_mm: float) -> Point:
        """The sheet's point for a local one."""
        return self.origin_x_mm + x_mm / self.one_to, self.origin_y_mm - y_mm / self.one_to

    def ring(self, ring: Iterable[Point]) -> tuple[Point, ...]:
        """A ring on the sheet."""
        return tuple(self.at(x, y) for x, y in ring)


def fitting_scale(extent_mm: float, room_mm: float) -> int:
    """The finest of the sheet's scales at which an extent fits the room; the coarsest where none does."""
    return next((one_to for one_to in SCALES if extent_mm / one_to <= room_mm), SCALES[-1])


def turned(x_mm: float, y_mm: float, turn_deg: float) -> Point:
    """A point turned anticlockwise about the origin."""
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return cos * x_mm - sin * y_mm, sin * x_mm + cos * y_mm


@dataclass(frozen=True, slots=True)
class OwnBox:
    """The least box round a ring along the frame's own axes."""

    x_low_mm: float
    x_high_mm: float
    y_low_mm: float
    y_high_mm: float

    @property
    def along_mm(self) -> float:
        """Size along the frame's own x."""
        return self.x_high_mm - self.x_low_mm

    @property
    def across_mm(self) -> float:
        """Size along the frame's own y."""
        return self.y_high_mm - self.y_low_mm


def own_box(ring: Ring, turn_deg: float) -> OwnBox:
    """The box of a ring in the frame's own axes."""
    own = [turned(x, y, -turn_deg) for x, y in ring]
    xs, ys = [x for x, _ in own], [y for _, y in own]
    return OwnBox(min(xs), max(xs), min(ys), max(ys))


def crossing(ring: Ring, y_mm: float = 0.0) -> tuple[float, float] | None:
    """Where a line along the traffic at y cuts a ring: (low x, high x); None where it misses.

    Of a ring that it cuts more than twice (a share of a joined cut) the stretch about the middle, x = 0.
    """
    cuts: list[float] = []
    for (xa, ya), (xb, yb) in zip(ring, (*ring[1:], ring[0]), strict=True):
        if (ya <= y_mm) != (yb <= y_mm):
            cuts.append(xa + (y_mm - ya) * (xb - xa) / (yb - ya))
    if len(cuts) > 2 and min(cuts) < 0.0 < max(cuts):
        return max(x for x in cuts if x < 0.0), min(x for x in cuts if x >= 0.0)
    return (min(cuts), max(cuts)) if cuts else None


def scale_bar(at: Point, one_to: int) -> str:
    """The scale in words with a bar of 200 mm, so that a copy that was shrunk still tells the truth."""
    x, y = at
    half = 100.0 / one_to
    bar = box(x, y, half, 1.4, BOLD_MM / 4, "ink") + box(x + half, y, half, 1.4, BOLD_MM / 4)
    return bar + words((x + 2 * half + 1.5, y + 1.8), f"200 mm   scale 1:{one_to}", 3.0, "start")
