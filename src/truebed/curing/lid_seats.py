"""A rigid lid on its seats: what each seat gets, and whether the lid tips on them.

What the frame gets from the lid is the tyre's own resultant whatever the seats are, so the bed's pressure does not need
them; the lid's rock does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely.geometry import MultiPoint

from truebed.chamber.plane import Point
from truebed.given.cover import Plan2D


@dataclass(frozen=True, slots=True)
class SeatForces:
    """Force on each seat [N], in their order, and whether the lid tips: then the forces are none."""

    tips: bool
    forces_n: tuple[float, ...]


def lid_seats(opening: Plan2D) -> tuple[tuple[Point, ...], ...]:
    """The seats of each lid in an opening, in the frame's own axes; () for a lid on a full ring, which has no points.

    rectangle: one lid on its four corners; triangular pair: two lids, each on its three corners, which meet along the
    diagonal from back right to front left; round and D: full ring.

    Valid       a simple model: lids as wide as the clear opening, seated at their corners
    Source      house
    Proved by   tests/curing/test_lid_seats.py
    """
    a, b = opening.along_mm / 2.0, opening.across_mm / 2.0
    back_right, front_right, front_left, back_left = (-a, -b), (a, -b), (a, b), (-a, b)
    if opening.shape == "rectangle":
        return ((back_right, front_right, front_left, back_left),)
    if opening.shape == "triangular pair":
        return ((back_right, front_right, front_left), (back_right, front_left, back_left))
    return ()


def seat_forces(seats: Sequence[Point], load_n: float, x_mm: float, y_mm: float) -> SeatForces:
    """What each seat gets of a load: three by statics; four or more as equal springs under a rigid lid, none pulling.

    Valid       three seats or more, not in line; load > 0
    Source      algebra
    Proved by   tests/curing/test_lid_seats.py
    """
    from scipy.optimize import nnls

    hull = MultiPoint(list(seats)).convex_hull
    if not hull.covers(MultiPoint([(x_mm, y_mm)])):
        return SeatForces(True, tuple(0.0 for _ in seats))
    points = np.asarray(seats, dtype=float)
    size = float(np.max(np.ptp(points, axis=0)))
    balance = np.vstack([np.ones(len(points)), points.T / size])
    wanted = np.array([1.0, x_mm / size, y_mm / size])
    firm = 1e6  # balance before least squares: what is missed of it is the inverse square of this
    table = np.vstack([firm * balance, np.eye(len(points))])
    shares = nnls(table, np.concatenate([firm * wanted, np.zeros(len(points))]))[0]
    return SeatForces(False, tuple(float(v) * load_n for v in shares))
