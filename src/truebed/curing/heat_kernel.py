"""Heat through a stack of layers that react: one step of it, and the march from placing to the last time asked for.

Everything here is in seconds, metres, watts, joules and degC; `heat.py` and `heat_many.py` convert at their door.
Finite volumes with half-conductances at the faces; four steps of backward Euler after every placing, then
Crank-Nicolson; the heat of a step is what the reacted share grows by, linearised about a forecast of the step's end, and
what the forecast missed is carried into the next step, so that heat is neither made nor lost.

A cover's cells lie in the columns of `cell`, top to bottom; its rows are named below.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: Rows of `cell`: temperature, J/(m2 K), conductance to the next cell and of half a cell, side conductance and side
#: temperature, equivalent age, share reacted, J/m2 of the whole reaction, rate, change by time, forecast temperature,
#: pull of the source, source, right side, upper band, age and rate before the step.
TEMP, STORE, LINK, HALF, SIDE, SIDE_C, AGE, DONE, HEAT, RATE = range(10)
CHANGE, FORE, PULL, SOURCE, RIGHT, UPPER, AGE_WAS, RATE_WAS = range(10, 18)
ROWS = 18
#: Columns of `kin`, one row a layer: form (0 none, 1 exponential, 2 hyperbola), tau, shape, dead time, energy over R, J/m3.
FORM, TAU, SHAPE, DEAD, ENERGY, JOULE = range(6)
#: Columns of `lay`, one row a layer: thickness, conductivity, J/(m3 K), temperature, placed at; W/(m3 K) to the outer
#: air, to the chamber, its degC; film over effusivity of the near edge, its degC (nan: the outer air).
THICK, CONDUCT, HOLD, START, PLACED, AIR_W, SIDE_W, SIDE_T, EDGE_A, EDGE_T = range(10)
COLUMNS = 10
#: Rows of `face`, two columns a layer (its top and its bottom): age, rate, age and rate before the step, temperature.
F_AGE, F_RATE, F_AGE_WAS, F_RATE_WAS, F_TEMP = range(5)
#: Columns of `wants`: layer, kind (0 least age, 1 greatest age of the layer's points), equivalent age.
W_LAYER, W_KIND, W_AGE = range(3)
#: Columns of `pace`: first step, growth, longest step, greatest share of (tau + age) a step may age, backward steps, end.
P_FIRST, P_GROW, P_MOST, P_SHARE, P_BACK, P_END = range(6)
#: Columns of `told`, one row a layer: coldest point before the frost age, coldest and hottest point of all.
T_GUARD, T_LEAST, T_MOST = range(3)
#: The part of a step that is implicit once the backward steps are done.
HALF_STEP = 0.5
KELVIN_C, REFERENCE_K = 273.15, 1.0 / 293.15


@compiled
def rate_at(temp_c: float, energy_k: float) -> float:
    """Rate of ageing beside 20 degC."""
    return math.exp(energy_k * (REFERENCE_K - 1.0 / (temp_c + KELVIN_C)))


@compiled
def reacted(kin: Array, layer: int, age_s: float) -> tuple[float, float]:
    """Share reacted at an equivalent age, and its slope."""
    tau, dead = kin[layer, TAU], kin[layer, DEAD]
    if age_s <= dead:
        return 0.0, 0.0
    since = age_s - dead
    if kin[layer, FORM] == 2.0:
        whole = tau + since
        return since / whole, tau / (whole * whole)
    shape = kin[layer, SHAPE]
    power = math.exp(shape * math.log(tau / since))
    share = math.exp(-power)
    return share, share * power * shape / since


@compiled
def lay_cells(cell: Array, fractions: Array, layer_of: Ints, lay: Array, kin: Array, below: bool) -> None:
    """Capacities, conductances and first temperatures of a cover's cells."""
    count = fractions.size
    for i in range(count):
        layer = layer_of[i]
        size = lay[layer, THICK] * fractions[i]
        cell[TEMP, i] = lay[layer, START]
        cell[STORE, i] = lay[layer, HOLD] * size
        cell[HALF, i] = 2.0 * lay[layer, CONDUCT] / size
        cell[SIDE, i] = cell[SIDE_C, i] = 0.0
        cell[HEAT, i] = kin[layer, JOULE] * size
        cell[AGE, i] = cell[DONE, i] = cell[CHANGE, i] = cell[PULL, i] = cell[SOURCE, i] = 0.0
        cell[RATE, i] = rate_at(cell[TEMP, i], kin[layer, ENERGY]) if kin[layer, FORM] > 0.0 else 0.0
    for i in range(count - 1):
        up, down = cell[HALF, i], cell[HALF, i + 1]
        cell[LINK, i] = up * down / (up + down)
    cell[LINK, count - 1] = cell[HALF, count - 1] if below else 0.0


