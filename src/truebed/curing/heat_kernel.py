"""The march of a stack from placing to the last time asked for, and of many stacks one after another.

Four steps of backward Euler after every placing, then Crank-Nicolson; steps grow.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled
from truebed.curing.heat_cells_kernel import (
    AGE,
    DONE,
    F_AGE,
    F_TEMP,
    FORM,
    HALF,
    HALF_STEP,
    HEAT,
    P_BACK,
    P_END,
    P_FIRST,
    PLACED,
    STORE,
    T_GUARD,
    T_LEAST,
    T_MOST,
    TEMP,
    W_AGE,
    W_KIND,
    W_LAYER,
    lay_cells,
    meet,
    meet_air,
    meet_sides,
    outside,
)
from truebed.curing.heat_step_kernel import age_cells, age_faces, first_top, forecast, inflow, next_step, reached, solve

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


@compiled
def _tell(cell: Array, face: Array, first_of: Ints, kin: Array, guard: Array, top: int, told: Array) -> None:
    """Coldest point before the frost age, coldest and hottest of all, of each layer that reacts."""
    for layer in range(top, kin.shape[0]):
        if kin[layer, FORM] == 0.0:
            continue
        for f in range(2 * layer, 2 * layer + 2):
            temp = face[F_TEMP, f]
            told[layer, T_LEAST] = min(told[layer, T_LEAST], temp)
            told[layer, T_MOST] = max(told[layer, T_MOST], temp)
            if face[F_AGE, f] < guard[layer]:
                told[layer, T_GUARD] = min(told[layer, T_GUARD], temp)
        for i in range(first_of[layer], first_of[layer + 1]):
            temp = cell[TEMP, i]
            told[layer, T_LEAST] = min(told[layer, T_LEAST], temp)
            told[layer, T_MOST] = max(told[layer, T_MOST], temp)
            if cell[AGE, i] < guard[layer]:
                told[layer, T_GUARD] = min(told[layer, T_GUARD], temp)


@compiled
def _keep(history: Array, row: int, now_s: float, cell: Array, face: Array, audit: Array) -> None:
    """A row of the history: time, cell temperatures and ages, face temperatures and ages, heat in and heat made."""
    count, faces = cell.shape[1], face.shape[1]
    history[row, 0] = now_s
    made = 0.0
    held = 0.0
    for i in range(count):
        history[row, 1 + i] = cell[TEMP, i]
        history[row, 1 + count + i] = cell[AGE, i]
        made += cell[HEAT, i] * cell[DONE, i]
        held += cell[STORE, i] * cell[TEMP, i]
    for f in range(faces):
        history[row, 1 + 2 * count + f] = face[F_TEMP, f]
        history[row, 1 + 2 * count + faces + f] = face[F_AGE, f]
    at = 1 + 2 * count + 2 * faces
    history[row, at], history[row, at + 1], history[row, at + 2] = audit[0], made, held


@compiled
def _clear(face: Array, found: Array, told: Array) -> None:
    """No age, no time, no extreme."""
    face[:] = 0.0
    found[:] = math.inf
    told[:, T_GUARD], told[:, T_LEAST], told[:, T_MOST] = math.inf, math.inf, -math.inf


@compiled
def march(
    cell: Array, face: Array, layer_of: Ints, first_of: Ints, fractions: Array, lay: Array, kin: Array, guard: Array,
    times: Array, values: Array, below_c: float, wants: Array, pace: Array, found: Array, told: Array, history: Array,
) -> int:  # fmt: skip
    """A cover from placing to its last time asked for: seconds (inf where never) into `found`, extremes into `told`.

    below_c     nan where no heat goes through the lowest face
    history     a row a step where it has rows
    Valid       cells, faces and results of the right sizes
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_bdf.py
    """
    held = not math.isnan(below_c)
    below_c = below_c if held else 0.0
    lay_cells(cell, fractions, layer_of, lay, kin, held)
    _clear(face, found, told)
    top = first_top(lay)
    meet(cell, face, first_of, lay, kin, top)
    _tell(cell, face, first_of, kin, guard, top, told)
    was, now, audit = np.zeros(4), np.zeros(4), np.zeros(1)
    now_s, step_s, backward, at, row, open_wants = 0.0, pace[P_FIRST], pace[P_BACK], 0, 0, max(1, wants.shape[0])
    at, air_c, film, flux = outside(times, values, at, now_s)
    meet_air(now, cell[HALF, first_of[top]], film, film * air_c + flux)
    if history.shape[0] > 0:
        _keep(history, 0, now_s, cell, face, audit)
    while open_wants > 0 and now_s < pace[P_END]:
        limit = lay[top - 1, PLACED] if top > 0 else pace[P_END]
        placing = now_s + step_s * 1.000001 >= limit
        step_s = limit - now_s if placing else step_s
        was[:] = now
        at, air_c, film, flux = outside(times, values, at, now_s + step_s)
        meet_air(now, cell[HALF, first_of[top]], film, film * air_c + flux)
        meet_sides(cell, first_of, lay, top, now_s, step_s, air_c)
        weight = 1.0 if backward > 0.0 else HALF_STEP
        backward -= 1.0
        if history.shape[0] > 0:
            audit[0] += (1.0 - weight) * step_s * inflow(cell, first_of[top], was, below_c)
        forecast(cell, first_of, kin, top, step_s)
        solve(cell, first_of[top], step_s, weight, was[2:], now[2:], below_c)
        age_cells(cell, first_of, kin, top, step_s)
        age_faces(cell, face, first_of, kin, top, step_s, now, below_c)
        _tell(cell, face, first_of, kin, guard, top, told)
        for w in range(wants.shape[0]):
            layer = int(wants[w, W_LAYER])
            if found[w] == math.inf and layer >= top:
                begin, end = first_of[layer], first_of[layer + 1]
                part = reached(cell, face, begin, end, layer, wants[w, W_KIND], wants[w, W_AGE], step_s)
                if part >= 0.0:
                    found[w] = now_s + part
                    open_wants -= 1
        now_s += step_s
        row += 1
        if history.shape[0] > row:
            audit[0] += weight * step_s * inflow(cell, first_of[top], now, below_c)
            _keep(history, row, now_s, cell, face, audit)
        step_s = next_step(cell, first_of, kin, top, pace, step_s)
        if placing and top > 0:
            now_s, step_s, backward = limit, pace[P_FIRST], pace[P_BACK]
            while top > 0 and lay[top - 1, PLACED] <= now_s:
                top -= 1
            meet(cell, face, first_of, lay, kin, top)
            meet_air(now, cell[HALF, first_of[top]], film, film * air_c + flux)
    return row + 1


@compiled
def _march_columns(
    cell: Array, face: Array, layer_of: Ints, first_of: Ints, fractions: Array, lay: Array, kin: Array, guard: Array,
    times: Array, values: Array, below_c: float, wants: Array, pace: Array, found: Array, told: Array, one: Array,
    one_told: Array,
) -> None:  # fmt: skip
    """A cover's columns (middle of the strip, its edges): the latest of slowest points, the earliest of fastest."""
    history = np.zeros((0, 1))
    for column in range(lay.shape[0]):
        march(
            cell, face, layer_of, first_of, fractions, lay[column], kin, guard, times, values, below_c, wants, pace,
            one, one_told, history,
        )  # fmt: skip
        for w in range(wants.shape[0]):
            pick = one[w] if column == 0 else found[w]
            found[w] = max(pick, one[w]) if wants[w, W_KIND] == 0.0 else min(pick, one[w])
        for layer in range(told.shape[0]):
            for i in range(3):
                pick = one_told[layer, i] if column == 0 else told[layer, i]
                told[layer, i] = max(pick, one_told[layer, i]) if i == T_MOST else min(pick, one_told[layer, i])


@compiled
def march_many(
    cell: Array, face: Array, layer_of: Ints, first_of: Ints, fractions: Array, lay: Array, kin: Array, guard: Array,
    below: Array, times: Array, values: Array, wants: Array, pace: Array, found: Array, told: Array,
) -> None:  # fmt: skip
    """Cover after cover; an array whose first axis is 1 holds for all of them.

    Valid       first axes of 1 or of the covers
    Source      as heat.cure
    Proved by   tests/curing/test_heat_many.py
    """
    one, one_told = np.zeros(found.shape[1]), np.zeros((lay.shape[2], 3))
    for n in range(found.shape[0]):
        _march_columns(
            cell, face, layer_of, first_of, fractions, lay[min(n, len(lay) - 1)], kin[min(n, len(kin) - 1)],
            guard[min(n, len(guard) - 1)], times, values[min(n, len(values) - 1)], below[min(n, len(below) - 1)],
            wants[min(n, len(wants) - 1)], pace, found[n], told[n], one, one_told,
        )  # fmt: skip
