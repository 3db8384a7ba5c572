"""What the two sides of the strip under a flange take from its layers: columns of the middle and of both edges.

The excess temperature of a body cooled through a film at its edge is, at the edge, exp(a2 t) erfc(a sqrt(t)) of what it
would be without that edge, a = film / sqrt(k rho c). An edge column loses heat at the rate at which that share falls.
Iron is even across the strip: it takes the film over its whole width, with the frame's wall as a fin.
"""

from __future__ import annotations

import math

from truebed.curing.stack import Edge, Layer, Stack

SideRow = tuple[float, float, float, float, float]
NO_SIDE: SideRow = (0.0, 0.0, 0.0, 0.0, 0.0)


def columns_of(stack: Stack) -> tuple[tuple[tuple[float, SideRow], ...], ...]:
    """Columns of a stack: of each layer the factor on its heat capacity, and its sides in the kernel's units.

    Without an edge one column; with one the strip's middle, its outer edge (where a film is there), its chamber edge.

    Valid       a strip whose flange is iron, even across its width
    Source      [carslaw-jaeger] 2.7 surface of a half space cooled by a film (from memory); fin: algebra
    Proved by   tests/oracles/test_heat_edge.py
    """
    edge = stack.edge
    if edge is None:
        return (tuple((1.0, NO_SIDE) for _ in stack.layers),)
    nan = math.nan
    middle = tuple(_iron(layer, edge) if layer.name == edge.flange else (1.0, NO_SIDE) for layer in stack.layers)
    sides = [(edge.outer_film_w_per_m2_k, nan), (edge.inner_film_w_per_m2_k, edge.inner_c)]
    edges = tuple(
        tuple(
            own if layer.name == edge.flange else (1.0, (0.0, 0.0, 0.0, film / _effusivity(layer), temp_c))
            for layer, own in zip(stack.layers, middle, strict=True)
        )
        for film, temp_c in sides
    )
    return (middle, *edges)


def _effusivity(layer: Layer) -> float:
    conduct, hold = layer.conduct_w_per_m_k, layer.store_kj_per_l_k
    if layer.binder is not None:
        conduct, hold = layer.binder.conduct_w_per_m_k, layer.binder.store_kj_per_l_k
    return math.sqrt(conduct * hold * 1e6)


def _iron(layer: Layer, edge: Edge) -> tuple[float, SideRow]:
    """The flange with the frame's wall on it, spread over the flange's own volume."""
    area_m2 = layer.thick_mm * edge.width_mm / 1e6
    outer, inner = edge.outer_film_w_per_m2_k, edge.inner_film_w_per_m2_k
    reach_m, thick_m = edge.upright_mm / 1000.0, layer.thick_mm / 1000.0
    if reach_m > 0.0:
        root = math.sqrt((outer + inner) / (layer.conduct_w_per_m_k * edge.upright_thick_mm / 1000.0)) * reach_m
        reach_m *= math.tanh(root) / root if root > 0.0 else 1.0
    more_ratio = reach_m * edge.upright_thick_mm / 1000.0 / area_m2
    air, chamber = (film * (reach_m + thick_m) / area_m2 for film in (outer, inner))
    return 1.0 + more_ratio, (air, chamber, edge.inner_c, 0.0, 0.0)
