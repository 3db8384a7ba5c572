"""A cover's cells and faces: what they hold, how they are linked, what meets them at the top, the sides and each other.

Everything in the kernels is in seconds, metres, watts, joules and degC; `heat` and `heat_many` convert at their door.
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
CHANGE, FORE, PULL, SOURCE, RIGHT, UPPER, AGE_WAS, RATE_WAS, FORE_RATE = range(10, 19)
ROWS = 19
#: Under it exp is its first four terms (to 1e-8); past it exp(-power) is nought.
SMALL, SPENT = 0.02, 40.0
#: Of tau in what a step may age a layer by.
TAU_PART = 0.25
#: Columns of `kin`, one row a layer: form (0 none, 1 exponential, 2 hyperbola), tau, shape, dead, energy over R, J/m3.
FORM, TAU, SHAPE, DEAD, ENERGY, JOULE = range(6)
#: Columns of `lay`, one row a layer: thickness, conductivity, J/(m3 K), temperature, placed at; W/(m3 K) to the outer
#: air, to the chamber, its degC; film over effusivity of the near edge, its degC (nan: the outer air).
THICK, CONDUCT, HOLD, START, PLACED, AIR_W, SIDE_W, SIDE_T, EDGE_A, EDGE_T = range(10)
COLUMNS = 10
#: Rows of `face`, two columns a layer (its top and its bottom): age, rate, age and rate before the step, temperature.
F_AGE, F_RATE, F_AGE_WAS, F_RATE_WAS, F_TEMP = range(5)
#: Columns of `wants`: layer, kind (0 least age, 1 greatest age of the layer's points), equivalent age.
W_LAYER, W_KIND, W_AGE = range(3)
#: Columns of `pace`: first step, growth, longest step, greatest share a step may age, backward steps, end.
P_FIRST, P_GROW, P_MOST, P_SHARE, P_BACK, P_END = range(6)
#: Columns of `told`, one row a layer: coldest point before the frost age, coldest and hottest point of all.
T_GUARD, T_LEAST, T_MOST = range(3)
#: The part of a step that is implicit once the backward steps are done.
HALF_STEP = 0.5
KELVIN_C, REFERENCE_K = 273.15, 1.0 / 293.15


@compiled
def rate_at(temp_c: float, energy_k: float) -> float:
    """Rate of ageing beside 20 degC.

    Valid       above -273.15 degC
    Source      [astm-c1074] form only
    Proved by   tests/oracles/test_heat_bdf.py
    """
    return math.exp(energy_k * (REFERENCE_K - 1.0 / (temp_c + KELVIN_C)))


@compiled
def reacted(kin: Array, layer: int, age_s: float) -> tuple[float, float]:
    """Share reacted at an equivalent age, and its slope.

    Valid       age not negative
    Source      [schindler-folliard-2005] form of the exponential (from memory); hyperbola: algebra
    Proved by   tests/oracles/test_heat_bdf.py
    """
    tau, dead = kin[layer, TAU], kin[layer, DEAD]
    if age_s <= dead:
        return 0.0, 0.0
    since = age_s - dead
    if kin[layer, FORM] == 2.0:
        whole = tau + since
        return since / whole, tau / (whole * whole)
    shape = kin[layer, SHAPE]
    power = math.exp(shape * math.log(tau / since))
    if power > SPENT:
        return 0.0, 0.0
    share = math.exp(-power)
    return share, share * power * shape / since


@compiled
def lay_cells(cell: Array, fractions: Array, layer_of: Ints, lay: Array, kin: Array, below: bool) -> None:
    """Capacities, conductances and first temperatures of a cover's cells.

    Valid       thickness, conductivity and capacity above 0
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_bdf.py
    """
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
def edge_left(edge_ratio: float, age_s: float) -> float:
    """What is left of the excess at the edge of a body that a film cools: exp(a2 t) erfc(a sqrt(t)).

    Valid       edge and age not negative
    Source      [carslaw-jaeger] 2.7 (from memory)
    Proved by   tests/oracles/test_heat_edge.py
    """
    root = edge_ratio * math.sqrt(age_s)
    if root > 5.0:
        return 1.0 / (root * math.sqrt(math.pi)) * (1.0 - 0.5 / (root * root))
    return math.exp(root * root) * math.erfc(root)


@compiled
def meet_sides(cell: Array, first_of: Ints, lay: Array, top: int, now_s: float, step_s: float, air_c: float) -> None:
    """Side conductance and temperature of the cells during a step.

    Valid       step above 0
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_edge.py
    """
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
    """Temperature that two layers take where they have just met: weighted by their effusivities.

    Valid       a layer below the upper one
    Source      [carslaw-jaeger] contact of two half spaces (from memory)
    Proved by   tests/published/test_carslaw_jaeger.py
    """
    up = math.sqrt(lay[upper, CONDUCT] * lay[upper, HOLD])
    down = math.sqrt(lay[upper + 1, CONDUCT] * lay[upper + 1, HOLD])
    return (up * upper_c + down * lower_c) / (up + down)


@compiled
def meet(cell: Array, face: Array, first_of: Ints, lay: Array, kin: Array, top: int) -> None:
    """Temperatures and rates of the faces from layer `top` down at the moment that layer came in.

    Valid       cells laid
    Source      as heat.cure
    Proved by   tests/published/test_carslaw_jaeger.py
    """
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
    """Air, film and flux at a time, straight between points; and the point to begin from next time.

    Valid       growing times
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_bdf.py
    """
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
def meet_air(air: Array, half_w_per_m2_k: float, film_w_per_m2_k: float, warm_w_per_m2: float) -> None:
    """Film and heat at nought degC at the face, and the same seen from the first cell's middle.

    Valid       half above 0, film not negative
    Source      as heat.cure
    Proved by   tests/oracles/test_heat_bdf.py
    """
    part = half_w_per_m2_k / (half_w_per_m2_k + film_w_per_m2_k)
    air[0], air[1], air[2], air[3] = film_w_per_m2_k, warm_w_per_m2, part * film_w_per_m2_k, part * warm_w_per_m2
