"""A plane over the cover's local axes."""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float]
Ring = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Plane:
    """z = level_mm + slope_x_ratio * x + slope_y_ratio * y, x and y in mm, z up in mm."""

    level_mm: float
    slope_x_ratio: float
    slope_y_ratio: float

    def at(self, x_mm: float, y_mm: float) -> float:
        """Height at a point [mm]."""
        return self.level_mm + self.slope_x_ratio * x_mm + self.slope_y_ratio * y_mm

    def raised(self, by_mm: float) -> Plane:
        """The same plane, `by_mm` higher."""
        return Plane(self.level_mm + by_mm, self.slope_x_ratio, self.slope_y_ratio)

    def minus(self, other: Plane) -> Plane:
        """The difference of two planes: a thickness that is itself linear over the plan."""
        return Plane(
            self.level_mm - other.level_mm,
            self.slope_x_ratio - other.slope_x_ratio,
            self.slope_y_ratio - other.slope_y_ratio,
        )
