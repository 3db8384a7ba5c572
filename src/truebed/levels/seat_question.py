"""What the frame setting is asked: the road's samples, the seating's points, the limits."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.chamber.plane import Plane, Point

#: Lengths that differ by less are one length [mm].
ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True)
class RoadSample:
    """The road beside a point of the rim."""

    name: str
    x_mm: float
    y_mm: float
    road_mm: float


@dataclass(frozen=True, slots=True)
class SeatSample:
    """The chamber top at a point of the seating."""

    name: str
    x_mm: float
    y_mm: float
    chamber_top_mm: float


@dataclass(frozen=True, slots=True)
class SeatQuestion:
    """Set a rigid rim: stay near road - set_down at every rim sample, bed within limits at every seat sample.

    fall_least_ratio  the rim falls at least so much towards fall_towards (a unit vector in plan); None: not asked
    """

    rim: tuple[RoadSample, ...]
    seat: tuple[SeatSample, ...]
    set_down_mm: float
    half_band_mm: float
    frame_depth_mm: float
    bed_least_mm: float
    bed_most_mm: float
    fall_least_ratio: float | None = None
    fall_towards: Point = (0.0, -1.0)


@dataclass(frozen=True, slots=True)
class SeatAnswer:
    """The best rim plane and its greatest departure from the target [mm]; free_mm: the same without bed limits."""

    rim: Plane
    greatest_mm: float
    free_mm: float


@dataclass(frozen=True, slots=True)
class SeatMend:
    """What would let the frame sit inside the tolerance (or as near as the road's own shape allows) with the bed inside
    its limits.

    raise_least_mm/raise_most_mm  raise the chamber top (negative: take it down) by any amount between these, all over
    relax_mm       where no even raising helps: by how much the bed must go beyond its limits each way; None: not found
    """

    raise_least_mm: float | None
    raise_most_mm: float | None
    relax_mm: float | None


def fold_crossings(ring: tuple[Point, ...], model: str, ridge_mm: float) -> tuple[Point, ...]:
    """Where a ring's sides cross the fold of a two-plane road; () for other roads.

    Valid       a simple ring
    Source      algebra
    Proved by   tests/levels/test_frame_setting.py
    """
    if not model.startswith("two planes"):
        return ()
    axis = 1 if model == "two planes along" else 0
    crossings = []
    for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
        low, high = a[axis] - ridge_mm, b[axis] - ridge_mm
        if low * high < 0.0:
            share = low / (low - high)
            crossings.append((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
    return tuple(crossings)


def edge_points(ring: tuple[Point, ...], spacing_mm: float) -> tuple[Point, ...]:
    """A ring's corners and points along its sides no further apart than spacing.

    Valid       a simple ring
    Source      algebra
    Proved by   tests/levels/test_frame_setting.py
    """
    points: list[Point] = []
    for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1], strict=True):
        length_mm = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
        # a turned ring's sides may be longer by a last digit: that is no reason for one more point
        count = max(1, int(-(-(length_mm - ROUNDING_MM) // spacing_mm)))
        points += [(ax + (bx - ax) * i / count, ay + (by - ay) * i / count) for i in range(count)]
    return tuple(points)
