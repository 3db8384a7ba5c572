"""How far a flange reaches in a direction: what margins are counted from."""

from __future__ import annotations

import math


def reach_mm(
    shape: str, along_mm: float, across_mm: float, turn_deg: float, toward_x_ratio: float, toward_y_ratio: float
) -> float:
    """How far an outline of truebed.chamber.shapes, turned about its centre, reaches along a unit direction [mm].

    Valid       shapes of outline_ring; (toward_x, toward_y) of length 1
    Source      algebra (support function; a D is its rectangle and the half disc's circle in front)
    Proved by   tests/chamber/test_flange_reach.py
    """
    if shape == "round":
        return along_mm / 2.0
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    nx = cos * toward_x_ratio + sin * toward_y_ratio
    ny = cos * toward_y_ratio - sin * toward_x_ratio
    if shape == "D":
        radius_mm = across_mm / 2.0
        centre_mm = along_mm / 2.0 - radius_mm
        square_mm = max(-nx * along_mm / 2.0, nx * centre_mm) + abs(ny) * radius_mm
        return max(square_mm, centre_mm * nx + radius_mm) if nx > 0.0 else square_mm
    return (abs(nx) * along_mm + abs(ny) * across_mm) / 2.0


def around_radius_mm(shape: str, along_mm: float, across_mm: float) -> float:
    """Radius of the least circle about the frame's centre that holds the outline [mm].

    Valid       shapes of outline_ring
    Source      algebra
    Proved by   tests/chamber/test_flange_reach.py
    """
    if shape == "round":
        return along_mm / 2.0
    if shape == "D":
        # the nose lies on the axis, no further out than half the length
        return math.hypot(along_mm / 2.0, across_mm / 2.0)
    return math.hypot(along_mm, across_mm) / 2.0
