"""How early and how late each step of one cover can start: its own chain alone, people and tools always free."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from truebed.programme.problem import OPEN, Edge, Job, Lag, Task


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
    cover's own lags admit no such night.

    Valid       a job with its lags as the programme takes them
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
        most = window_min - (lag.least_min if lag.least_min is not None else 0) - here
        if most < latest[lag.from_step]:
            latest[lag.from_step], moved = most, True
        return moved
    there = _edge(length, lag.to_step, lag.to_edge)
    if lag.least_min is not None:
        most = latest[lag.to_step] + there - lag.least_min - here
        if most < latest[lag.from_step]:
            latest[lag.from_step], moved = most, True
    if lag.greatest_min is not None:
        most = latest[lag.from_step] + here + lag.greatest_min - there
        if most < latest[lag.to_step]:
            latest[lag.to_step], moved = most, True
    return moved


def _edge(length: Mapping[str, int], step: str, edge: Edge) -> int:
    return length[step] if edge == "end" else 0
