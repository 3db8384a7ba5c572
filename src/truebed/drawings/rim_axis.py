"""The rim of a frame unrolled: where each of its points, and each direction from its centre, lies along it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from truebed.chamber.plane import Point
from truebed.levels.setting import FrameSetting, RimPoint


@dataclass(frozen=True, slots=True)
class RimAxis:
    """Rim points anticlockwise seen from above from the rear, with how far along the rim each lies [mm].

    The first point stands again at the end, where the rim closes.
    """

    centre: Point
    points: tuple[RimPoint, ...]
    order: tuple[int, ...]
    along_mm: tuple[float, ...]

    @property
    def length_mm(self) -> float:
        """The whole way round."""
        return self.along_mm[-1]

    def place_mm(self, x_mm: float, y_mm: float) -> float:
        """How far along the rim the direction from its centre to a point meets it."""
        angle = _angle(x_mm - self.centre[0], y_mm - self.centre[1])
        around = [_angle(p.x_mm - self.centre[0], p.y_mm - self.centre[1]) for p in self.points]
        first = around[0]
        turned = [(a - first) % (2.0 * math.pi) for a in around[:-1]] + [2.0 * math.pi]
        wanted = (angle - first) % (2.0 * math.pi)
        index = next(i for i, (a, b) in enumerate(pairwise(turned)) if a <= wanted <= b)
        p, q = self.points[index], self.points[index + 1]
        share = _met((x_mm - self.centre[0], y_mm - self.centre[1]), self.centre, p, q)
        return self.along_mm[index] + share * (self.along_mm[index + 1] - self.along_mm[index])

    def reach_ratio(self, x_mm: float, y_mm: float) -> float:
        """How far out a point lies: 0 at the centre, 1 on the rim."""
        along = self.place_mm(x_mm, y_mm)
        i = next(i for i, end in enumerate(self.along_mm[1:]) if along <= end)
        p, q = self.points[i], self.points[i + 1]
        share = (along - self.along_mm[i]) / (self.along_mm[i + 1] - self.along_mm[i])
        rim_x, rim_y = p.x_mm + share * (q.x_mm - p.x_mm), p.y_mm + share * (q.y_mm - p.y_mm)
        out_mm = math.hypot(x_mm - self.centre[0], y_mm - self.centre[1])
        return out_mm / math.hypot(rim_x - self.centre[0], rim_y - self.centre[1])


def rim_axis(setting: FrameSetting) -> RimAxis:
    """The unrolled rim of a setting.

    Valid       three rim points or more round their middle, any convex shape, any turn
    Source      algebra
    Proved by   tests/drawings/test_rim_axis.py
    """
    found = setting.rim_points
    xs, ys = [p.x_mm for p in found], [p.y_mm for p in found]
    centre = ((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0)
    order = sorted(
        range(len(found)), key=lambda i: (round(_angle(found[i].x_mm - centre[0], found[i].y_mm - centre[1]), 9), i)
    )
    points = [found[i] for i in (*order, order[0])]
    along = [0.0]
    for a, b in pairwise(points):
        along.append(along[-1] + math.hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm))
    return RimAxis(centre, tuple(points), (*order, order[0]), tuple(along))


def _angle(x_mm: float, y_mm: float) -> float:
    """Anticlockwise from the rear, 0 to a whole turn."""
    turn = math.atan2(y_mm, x_mm) + math.pi
    return 0.0 if turn >= 2.0 * math.pi - 1e-12 else turn


def _met(way: Point, centre: Point, p: RimPoint, q: RimPoint) -> float:
    """The share of the way from p to q at which the direction is met."""
    ax, ay = p.x_mm - centre[0], p.y_mm - centre[1]
    bx, by = q.x_mm - centre[0], q.y_mm - centre[1]
    over = way[0] * ay - way[1] * ax
    under = over - (way[0] * by - way[1] * bx)
    return min(1.0, max(0.0, over / under)) if under != 0.0 else 0.0
