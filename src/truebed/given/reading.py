"""Spot levels and staff readings around a cover."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ReadingKind = Literal["level", "staff", "straightedge gap", "string-line offset"]
Where = Literal["road", "frame", "lid", "chamber", "kerb", "bench mark", "change point", "line end"]


@dataclass(frozen=True, slots=True)
class Reading:
    """One row of readings.csv.

    x, y      local axes of its cover [mm]; bench marks may leave them at 0
    value_mm  kind 'level': height above the cover's local zero, up positive. kind 'staff': staff reading, down
              positive, reduced within its set-up by that set-up's bench-mark reading or through change points.
              'straightedge gap', 'string-line offset': from the edge or string down to the point, down positive
    where     'change point': read from two stands to carry the level over; 'line end': a point of the straightedge's
              underside or of the string itself, with its own level
    set_up    name of the instrument's stand, of the straightedge's place or of the string; '' for levels
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
