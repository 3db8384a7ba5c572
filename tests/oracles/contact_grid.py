"""The second way to a bed's pressure: the seating as a grid of points, points that would pull let go."""

import numpy as np
from shapely import contains_xy

GRID_MM = 6.0
ROUNDS = 200


def grid_points(seating, spacing_mm=GRID_MM):
    """Points that stand for the seating, one for each equal share of its area."""
    min_x, min_y, max_x, max_y = seating.bounds
    count_x = max(8, round((max_x - min_x) / spacing_mm))
    count_y = max(8, round((max_y - min_y) / spacing_mm))
    x, y = np.meshgrid(
        min_x + (np.arange(count_x) + 0.5) * (max_x - min_x) / count_x,
        min_y + (np.arange(count_y) + 0.5) * (max_y - min_y) / count_y,
    )
    inside = contains_xy(seating, x, y)
    return x[inside], y[inside]


def grid_pressure(seating, load_n, at_x, at_y, spacing_mm=GRID_MM):
    """Level and slopes of p = a + b x + c y in balance; None where there is none."""
    x, y = grid_points(seating, spacing_mm)
    table = np.column_stack([np.ones_like(x), x, y])
    wanted = load_n / (seating.area / len(x)) * np.array([1.0, at_x, at_y])
    held = np.ones(len(x), dtype=bool)
    for _ in range(ROUNDS):
        part = table[held]
        try:
            found = np.linalg.solve(part.T @ part, wanted)
        except np.linalg.LinAlgError:
            return None
        fresh = table @ found > 0.0
        if np.array_equal(fresh, held):
            return found
        held = fresh
    return None
