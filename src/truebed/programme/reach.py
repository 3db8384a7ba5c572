"""How early and how late each step of one cover can start: its own chain alone, people and tools always free."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from truebed.programme.problem import OPEN, Edge, Job, Lag, Task
from truebed.programme.profiles import greatest_at, least_at, loosest_least


@dataclass(frozen=True, slots=True)
class LatestStart:
    """The last minute after the shutting at which a step may start and the road still opens by the deadline.

    lift        whether it is the step that lifts the frame: before it the old frame is best left alone
    """

    cover: str
    step: str
    minute_min: int
    lift: bool = False


def earliest_starts(tasks: Sequence[Task], lags: Sequence[Lag], from_min: int) -> dict[str, int]:
    """The earliest start of each step by the least lags alone.

    Valid       steps whose lags have no circle of least waits
    Source      algebra (longest path)
    Raises      ValueError where they have
    Proved by   tests/programme/test_reach.py
    """
    length = {task.step: task.minutes for task in tasks}
    start = dict.fromkeys(length, from_min)
    for _ in range(len(tasks) + 1):
        moved = False
        for lag in lags:
            if lag.to_step == OPEN or lag.least_min is None:
                continue
            at_least = start[lag.from_step] + _edge(length, lag.from_step, lag.from_edge) + lag.least_min
            need = at_least - _edge(length, lag.to_step, lag.to_edge)
            if need > start[lag.to_step]:
                start[lag.to_step], moved = need, True
        if not moved:
            return start
    raise ValueError("least lags that wait for each other in a circle")


def latest_starts(job: Job, window_min: int, clear_min: int, noise_ends_min: int) -> dict[str, int] | None:
    """The latest start of each step with which this cover alone still opens the road by the deadline.

    Each is the latest of its own step; a step that starts then leaves the later ones no minute to spare. None where the
    cover's own lags admit no such night. A wait is that of the hour at which it would begin.

    Valid       a job with its lags as the programme takes them; waits that change by less than a minute a minute
    Source      algebra (difference constraints: the greatest solution is greatest in every step at once)
    Proved by   tests/programme/test_reach.py
    """
    length = {task.step: task.minutes for task in job.tasks}
    ends = {task.step: min(window_min - clear_min, noise_ends_min if task.noisy else window_min) for task in job.tasks}
    latest = {step: ends[step] - length[step] for step in length}
    for _ in range(len(job.tasks) + 1):
        moved = False
        for lag in job.lags:
            moved = _tighten(latest, length, lag, window_min) or moved
        if not moved:
            return latest
    return None


def _tighten(latest: dict[str, int], length: Mapping[str, int], lag: Lag, window_min: int) -> bool:
    """Brings the latest starts of both steps of a lag under it; whether any moved."""
    moved = False
    here = _edge(length, lag.from_step, lag.from_edge)
    if lag.to_step == OPEN:
        most = _latest_edge(lag, window_min) - here
        if most < latest[lag.from_step]:
            latest[lag.from_step], moved = most, True
        return moved
    there = _edge(length, lag.to_step, lag.to_edge)
    if lag.least_min is not None:
        most = _latest_edge(lag, latest[lag.to_step] + there) - here
        if most < latest[lag.from_step]:
            latest[lag.from_step], moved = most, True
    greatest = greatest_at(lag, latest[lag.from_step] + here)
    if greatest is not None:
        most = latest[lag.from_step] + here + greatest - there
        if most < latest[lag.to_step]:
            latest[lag.to_step], moved = most, True
    return moved


def _latest_edge(lag: Lag, by_min: int) -> int:
    """The latest minute at which the wait of a lag can begin and be over by a minute; below nought where none can."""
    shortest = loosest_least(lag)
    if shortest is None:
        return by_min
    if not lag.profile:
        return by_min - shortest
    for minute in range(by_min - shortest, -1, -1):
        wait = least_at(lag, minute)
        if wait is None or minute + wait <= by_min:
            return minute
    return min(-1, by_min - shortest)


def _edge(length: Mapping[str, int], step: str, edge: Edge) -> int:
    return length[step] if edge == "end" else 0
