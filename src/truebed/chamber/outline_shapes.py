"""The section's outlines as shapes, where they are known as such."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

OutlineKind = Literal["rectangle", "round", "D", "triangular pair"]


@dataclass(frozen=True, slots=True)
class OutlineShape:
    """An outline as a shape: sizes along and across, turned anticlockwise about its middle; round: along = across."""

    kind: OutlineKind
    along_mm: float
    across_mm: float
    turn_deg: float = 0.0
    x_mm: float = 0.0
    y_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class OutlineShapes:
    """The shape of each outline where it is known; None: the ring is all there is."""

    opening: OutlineShape | None = None
    body: OutlineShape | None = None
    flange: OutlineShape | None = None
    wall: OutlineShape | None = None
    chamber: OutlineShape | None = None
    cut: OutlineShape | None = None
