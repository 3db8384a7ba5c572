"""Many stacks of one pattern in one compiled loop: covers, or draws of a cover's parameters."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.curing.binder import age_to_strength_min
from truebed.curing.heat import kin_row, lay_columns, pace_row
from truebed.curing.heat_grid import FAST, Pace, cells_of
from truebed.curing.stack import Boundary, Stack

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Stacks:
    """Stacks whose layers react in the same places, in the kernel's units (s, m, W, J, degC).

    Each array has a first axis of covers; where it is of length 1 the same holds for all of them.

    lay         (covers, columns, layers, 10) thickness, conductivity, J/(m3 K), temperature, placed at and the sides,
                as heat_kernel names them; one column without an edge, three with one
    kin         (covers, layers, 6) form (0 none, 1 exponential, 2 hyperbola), tau, shape, dead, energy over R, J/m3
    guard       (covers, layers) equivalent age under which a layer must not freeze
    below       (covers,) temperature held at the lowest face; nan lets no heat through
    """

    lay: Array
    kin: Array
    guard: Array
    below: Array


@dataclass(frozen=True, slots=True)
class Outsides:
    """Boundaries with common points of time: times (points,) in s, values (covers or 1, 3, points) air, film, flux."""

    times: Array
    values: Array


@dataclass(frozen=True, slots=True)
class CuredMany:
    """Minutes of each cover and want (inf: not before the end); young, coldest and hottest degC of each layer.

    told        (covers, layers, 3) coldest point under the guard's strength, coldest, hottest; inf where none
    """

    minutes: Array
    told: Array

    @property
    def frosted(self) -> NDArray[np.bool_]:
        """Covers of which some layer was below 0 degC while under the guard's strength."""
        return np.asarray(np.any(self.told[:, :, 0] < 0.0, axis=1))


def stacks_of(stacks: tuple[Stack, ...], guard_n_per_mm2: float) -> Stacks:
    """Stacks as arrays.

    Valid       stacks with as many layers each, reacting in the same places
    Source      algebra
    Raises      ValueError where their patterns differ
    Proved by   tests/curing/test_heat_many.py
    """
    if len({tuple(layer.binder is not None for layer in stack.layers) for stack in stacks}) != 1:
        raise ValueError("the stacks of one batch must have the same pattern of layers that react")
    lay = [lay_columns(stack) for stack in stacks]
    kin = [[kin_row(layer.binder) for layer in stack.layers] for stack in stacks]
    ages = [
        [
            0.0 if layer.binder is None else 60.0 * age_to_strength_min(layer.binder, guard_n_per_mm2)
            for layer in s.layers
        ]
        for s in stacks
    ]
    below = [np.nan if stack.below_c is None else stack.below_c for stack in stacks]
    return Stacks(np.array(lay), np.array(kin), np.array(ages), np.array(below))


def outsides_of(boundaries: tuple[Boundary, ...]) -> Outsides:
    """Boundaries as arrays.

    Valid       boundaries with the same points of time
    Source      algebra
    Raises      ValueError where their times differ
    Proved by   tests/curing/test_heat_many.py
    """
    times = np.asarray(boundaries[0].minutes_min, dtype=np.float64)
    if not all(np.array_equal(times, b.minutes_min) for b in boundaries):
        raise ValueError("the boundaries of one batch must have the same points of time")
    return Outsides(times * 60.0, np.array([(b.air_c, b.film_w_per_m2_k, b.flux_w_per_m2) for b in boundaries], float))


def cure_many(
    stacks: Stacks,
    outsides: Outsides,
    wants: Array,
    *,
    end_min: float = 2880.0,
    fineness: int = 1,
    pace: Pace = FAST,
) -> CuredMany:
    """Times of many covers; what `cure` gives for each, without its trace.

    wants       (covers or 1, wants, 3) layer from the top counted from 0, 0 slowest 1 fastest, equivalent age [s]
    Valid       as `cure`; without numba the same lines run as Python, some hundred times slower
    Source      as `cure`
    Raises      ValueError where first axes do not fit, or a thickness, conductivity or capacity is not above 0
    Proved by   tests/curing/test_heat_many.py
    """
    from truebed.curing import heat_kernel as k
    from truebed.curing.heat_cells_kernel import ROWS

    parts = (stacks.lay, stacks.kin, stacks.guard, stacks.below, outsides.values, wants)
    count = max(len(part) for part in parts)
    if any(len(part) not in {1, count} for part in parts):
        raise ValueError("the first axes of the arrays must be 1 or the number of covers")
    if not bool(np.all(stacks.lay[..., :3] > 0.0)):
        raise ValueError("thickness, conductivity and heat capacity must be above 0")
    layers = stacks.lay.shape[2]
    cells = cells_of(tuple(bool(form > 0.0) for form in stacks.kin[0, :, 0]), fineness)
    found, told = np.empty((count, wants.shape[1])), np.empty((count, layers, 3))
    lay, kin, guard, below, values, asked = (np.ascontiguousarray(part, dtype=np.float64) for part in parts)
    k.march_many(
        np.zeros((ROWS, cells.fractions.size)), np.zeros((5, 2 * layers)), cells.layer_of, cells.first_of,
        cells.fractions, lay, kin, guard, below, outsides.times, values, asked,
        pace_row(pace, end_min), found, told,
    )  # fmt: skip
    return CuredMany(found / 60.0, told)
