"""Convex outlines without a geometry library: clipped, measured, met by a line. Rings run anticlockwise."""

from __future__ import annotations

import math

from truebed.chamber.plane import Point, Ring

#: Points closer than this are one point [mm].
SAME_MM = 1e-7


def ring_area_mm2(ring: Ring) -> float:
    """Area of a ring [mm2], positive anticlockwise.

    Valid       a simple ring
    Source      algebra (shoelace)
    Proved by   tests/chamber/test_convex.py
    """
    total_mm2 = 0.0
    x0, y0 = ring[-1]
    for x, y in ring:
        total_mm2 += x0 * y - x * y0
        x0, y0 = x, y
    return total_mm2 / 2.0


def clipped(ring: Ring, nx_ratio: float, ny_ratio: float, offset_mm: float) -> Ring:
    """The part of a convex ring where nx x + ny y <= offset; () where nothing is left.

    Valid       a convex ring; (nx, ny) of length 1
    Source      algebra (polygon clipped by a half-plane)
    Proved by   tests/chamber/test_convex.py
    """
    over = [nx_ratio * x + ny_ratio * y - offset_mm for x, y in ring]
    if max(over) <= SAME_MM:
        return ring
    kept: list[Point] = []
    for i, (point, high) in enumerate(zip(ring, over, strict=True)):
        before, low = ring[i - 1], over[i - 1]
        if (high > 0.0) != (low > 0.0):
            share = low / (low - high)
            kept.append((before[0] + share * (point[0] - before[0]), before[1] + share * (point[1] - before[1])))
        if high <= 0.0:
            kept.append(point)
    return cleaned(tuple(kept))


def common(one: Ring, other: Ring) -> Ring:
    """The part of a convex ring that lies within another; () where nothing does.

    Valid       convex rings, anticlockwise
    Source      algebra
    Proved by   tests/chamber/test_convex.py
    """
    kept = one
    for (x0, y0), (x1, y1) in zip(other, (*other[1:], other[0]), strict=True):
        length_mm = math.hypot(x1 - x0, y1 - y0)
        if length_mm < SAME_MM:
            continue
        nx, ny = (y1 - y0) / length_mm, (x0 - x1) / length_mm
        kept = clipped(kept, nx, ny, nx * x0 + ny * y0)
        if not kept:
            return ()
    return kept


def cleaned(ring: Ring) -> Ring:
    """A ring without points that are the same or lie on a straight side, beginning at its least point.

    Valid       a simple ring
    Source      algebra
    Proved by   tests/chamber/test_convex.py
    """
    points: list[Point] = []
    for point in ring:
        if not points or math.dist(points[-1], point) > SAME_MM:
            points.append(point)
    while len(points) > 1 and math.dist(points[0], points[-1]) <= SAME_MM:
        points.pop()
    corners = [p for i, p in enumerate(points) if _turns(points[i - 1], p, points[(i + 1) % len(points)])]
    if len(corners) < 3:
        return ()
    start = corners.index(min(corners))
    return tuple(corners[start:] + corners[:start])


def _turns(before: Point, at: Point, after: Point) -> bool:
    ux, uy = at[0] - before[0], at[1] - before[1]
    vx, vy = after[0] - at[0], after[1] - at[1]
    return abs(ux * vy - uy * vx) > SAME_MM * (math.hypot(ux, uy) + math.hypot(vx, vy))


def line_meets(start: Point, end: Point, ring: Ring, clear_mm: float = 1e-6) -> bool:
    """Whether a straight line runs inside a convex ring for more than a hair.

    clear_mm   how much of it may
    Valid       a convex ring, anticlockwise
    Source      algebra (Cyrus-Beck clipping)
    Proved by   tests/chamber/test_convex.py
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    length_mm = math.hypot(dx, dy)
    low, high = 0.0, 1.0
    x0, y0 = ring[-1]
    for x1, y1 in ring:
        ex, ey = x1 - x0, y1 - y0
        side_mm = math.hypot(ex, ey)
        if side_mm < SAME_MM:
            continue
        # inside is where the cross product is positive by more than a hair
        at_start = (ex * (start[1] - y0) - ey * (start[0] - x0)) / side_mm - clear_mm
        change = (ex * dy - ey * dx) / side_mm
        if abs(change) < 1e-12 * max(length_mm, 1.0):
            if at_start <= 0.0:
                return False
        elif change > 0.0:
            low = max(low, -at_start / change)
        else:
            high = min(high, -at_start / change)
        x0, y0 = x1, y1
    return (high - low) * length_mm > clear_mm


def distance_to_mm(point: Point, ring: Ring) -> float:
    """From a point to a ring's outline, nought inside [mm].

    Valid       a convex ring, anticlockwise
    Source      algebra
    Proved by   tests/chamber/test_convex.py
    """
    inside, nearest_mm = True, math.inf
    x0, y0 = ring[-1]
    for x1, y1 in ring:
        ex, ey = x1 - x0, y1 - y0
        if math.hypot(ex, ey) < SAME_MM:
            continue
        px, py = point[0] - x0, point[1] - y0
        if ex * py - ey * px < 0.0:
            inside = False
        share = min(1.0, max(0.0, (px * ex + py * ey) / (ex * ex + ey * ey)))
        nearest_mm = min(nearest_mm, math.hypot(px - share * ex, py - share * ey))
        x0, y0 = x1, y1
    return 0.0 if inside else nearest_mm
