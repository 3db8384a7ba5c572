"""The latest minute for each step of a cover with which the road still opens, and the point of no return."""

from __future__ import annotations

from truebed.programme.problem import Problem
from truebed.programme.reach import LatestStart, latest_starts


def lifts(step: str, name: str) -> bool:
    """Whether a step lifts the frame: its key or its name says lift.

    Valid       any step
    Source      house (look-up)
    Proved by   tests/plan/test_latest.py
    """
    return "lift" in f"{step} {name}".lower().replace("-", " ").split()


def latest_of(problem: Problem) -> tuple[LatestStart, ...]:
    """Of every cover's steps the last minute to start, in the order of the method; () for a cover that cannot be done.

    Waits for the opening are taken at their 95 % late minutes, waits between steps as the most probable: a step begun
    then just fits, with nothing in hand for a wait between steps that runs late; begun later it does not.

    Valid       the problem as it was solved
    Source      truebed.programme.reach
    Proved by   tests/plan/test_latest.py
    """
    found: list[LatestStart] = []
    for job in problem.jobs:
        latest = latest_starts(job, problem.window_min, problem.tm_clear_min, problem.noise_ends_min)
        if latest is None or min(latest.values()) < problem.tm_set_min:
            continue
        first = next((t.step for t in job.tasks if lifts(t.step, t.name)), "")
        found += [LatestStart(job.cover, t.step, latest[t.step], t.step == first) for t in job.tasks]
    return tuple(found)
