"""The rims of frames of every shape: the points that the crew sets, where strings go, and where the lids meet."""

from __future__ import annotations

import math

from truebed.chamber.plane import Point, Ring
from truebed.chamber.shapes import turned_point

#: Points along the lids' joint no further apart than this [mm], as along the rim's own sides.
JOINT_SPACING_MM = 50.0

#: Names as the crew sees them looking along the traffic: front +x, left +y; places as shares of the half sizes.
CORNERS = (("front-left", 1.0, 1.0), ("front-right", 1.0, -1.0), ("back-right", -1.0, -1.0), ("back-left", -1.0, 1.0))
QUARTERS = (("front", 1.0, 0.0), ("right", 0.0, -1.0), ("back", -1.0, 0.0), ("left", 0.0, 1.0))

#: Which set points a string is stretched over: across the traffic and along it; a D's nose is reached from the back.
PAIRS = {
    "round": (("back", "front"), ("right", "left")),
    "D": (
        ("back-left", "front-left"),
        ("back-right", "front-right"),
        ("back-right", "back-left"),
        ("front-right", "front-left"),
        ("middle of back", "nose"),
    ),
    "rectangle": (
        ("back-left", "front-left"),
        ("back-right", "front-right"),
        ("back-right", "back-left"),
        ("front-right", "front-left"),
    ),
}


def _d_points(half_along_mm: float, half_across_mm: float) -> tuple[tuple[str, Point], ...]:
    shoulder_mm = half_along_mm - half_across_mm
    return (
        ("front-left", (shoulder_mm, half_across_mm)),
        ("front-right", (shoulder_mm, -half_across_mm)),
        ("back-right", (-half_along_mm, -half_across_mm)),
        ("back-left", (-half_along_mm, half_across_mm)),
        ("nose", (half_along_mm, 0.0)),
    )


def set_points(shape: str, along_mm: float, across_mm: float, turn_deg: float) -> tuple[tuple[str, Point], ...]:
    """The named points of a rim that the crew sets.

    rectangle, triangular pair: the four corners; round: the four quarter points; D: the two back corners, the ends of
    its straight sides (front-left, front-right: the shoulders) and its nose.

    Valid       sizes > 0; a D at least half as long as it is wide
    Source      house: docs/axes-and-signs.md
    Proved by   tests/levels/test_rims.py
    """
    a, b = along_mm / 2.0, across_mm / 2.0
    if shape == "D":
        straight = _d_points(a, b)
    else:
        straight = tuple((name, (sx * a, sy * b)) for name, sx, sy in (QUARTERS if shape == "round" else CORNERS))
    return tuple((name, turned_point(point, turn_deg)) for name, point in straight)


def rim_points(shape: str, along_mm: float, across_mm: float, turn_deg: float) -> tuple[Point, ...]:
    """Points of the iron's top beside its outline that must lie true as well: where two three-point lids meet.

    A triangular pair's joint runs over the diagonal from back-right to front-left; other shapes have none.
    The outline's own points come from truebed.levels.seat_question.edge_points.

    Valid       sizes > 0
    Source      house: docs/axes-and-signs.md (the diagonal); spacing as along the outline
    Proved by   tests/levels/test_rims.py
    """
    if shape != "triangular pair":
        return ()
    a, b = along_mm / 2.0, across_mm / 2.0
    count = max(2, math.ceil(2.0 * math.hypot(a, b) / JOINT_SPACING_MM))
    shares = [2.0 * i / count - 1.0 for i in range(1, count)]
    return tuple(turned_point((share * a, share * b), turn_deg) for share in shares)


def string_pairs(shape: str) -> tuple[tuple[str, str], ...]:
    """The pairs of set points that a string is stretched over, by name.

    Valid       a shape of truebed.given.cover.FrameShape; 'middle of back' is a D's mark, not a point that is set
    Source      house
    Proved by   tests/levels/test_rims.py
    """
    return PAIRS.get(shape, PAIRS["rectangle"])


def marks_of(shape: str, along_mm: float, across_mm: float, turn_deg: float) -> dict[str, Point]:
    """Every named mark of a rim: its set points, and a D's middle of back.

    Valid       as set_points
    Source      house
    Proved by   tests/levels/test_rims.py
    """
    named = dict(set_points(shape, along_mm, across_mm, turn_deg))
    if shape == "D":
        named["middle of back"] = turned_point((-along_mm / 2.0, 0.0), turn_deg)
    return named


def middle_of(ring: Ring) -> Point:
    """The middle of an outline: a plane's level there is its mean over the outline.

    Valid       a simple ring with an area
    Source      algebra (centroid of a polygon)
    Proved by   tests/levels/test_rims.py
    """
    area2 = x_moment = y_moment = 0.0
    for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1], strict=True):
        cross = ax * by - bx * ay
        area2 += cross
        x_moment += (ax + bx) * cross
        y_moment += (ay + by) * cross
    return x_moment / (3.0 * area2), y_moment / (3.0 * area2)