@compiled
def edge_left(edge: float, age_s: float) -> float:
    """What is left of the excess at the edge of a body that a film cools: exp(a2 t) erfc(a sqrt(t))."""
    root = edge * math.sqrt(age_s)
    if root > 5.0:
        return 1.0 / (root * math.sqrt(math.pi)) * (1.0 - 0.5 / (root * root))
    return math.exp(root * root) * math.erfc(root)


@compiled
def meet_sides(cell: Array, first_of: Ints, lay: Array, top: int, now_s: float, step_s: float, air_c: float) -> None:
    """Side conductance and temperature of the cells during a step."""
    for layer in range(top, lay.shape[0]):
        edge, air_w, side_w = lay[layer, EDGE_A], lay[layer, AIR_W], lay[layer, SIDE_W]
        edge_w = 0.0
        if edge > 0.0:
            since = max(0.0, now_s - lay[layer, PLACED])
            edge_w = lay[layer, HOLD] * math.log(edge_left(edge, since) / edge_left(edge, since + step_s)) / step_s
        whole = air_w + side_w + edge_w
        if whole > 0.0:
            edge_c = air_c if math.isnan(lay[layer, EDGE_T]) else lay[layer, EDGE_T]
            mean_c = (air_w * air_c + side_w * lay[layer, SIDE_T] + edge_w * edge_c) / whole
            for i in range(first_of[layer], first_of[layer + 1]):
                cell[SIDE, i] = whole * cell[STORE, i] / lay[layer, HOLD]
                cell[SIDE_C, i] = mean_c


@compiled
def contact_c(lay: Array, upper: int, upper_c: float, lower_c: float) -> float:
    """Temperature that two layers take where they have just met: weighted by their effusivities."""
    up = math.sqrt(lay[upper, CONDUCT] * lay[upper, HOLD])
    down = math.sqrt(lay[upper + 1, CONDUCT] * lay[upper + 1, HOLD])
    return (up * upper_c + down * lower_c) / (up + down)


@compiled
def meet(cell: Array, face: Array, first_of: Ints, lay: Array, kin: Array, top: int) -> None:
    """Temperatures and rates of the faces from layer `top` down at the moment that layer came in."""
    last = lay.shape[0] - 1
    for layer in range(top, last + 1):
        begin, end = first_of[layer], first_of[layer + 1] - 1
        above = cell[TEMP, begin]
        if layer > top:
            above = contact_c(lay, layer - 1, cell[TEMP, begin - 1], cell[TEMP, begin])
        below = cell[TEMP, end]
        if layer < last:
            below = contact_c(lay, layer, cell[TEMP, end], cell[TEMP, end + 1])
        face[F_TEMP, 2 * layer], face[F_TEMP, 2 * layer + 1] = above, below
        if kin[layer, FORM] > 0.0:
            face[F_RATE, 2 * layer] = rate_at(above, kin[layer, ENERGY])
            face[F_RATE, 2 * layer + 1] = rate_at(below, kin[layer, ENERGY])


@compiled
def outside(times: Array, values: Array, at: int, now_s: float) -> tuple[int, float, float, float]:
    """Air, film and flux at a time, straight between points; and the point to begin from next time."""
    last = times.size - 1
    while at < last and times[at + 1] < now_s:
        at += 1
    if at == last or now_s <= times[at]:
        return at, values[0, at], values[1, at], values[2, at]
    part = (now_s - times[at]) / (times[at + 1] - times[at])
    rest = 1.0 - part
    return (
        at,
        rest * values[0, at] + part * values[0, at + 1],
        rest * values[1, at] + part * values[1, at + 1],
        rest * values[2, at] + part * values[2, at + 1],
    )


