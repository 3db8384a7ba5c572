"""The strip under a flange as a section in two directions: the reference that the edge loss of a stack is held against.

Slow and fine: a sparse matrix a step. x runs from the chamber's face outwards, y from the frame's top down.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from truebed.curing.arrhenius import GAS_J_PER_MOL_K
from truebed.curing.binder import Binder, reacted_share
from truebed.curing.heat_grid import graded

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Block:
    """A rectangle of one material, from its left upper to its right lower corner; what no block fills is outer air."""

    name: str
    left_mm: float
    top_mm: float
    right_mm: float
    bottom_mm: float
    conduct_w_per_m_k: float
    store_kj_per_l_k: float
    start_c: float
    binder: Binder | None = None


@dataclass(frozen=True, slots=True)
class Around:
    """Air over and beside the section, and in the chamber at x = 0; the flux falls on faces that look up.

    No heat goes through the section's right end and its bottom.
    """

    outer_c: float
    outer_film_w_per_m2_k: float
    flux_w_per_m2: float
    inner_c: float
    inner_film_w_per_m2_k: float


@dataclass(frozen=True, slots=True)
class SectionTimes:
    """Minutes at which the last and the first point of a block have an equivalent age; where; how many cells."""

    slowest_min: float
    fastest_min: float
    slowest_x_mm: float
    slowest_y_mm: float
    cell_count: int


@dataclass(slots=True)
class _Mesh:
    """Cells that hold something, their links, and the faces of the tracked block."""

    store: Array
    links: tuple[Array, Array, Array]
    film: Array
    given: Array
    temp: Array
    size: Array
    of: Array
    x_mm: Array
    y_mm: Array


def lines(breaks_mm: list[float], near_mm: tuple[float, float], first_mm: float, growth_ratio: float) -> Array:
    """Grid lines through all breaks, `first_mm` apart at those within `near_mm` and growing away from them.

    Valid       growing breaks
    Source      algebra
    Proved by   tests/curing/test_section_2d.py
    """
    found = [breaks_mm[0]]
    for low, high in pairwise(breaks_mm):
        length = high - low
        at_low, at_high = near_mm[0] <= low <= near_mm[1], near_mm[0] <= high <= near_mm[1]
        both = at_low == at_high
        reach = length / 2.0 if both else length
        count = max(2, math.ceil(math.log1p(reach * (growth_ratio - 1.0) / first_mm) / math.log(growth_ratio)))
        shares = graded(count, growth_ratio)
        if both:
            shares = np.concatenate([shares, shares[::-1]]) / 2.0
        elif at_high:
            shares = shares[::-1]
        found += [*(low + length * np.cumsum(shares[:-1])), high]
    return np.array(found)


def _mesh(blocks: tuple[Block, ...], around: Around, xs: Array, ys: Array) -> _Mesh:
    x, y = (xs[1:] + xs[:-1]) / 2.0, (ys[1:] + ys[:-1]) / 2.0
    which = np.full((y.size, x.size), -1)
    for index, b in enumerate(blocks):
        which[np.ix_((y > b.top_mm) & (y < b.bottom_mm), (x > b.left_mm) & (x < b.right_mm))] = index
    solid = which >= 0
    number = np.where(solid, np.cumsum(solid.ravel()).reshape(solid.shape) - 1, -1)
    wide, deep = np.broadcast_arrays(np.diff(xs)[None, :] / 1000.0, np.diff(ys)[:, None] / 1000.0)
    conduct = np.array([b.conduct_w_per_m_k for b in blocks])[which]
    hold = np.array([b.store_kj_per_l_k * 1e6 for b in blocks])[which]
    start = np.array([b.start_c for b in blocks])[which]
    film, given = np.zeros(which.shape), np.zeros(which.shape)
    rows, columns, values = [], [], []
    for along, across, step in ((wide, deep, (0, 1)), (deep, wide, (1, 0))):
        half = 2.0 * conduct / along * across
        near = (slice(None, -1 if step[0] else None), slice(None, -1 if step[1] else None))
        far = (slice(step[0], None), slice(step[1], None))
        both = solid[near] & solid[far]
        rows.append(number[near][both])
        columns.append(number[far][both])
        values.append((half[near] * half[far] / (half[near] + half[far]))[both])
        for here, there, up in ((near, far, False), (far, near, step == (1, 0))):
            bare = solid[here] & ~solid[there]
            _meet(film, given, here, bare, half, across, (around.outer_film_w_per_m2_k, around.outer_c),
                  around.flux_w_per_m2 if up else 0.0)  # fmt: skip
    first = (slice(None), slice(0, 1))
    chamber = (around.inner_film_w_per_m2_k, around.inner_c)
    _meet(film, given, first, solid[first], 2.0 * conduct / wide * deep, deep, chamber, 0.0)
    upper = (slice(0, 1), slice(None))
    outer = (around.outer_film_w_per_m2_k, around.outer_c)
    _meet(film, given, upper, solid[upper], 2.0 * conduct / deep * wide, wide, outer, around.flux_w_per_m2)
    size = (wide * deep)[solid]
    xx, yy = np.meshgrid(x, y)
    links = (np.concatenate(rows), np.concatenate(columns), np.concatenate(values))
    return _Mesh(hold[solid] * size, links, film[solid], given[solid], start[solid], size, which[solid],
                 xx[solid], yy[solid])  # fmt: skip


def _meet(
    film: Array, given: Array, where: tuple[slice, slice], bare: NDArray[np.bool_], half: Array, across: Array,
    air: tuple[float, float], flux_w_per_m2: float,
) -> None:  # fmt: skip
    """Conductance to air of bare faces, and their heat at nought degC."""
    own = half[where]
    part = own / (own + air[0] * across[where])
    film[where] += np.where(bare, part * air[0] * across[where], 0.0)
    given[where] += np.where(bare, part * (air[0] * air[1] + flux_w_per_m2) * across[where], 0.0)


def _reacted(blocks: tuple[Block, ...], of: Array, age_min: Array) -> Array:
    """Heat given so far, J/m3."""
    heat = np.zeros(age_min.size)
    for index, block in enumerate(blocks):
        if block.binder is not None:
            b, own = block.binder, of == index
            if b.form == "exponential":
                with np.errstate(divide="ignore", over="ignore"):
                    shares = np.exp(-((b.tau_min / age_min[own]) ** b.shape_ratio))
            else:
                shares = np.array([reacted_share(b, float(age)) for age in age_min[own]])
            heat[own] = b.heat_kj_per_l * 1e6 * shares
    return heat


def section_times(
    blocks: tuple[Block, ...], around: Around, block: str, age_min: float, xs: Array, ys: Array,
    *, step_s: float = 30.0, end_min: float = 1440.0,
) -> SectionTimes:  # fmt: skip
    """When the last and the first point of a block has an equivalent age, by finite volumes in two directions.

    step_s      longest step; steps grow to it from a two-hundredth, backward Euler at first, then Crank-Nicolson
    Valid       blocks that meet along grid lines; as `heat.cure`
    Source      as `heat.cure`
    Raises      ValueError where the age is not reached before the end
    Proved by   tests/curing/test_section_2d.py
    """
    from scipy.sparse import coo_array, diags_array
    from scipy.sparse.linalg import splu

    mesh = _mesh(blocks, around, xs, ys)
    a, b, g = mesh.links
    n = mesh.temp.size
    flow = coo_array((np.concatenate([g, g]), (np.concatenate([a, b]), np.concatenate([b, a]))), (n, n)).tocsc()
    flow = flow - diags_array(np.asarray(flow.sum(axis=1)).ravel() + mesh.film)
    energy = np.array([0.0 if c.binder is None else c.binder.activation_j_per_mol / GAS_J_PER_MOL_K for c in blocks])
    energy_k = energy[mesh.of.astype(int)]

    def rate_of(temp: Array) -> Array:
        return np.asarray(np.exp(energy_k * (1.0 / 293.15 - 1.0 / (temp + 273.15))))

    own = mesh.of == [c.name for c in blocks].index(block)
    temp, age, now_s, step, count = mesh.temp.copy(), np.zeros(n), 0.0, step_s / 200.0, 0
    rate, done = rate_of(temp), np.zeros(n)
    fastest_min = math.nan
    matrix, held = splu(diags_array(mesh.store).tocsc()), (0.0, 0.0)
    while now_s < end_min * 60.0:
        weight = 1.0 if count < 4 else 0.5
        if held != (step, weight):
            matrix = splu((diags_array(mesh.store) - (weight * step) * flow).tocsc())
            held = (step, weight)
        known = mesh.store * temp + step * (mesh.given + (1.0 - weight) * (flow @ temp))
        fresh_age, heat = age + step * rate / 60.0, done
        for _ in range(3):
            heat = _reacted(blocks, mesh.of, fresh_age)
            fresh = matrix.solve(known + (heat - done) * mesh.size)
            fresh_age = age + step * (rate + rate_of(fresh)) / 120.0
        least, most = float(fresh_age[own].min()), float(fresh_age[own].max())
        was_least, was_most = float(age[own].min()), float(age[own].max())
        if math.isnan(fastest_min) and most >= age_min:
            fastest_min = (now_s + step * (age_min - was_most) / (most - was_most)) / 60.0
        if least >= age_min:
            at = int(np.flatnonzero(own)[np.argmin(fresh_age[own])])
            slowest_min = (now_s + step * (age_min - was_least) / (least - was_least)) / 60.0
            return SectionTimes(slowest_min, fastest_min, float(mesh.x_mm[at]), float(mesh.y_mm[at]), n)
        temp, age, rate, done = fresh, fresh_age, rate_of(fresh), heat
        now_s, count = now_s + step, count + 1
        if count % 5 == 0:
            step = min(step * 2.0, step_s)
    raise ValueError(f"{block}: the age of {age_min:g} min is not reached in {end_min:g} min")
