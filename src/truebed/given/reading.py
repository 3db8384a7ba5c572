"""Spot levels and staff readings around a cover."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ReadingKind = Literal["level", "staff"]
Where = Literal["road", "frame", "lid", "chamber", "kerb", "bench mark"]


@dataclass(frozen=True, slots=True)
class Reading:
    """One row of readings.csv.

    x, y      local axes of its cover [mm]; bench marks may leave them at 0
    value_mm  kind 'level': height above the cover's local zero, up positive. kind 'staff': staff reading, down
              positive, reduced within its set-up by that set-up's bench-mark reading
    set_up    name of the instrument's stand; '' for levels
    """

    cover: str
    point: str
    x_mm: float
    y_mm: float
    kind: ReadingKind
    value_mm: float
    where: Where
    set_up: str = ""
    row: int = 0
