"""The chamber's wall top between the points measured on it: a plane, and what each direction lies off it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from truebed.chamber.plane import Plane, Point, Ring
from truebed.chamber.shapes import common_region, hull_ring, joint_region, polygon
from truebed.errors import NotDesignedError
from truebed.levels.least_squares import carries
from truebed.levels.seat_question import SeatSample, edge_points

#: Points round the seating no further apart than this [mm].
SEAT_SPACING_MM = 50.0
#: Points nearer in direction than this [degree] are one place of the wall: their mean is taken.
ONE_PLACE_DEG = 3.0


@dataclass(frozen=True, slots=True)
class WallTop:
    """The wall's top all round: plane, and level off it by direction about the middle.

    Between neighbouring directions the part off the plane runs straight with the angle; across the wall it does not
    change. No directions: the plane alone (an estimate).
    misfit_mm   how far a measured place lies from what its two neighbours say, root mean square; None: too few places
    points      as measured (x, y, level)
    """

    plane: Plane
    directions_deg: tuple[float, ...] = ()
    off_mm: tuple[float, ...] = ()
    misfit_mm: float | None = None
    middle: Point = (0.0, 0.0)
    points: tuple[tuple[float, float, float], ...] = ()

    def off_plane_mm(self, x_mm: float, y_mm: float) -> float:
        """How far the top lies above its plane in the direction of a point [mm]."""
        if not self.directions_deg:
            return 0.0
        angle = math.degrees(math.atan2(y_mm - self.middle[1], x_mm - self.middle[0]))
        return float(np.interp(angle, self.directions_deg, self.off_mm, period=360.0))

    def at(self, x_mm: float, y_mm: float) -> float:
        """Level of the wall's top in the direction of a point [mm]."""
        return self.plane.at(x_mm, y_mm) + self.off_plane_mm(x_mm, y_mm)


def _places(angle_deg: list[float], off_mm: list[float]) -> tuple[list[float], list[float]]:
    order = sorted(range(len(angle_deg)), key=lambda i: (angle_deg[i], off_mm[i]))
    groups: list[list[int]] = []
    for i in order:
        if groups and angle_deg[i] - angle_deg[groups[-1][0]] <= ONE_PLACE_DEG:
            groups[-1].append(i)
        else:
            groups.append([i])
    means = [[sum(v[i] for i in g) / len(g) for v in (angle_deg, off_mm)] for g in groups]
    return [m[0] for m in means], [m[1] for m in means]


def _misfit_mm(angle_deg: list[float], off_mm: list[float]) -> float | None:
    if len(angle_deg) < 4:
        return None
    errors = []
    for i, angle in enumerate(angle_deg):
        others = [j for j in range(len(angle_deg)) if j != i]
        said = np.interp(angle, [angle_deg[j] for j in others], [off_mm[j] for j in others], period=360.0)
        errors.append(off_mm[i] - float(said))
    return math.sqrt(sum(e * e for e in errors) / len(errors))


def wall_top(points: tuple[tuple[float, float, float], ...], middle: Point = (0.0, 0.0)) -> WallTop:
    """The wall's top through measured points (x, y, level): it passes through every one (two at one place: their mean).

    Valid       four points or more all round the middle, not in line
    Source      house: between points the top runs straight with the direction, and level across the wall off its plane
    Raises      NotDesignedError where the points carry no plane
    Proved by   tests/levels/test_wall_top.py
    """
    table = np.array([[1.0, x, y] for x, y, _ in points]).reshape(-1, 3)
    levels = np.array([z for _, _, z in points])
    if not carries(table):
        raise NotDesignedError(
            "The measured points of the chamber top lie in line, or are fewer than four.",
            "Measure eight points or more all round the chamber top.",
        )
    answer = np.linalg.lstsq(table, levels, rcond=None)[0]
    plane = Plane(float(answer[0]), float(answer[1]), float(answer[2]))
    angle = [math.degrees(math.atan2(y - middle[1], x - middle[0])) for x, y, _ in points]
    off = [z - plane.at(x, y) for x, y, z in points]
    angle, off = _places(angle, off)
    return WallTop(plane, tuple(angle), tuple(off), _misfit_mm(angle, off), middle, points)


def seat_points(top: WallTop, outer: Ring, inner: Ring | None = None) -> tuple[SeatSample, ...]:
    """Where the bed's limits are held over an uneven wall: round the seating's outer and inner edge, and as measured.

    outer, inner   edges of the seating; inner None: its hull alone
    A plane top needs the outer corners only: there a linear thickness has its extremes.

    Valid       rings about the top's middle; extremes between points 50 mm apart are missed by less than 0.1 mm
    Source      algebra
    Proved by   tests/levels/test_wall_top.py
    """
    if not top.directions_deg:
        return tuple(SeatSample(f"seat {i}", x, y, top.at(x, y)) for i, (x, y) in enumerate(outer, start=1))
    from shapely.geometry import Point as Spot

    under = polygon(outer).buffer(1e-6)
    rings = (outer,) if inner is None else (outer, inner)
    marks = [p for ring in rings for p in (*_thinned(ring), *_abreast(ring, top.middle, top.directions_deg))]
    marks = [p for p in marks if under.covers(Spot(p))]
    seats = [SeatSample(f"seat {i}", x, y, top.at(x, y)) for i, (x, y) in enumerate(marks, start=1)]
    return (
        *seats,
        *(
            SeatSample(f"measured {i}", x, y, z)
            for i, (x, y, z) in enumerate(top.points, start=1)
            if under.covers(Spot(x, y))
        ),
    )


def seat_on(top: WallTop, flange: Ring, wall: Ring, hollow: Ring, opening: Ring) -> tuple[SeatSample, ...]:
    """The seat samples of a frame on its chamber: the flange over the wall, outside the hollow and the clear opening.

    Valid       a flange that stands on the wall
    Source      house: section and its roles; see seat_points
    Raises      ValueError where flange and wall do not overlap
    Proved by   tests/levels/test_wall_top.py
    """
    outer = hull_ring(common_region(flange, wall))
    # a plane top has its extremes at the outer corners: no inner edge is asked for
    inner = hull_ring(joint_region(hollow, opening)) if top.directions_deg else None
    return seat_points(top, outer, inner)


def _thinned(ring: Ring) -> tuple[Point, ...]:
    """A ring of few corners with points along its sides; of a circle's many corners, every second or so."""
    length = sum(math.dist(a, b) for a, b in zip(ring, ring[1:] + ring[:1], strict=True))
    each = int(SEAT_SPACING_MM // (length / len(ring)))
    return tuple(ring[i] for i in range(0, len(ring), each)) if each >= 2 else edge_points(ring, SEAT_SPACING_MM)


def _abreast(ring: Ring, middle: Point, directions_deg: tuple[float, ...]) -> list[Point]:
    """Where the directions of the measured places leave a ring: the top has its kinks there."""
    crossings = []
    for angle in directions_deg:
        ux, uy = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
            off_a = ux * (a[1] - middle[1]) - uy * (a[0] - middle[0])
            off_b = ux * (b[1] - middle[1]) - uy * (b[0] - middle[0])
            if off_a * off_b < 0.0:
                share = off_a / (off_a - off_b)
                x, y = a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
                if ux * (x - middle[0]) + uy * (y - middle[1]) > 0.0:
                    crossings.append((x, y))
    return crossings
