"""One cover's stack in time: the point of least strength for release, the point of greatest age for working life."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from truebed.curing.arrhenius import GAS_J_PER_MOL_K
from truebed.curing.binder import Binder, age_to_strength_min
from truebed.curing.edge_loss import columns_of
from truebed.curing.heat_grid import FAST, Cells, Pace, cells_of
from truebed.curing.stack import Boundary, Layer, Stack

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Want:
    """A time asked for: when every point of a layer ('slowest'), or its first ('fastest'), has an equivalent age.

    age_min     at 20 degC; of a strength by `binder.age_to_strength_min`
    """

    layer: str
    point: Literal["slowest", "fastest"]
    age_min: float


@dataclass(frozen=True, slots=True)
class LayerRun:
    """What a layer that reacts went through.

    young_coldest_c  coldest point while its strength was under the guard's; None where none was ever under it
    frosted     that was below 0 degC: water freezes, no rate of this page holds, the times are not to be believed
    """

    name: str
    coldest_c: float
    hottest_c: float
    young_coldest_c: float | None
    frosted: bool


@dataclass(frozen=True, slots=True)
class Trace:
    """The march, a row a step. Cells and faces from the top down; of faces each layer's top and bottom in turn.

    Temperatures of a layer that has not come in are its mix's. Heat in J for each m2 of the stack.
    """

    minutes_min: Array
    depth_mm: Array
    cell_c: Array
    cell_age_min: Array
    face_c: Array
    face_age_min: Array
    heat_in: Array
    heat_made: Array
    heat_held: Array


@dataclass(frozen=True, slots=True)
class Cured:
    """Minutes on the stack's clock, one for each want (None: not before the end), and what the layers went through.

    traces      of the middle of the strip, and with an edge of its outer and its chamber edge
    """

    minutes_min: tuple[float | None, ...]
    layers: tuple[LayerRun, ...]
    traces: tuple[Trace, ...]

    @property
    def trace(self) -> Trace:
        """Of the strip's middle."""
        return self.traces[0]


def lay_row(layer: Layer) -> tuple[float, ...]:
    """A layer in the kernel's units, without its sides.

    Valid       thickness, conductivity and heat capacity above 0
    Source      algebra
    Proved by   tests/curing/test_heat.py
    """
    conduct, hold = layer.conduct_w_per_m_k, layer.store_kj_per_l_k
    if layer.binder is not None:
        conduct, hold = layer.binder.conduct_w_per_m_k, layer.binder.store_kj_per_l_k
    return (layer.thick_mm / 1000.0, conduct, hold * 1e6, layer.start_c, layer.placed_min * 60.0)


def kin_row(binder: Binder | None) -> tuple[float, ...]:
    """A binder in the kernel's units; noughts where nothing reacts.

    Valid       any binder
    Source      algebra
    Proved by   tests/curing/test_heat.py
    """
    if binder is None:
        return (0.0,) * 6
    form = 2.0 if binder.form == "hyperbola" else 1.0
    dead_s = binder.dead_min * 60.0 if binder.form == "hyperbola" else 0.0
    energy_k = binder.activation_j_per_mol / GAS_J_PER_MOL_K
    return (form, binder.tau_min * 60.0, binder.shape_ratio, dead_s, energy_k, binder.heat_kj_per_l * 1e6)


def pace_row(pace: Pace, end_min: float) -> Array:
    """Steps in the kernel's order.

    Valid       any pace
    Source      algebra
    Proved by   tests/curing/test_heat.py
    """
    return np.array(
        [pace.first_s, pace.growth_ratio, pace.most_s, pace.most_age_share, pace.backward_count, end_min * 60.0]
    )


def refuse_stack(stack: Stack, boundary: Boundary, wants: tuple[Want, ...]) -> None:
    """Stacks that cannot be computed are refused with a sentence.

    Valid       any stack
    Source      house
    Raises      ValueError
    Proved by   tests/curing/test_heat.py
    """
    for layer in stack.layers:
        if not (layer.thick_mm > 0.0 and layer.conduct_w_per_m_k > 0.0 and layer.store_kj_per_l_k > 0.0):
            raise ValueError(f"{layer.name}: thickness, conductivity and heat capacity must be above 0")
    placed_min = [layer.placed_min for layer in stack.layers]
    if not stack.layers or placed_min[-1] > 0.0 or sorted(placed_min, reverse=True) != placed_min:
        raise ValueError("the lowest layer must be there from the first, and none may come in before the one below it")
    minutes = np.asarray(boundary.minutes_min)
    if minutes.size == 0 or (minutes.size > 1 and not bool(np.all(np.diff(minutes) > 0.0))):
        raise ValueError("the points of time of a boundary must grow")
    columns = (minutes, boundary.air_c, boundary.film_w_per_m2_k, boundary.flux_w_per_m2)
    if not all(bool(np.all(np.isfinite(column))) and np.shape(column) == minutes.shape for column in columns):
        raise ValueError("a boundary needs air, film and flux at each of its points of time")
    reacting = {layer.name for layer in stack.layers if layer.binder is not None}
    for want in wants:
        if want.layer not in reacting:
            raise ValueError(f"{want.layer} is no layer of the stack that reacts")


