"""The greatest gap under a straightedge laid on a profile: it rests on the profile's upper hull."""

from __future__ import annotations

from dataclasses import dataclass

#: Place and height along a line [mm].
Profile = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Gap:
    """The gap, where it is, and between which places the straightedge rests; all along the profile."""

    gap_mm: float
    at_mm: float
    from_mm: float
    to_mm: float


def upper_hull(profile: Profile) -> Profile:
    """The points that a taut sheet over the profile rests on.

    Valid       places in rising order; two points may stand at one place (a step)
    Source      algebra (monotone chain)
    Proved by   tests/levels/test_straightedge.py
    """
    hull: list[tuple[float, float]] = []
    for s, z in profile:
        if hull and hull[-1][0] == s:
            if z <= hull[-1][1]:
                continue
            hull.pop()
        while len(hull) >= 2 and _below(hull[-2], hull[-1], (s, z)):
            hull.pop()
        hull.append((s, z))
    return tuple(hull)


def _below(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> bool:
    """Whether b lies on or under the line from a to c."""
    return (b[1] - a[1]) * (c[0] - a[0]) <= (c[1] - a[1]) * (b[0] - a[0])


def _gap_in(window: Profile) -> Gap:
    hull = upper_hull(window)
    best = Gap(0.0, window[0][0], window[0][0], window[-1][0])
    k = 0
    for s, z in window:
        while k + 2 < len(hull) and s > hull[k + 1][0]:
            k += 1
        if len(hull) < 2:
            gap_mm = hull[0][1] - z
            ends = (s, s)
        else:
            (a, za), (b, zb) = hull[k], hull[k + 1]
            gap_mm, ends = za + (s - a) / (b - a) * (zb - za) - z, (a, b)
        if gap_mm > best.gap_mm + 1e-12:
            best = Gap(gap_mm, s, *ends)
    return best


def greatest_gap(profile: Profile, length_mm: float) -> Gap:
    """The greatest gap between two rests of a straightedge of a length, wherever on the profile it is laid.

    Valid       places in rising order; gaps at the profile's own points
    Source      algebra
    Proved by   tests/levels/test_straightedge.py
    """
    best = Gap(0.0, profile[0][0], profile[0][0], profile[0][0])
    last = 0
    for first, (start, _) in enumerate(profile):
        last = max(last, first)
        while last + 1 < len(profile) and profile[last + 1][0] <= start + length_mm + 1e-9:
            last += 1
        found = _gap_in(profile[first : last + 1])
        best = found if found.gap_mm > best.gap_mm + 1e-12 else best
        if last + 1 == len(profile):
            break
    return best
