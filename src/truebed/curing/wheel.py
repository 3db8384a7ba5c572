"""What the wheel asks of the bed: a simple bound, until the exact contact polygon comes."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry


@dataclass(frozen=True, slots=True)
class WheelDemand:
    """Greatest bed pressure under one wheel [N/mm2]: centred, and at the edge of the opening.

    full_contact  whether the whole seating stays in contact with the wheel at the edge; where it does not, the true
                  peak is higher than edge_n_per_mm2, and a finding says so
    """

    centred_n_per_mm2: float
    edge_n_per_mm2: float
    full_contact: bool
    area_mm2: float


def second_moments_mm4(region: BaseGeometry) -> tuple[float, float]:
    """Second moments of area about the origin's axes: (of x^2, of y^2) [mm4].

    Valid       a region of polygons; shapely triangulation
    Source      algebra (triangle: A/6 (sum of squares and products of its corners))
    Proved by   tests/curing/test_wheel.py
    """
    from shapely import constrained_delaunay_triangles, get_coordinates

    total_x = total_y = 0.0
    for triangle in constrained_delaunay_triangles(region).geoms:
        (ax, ay), (bx, by), (cx, cy) = get_coordinates(triangle)[:3].tolist()
        share = triangle.area / 6.0
        total_x += share * (ax * ax + bx * bx + cx * cx + ax * bx + bx * cx + cx * ax)
        total_y += share * (ay * ay + by * by + cy * cy + ay * by + by * cy + cy * ay)
    return total_x, total_y


def wheel_demand(seating: BaseGeometry, wheel_kn: float, reach_along_mm: float, reach_across_mm: float) -> WheelDemand:
    """Bed pressure of a rigid frame on an elastic bed under one wheel.

    The wheel stands at the centre, and at the edge of the opening along and across (the load's resultant there):
    p = P/A (1 + e c A / I). reach_*: half the clear opening. The load model contains its dynamic effect: no factor.

    Valid       seating symmetric about the frame's centre; contact everywhere, else full_contact is False
    Source      algebra (rigid footing on an elastic bed); load: rule set value wheel_load_kn
    Proved by   tests/curing/test_wheel.py
    """
    area = float(seating.area)
    moment_x, moment_y = second_moments_mm4(seating)
    min_x, min_y, max_x, max_y = seating.bounds
    centred = wheel_kn * 1000.0 / area
    along = reach_along_mm * max(-min_x, max_x) * area / moment_x
    across = reach_across_mm * max(-min_y, max_y) * area / moment_y
    worst = max(along, across)
    return WheelDemand(centred, centred * (1.0 + worst), worst <= 1.0, area)
