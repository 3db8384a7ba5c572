"""One place of a tyre in one compiled call: the part of it on the iron, own weight, and the greatest bed pressure."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled
from truebed.curing.contact_kernel import CONVERGED, TIPS, greatest_pressure, patch_on_iron, pressed

Array = NDArray[np.float64]


@compiled
def pressure_at_place(
    edges: Array, hull: Array, frame: Array, iron: Array, tyre: Array, x_mm: float, y_mm: float
) -> float:
    """The greatest bed pressure with a tyre's middle at a place: infinite where the frame tips, not a number where no
    balance was found, nought where nothing presses.

    frame       the bed's middle x, y and its size (edges and hull are in units of it)
    tyre        ground pressure [N/mm2], half its contact along and across, own weight at the centre [N], and the least
                area that counts as a load
    Valid       a convex iron, anticlockwise
    Source      algebra
    Proved by   tests/curing/test_tyre.py, tests/oracles/test_contact_places.py
    """
    box, patch = np.empty(4), np.empty(3)
    box[0], box[1], box[2], box[3] = x_mm - tyre[1], x_mm + tyre[1], y_mm - tyre[2], y_mm + tyre[2]
    patch_on_iron(iron, box, patch)
    wheel = tyre[0] * patch[0] if patch[0] > tyre[4] else 0.0
    total = wheel + tyre[3]
    if total <= 0.0:
        return 0.0
    size = frame[2]
    load, v = np.empty(3), np.zeros(3)
    load[0] = total / (size * size)
    load[1] = load[0] * (wheel * patch[1] / total - frame[0]) / size
    load[2] = load[0] * (wheel * patch[2] / total - frame[1]) / size
    word = pressed(edges, hull, load, v)
    if word == TIPS:
        return np.inf
    if word != CONVERGED:
        return np.nan
    return greatest_pressure(hull, v)
