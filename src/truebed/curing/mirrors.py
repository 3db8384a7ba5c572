"""What mirrors a bed and its iron are alike in: a search over places need try one side of each only."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.curing.contact import Bed

Array = NDArray[np.float64]
#: Points are the same where they agree to so many places [mm].
SAME_PLACES_COUNT = 6


@dataclass(frozen=True, slots=True)
class Mirrors:
    """In which mirrors about the frame's centre bed and iron look the same, and whether they do turned half round."""

    front_to_back: bool
    left_to_right: bool
    half_turn: bool

    def half_turn_only(self) -> bool:
        """Alike turned half round and in neither mirror, as a turned rectangle is."""
        return self.half_turn and not (self.front_to_back or self.left_to_right)


def mirrors_of(bed: Bed, iron: Array) -> Mirrors:
    """The mirrors of a bed and the iron over it.

    Valid       any bed; sides that agree to a millionth of a millimetre; what is missed costs time, nothing else
    Source      algebra (the undirected sides are the same set)
    Proved by   tests/curing/test_mirrors.py
    """
    middle = np.array([bed.x_mm, bed.y_mm])
    sides = [
        np.hstack([bed.edges[:, :2] * bed.size_mm + middle, bed.edges[:, 2:] * bed.size_mm + middle]),
        np.hstack([iron, np.roll(iron, -1, axis=0)]),
    ]

    def alike(x_ratio: float, y_ratio: float) -> bool:
        signs = np.array([x_ratio, y_ratio, x_ratio, y_ratio])
        return all(_undirected(one) == _undirected(one * signs) for one in sides)

    return Mirrors(alike(-1.0, 1.0), alike(1.0, -1.0), alike(-1.0, -1.0))


def _undirected(sides: Array) -> frozenset[tuple[tuple[float, ...], ...]]:
    rounded = (np.round(sides, SAME_PLACES_COUNT) + 0.0).tolist()
    return frozenset(tuple(sorted(((ax, ay), (bx, by)))) for ax, ay, bx, by in rounded)