@compiled
def forecast(cell: Array, first_of: Ints, kin: Array, top: int, step_s: float) -> None:
    """The reaction's part of the right side, about a forecast of the temperature at the step's end."""
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
            cell[FORE, i] = fore
            cell[PULL, i] = pull
            cell[SOURCE, i] = cell[HEAT, i] * (share - cell[DONE, i]) - pull * fore
            cell[DONE, i] = share


@compiled
def solve(
    cell: Array, top_cell: int, step_s: float, weight_share: float, was: Array, now: Array, below_c: float
) -> None:
    """New temperatures by Thomas's way. `was`, `now`: conductance of the top face and its heat at nought degC."""
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
    """Share reacted, rate and equivalent age of the cells at the step's end."""
    for layer in range(top, kin.shape[0]):
        if kin[layer, FORM] == 0.0:
            continue
        for i in range(first_of[layer], first_of[layer + 1]):
            rate = rate_at(cell[TEMP, i], kin[layer, ENERGY])
            if cell[HEAT, i] > 0.0:
                cell[DONE, i] += cell[PULL, i] * (cell[TEMP, i] - cell[FORE, i]) / cell[HEAT, i]
            cell[AGE_WAS, i], cell[RATE_WAS, i] = cell[AGE, i], cell[RATE, i]
            cell[AGE, i] += HALF_STEP * step_s * (cell[RATE, i] + rate)
            cell[RATE, i] = rate


@compiled
def age_faces(
    cell: Array, face: Array, first_of: Ints, kin: Array, top: int, step_s: float, air: Array, below_c: float
) -> None:
    """Temperature, rate and equivalent age at the faces at the step's end. `air`: film, and film times air plus flux."""
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
def crossing(was_s: float, rate_was: float, now_s: float, rate: float, step_s: float, age_s: float) -> float:
    """Seconds into a step at which an age is reached: the cubic that has the step's ages and rates at both ends."""
    if was_s >= age_s:
        return 0.0
    low, high = 0.0, 1.0
    part = (age_s - was_s) / (now_s - was_s)
    for _ in range(40):
        rest = 1.0 - part
        value = (
            (1.0 + 2.0 * part) * rest * rest * was_s
            + part * part * (3.0 - 2.0 * part) * now_s
            + step_s * part * rest * (rest * rate_was - part * rate)
        ) - age_s
        slope = 6.0 * part * rest * (now_s - was_s) + step_s * (
            rest * (1.0 - 3.0 * part) * rate_was + part * (3.0 * part - 2.0) * rate
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
    cell: Array, face: Array, begin: int, end: int, layer: int, kind: float, age_s: float, step_s: float
) -> float:
    """Seconds into the step at which the layer's least (kind 0) or greatest age reaches a value; less than 0 where not."""
    least, most = min(face[F_AGE, 2 * layer], face[F_AGE, 2 * layer + 1]), face[F_AGE, 2 * layer]
    most = max(most, face[F_AGE, 2 * layer + 1])
    for i in range(begin, end):
        least, most = min(least, cell[AGE, i]), max(most, cell[AGE, i])
    if (least if kind == 0.0 else most) < age_s:
        return -1.0
    found = 0.0 if kind == 0.0 else step_s
    for i in range(begin, end):
        if cell[AGE, i] >= age_s:
            at = crossing(cell[AGE_WAS, i], cell[RATE_WAS, i], cell[AGE, i], cell[RATE, i], step_s, age_s)
            found = max(found, at) if kind == 0.0 else min(found, at)
    for f in range(2 * layer, 2 * layer + 2):
        if face[F_AGE, f] >= age_s:
            at = crossing(face[F_AGE_WAS, f], face[F_RATE_WAS, f], face[F_AGE, f], face[F_RATE, f], step_s, age_s)
            found = max(found, at) if kind == 0.0 else min(found, at)
    return found


