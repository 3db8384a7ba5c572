"""The kerb beside a cut: where the road ends, and a strip too narrow to leave."""

from __future__ import annotations

import math

from truebed.chamber.convex import cleaned, clipped
from truebed.chamber.plane import Point, Ring

#: What the ground behind a kerb is called where it is kept off.
KERB = "the kerb"
#: Further than any cut reaches [mm].
_FAR_MM = 1.0e5


def kerb_side_ratio(kerb_side: str) -> float:
    """+1 where the kerb stands on the left (+y), -1 on the right.

    Valid       kerb_side 'left' or 'right'
    Source      house (axes)
    Proved by   tests/chamber/test_kerb.py
    """
    return 1.0 if kerb_side == "left" else -1.0


def within_kerb(ring: Ring, kerb_side: str, kerb_mm: float | None) -> Ring:
    """The part of a convex ring on the road's side of the kerb.

    Valid       a convex ring; kerb along the traffic
    Source      algebra
    Proved by   tests/chamber/test_kerb.py
    """
    if kerb_side == "none" or kerb_mm is None:
        return ring
    return clipped(ring, 0.0, kerb_side_ratio(kerb_side), kerb_mm)


def behind_kerb(kerb_side: str, kerb_mm: float) -> Ring:
    """The ground behind a kerb, as a large rectangle.

    Valid       cuts within 50 m
    Source      algebra
    Proved by   tests/chamber/test_kerb.py
    """
    low, high = (kerb_mm, kerb_mm + _FAR_MM) if kerb_side == "left" else (-kerb_mm - _FAR_MM, -kerb_mm)
    return ((-_FAR_MM, low), (_FAR_MM, low), (_FAR_MM, high), (-_FAR_MM, high))


def snapped(ring: Ring, kerb_side: str, kerb_mm: float, strip_least_mm: float) -> Ring:
    """A cut carried out to the kerb wherever it would leave a strip narrower than the least, square to the kerb.

    What lies between the kerb and the part of the cut nearer to it than the strip's least width is added: a slanting
    side keeps its slant as far as the strip is wide enough. The same ring where no strip is too narrow.

    Valid       a convex ring within the kerb, anticlockwise
    Source      from memory (trim back to the fixed feature where the strip left would be narrow); algebra
    Proved by   tests/chamber/test_kerb.py
    """
    # worked with the kerb on the left; a kerb on the right is mirrored
    side = kerb_side_ratio(kerb_side)
    points = ring if side > 0.0 else tuple((x, -y) for x, y in reversed(ring))
    line_mm = kerb_mm - strip_least_mm
    if max(y for _, y in points) <= line_mm + 1e-7:
        return ring
    walked = _with_crossings(points, line_mm)
    near = [p for p in walked if p[1] >= line_mm - 1e-7]
    first, last = min(near), max(near, key=lambda p: (p[0], -p[1]))
    if first[1] >= kerb_mm and last[1] >= kerb_mm:
        return ring
    start = walked.index(first)
    lower: list[Point] = []
    for step in range(len(walked)):
        lower.append(walked[(start + step) % len(walked)])
        if lower[-1] == last:
            break
    grown = cleaned((*lower, (last[0], kerb_mm), (first[0], kerb_mm)))
    whole = grown if side > 0.0 else cleaned(tuple((x, -y) for x, y in reversed(grown)))
    return ring if _same(whole, cleaned(ring)) else whole


def _with_crossings(ring: Ring, line_mm: float) -> list[Point]:
    walked: list[Point] = []
    for i, point in enumerate(ring):
        before = ring[i - 1]
        if (before[1] < line_mm) != (point[1] < line_mm) and line_mm not in {before[1], point[1]}:
            share = (line_mm - before[1]) / (point[1] - before[1])
            walked.append((before[0] + share * (point[0] - before[0]), line_mm))
        walked.append(point)
    return walked


def _same(one: Ring, other: Ring) -> bool:
    return len(one) == len(other) and all(math.dist(a, b) < 1e-6 for a, b in zip(one, other, strict=True))
