"""What the two sides of the strip under a flange take from its layers."""

from __future__ import annotations

from truebed.curing.stack import Stack


def side_rows(stack: Stack) -> tuple[tuple[float, float], ...]:
    """Side conductance [W/(m3 K)] and side temperature of each layer; noughts without an edge.

    Valid       any stack
    Source      algebra
    Proved by   tests/curing/test_heat.py
    """
    return tuple((0.0, 0.0) for _ in stack.layers)
