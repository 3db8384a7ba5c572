"""From a search's schedule to one that people can walk: names to the steps, then the walks' own minutes."""

from __future__ import annotations

from collections.abc import Sequence

from truebed.programme.hands import are_named
from truebed.programme.manning import manned
from truebed.programme.network import Net
from truebed.programme.problem import Problem, Schedule
from truebed.programme.retime import retimed
from truebed.programme.search import Found


def pads(problem: Problem) -> tuple[int, ...]:
    """Minutes that people stay bound after each step, in the order tried: none for the bound, then the walks' quarter
    of the way, and at last the longest walk, with which any order can be walked.

    Source      house
    Proved by   tests/programme/test_settle.py
    """
    longest = max((minutes for _a, _b, minutes in problem.walk_min), default=0)
    return tuple(sorted({0, -(-longest // 4), -(-longest // 2), longest}))


def settled(problem: Problem, nets: Sequence[Net], found: Found, limit_s: float) -> Schedule | None:
    """The found schedule with its people named and its walks timed; None where that was not found.

    Valid       what search gave for a model of that problem
    Source      house
    Proved by   tests/programme/test_settle.py
    """
    if found.schedule is None or not are_named(problem):
        return found.schedule
    team = dict(found.team)
    here = {cover: team.get(cover, 0) for cover in found.schedule.done}
    exact = manned(problem, found.schedule, here)
    if exact is not None and not problem.walk_min:
        return exact
    start = exact if exact is not None else manned(problem, found.schedule, here, walks=False)
    if start is None:
        return None
    by_cover = {net.job.cover: net for net in nets}
    better = retimed(problem, by_cover, start, limit_s)
    options = [s for s in (exact, better) if s is not None]
    return min(options, key=lambda s: s.open_min, default=None)
