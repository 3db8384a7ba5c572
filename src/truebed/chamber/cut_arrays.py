"""Cut-outs and their waste for arrays of covers: turned with the frame, without neighbours or obstacles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
MM3_PER_LITRE = 1.0e6


@dataclass(frozen=True, slots=True)
class ManyCuts:
    """Cut-outs of many covers, one array a figure.

    front, left, back, right   how far out the cut reaches from the frame's centre [mm]; of a round cut its radius
    area_mm2, saw_length_m, run_on_mm (nan where the blade does not reach)
    clipped (a kerb stopped it), snapped (carried out to the kerb)
    possible      False where the flange crosses the kerb, or a round cut has no room before it
    """

    front: Floats
    left: Floats
    back: Floats
    right: Floats
    area_mm2: Floats
    saw_length_m: Floats
    sawn_mm: Floats
    run_on_mm: Floats
    clipped: NDArray[np.bool_]
    snapped: NDArray[np.bool_]
    possible: NDArray[np.bool_]
    is_round: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class ManyCutQuestions:
    """What decides the cuts of many covers: arrays of one length, or single numbers for all.

    flange_along, flange_across   along the cut's own axes; of a round flange both its diameter [mm]
    margins       (n, 4) or (4,): front, left, back, right [mm]; the material's least width least_width as well
    kerb_toward   +1 kerb on the left, -1 on the right, 0 none; kerb: its distance [mm], any number where there is none
    is_round      round cut
    around        radius of the circle that holds the flange [mm], for round cuts
    bound, dig, blade   depth of the bound layers, of the dig, blade diameter (nan: no blade) [mm]
    """

    flange_along: Floats
    flange_across: Floats
    around: Floats
    margins: Floats
    least_width: Floats
    kerb_toward: Floats
    kerb: Floats
    is_round: NDArray[np.bool_]
    bound: Floats
    dig: Floats
    blade: Floats
    strip_least: Floats


def many_cuts(q: ManyCutQuestions) -> ManyCuts:
    """The cut-outs of many covers whose kerbs run along their cuts' own sides.

    Valid       frames not turned against the traffic, or round, or without a kerb; saw reach half the blade
    Source      as truebed.chamber.cut, algebra
    Proved by   tests/chamber/test_cut_arrays.py
    """
    margins = np.maximum(np.broadcast_to(q.margins, (len(q.flange_along), 4)), np.reshape(q.least_width, (-1, 1)))
    front = q.flange_along / 2.0 + margins[:, 0]
    back = q.flange_along / 2.0 + margins[:, 2]
    has_kerb, on_left = q.kerb_toward != 0.0, q.kerb_toward > 0.0
    wanted = q.flange_across / 2.0 + np.where(on_left, margins[:, 1], margins[:, 3])
    # the side that faces the kerb: clipped at it, or carried out to it where the strip left would be too narrow
    reaches_kerb = has_kerb & (wanted > q.kerb - q.strip_least + 1e-7)
    over = has_kerb & (wanted > q.kerb)
    stopped = has_kerb & ((wanted >= q.kerb - 1e-7) | (reaches_kerb & (q.strip_least > 0.0)))
    facing = np.where(stopped, q.kerb, wanted)
    left = np.where(has_kerb & on_left, facing, q.flange_across / 2.0 + margins[:, 1])
    right = np.where(has_kerb & ~on_left, facing, q.flange_across / 2.0 + margins[:, 3])
    radius = q.around + margins.max(axis=1)
    along, across = front + back, left + right
    length = 2.0 * (along + across) - np.where(stopped, along, 0.0)
    possible = ~has_kerb | (q.flange_across / 2.0 <= q.kerb + 1e-9)
    room = ~has_kerb | (q.kerb - radius >= np.maximum(q.strip_least, 0.0) - 1e-9)
    wanted_deep = np.minimum(q.bound, np.maximum(q.dig, 0.0))
    sawn = np.minimum(wanted_deep, np.nan_to_num(q.blade / 2.0, nan=0.0))
    run_on = np.where(sawn >= wanted_deep, np.sqrt(np.maximum(q.blade * sawn - sawn**2, 0.0)), np.nan)
    return ManyCuts(
        front=np.where(q.is_round, radius, front),
        left=np.where(q.is_round, radius, left),
        back=np.where(q.is_round, radius, back),
        right=np.where(q.is_round, radius, right),
        area_mm2=np.where(q.is_round, np.pi * radius**2, along * across),
        saw_length_m=np.where(q.is_round, 2.0 * np.pi * radius, length) / 1000.0,
        sawn_mm=sawn,
        run_on_mm=np.where(q.is_round | np.isnan(q.blade), np.nan, run_on),
        clipped=over & ~q.is_round,
        snapped=stopped & ~over & ~q.is_round & (wanted < q.kerb - 1e-7),
        possible=possible & (room | ~q.is_round),
        is_round=q.is_round,
    )


def disc_in_rectangle_mm2(radius: Floats, front: Floats, left: Floats, back: Floats, right: Floats) -> Floats:
    """Area that a disc about the origin has in common with rectangles that hold the origin [mm2].

    Valid       distances not negative
    Source      algebra (a quarter of a disc, clipped by two lines, in closed form)
    Proved by   tests/chamber/test_cut_arrays.py
    """
    quarters = ((front, left), (back, left), (back, right), (front, right))
    total = np.zeros(np.broadcast(radius, front).shape)
    for a, b in quarters:
        total = total + _quarter(np.asarray(radius), np.asarray(a), np.asarray(b))
    return total


def _quarter(radius: Floats, a: Floats, b: Floats) -> Floats:
    """The integral of min(b, sqrt(r^2 - x^2)) from nought to min(a, r)."""
    far, top = np.minimum(a, radius), np.minimum(b, radius)
    flat = np.minimum(np.sqrt(np.maximum(radius**2 - top**2, 0.0)), far)
    area: Floats = flat * top + _under_arc(radius, far) - _under_arc(radius, flat)
    return area


def _under_arc(radius: Floats, x: Floats) -> Floats:
    share = np.clip(x / radius, 0.0, 1.0)
    area: Floats = (x * np.sqrt(np.maximum(radius**2 - x**2, 0.0)) + radius**2 * np.arcsin(share)) / 2.0
    return area


@dataclass(frozen=True, slots=True)
class ManyShapes:
    """Outlines about the frames' centres, along the cuts' own axes: sizes [mm], round or rectangle."""

    along: Floats
    across: Floats
    is_round: NDArray[np.bool_]


def common_mm2(one: ManyShapes, other: ManyShapes) -> Floats:
    """Area that concentric rectangles and rounds have in common [mm2].

    Valid       all along the same axes
    Source      algebra
    Proved by   tests/chamber/test_cut_arrays.py
    """
    straight = np.minimum(one.along, other.along) * np.minimum(one.across, other.across)
    discs = np.pi * np.minimum(one.along, other.along) ** 2 / 4.0
    radius = np.where(one.is_round, one.along, other.along) / 2.0
    a = np.where(one.is_round, other.along, one.along) / 2.0
    b = np.where(one.is_round, other.across, one.across) / 2.0
    mixed = disc_in_rectangle_mm2(radius, a, b, a, b)
    both, neither = one.is_round & other.is_round, ~one.is_round & ~other.is_round
    return np.where(both, discs, np.where(neither, straight, mixed))


def over_wall_mm2(cuts: ManyCuts, wall: ManyShapes) -> Floats:
    """Area of the cut-outs over the chambers' outer outlines [mm2].

    Valid       walls along the cuts' own axes, about the frames' centres
    Source      algebra
    Proved by   tests/chamber/test_cut_arrays.py
    """
    a, b = wall.along / 2.0, wall.across / 2.0
    along = np.minimum(cuts.front, a) + np.minimum(cuts.back, a)
    straight = along * (np.minimum(cuts.left, b) + np.minimum(cuts.right, b))
    wall_in = disc_in_rectangle_mm2(a, cuts.front, cuts.left, cuts.back, cuts.right)
    cut_in = disc_in_rectangle_mm2(cuts.front, a, b, a, b)
    discs = np.pi * np.minimum(cuts.front, a) ** 2
    by_square = np.where(wall.is_round, wall_in, straight)
    return np.where(cuts.is_round, np.where(wall.is_round, discs, cut_in), by_square)


@dataclass(frozen=True, slots=True)
class ManyWaste:
    """Waste of many covers, in place [litre], and half the width of its 90 % range."""

    bound_l: Floats
    unbound_l: Floats
    band_l: Floats


def many_waste(
    cuts: ManyCuts,
    body: ManyShapes,
    flange: ManyShapes,
    wall: ManyShapes,
    hollow: ManyShapes,
    depths: tuple[Floats, Floats, Floats, Floats, Floats],
    level_sd: Floats,
) -> ManyWaste:
    """Bound and unbound waste of many cut-outs.

    hollow      the chamber's inside; the clear opening is taken to lie within it or within the body over it
    depths      bound layers, dig, chamber top, frame, flange's thickness, below the road [mm]
    level_sd    error of the level dug to, one standard deviation [mm]
    Valid       outlines along the cuts' own axes; the clear opening no larger than the chamber's inside
    Source      as truebed.chamber.waste, algebra
    Proved by   tests/chamber/test_cut_arrays.py
    """
    bound_mm, dig, top, frame, thick = depths
    floor, top = np.maximum(dig, 0.0), np.maximum(top, 0.0)
    body_area = np.where(body.is_round, np.pi / 4.0, 1.0) * body.along * body.across
    flange_area = np.where(flange.is_round, np.pi / 4.0, 1.0) * flange.along * flange.across - body_area
    body_over = common_mm2(body, wall)
    over_wall = over_wall_mm2(cuts, wall) - body_over
    beside = cuts.area_mm2 - body_area - over_wall
    under = body_over - common_mm2(body, hollow)
    whole = beside * floor + over_wall * top
    in_bound = np.minimum(np.maximum(bound_mm - (frame - thick), 0.0), thick)
    bound = beside * np.minimum(bound_mm, floor) + over_wall * np.minimum(bound_mm, top) - flange_area * in_bound
    bed = np.maximum(0.0, top - frame)
    unbound = whole - flange_area * thick - bound + under * bed
    moved = beside + over_wall + np.where(bed > 0.0, under, 0.0)
    band = 1.6448536269514722 * level_sd * moved
    return ManyWaste(bound / MM3_PER_LITRE, unbound / MM3_PER_LITRE, band / MM3_PER_LITRE)
