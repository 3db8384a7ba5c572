"""Outlines about the frame's centre, exactly: inside, within another, how far they reach, apart from a rectangle.

Every outline of truebed.given.cover.Plan2D is convex and lies in the rectangle along x across about the centre.
"""

from __future__ import annotations

import math

from truebed.given.cover import Plan2D

#: places are taped to about so much (house)
TAPE_MM = 30.0

Direction = tuple[float, float]


def nose_centre_mm(plan: Plan2D) -> float:
    """Where on its own x the half circle of a D has its centre. [mm]

    Valid       shape 'D' with along >= across / 2
    Source      algebra
    Proved by   tests/given/test_outline.py
    """
    return (plan.along_mm - plan.across_mm) / 2.0


def inside_plan(plan: Plan2D, turn_deg: float, x_mm: float, y_mm: float) -> bool:
    """True for a place strictly inside an outline that is turned about the frame's centre.

    Valid       any place and turn
    Source      algebra
    Proved by   tests/given/test_outline.py
    """
    if plan.shape == "round":
        return math.hypot(x_mm, y_mm) < plan.along_mm / 2.0
    turn = math.radians(turn_deg)
    along_mm = x_mm * math.cos(turn) + y_mm * math.sin(turn)
    across_mm = y_mm * math.cos(turn) - x_mm * math.sin(turn)
    if abs(along_mm) >= plan.along_mm / 2.0 or abs(across_mm) >= plan.across_mm / 2.0:
        return False
    past_mm = along_mm - nose_centre_mm(plan)
    return plan.shape != "D" or past_mm <= 0.0 or math.hypot(past_mm, across_mm) < plan.across_mm / 2.0


def shrunk(plan: Plan2D, by_mm: float) -> Plan2D | None:
    """The outline with its sizes less by_mm at every side (more where by_mm is negative); None where nothing is left.

    Valid       any outline
    Source      algebra
    Proved by   tests/given/test_outline.py
    """
    along_mm, across_mm = plan.along_mm - 2.0 * by_mm, plan.across_mm - 2.0 * by_mm
    return Plan2D(plan.shape, along_mm, across_mm) if min(along_mm, across_mm) > 0.0 else None


def corner_reach_mm(inner: Plan2D, outer: Plan2D) -> tuple[float, float] | None:
    """How far the inner's corners reach where the outer is curved, and how far they may; None without such corners.

    Both about the centre of the outer's curve. With the sizes along and across this decides about `within` exactly:
    a circle or a D inside the outer's rectangle is inside its half circle too.

    Valid       two outlines of one centre and turn
    Source      algebra
    Proved by   tests/given/test_outline.py
    """
    if inner.shape == "round" or outer.shape not in {"round", "D"}:
        return None
    half_along_mm, half_across_mm = inner.along_mm / 2.0, inner.across_mm / 2.0
    if outer.shape == "round":
        return math.hypot(half_along_mm, half_across_mm), outer.along_mm / 2.0
    if inner.shape == "D":
        return None
    past_mm = max(half_along_mm - nose_centre_mm(outer), 0.0)
    return math.hypot(past_mm, half_across_mm), outer.across_mm / 2.0


def within(inner: Plan2D, outer: Plan2D, may_touch: bool = False) -> bool:
    """True where one outline lies in another of the same centre and turn.

    may_touch   edges in common are taken too
    Valid       any two outlines
    Source      algebra
    Proved by   tests/given/test_outline.py
    """
    pairs = [(inner.along_mm, outer.along_mm), (inner.across_mm, outer.across_mm)]
    corners = corner_reach_mm(inner, outer)
    if corners is not None:
        pairs.append(corners)
    return all(has < may or (may_touch and has == may) for has, may in pairs)


def reach_mm(plan: Plan2D, direction: Direction) -> float:
    """How far an outline reaches in a direction of its own axes, from its centre. [mm]

    Valid       a direction of length 1
    Source      algebra (support function)
    Proved by   tests/given/test_outline.py
    """
    x, y = direction
    if plan.shape == "round":
        return plan.along_mm / 2.0
    if plan.shape == "D" and x > 0.0:
        return max(
            nose_centre_mm(plan) * x + plan.across_mm / 2.0,
            -plan.along_mm / 2.0 * x + plan.across_mm / 2.0 * abs(y),
        )
    return abs(x) * plan.along_mm / 2.0 + abs(y) * plan.across_mm / 2.0


def reach_left_mm(plan: Plan2D, turn_deg: float) -> float:
    """How far a turned outline reaches to the left of the traffic from the frame's centre; to the right at +180. [mm]

    Valid       any turn
    Source      algebra
    Proved by   tests/given/test_outline.py
    """
    turn = math.radians(turn_deg)
    return reach_mm(plan, (math.sin(turn), math.cos(turn)))


def overlaps(plan: Plan2D, turn_deg: float, thing: Plan2D, at_mm: tuple[float, float], thing_turn_deg: float) -> bool:
    """True where a rectangle at a place and turn of its own has an area in common with a turned outline.

    Valid       thing a rectangle; along and across > 0
    Source      algebra (two convex outlines are apart only if a line parts them: the sides, and the lines square to a
                ray from the curve's centre through a corner)
    Proved by   tests/given/test_outline.py
    """
    x_mm, y_mm = turned(at_mm, -turn_deg)
    own_deg = thing_turn_deg - turn_deg
    a, b = thing.along_mm / 2.0, thing.across_mm / 2.0
    corners = [turned(corner, own_deg) for corner in ((-a, -b), (a, -b), (a, b), (-a, b))]
    corners = [(x + x_mm, y + y_mm) for x, y in corners]
    centre_mm = nose_centre_mm(plan) if plan.shape == "D" else 0.0
    ways = [(1.0, 0.0), (0.0, 1.0), turned((1.0, 0.0), own_deg), turned((0.0, 1.0), own_deg)]
    ways += [(-x, -y) for x, y in ways]
    ways += [(x - centre_mm, y) for x, y in corners if math.hypot(x - centre_mm, y) > 0.0]
    for way in ways:
        length = math.hypot(*way)
        unit = way[0] / length, way[1] / length
        if reach_mm(plan, unit) <= min(x * unit[0] + y * unit[1] for x, y in corners):
            return False
    return True


def turned(point: tuple[float, float], turn_deg: float) -> tuple[float, float]:
    """A point turned anticlockwise about the centre.

    Valid       any point
    Source      algebra
    Proved by   tests/given/test_outline.py
    """
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return cos * point[0] - sin * point[1], sin * point[0] + cos * point[1]
