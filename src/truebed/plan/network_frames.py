"""Rims and seats of many covers as arrays of points, in groups of covers that have the same number of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.cut_arrays import ManyShapes
from truebed.chamber.shapes import circle_ring, rectangle_ring
from truebed.levels.frame_setting import RIM_SPACING_MM
from truebed.levels.rim_range import stretches
from truebed.levels.rims import CORNERS, QUARTERS
from truebed.levels.seat_question import ROUNDING_MM
from truebed.plan.network_types import ManyCovers

Array = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

#: A circle of diameter 1 as the one-cover path draws it, and a square of side 1.
CIRCLE, SQUARE = np.array(circle_ring(1.0)), np.array(rectangle_ring(1.0, 1.0))


@dataclass(frozen=True, slots=True)
class Group:
    """Covers whose frames are given by the same points of a unit frame.

    rim      points round the rim, in order, as shares of the sizes; set_at: the points that are set
    seat     the same of the seating's outer edge; stretches: of the rim, for its chance of tolerance
    """

    rows: Whole
    rim: Array
    seat: Array
    set_at: Array
    at: Array
    table: Whole


def placed(unit: Array, along: Array, across: Array, turn_deg: Array) -> Array:
    """Points of unit frames in local axes: (covers, points, 2).

    Valid       sizes > 0
    Source      algebra
    Proved by   tests/plan/test_network.py
    """
    x, y = unit[:, 0] * along[:, None], unit[:, 1] * across[:, None]
    cos, sin = np.cos(np.radians(turn_deg))[:, None], np.sin(np.radians(turn_deg))[:, None]
    return np.stack([cos * x - sin * y, sin * x + cos * y], axis=2)


def _divided(ring: Array, counts: tuple[int, ...]) -> Array:
    points = []
    for i, count in enumerate(counts):
        a, b = ring[i], ring[(i + 1) % len(ring)]
        points += [a + (b - a) * k / count for k in range(count)]
    return np.array(points)


def _unit_rim(is_round: bool, along_count: int, across_count: int) -> Array:
    """The samples of the one-cover path, in order round the rim."""
    if not is_round:
        return _divided(SQUARE, (along_count, across_count, along_count, across_count))
    points = np.vstack([_divided(CIRCLE, (along_count,) * len(CIRCLE)), _unit_set(True)])
    order = np.argsort(np.arctan2(points[:, 1], points[:, 0]), kind="stable")
    return np.asarray(points[order])


def _unit_set(is_round: bool) -> Array:
    return np.array([[sx / 2.0, sy / 2.0] for _, sx, sy in (QUARTERS if is_round else CORNERS)])


def _counts(shapes: ManyShapes) -> tuple[Whole, Whole]:
    """How many parts each side of the rim is divided into."""
    side = float(np.hypot(*(CIRCLE[1] - CIRCLE[0])))
    along = np.where(shapes.is_round, shapes.along * side, shapes.along)
    across = np.where(shapes.is_round, 0.0, shapes.across)
    parts = [np.maximum(1, np.ceil((length - ROUNDING_MM) / RIM_SPACING_MM)).astype(np.int64) for length in
             (along, across)]  # fmt: skip
    return parts[0], parts[1]


def foot_of(covers: ManyCovers) -> tuple[ManyShapes, Flags]:
    """Where the flange stands on the wall, and whether that is a rectangle or a round at all.

    Valid       any sizes
    Source      algebra
    Proved by   tests/plan/test_network.py
    """
    flange, wall = covers.flange, wall_of(covers)
    same = flange.is_round == wall.is_round
    inner_flange, inner_wall = holds(wall, flange, 0.0), holds(flange, wall, 0.0)
    take_flange = inner_flange & ~same
    along = np.where(same, np.minimum(flange.along, wall.along), np.where(take_flange, flange.along, wall.along))
    across = np.where(same, np.minimum(flange.across, wall.across), np.where(take_flange, flange.across, wall.across))
    is_round = np.where(take_flange | same, flange.is_round, wall.is_round)
    return ManyShapes(along, across, is_round), same | inner_flange | inner_wall


def wall_of(covers: ManyCovers) -> ManyShapes:
    """The chambers' outer outlines.

    Valid       walls not negative
    Source      house: section and its roles
    Proved by   tests/plan/test_network.py
    """
    hollow = covers.chamber
    return ManyShapes(hollow.along + 2.0 * covers.wall, hollow.across + 2.0 * covers.wall, hollow.is_round)


def holds(outer: ManyShapes, inner: ManyShapes, room_mm: float) -> Flags:
    """Whether one outline holds another about the same middle with some room all round, measured where it is least.

    Valid       room not negative
    Source      algebra
    Proved by   tests/plan/test_network.py
    """
    a, b = inner.along / 2.0 + room_mm, inner.across / 2.0 + room_mm
    straight = (a <= outer.along / 2.0) & (b <= outer.across / 2.0)
    reach = np.where(inner.is_round, a, np.hypot(a - room_mm, b - room_mm) + room_mm)
    held: Flags = np.where(outer.is_round, reach <= outer.along / 2.0, straight)
    return held


def groups_of(covers: ManyCovers, foot: ManyShapes, block: int) -> Iterator[Group]:
    """The covers in groups of one kind of frame and seat, no group larger than a block; always in the same order.

    Valid       any covers
    Source      house (samples as truebed.levels.frame_setting.rim_samples takes them)
    Proved by   tests/plan/test_network.py
    """
    along, across = _counts(covers.body)
    keys = np.column_stack([covers.body.is_round, foot.is_round, along, across]).astype(np.int64)
    kinds, which = np.unique(keys, axis=0, return_inverse=True)
    which = which.reshape(-1)
    order = np.argsort(which, kind="stable")
    ends = np.searchsorted(which[order], np.arange(len(kinds) + 1))
    for kind, begin, end in zip(kinds, ends[:-1], ends[1:], strict=True):
        is_round, seat_round = bool(kind[0]), bool(kind[1])
        ring = CIRCLE if is_round else SQUARE
        at, table = stretches(tuple((float(x), float(y)) for x, y in ring))
        for start in range(int(begin), int(end), block):
            yield Group(
                rows=order[start : min(start + block, int(end))],
                rim=_unit_rim(is_round, int(kind[2]), int(kind[3])),
                seat=CIRCLE if seat_round else SQUARE,
                set_at=_unit_set(is_round),
                at=at,
                table=table,
            )