@compiled
def tell(cell: Array, face: Array, first_of: Ints, kin: Array, guard: Array, top: int, told: Array) -> None:
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
def next_step(cell: Array, first_of: Ints, kin: Array, top: int, pace: Array, step_s: float) -> float:
    """The following step: grown, but no layer's reaction is overrun."""
    fresh = min(step_s * pace[P_GROW], pace[P_MOST])
    for layer in range(top, kin.shape[0]):
        if kin[layer, FORM] == 0.0:
            continue
        begin, end = first_of[layer], first_of[layer + 1] - 1
        middle = (begin + end) // 2
        rate = max(cell[RATE, begin], cell[RATE, middle], cell[RATE, end])
        age = min(cell[AGE, begin], cell[AGE, end])
        fresh = min(fresh, pace[P_SHARE] * (kin[layer, TAU] + age) / rate)
    return fresh


@compiled
def first_top(lay: Array) -> int:
    """The uppermost layer that lies there from the first."""
    top = lay.shape[0] - 1
    while top > 0 and lay[top - 1, PLACED] <= 0.0:
        top -= 1
    return top


@compiled
def keep(history: Array, row: int, now_s: float, cell: Array, face: Array, audit: Array) -> None:
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
def inflow(cell: Array, top_cell: int, air: Array, below_c: float) -> float:
    """Heat a second into the cells from outside: top, sides, below."""
    count = cell.shape[1]
    flow = air[3] - air[2] * cell[TEMP, top_cell] + cell[LINK, count - 1] * (below_c - cell[TEMP, count - 1])
    for i in range(top_cell, count):
        flow += cell[SIDE, i] * (cell[SIDE_C, i] - cell[TEMP, i])
    return flow


@compiled
def meet_air(air: Array, half: float, film: float, warm: float) -> None:
    """Film and heat at nought degC at the face, and the same seen from the first cell's middle."""
    part = half / (half + film)
    air[0], air[1], air[2], air[3] = film, warm, part * film, part * warm


@compiled
def march(
    cell: Array, face: Array, layer_of: Ints, first_of: Ints, fractions: Array, lay: Array, kin: Array, guard: Array,
    times: Array, values: Array, below_c: float, wants: Array, pace: Array, found: Array, told: Array, history: Array,
) -> int:  # fmt: skip
    """A cover from placing to its last time asked for: into `found` the seconds (inf where never), into `told` extremes.

    below_c     nan where no heat goes through the lowest face
    history     a row a step where it has rows
    """
    held = not math.isnan(below_c)
    below_c = below_c if held else 0.0
    lay_cells(cell, fractions, layer_of, lay, kin, held)
    face[:] = 0.0
    found[:] = math.inf
    told[:, T_GUARD], told[:, T_LEAST], told[:, T_MOST] = math.inf, math.inf, -math.inf
    top = first_top(lay)
    meet(cell, face, first_of, lay, kin, top)
    tell(cell, face, first_of, kin, guard, top, told)
    was, now, audit = np.zeros(4), np.zeros(4), np.zeros(1)
    now_s, step_s, backward, at, row, open_wants = 0.0, pace[P_FIRST], pace[P_BACK], 0, 0, max(1, wants.shape[0])
    at, air_c, film, flux = outside(times, values, at, now_s)
    meet_air(now, cell[HALF, first_of[top]], film, film * air_c + flux)
    if history.shape[0] > 0:
        keep(history, 0, now_s, cell, face, audit)
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
        tell(cell, face, first_of, kin, guard, top, told)
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
            keep(history, row, now_s, cell, face, audit)
        step_s = next_step(cell, first_of, kin, top, pace, step_s)
        if placing and top > 0:
            now_s, step_s, backward = limit, pace[P_FIRST], pace[P_BACK]
            while top > 0 and lay[top - 1, PLACED] <= now_s:
                top -= 1
            meet(cell, face, first_of, lay, kin, top)
            meet_air(now, cell[HALF, first_of[top]], film, film * air_c + flux)
    return row + 1


@compiled
def march_columns(
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
    """Cover after cover; an array whose first axis is 1 holds for all of them."""
    one, one_told = np.zeros(found.shape[1]), np.zeros((lay.shape[2], 3))
    for n in range(found.shape[0]):
        march_columns(
            cell, face, layer_of, first_of, fractions, lay[min(n, len(lay) - 1)], kin[min(n, len(kin) - 1)],
            guard[min(n, len(guard) - 1)], times, values[min(n, len(values) - 1)], below[min(n, len(below) - 1)],
            wants[min(n, len(wants) - 1)], pace, found[n], told[n], one, one_told,
        )  # fmt: skip
