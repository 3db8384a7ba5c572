"""Waits that depend on the hour of the edge they are counted from: read, bounded, and cut into runs of one bend."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from truebed.programme.problem import Lag

#: (minute of the from edge, minutes of the wait there)
Profile = Sequence[tuple[int, int]]


def wait_at(profile: Profile, minute: int, *, up: bool) -> int:
    """The wait at that minute: straight between two points, held before the first and after the last; rounded.

    Valid       at least one point, minutes growing
    Source      house (problem.Lag says how a profile is read)
    Proved by   tests/programme/test_profiles.py
    """
    if minute <= profile[0][0]:
        return profile[0][1]
    for (a, wait_a), (b, wait_b) in pairwise(profile):
        if minute <= b:
            over = wait_a * (b - a) + (wait_b - wait_a) * (minute - a)
            return -(-over // (b - a)) if up else over // (b - a)
    return profile[-1][1]


def least_at(lag: Lag, minute: int) -> int | None:
    """The least wait of a lag whose from edge lies at that minute.

    Source      house
    Proved by   tests/programme/test_profiles.py
    """
    return wait_at(lag.profile, minute, up=True) if lag.profile else lag.least_min


def greatest_at(lag: Lag, minute: int) -> int | None:
    """The greatest wait of a lag whose from edge lies at that minute.

    Source      house
    Proved by   tests/programme/test_profiles.py
    """
    return wait_at(lag.greatest_profile, minute, up=False) if lag.greatest_profile else lag.greatest_min


def loosest_least(lag: Lag) -> int | None:
    """The least wait at the hour at which it is shortest: for bounds, never for a schedule.

    Source      algebra
    Proved by   tests/programme/test_profiles.py
    """
    return min(wait for _minute, wait in lag.profile) if lag.profile else lag.least_min


def loosest_greatest(lag: Lag) -> int | None:
    """The greatest wait at the hour at which it is longest: for bounds, never for a schedule.

    Source      algebra
    Proved by   tests/programme/test_profiles.py
    """
    return max(wait for _minute, wait in lag.greatest_profile) if lag.greatest_profile else lag.greatest_min


#: A straight piece: minutes from and to, wait at its from minute, rise over run (whole numbers)
Piece = tuple[int, int, int, int, int]


def pieces(profile: Profile, low: int, high: int) -> tuple[Piece, ...]:
    """The straight pieces of a profile between two minutes, flat before its first point and after its last.

    Valid       low <= high
    Source      algebra
    Proved by   tests/programme/test_profiles.py
    """
    far = [(min(low, profile[0][0]) - 1, profile[0][1]), *profile, (max(high, profile[-1][0]) + 1, profile[-1][1])]
    found = [(a, b, wait_a, wait_b - wait_a, b - a) for (a, wait_a), (b, wait_b) in pairwise(far)]
    # A piece that only touches the span at its one end is held by its neighbour.
    inside = [p for p in found if p[1] > low and p[0] < high]
    return tuple(inside or [p for p in found if p[0] <= low <= p[1]][:1])


def runs(profile: Profile, low: int, high: int, *, convex: bool) -> tuple[tuple[Piece, ...], ...]:
    """The pieces in runs along which the profile bends one way only, so that all lines of a run hold at once.

    Over a run that is convex the wait is the greatest of its lines: a least wait is exactly all of them. A greatest
    wait wants runs that are concave. A falling night gives one convex run for each cure.

    Valid       low <= high
    Source      algebra
    Proved by   tests/programme/test_profiles.py
    """
    found: list[list[Piece]] = []
    for piece in pieces(profile, low, high):
        if found:
            _a, _b, _w, rise, run = found[-1][-1]
            bend = piece[3] * run - rise * piece[4]
            if (bend >= 0) if convex else (bend <= 0):
                found[-1].append(piece)
                continue
        found.append([piece])
    return tuple(tuple(run) for run in found)
