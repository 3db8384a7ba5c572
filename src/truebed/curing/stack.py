"""The real stack as the heat calculation takes it: layers from the top down, what meets the top, the edge of the strip.

Time counts in minutes from the placing of the first layer; what a forecast or a probe gives is put on that clock first.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.curing.binder import Binder

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Boundary:
    """What meets the top face at points of time: straight between them, unchanged before the first and past the last.

    The heat into the face is film (air - face) + flux. Long-wave exchange with the sky, linearised with a coefficient
    r, enters as film = convection + r and flux = r (sky - air); sun and rain are added to flux.

    minutes_min       growing, on the stack's clock
    film_w_per_m2_k   coefficient of convection and long-wave together
    flux_w_per_m2     net heat into the face besides; a clear night makes it negative
    """

    minutes_min: Array
    air_c: Array
    film_w_per_m2_k: Array
    flux_w_per_m2: Array


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer over the stack's whole area.

    binder      of a layer that reacts; its conductivity and heat capacity are then the binder's own
    start_c     its temperature when it comes in
    placed_min  when it comes in, on the stack's clock; nought for what lies there from the first
    """

    name: str
    thick_mm: float
    conduct_w_per_m_k: float
    store_kj_per_l_k: float
    start_c: float
    binder: Binder | None = None
    placed_min: float = 0.0


@dataclass(frozen=True, slots=True)
class Edge:
    """The two sides of the strip under a flange: the cut-out's, with the boundary's air, and the chamber's.

    flange      the layer that is the frame's flange
    width_mm    of the strip, from the chamber's face to its outer edge
    outer_film_w_per_m2_k   at the cut-out's side; nought where fresh concrete lies against it
    upright_*   the frame's wall, that stands on the flange as a fin
    """

    flange: str
    width_mm: float
    outer_film_w_per_m2_k: float
    inner_film_w_per_m2_k: float
    inner_c: float
    upright_mm: float = 0.0
    upright_thick_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Stack:
    """Layers from the top down. A layer never comes in before the one below it.

    edge        None: the strip is endless, heat moves up and down only
    below_c     temperature held at the lowest face; None lets no heat through it
    """

    layers: tuple[Layer, ...]
    edge: Edge | None = None
    below_c: float | None = None


def steady_boundary(air_c: float, film_w_per_m2_k: float, flux_w_per_m2: float) -> Boundary:
    """A boundary that does not change: one point of time.

    Valid       film >= 0
    Source      algebra
    Proved by   tests/curing/test_heat.py
    """
    return Boundary(*(np.array([value]) for value in (0.0, air_c, film_w_per_m2_k, flux_w_per_m2)))
