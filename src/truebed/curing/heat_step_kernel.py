"""One step of a stack that conducts and reacts, and when in it an age is reached.

Finite volumes with half-conductances at the faces. The heat of a step is what the reacted share grows by, linearised
about a forecast of the step's end; what the forecast missed is carried into the next step, so that heat is neither made
nor lost.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled
from truebed.curing.heat_cells_kernel import (
    AGE,
    AGE_WAS,
    CHANGE,
    DONE,
    ENERGY,
    F_AGE,
    F_AGE_WAS,
    F_RATE,
    F_RATE_WAS,
    F_TEMP,
    FORE,
    FORE_RATE,
    FORM,
    HALF,
    HALF_STEP,
    HEAT,
    KELVIN_C,
    LINK,
    P_GROW,
    P_MOST,
    P_SHARE,
    PLACED,
    PULL,
    RATE,
    RATE_WAS,
    REFERENCE_K,
    RIGHT,
    SIDE,
    SIDE_C,
    SMALL,
    SOURCE,
    STORE,
    TAU,
    TAU_PART,
    TEMP,
    UPPER,
    rate_at,
    reacted,
)

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


@compiled
def forecast(cell: Array, first_of: Ints, kin: Array, top: int, step_s: float) -> None:
    """The reaction's part of the right side, about a forecast of the temperature at the step's end.

    Valid       cells laid, step above 0
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_bdf.py
    """
    for layer in range(top, kin.shape[0]):
        if kin[layer, FORM] == 0.0:
            continue
        energy = kin[layer, ENERGY]
        for i in range(first_of[layer], first_of[layer + 1]):
            fore = cell[TEMP, i] + cell[CHANGE, i] * step_s
            kelvin = fore + KELVIN_C
            rate = math.exp(energy * (REFERENCE_K - 1.0 / kelvin))
            share, slope = reacted(kin, layer, cell[AGE, i] + HALF_STEP * step_s * (cell[RATE, i] + rate))
            pull = cell[HEAT, i] * slope * HALF_STEP * step_s * rate * energy / (kelvin * kelvin)
            cell[FORE, i], cell[FORE_RATE, i] = fore, rate
            cell[PULL, i] = pull
            cell[SOURCE, i] = cell[HEAT, i] * (share - cell[DONE, i]) - pull * fore
            cell[DONE, i] = share


@compiled
def solve(
    cell: Array, top_cell: int, step_s: float, weight_share: float, was: Array, now: Array, below_c: float
) -> None:
    """New temperatures by Thomas's way. `was`, `now`: conductance of the top face and its heat at nought degC.

    Valid       a pull less than the cell's capacity, which the steps' rule keeps
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_bdf.py
    """
    count = cell.shape[1]
    new, old = weight_share * step_s, (1.0 - weight_share) * step_s
    above_link, above_temp, above_upper, above_right = 0.0, 0.0, 0.0, 0.0
    for i in range(top_cell, count):
        temp, link, side = cell[TEMP, i], cell[LINK, i], cell[SIDE, i]
        next_temp = cell[TEMP, i + 1] if i + 1 < count else below_c
        flow = above_link * (above_temp - temp) + link * (next_temp - temp) + side * (cell[SIDE_C, i] - temp)
        own = above_link + link + side
        given = side * cell[SIDE_C, i]
        if i == top_cell:
            flow += was[1] - was[0] * temp
            own += now[0]
            given += now[1]
        if i + 1 == count:
            given += link * below_c
        right = cell[STORE, i] * temp + old * flow + new * given + cell[SOURCE, i]
        pivot = cell[STORE, i] + new * own - cell[PULL, i]
        low = new * above_link
        scale = 1.0 / (pivot - low * above_upper)
        above_upper = new * link * scale
        above_right = (right + low * above_right) * scale
        cell[UPPER, i], cell[RIGHT, i] = above_upper, above_right
        above_link, above_temp = link, temp
    below = 0.0
    for i in range(count - 1, top_cell - 1, -1):
        below = cell[RIGHT, i] + cell[UPPER, i] * below if i + 1 < count else cell[RIGHT, i]
        cell[CHANGE, i] = (below - cell[TEMP, i]) / step_s
        cell[TEMP, i] = below


@compiled
def age_cells(cell: Array, first_of: Ints, kin: Array, top: int, step_s: float) -> None:
    """Share reacted, rate and equivalent age of the cells at the step's end.

    Valid       after solve
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_bdf.py
    """
    for layer in range(top, kin.shape[0]):
        if kin[layer, FORM] == 0.0:
            continue
        for i in range(first_of[layer], first_of[layer + 1]):
            kelvin, fore = cell[TEMP, i] + KELVIN_C, cell[FORE, i] + KELVIN_C
            off = kin[layer, ENERGY] * (kelvin - fore) / (kelvin * fore)
            rate = cell[FORE_RATE, i]
            rate *= 1.0 + off * (1.0 + off * (0.5 + off / 6.0)) if abs(off) < SMALL else math.exp(off)
            if cell[HEAT, i] > 0.0:
                cell[DONE, i] += cell[PULL, i] * (cell[TEMP, i] - cell[FORE, i]) / cell[HEAT, i]
            cell[AGE_WAS, i], cell[RATE_WAS, i] = cell[AGE, i], cell[RATE, i]
            cell[AGE, i] += HALF_STEP * step_s * (cell[RATE, i] + rate)
            cell[RATE, i] = rate


@compiled
def age_faces(
    cell: Array, face: Array, first_of: Ints, kin: Array, top: int, step_s: float, air: Array, below_c: float
) -> None:
    """Temperature, rate and equivalent age at the faces at the step's end. `air`: film, and film times air plus flux.

    Valid       after age_cells
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_bdf.py
    """
    layers, count = kin.shape[0], cell.shape[1]
    for layer in range(top, layers):
        for side in range(2):
            f = 2 * layer + side
            near = first_of[layer] if side == 0 else first_of[layer + 1] - 1
            half, temp = cell[HALF, near], cell[TEMP, near]
            if side == 0 and layer == top:
                temp = (half * temp + air[1]) / (half + air[0])
            elif near == count - 1 and side == 1:
                temp = below_c if cell[LINK, near] > 0.0 else temp
            else:
                far = near - 1 if side == 0 else near + 1
                temp = (half * temp + cell[HALF, far] * cell[TEMP, far]) / (half + cell[HALF, far])
            face[F_TEMP, f] = temp
            if kin[layer, FORM] > 0.0:
                rate = rate_at(temp, kin[layer, ENERGY])
                face[F_AGE_WAS, f], face[F_RATE_WAS, f] = face[F_AGE, f], face[F_RATE, f]
                face[F_AGE, f] += HALF_STEP * step_s * (face[F_RATE, f] + rate)
                face[F_RATE, f] = rate


@compiled
def crossing(
    was_s: float, rate_was_ratio: float, now_s: float, rate_ratio: float, step_s: float, age_s: float
) -> float:
    """Seconds into a step at which an age is reached: the cubic that has the step's ages and rates at both ends.

    Valid       age between the step's two ages or before them
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_bdf.py
    """
    if was_s >= age_s:
        return 0.0
    low, high = 0.0, 1.0
    part = (age_s - was_s) / (now_s - was_s)
    for _ in range(40):
        rest = 1.0 - part
        value = (
            (1.0 + 2.0 * part) * rest * rest * was_s
            + part * part * (3.0 - 2.0 * part) * now_s
            + step_s * part * rest * (rest * rate_was_ratio - part * rate_ratio)
        ) - age_s
        slope = 6.0 * part * rest * (now_s - was_s) + step_s * (
            rest * (1.0 - 3.0 * part) * rate_was_ratio + part * (3.0 * part - 2.0) * rate_ratio
        )
        low, high = (part, high) if value < 0.0 else (low, part)
        fresh = part - value / slope if slope > 0.0 else -1.0
        if not low < fresh < high:
            fresh = 0.5 * (low + high)
        if abs(fresh - part) < 1e-10:
            return fresh * step_s
        part = fresh
    return part * step_s


@compiled
def reached(
    cell: Array, face: Array, begin: int, end: int, layer: int, kind_ratio: float, age_s: float, step_s: float
) -> float:
    """Seconds into the step at which a layer's least (kind nought) or greatest age reaches a value; -1 where not.

    Valid       after age_cells and age_faces
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_bdf.py
    """
    least, most = min(face[F_AGE, 2 * layer], face[F_AGE, 2 * layer + 1]), face[F_AGE, 2 * layer]
    most = max(most, face[F_AGE, 2 * layer + 1])
    for i in range(begin, end):
        least, most = min(least, cell[AGE, i]), max(most, cell[AGE, i])
    if (least if kind_ratio == 0.0 else most) < age_s:
        return -1.0
    found = 0.0 if kind_ratio == 0.0 else step_s
    for i in range(begin, end):
        if cell[AGE, i] >= age_s:
            at = crossing(cell[AGE_WAS, i], cell[RATE_WAS, i], cell[AGE, i], cell[RATE, i], step_s, age_s)
            found = max(found, at) if kind_ratio == 0.0 else min(found, at)
    for f in range(2 * layer, 2 * layer + 2):
        if face[F_AGE, f] >= age_s:
            at = crossing(face[F_AGE_WAS, f], face[F_RATE_WAS, f], face[F_AGE, f], face[F_RATE, f], step_s, age_s)
            found = max(found, at) if kind_ratio == 0.0 else min(found, at)
    return found


@compiled
def next_step(cell: Array, first_of: Ints, kin: Array, top: int, pace: Array, step_s: float) -> float:
    """The following step: grown, but no layer's reaction is overrun.

    Valid       steps above 0
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_bdf.py
    """
    fresh = min(step_s * pace[P_GROW], pace[P_MOST])
    for layer in range(top, kin.shape[0]):
        if kin[layer, FORM] == 0.0:
            continue
        begin, end = first_of[layer], first_of[layer + 1] - 1
        middle = (begin + end) // 2
        rate = max(cell[RATE, begin], cell[RATE, middle], cell[RATE, end])
        age = min(cell[AGE, begin], cell[AGE, end])
        fresh = min(fresh, pace[P_SHARE] * (TAU_PART * kin[layer, TAU] + age) / rate)
    return float(fresh)


@compiled
def inflow(cell: Array, top_cell: int, air: Array, below_c: float) -> float:
    """Heat a second into the cells from outside: top, sides, below.

    Valid       cells laid
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_bdf.py
    """
    count = cell.shape[1]
    flow = air[3] - air[2] * cell[TEMP, top_cell] + cell[LINK, count - 1] * (below_c - cell[TEMP, count - 1])
    for i in range(top_cell, count):
        flow += cell[SIDE, i] * (cell[SIDE_C, i] - cell[TEMP, i])
    return float(flow)


@compiled
def first_top(lay: Array) -> int:
    """The uppermost layer that lies there from the first.

    Valid       no layer comes in before the one below
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_bdf.py
    """
    top = lay.shape[0] - 1
    while top > 0 and lay[top - 1, PLACED] <= 0.0:
        top -= 1
    return int(top)
