"""Cells of a layer as shares of its thickness, small where heat turns sharply, and the length of the steps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Pace:
    """Steps of the march: from the first after each placing they grow to the longest.

    most_age_share   a step never ages a layer by more than this share of its age and a quarter of tau
    backward_count   steps of backward Euler after each placing
    """

    first_s: float = 2.0
    growth_ratio: float = 1.3
    most_s: float = 300.0
    most_age_share: float = 0.06
    backward_count: int = 4


FAST, FINE = Pace(), Pace(0.02, 1.05, 10.0, 0.004, 4)


@dataclass(frozen=True, slots=True)
class Cells:
    """Cells of a stack from the top down.

    fractions   of each cell's own layer
    layer_of    the layer of each cell
    first_of    the first cell of each layer, and the count of all
    """

    fractions: Array
    layer_of: Ints
    first_of: Ints


def graded(count: int, growth_ratio: float) -> Array:
    """Shares of a thickness that grow away from its upper face.

    Valid       count >= 1, growth > 0
    Source      algebra
    Proved by   tests/curing/test_heat_grid.py
    """
    sizes = growth_ratio ** np.arange(count)
    shares: Array = sizes / sizes.sum()
    return shares


def cells_of(reacts: tuple[bool, ...], fineness: int = 1) -> Cells:
    """Cells of a stack of which some layers react: graded towards both faces of those, and towards them in the others.

    fineness    each cell of the coarsest grid cut into so many, so that grids of two finenesses nest
    Valid       fineness >= 1; at least one layer
    Source      house (chosen by bench cure_space_error_min)
    Proved by   tests/curing/test_heat_grid.py
    """
    parts = [_shares(index, reacts, fineness) for index in range(len(reacts))]
    counts = [part.size for part in parts]
    return Cells(
        np.concatenate(parts),
        np.repeat(np.arange(len(reacts), dtype=np.int64), counts),
        np.concatenate([[0], np.cumsum(counts)]).astype(np.int64),
    )


def _shares(index: int, reacts: tuple[bool, ...], fineness: int) -> Array:
    """Shares of one layer."""
    above = index > 0 and reacts[index - 1]
    below = index + 1 < len(reacts) and reacts[index + 1]
    if reacts[index] or (above and below):
        half = graded(REACT_COUNT * fineness, REACT_RATIO ** (1.0 / fineness))
        return np.concatenate([half, half[::-1]]) / 2.0
    last = index + 1 == len(reacts)
    count, ratio = (DEEP_COUNT, DEEP_RATIO) if last else (PLAIN_COUNT, PLAIN_RATIO)
    shares = graded(count * fineness, ratio ** (1.0 / fineness))
    return shares[::-1] if below else shares


#: Half a layer that reacts; the lowest layer (ground or brick, deep); any other.
REACT_COUNT, REACT_RATIO = 6, 1.5
DEEP_COUNT, DEEP_RATIO = 18, 1.3
PLAIN_COUNT, PLAIN_RATIO = 3, 1.2
