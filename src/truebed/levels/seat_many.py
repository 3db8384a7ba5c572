"""Frames of many covers set at once: arrays in, arrays out, in blocks of bounded memory."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Whole = NDArray[np.int64]
Block = tuple[Array, Array, Array, Array, Array, Array, Array, Array]

#: Covers worked on at a time: what a block needs besides the arrays given and returned is a few MiB.
BLOCK_COUNT = 8192
MM_PER_M = 1000.0

#: Values of ManySeats.status.
IN_TOLERANCE, OUT_OF_TOLERANCE, NO_PLACE = 0, 1, 2


@dataclass(frozen=True, slots=True)
class ManySeats:
    """The frames of many covers, one row a cover.

    plane         level at the origin [mm] and slopes along x and y; nan where no plane keeps the bed within its limits
    greatest      greatest departure from the target [mm], the bed held; inf where no plane keeps the bed
    free          the same without limits of the bed [mm]
    bed_least, bed_most  the bed's least and greatest thickness over the seat points [mm]; nan where there is none
    status        0 in tolerance, 1 out of it with the bed held, 2 no plane keeps the bed
    out           by how much greatest is beyond the half band [mm]; 0 in tolerance: 'the frame will be so much out'
    relax         with the half band held, by how much the bed must go beyond its limits each way [mm]; 0 in tolerance
    raise_least, raise_most  with the half band held, raise the chamber top by any amount between these [mm] (negative:
                  take it down); nan where no even raising helps, 0 in tolerance
                  (where the road's own shape holds the frame out, the mends ask for what that shape allows)
    rows, multipliers  four limits that hold the frame and their weights, the proof of `greatest`: row i < n rim point i
                  above its target, n + i below, then of m seat points 2n + j greatest bed, 2n + m + j least bed,
                  2n + 2m the fall; -1: none
    """

    plane: Array
    greatest: Array
    free: Array
    bed_least: Array
    bed_most: Array
    status: Whole
    out: Array
    relax: Array
    raise_least: Array
    raise_most: Array
    rows: Whole
    multipliers: Array


@dataclass(frozen=True, slots=True)
class _Covers:
    rim: Array
    target: Array
    seat: Array
    ground: Array
    bed_least: Array
    bed_most: Array
    half_band: Array
    fall: Array

    def blocks(self) -> Iterator[tuple[slice, Block]]:
        count = len(self.target)
        for begin in range(0, count, BLOCK_COUNT):
            part = slice(begin, min(begin + BLOCK_COUNT, count))
            yield (
                part,
                (
                    np.ascontiguousarray(self.rim[part]) / MM_PER_M,
                    np.ascontiguousarray(self.target[part]),
                    np.ascontiguousarray(self.seat[part]) / MM_PER_M,
                    np.ascontiguousarray(self.ground[part]),
                    np.ascontiguousarray(self.bed_least[part]),
                    np.ascontiguousarray(self.bed_most[part]),
                    np.ascontiguousarray(self.half_band[part]),
                    np.ascontiguousarray(self.fall[part] * np.array([1.0, 1.0, MM_PER_M])),
                ),
            )


def _covers(
    rim_xy: Array, target: Array, seat_xy: Array, ground: Array, bed_least: Array, bed_most: Array, half_band: Array,
    fall: Array | None,
) -> _Covers:  # fmt: skip
    arrays = [np.asarray(a, dtype=float) for a in (rim_xy, target, seat_xy, ground, bed_least, bed_most, half_band)]
    rim, target, seat, ground = arrays[:4]
    if target.ndim != 2 or ground.ndim != 2 or len(target) != len(ground):
        raise ValueError(f"target {target.shape} and ground {ground.shape} need one row a cover")
    count = len(target)
    none = np.array([0.0, 0.0, -1.0])
    asked = none if fall is None else np.asarray(fall, dtype=float)
    if not all(np.isfinite(a).all() for a in (*arrays, asked)):
        raise ValueError("a point, a level or a limit is not a finite number")
    low, high, band = (np.broadcast_to(a, (count,)) for a in arrays[4:])
    points = np.broadcast_to(rim, (count, target.shape[1], 2)), np.broadcast_to(seat, (count, ground.shape[1], 2))
    return _Covers(points[0], target, points[1], ground, low, high, band, np.broadcast_to(asked, (count, 3)))


def least_many(
    rim_xy: Array, target: Array, seat_xy: Array, ground: Array, bed_least: Array, bed_most: Array, *,
    fall: Array | None = None,
) -> tuple[Array, Whole, Array]:  # fmt: skip
    """Only the least greatest departure of each cover [mm], the rows that hold it and their multipliers (see set_many).

    Valid       as set_many
    Source      [cheney] (from memory)
    Raises      ValueError for shapes that do not belong together or numbers that are not finite
    Proved by   tests/levels/test_seat_many.py
    """
    from truebed.levels.seat_batch_kernel import departures

    covers = _covers(rim_xy, target, seat_xy, ground, bed_least, bed_most, np.zeros(1), fall)
    count = len(covers.target)
    greatest, rows, weights = np.empty(count), np.full((count, 4), -1, np.int64), np.zeros((count, 4))
    for part, (rim, wanted, seat, bare, low, high, _, slope) in covers.blocks():
        departures(rim, wanted, seat, bare, low, high, slope, greatest[part], rows[part], weights[part])
    _ended(greatest)
    return greatest, rows, weights


def _ended(greatest: Array) -> None:
    if np.isnan(greatest).any():
        raise ArithmeticError(f"the setting of cover {int(np.argmax(np.isnan(greatest)))} did not come to an end")


def set_many(
    rim_xy: Array, target: Array, seat_xy: Array, ground: Array, bed_least: Array, bed_most: Array, half_band: Array,
    *, fall: Array | None = None,
) -> ManySeats:  # fmt: skip
    """Every cover's frame set as seat_frame sets one, with both answers to 'cannot sit: by how much'.

    rim_xy     points round the rim [mm]: (covers, n, 2), or (n, 2) for all; listed in order round it
    target     the road at them less the set-down [mm]: (covers, n)
    seat_xy    points of the seating [mm]: (covers, m, 2) or (m, 2)
    ground     chamber top + frame depth at them [mm]: (covers, m)
    bed_least, bed_most, half_band  limits [mm]: one for all or one a cover
    fall       (3) or (covers, 3): unit vector in plan towards which the rim falls, and the least fall as a ratio;
               nought, nought, -1 for a cover without

    Valid       three rim points or more; finite numbers
    Source      [cheney] (from memory); second stage and mends as in truebed.levels.seat_program
    Raises      ValueError for shapes that do not belong together or numbers that are not finite
    Proved by   tests/levels/test_seat_many.py
    """
    from truebed.levels.seat_batch_kernel import set_batch

    covers = _covers(rim_xy, target, seat_xy, ground, bed_least, bed_most, half_band, fall)
    count = len(covers.target)
    plane, beds, departed = np.full((count, 3), np.nan), np.full((count, 2), np.nan), np.zeros((count, 2))
    mends, status = np.zeros((count, 3)), np.zeros(count, np.int64)
    rows, weights = np.full((count, 4), -1, np.int64), np.zeros((count, 4))
    for part, given in covers.blocks():
        set_batch(*given, plane[part], departed[part], beds[part], mends[part], rows[part], weights[part], status[part])
    _ended(departed[:, 0])
    plane[:, 1:] /= MM_PER_M
    return ManySeats(
        plane=plane,
        greatest=departed[:, 0],
        free=departed[:, 1],
        bed_least=beds[:, 0],
        bed_most=beds[:, 1],
        status=status,
        out=np.where(status == IN_TOLERANCE, 0.0, departed[:, 0] - covers.half_band),
        relax=mends[:, 0],
        raise_least=mends[:, 1],
        raise_most=mends[:, 2],
        rows=rows,
        multipliers=weights,
    )
