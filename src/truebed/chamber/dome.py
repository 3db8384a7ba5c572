"""A road domed or dished the same way both ways: the level that keeps the litres of the layers under it."""

from __future__ import annotations

import math

import numpy as np

from truebed.chamber.curved import Array, Section
from truebed.chamber.outlines import Outlines
from truebed.chamber.surface import Facet


def _side_mm4(piece: Array) -> float:
    x, y, u, v = (float(c) for c in piece[2:6])
    return (x * v - u * y) * (x * x + x * u + u * u + y * y + y * v + v * v) / 12.0


def _arc_mm4(piece: Array) -> float:
    """A quarter of the integral of r² (x dy - y dx) along an arc."""
    x, y, r, first, last = (float(c) for c in piece[2:7])
    turn = last - first
    sine, cosine = math.sin(last) - math.sin(first), math.cos(first) - math.cos(last)
    first_order = x * sine + y * cosine
    double = (math.sin(2.0 * last) - math.sin(2.0 * first)) / 4.0
    crossed = (math.sin(last) ** 2 - math.sin(first) ** 2) * x * y
    second = x * x * (turn / 2.0 + double) + y * y * (turn / 2.0 - double) + crossed
    whole = x * x + y * y + r * r
    return 0.25 * (whole * (r * r * turn + r * first_order) + 2.0 * r * (r * r * first_order + r * second))


def mean_square_mm2(outlines: Outlines) -> float:
    """The mean of x² + y² over the layers beside the frame (the cut less the body).

    A road with a term c (x² + y²) gives surround and running surface the same litres as one raised by c times this, as
    long as the surfaces do not cross; its least and greatest thickness differ.

    Valid       outlines of one cover
    Source      algebra (Green)
    Proved by   tests/chamber/test_dome.py
    """
    from truebed.chamber.integral_kernel import AREA, wet_integrals

    facet = Facet((), (1.0, 0.0, 0.0, 0.0, 0.0))
    pieces, signs = Section(outlines).part("round the body", facet)
    moments = (_side_mm4(p) if p[1] == 0.0 else _arc_mm4(p) for p in pieces)
    total = sum(float(s) * m for s, m in zip(signs, moments, strict=True))
    return total / float(wet_integrals(pieces, signs, np.array(facet.height))[AREA])