def cure(
    stack: Stack,
    boundary: Boundary,
    wants: tuple[Want, ...],
    *,
    guard_n_per_mm2: float,
    end_min: float = 2880.0,
    fineness: int = 1,
    pace: Pace = FAST,
) -> Cured:
    """Times on the stack's clock at which layers reach equivalent ages, with the temperatures they went through.

    guard_n_per_mm2  strength under which a layer must not freeze
    end_min     the march stops there at the latest
    Valid       a wet mortar without ice; heat moves up and down, and at the strip's two sides by the edge's law
    Source      [schindler-folliard-2005] heat and equivalent age; finite volumes: algebra
    Raises      ValueError for a stack or boundary that cannot be computed
    Proved by   tests/curing/test_heat.py
    """
    from truebed.curing import heat_kernel as k
    from truebed.curing.heat_cells_kernel import ROWS

    refuse_stack(stack, boundary, wants)
    layers = stack.layers
    names = [layer.name for layer in layers]
    cells = cells_of(tuple(layer.binder is not None for layer in layers), fineness)
    kin = np.array([kin_row(layer.binder) for layer in layers])
    guard = np.array([0.0 if b is None else 60.0 * age_to_strength_min(b, guard_n_per_mm2) for b in _binders(stack)])
    asked = np.array([(names.index(w.layer), float(w.point == "fastest"), w.age_min * 60.0) for w in wants])
    asked = asked.reshape(len(wants), 3)
    count, faces = cells.fractions.size, 2 * len(layers)
    below_c = math.nan if stack.below_c is None else stack.below_c
    values = np.array([boundary.air_c, boundary.film_w_per_m2_k, boundary.flux_w_per_m2], dtype=np.float64)
    times = np.asarray(boundary.minutes_min, dtype=np.float64) * 60.0
    columns = lay_columns(stack)
    found, told = np.zeros((len(columns), len(wants))), np.zeros((len(columns), len(layers), 3))
    traces = []
    for n, lay in enumerate(columns):
        history = np.zeros((_most_steps(stack, pace, end_min), 4 + 2 * count + 2 * faces))
        rows = k.march(
            np.zeros((ROWS, count)), np.zeros((5, faces)), cells.layer_of, cells.first_of, cells.fractions, lay,
            kin, guard, times, values, below_c, asked, pace_row(pace, end_min), found[n], told[n], history,
        )  # fmt: skip
        traces.append(_trace(history[:rows], cells, lay[:, 0]))
    seconds = np.where(asked[:, 1] == 0.0, found.max(axis=0), found.min(axis=0))
    minutes = tuple(float(s) / 60.0 if math.isfinite(s) else None for s in seconds)
    extremes = np.column_stack([told[:, :, 0].min(axis=0), told[:, :, 1].min(axis=0), told[:, :, 2].max(axis=0)])
    runs = tuple(_run(layer, extremes[i]) for i, layer in enumerate(layers) if layer.binder is not None)
    return Cured(minutes, runs, tuple(traces))


def lay_columns(stack: Stack) -> Array:
    """Layers of each column of a stack in the kernel's units.

    Valid       as edge_loss.columns_of
    Source      algebra
    Proved by   tests/curing/test_heat.py
    """
    return np.array(
        [
            [
                (thick, conduct, hold * factor, *rest, *side)
                for (thick, conduct, hold, *rest), (factor, side) in zip(
                    map(lay_row, stack.layers), column, strict=True
                )
            ]
            for column in columns_of(stack)
        ]
    )


def _binders(stack: Stack) -> list[Binder | None]:
    return [layer.binder for layer in stack.layers]


def _most_steps(stack: Stack, pace: Pace, end_min: float) -> int:
    """Room for the history: every step short of which the march could be made."""
    return 4000 if pace.most_s >= 60.0 else int(end_min * 60.0 / pace.most_s) * 3 + 4000 * len(stack.layers)


def _run(layer: Layer, told: Array) -> LayerRun:
    young_c = float(told[0]) if math.isfinite(told[0]) else None
    return LayerRun(layer.name, float(told[1]), float(told[2]), young_c, young_c is not None and young_c < 0.0)


def _trace(history: Array, cells: Cells, thick: Array) -> Trace:
    count, faces = cells.fractions.size, 2 * thick.size
    sizes = thick[cells.layer_of] * cells.fractions * 1000.0
    ends = np.cumsum([count, count, faces, faces]) + 1
    temps, ages, face_temps, face_ages = np.split(history[:, 1 : ends[-1]], ends[:-1] - 1, axis=1)
    return Trace(
        history[:, 0] / 60.0, np.cumsum(sizes) - sizes / 2.0, temps, ages / 60.0, face_temps, face_ages / 60.0,
        *history[:, ends[-1] :].T,
    )  # fmt: skip
