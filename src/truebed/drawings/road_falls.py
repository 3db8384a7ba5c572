"""Which way the fitted road falls at the frame, in words and as places for arrows."""

from __future__ import annotations

import math
from dataclasses import dataclass

from truebed.chamber.plane import Point
from truebed.drawings.levels_text import tenth_mm
from truebed.levels.road_terms import FOLDED
from truebed.levels.surface import RoadSurface

#: Falls of less than this are written as level.
LEVEL_PERCENT = 0.05


@dataclass(frozen=True, slots=True)
class Fall:
    """The road's fall at a place: where to draw it, the share of the way down along +x and +y (positive: falls)."""

    where: str
    x_mm: float
    y_mm: float
    along_ratio: float
    across_ratio: float

    def downhill(self) -> Point | None:
        """The direction in which water runs, of length 1; None on a level road."""
        steep = math.hypot(self.along_ratio, self.across_ratio)
        return None if 100.0 * steep < LEVEL_PERCENT else (self.along_ratio / steep, self.across_ratio / steep)

    def words(self) -> str:
        """'falls 1.2 % forwards, 2.5 % to the right'."""
        parts = []
        for ratio, ahead, back in (
            (self.along_ratio, "forwards", "backwards"),
            (self.across_ratio, "to the left", "to the right"),
        ):
            percent = 100.0 * ratio
            if percent >= LEVEL_PERCENT:
                parts.append(f"{tenth_mm(percent)} % {ahead}")
            elif percent <= -LEVEL_PERCENT:
                parts.append(f"{tenth_mm(-percent)} % {back}")
        told = f"falls {', '.join(parts)}" if parts else "level"
        return f"{self.where}: {told}" if self.where else told


def falls_of(road: RoadSurface, reach_mm: float) -> tuple[Fall, ...]:
    """The road's fall at the frame's centre; of a road with a fold that on either side of it, `reach_mm` away.

    Valid       a fitted road
    Source      algebra (the terms' slopes at the centre: truebed.levels.road_terms.term_table)
    Proved by   tests/drawings/test_road_contours.py
    """
    along, across = -road.coefficients[1], -road.coefficients[2]
    if road.model not in FOLDED:
        return (Fall("", 0.0, 0.0, along, across),)
    fold, ridge_mm = road.coefficients[-1], road.ridge_mm
    if road.model == "two planes along":
        return (
            Fall("left of the fold", 0.0, ridge_mm + reach_mm, along, across - fold),
            Fall("right of the fold", 0.0, ridge_mm - reach_mm, along, across + fold),
        )
    return (
        Fall("before the fold", ridge_mm - reach_mm, 0.0, along + fold, across),
        Fall("beyond the fold", ridge_mm + reach_mm, 0.0, along - fold, across),
    )
