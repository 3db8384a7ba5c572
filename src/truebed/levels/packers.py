"""What stands under each set point while the bed is fresh: packer heights, made up from stocked sizes."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from truebed.chamber.plane import Ring
from truebed.chamber.shapes import polygon
from truebed.errors import NotDesignedError
from truebed.levels.setting import FrameSetting
from truebed.levels.wall_top import WallTop

#: Pieces in one stack at most: a taller pile of thin pieces slides.
STACK_MOST_COUNT = 4
#: A packer's middle lies this far inside the seating's edge where the seating is wide enough [mm].
INSIDE_MM = 20.0
#: The best stacks looked at under one point when the yard holds few pieces.
LOOKED_AT_COUNT = 150
#: Heights nearer than this are one height [mm].
SAME_MM = 1e-9


@dataclass(frozen=True, slots=True)
class PackerPlace:
    """Where a packer stands and how high it must be: underside of the flange less the chamber top there."""

    name: str
    x_mm: float
    y_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class PackerSize:
    """One stocked size; count: how many pieces there are, None: as many as it takes."""

    height_mm: float
    count: int | None = None


@dataclass(frozen=True, slots=True)
class Stack:
    """The pieces under one place, highest first, and what they lack (positive) or have too much."""

    place: PackerPlace
    pieces_mm: tuple[float, ...]
    residual_mm: float


def packer_places(
    setting: FrameSetting, top: WallTop, flange: Ring, wall: Ring, hollow: Ring
) -> tuple[PackerPlace, ...]:
    """The nearest place of the seating to each set point, a little inside its edge, with the height it takes.

    flange, wall    outlines whose overlap is the seat; hollow: the chamber's inner edge

    Valid       a seating all round
    Source      algebra
    Raises      NotDesignedError where there is no seating
    Proved by   tests/levels/test_packers.py
    """
    from shapely.geometry import Point as Spot
    from shapely.ops import nearest_points

    seat = polygon(flange).intersection(polygon(wall)).difference(polygon(hollow))
    if seat.is_empty:
        raise NotDesignedError("The flange has no seat on the chamber's wall.", "Measure flange and chamber again.")
    inside = seat.buffer(-INSIDE_MM)
    room = seat if inside.is_empty else inside
    places = []
    for corner in setting.corners:
        spot = nearest_points(room, Spot(corner.x_mm, corner.y_mm))[0]
        x, y = float(spot.x), float(spot.y)
        under_mm = setting.rim.at(x, y) - _depth_mm(setting)
        places.append(PackerPlace(corner.name, x, y, under_mm - top.at(x, y)))
    return tuple(places)


def _depth_mm(setting: FrameSetting) -> float:
    one = setting.bed[0]
    return setting.rim.at(one.x_mm, one.y_mm) - one.underside_mm


def stacks_of(sizes: tuple[PackerSize, ...]) -> tuple[tuple[float, ...], ...]:
    """Every stack of four pieces at most, fewest pieces first, highest piece first.

    Valid       sizes > 0, each once
    Source      algebra (enumeration)
    Proved by   tests/levels/test_packers.py
    """
    heights = sorted((s.height_mm for s in sizes), reverse=True)
    most = {s.height_mm: s.count for s in sizes}
    found = []
    for number in range(STACK_MOST_COUNT + 1):
        for stack in itertools.combinations_with_replacement(heights, number):
            if all(most[h] is None or stack.count(h) <= (most[h] or 0) for h in set(stack)):
                found.append(stack)
    return tuple(found)


def make_up_packers(places: tuple[PackerPlace, ...], sizes: tuple[PackerSize, ...]) -> tuple[Stack, ...]:
    """A stack of stocked pieces under every place: the greatest residual is least, then their sum, then the pieces.

    Where the yard holds as many as it takes, each place has its own best stack. Where it holds few, the places share
    them: the best stacks of each place are searched for the best choice together.

    A place that no piece is left for has an empty stack, and its whole height as residual.

    Valid       few places (4 or 5), sizes > 0; shared choice: exact up to 150 stacks a place
    Source      algebra (whole-number choice by branch and bound)
    Proved by   tests/levels/test_packers.py
    """
    stacks = stacks_of(sizes)
    ranked = [_nearest_first(stacks, p.height_mm) for p in places]
    if all(s.count is None for s in sizes):
        chosen = [one[0] for one in ranked]
    else:
        chosen = _shared(places, [[*one[:LOOKED_AT_COUNT], ()] for one in ranked], sizes)
    return tuple(Stack(place, stack, place.height_mm - sum(stack)) for place, stack in zip(places, chosen, strict=True))


def _nearest_first(stacks: tuple[tuple[float, ...], ...], height_mm: float) -> list[tuple[float, ...]]:
    return sorted(stacks, key=lambda s: (round(abs(height_mm - sum(s)), 9), len(s), s))


def _shared(
    places: tuple[PackerPlace, ...], ranked: list[list[tuple[float, ...]]], sizes: tuple[PackerSize, ...]
) -> list[tuple[float, ...]]:
    left = {s.height_mm: s.count for s in sizes}
    best = (math.inf, math.inf, 0)
    best_choice: list[tuple[float, ...]] = []

    def go(index: int, worst_mm: float, sum_mm: float, pieces: int, chosen: list[tuple[float, ...]]) -> None:
        nonlocal best, best_choice
        score = (round(worst_mm, 9), round(sum_mm, 9), pieces)
        if score >= best:
            return
        if index == len(places):
            best, best_choice = score, list(chosen)
            return
        for stack in ranked[index]:
            off_mm = abs(places[index].height_mm - sum(stack))
            if max(worst_mm, off_mm) > best[0] + SAME_MM or not _takes(left, stack):
                continue
            chosen.append(stack)
            go(index + 1, max(worst_mm, off_mm), sum_mm + off_mm, pieces + len(stack), chosen)
            chosen.pop()
            _gives_back(left, stack)

    go(0, 0.0, 0.0, 0, [])
    return best_choice


def _takes(left: dict[float, int | None], stack: tuple[float, ...]) -> bool:
    """Take a stack's pieces out of what is left, if they are there."""
    for height in set(stack):
        have = left[height]
        if have is not None and have < stack.count(height):
            return False
    for height in stack:
        have = left[height]
        if have is not None:
            left[height] = have - 1
    return True


def _gives_back(left: dict[float, int | None], stack: tuple[float, ...]) -> None:
    for height in stack:
        have = left[height]
        if have is not None:
            left[height] = have + 1
