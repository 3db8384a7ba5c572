"""What the wheel asks of the bed: a rigid frame on a bed that takes no tension, the wheel at its worst place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Array = NDArray[np.float64]
#: The seating is taken as a grid of points this far apart; against exact strips the peak is within 2 % (its test).
GRID_MM = 6.0
ROUNDS_COUNT = 200


@dataclass(frozen=True, slots=True)
class WheelDemand:
    """Greatest bed pressure under one wheel [N/mm2]: centred, and at its worst place on the clear opening.

    peak_at       'edge along' | 'edge across' | 'corner'; of a D 'nose' | 'side' | 'back' | 'back corner'
    full_contact  whether the whole seating stays in contact with the wheel there
    """

    centred_n_per_mm2: float
    peak_n_per_mm2: float
    peak_at: str
    full_contact: bool
    area_mm2: float


def grid_points(seating: BaseGeometry) -> tuple[Array, Array]:
    """Points that stand for the seating, one for each equal share of its area.

    Valid       a region with an area
    Source      algebra
    Proved by   tests/curing/test_wheel.py
    """
    from shapely import contains_xy

    min_x, min_y, max_x, max_y = seating.bounds
    count_x = max(8, round((max_x - min_x) / GRID_MM))
    count_y = max(8, round((max_y - min_y) / GRID_MM))
    x, y = np.meshgrid(
        min_x + (np.arange(count_x) + 0.5) * (max_x - min_x) / count_x,
        min_y + (np.arange(count_y) + 0.5) * (max_y - min_y) / count_y,
    )
    inside = contains_xy(seating, x, y)
    return x[inside], y[inside]


def contact_peak(
    x_mm: Array, y_mm: Array, area_mm2: float, load_n: float, at_x_mm: float, at_y_mm: float
) -> tuple[float, bool]:
    """Greatest pressure [N/mm2] of a rigid frame under a load, no tension, and whether all of it stays in contact.

    p = max(0, a + b x + c y), with force and both moments in balance; points that would pull are let go, points that
    would be pushed are taken back, until nothing changes.

    Valid       the load within the seating's outline
    Source      algebra (rigid footing without tension)
    Raises      ValueError where no balance is found
    Proved by   tests/curing/test_wheel.py
    """
    table = np.column_stack([np.ones_like(x_mm), x_mm, y_mm])
    wanted = load_n / (area_mm2 / len(x_mm)) * np.array([1.0, at_x_mm, at_y_mm])
    held = np.ones(len(x_mm), dtype=bool)
    for _ in range(ROUNDS_COUNT):
        part = table[held]
        try:
            pressure = table @ np.linalg.solve(part.T @ part, wanted)
        except np.linalg.LinAlgError:
            break
        fresh = pressure > 0.0
        if np.array_equal(fresh, held):
            return float(np.max(pressure)), bool(np.all(held))
        held = fresh
    raise ValueError("no balance of the frame under its wheel was found")


def wheel_demand(
    seating: BaseGeometry,
    wheel_kn: float,
    reach_along_mm: float,
    reach_across_mm: float,
    *,
    round_opening: bool,
    d_opening: bool = False,
) -> WheelDemand:
    """Bed pressure of a rigid frame under one wheel, centred and at its worst place on the clear opening.

    reach_*     half the clear opening; a rectangular one is also tried at its corner, a D at its nose, where its sides
                end, at its back and at the back's corner. The load model contains its dynamic effect: no factor.

    Valid       seating symmetric about the frame's centre; of a D about its own x
    Source      algebra; load: rule set value wheel_load_kn
    Raises      ValueError where no balance is found
    Proved by   tests/curing/test_wheel.py
    """
    x, y = grid_points(seating)
    area, load = float(seating.area), wheel_kn * 1000.0
    places = {"edge along": (reach_along_mm, 0.0), "edge across": (0.0, reach_across_mm)}
    if d_opening:
        places = {
            "nose": (reach_along_mm, 0.0),
            "side": (reach_along_mm - reach_across_mm, reach_across_mm),
            "back": (-reach_along_mm, 0.0),
            "back corner": (-reach_along_mm, reach_across_mm),
        }
    elif not round_opening:
        places["corner"] = (reach_along_mm, reach_across_mm)
    found = {name: contact_peak(x, y, area, load, *place) for name, place in places.items()}
    worst = max(found, key=lambda name: found[name][0])
    return WheelDemand(load / area, found[worst][0], worst, found[worst][1], area)
