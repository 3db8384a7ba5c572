"""The lags of one job as a net of start times: longest paths, heads, tails, and the ring that contradicts itself."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.programme.problem import OPEN, Edge, Job, Lag, Problem, Task

#: Stands for 'no path'; far below any sum of minutes that a closure can hold.
NO_PATH = -(10**9)


@dataclass(frozen=True, slots=True)
class Arc:
    """start of `to` >= start of `frm` + minutes; lag None where the arc only says that time does not run backwards."""

    frm: int
    to: int
    minutes: int
    lag: Lag
    greatest: bool


@dataclass(frozen=True, slots=True)
class Net:
    """One job's net.

    longest   longest[i][j]: least minutes from the start of task i to the start of task j, NO_PATH where free
    to_open   least minutes from each task's start to the road's opening
    heads     earliest start of each task in the closure, taken alone and with any crew
    latest    latest start of each task for the noise ban and the deadline
    """

    job: Job
    longest: tuple[tuple[int, ...], ...]
    to_open: tuple[int, ...]
    heads: tuple[int, ...]
    latest: tuple[int, ...]


def edge_offset(task: Task, edge: Edge) -> int:
    """Minutes from the task's start to that edge of it.

    Source      algebra
    Proved by   tests/programme/test_network.py
    """
    return task.minutes if edge == "end" else 0


def arcs_of(job: Job) -> tuple[Arc, ...]:
    """Every lag between two steps of the job, brought to start times.

    Valid       a job whose lags name its own steps (possible.faults_of looks at that first)
    Source      algebra
    Proved by   tests/programme/test_network.py
    """
    place = {task.step: k for k, task in enumerate(job.tasks)}
    arcs: list[Arc] = []
    for lag in job.lags:
        if lag.to_step == OPEN:
            continue
        a, b = place[lag.from_step], place[lag.to_step]
        shift = edge_offset(job.tasks[a], lag.from_edge) - edge_offset(job.tasks[b], lag.to_edge)
        if lag.least_min is not None:
            arcs.append(Arc(a, b, shift + lag.least_min, lag, greatest=False))
        if lag.greatest_min is not None:
            arcs.append(Arc(b, a, -shift - lag.greatest_min, lag, greatest=True))
    return tuple(arcs)


def longest_paths(count: int, arcs: tuple[Arc, ...]) -> tuple[tuple[int, ...], ...]:
    """Longest paths between all starts (Floyd and Warshall); 0 on the diagonal.

    Valid       no ring of positive length (contradiction() is None)
    Source      algebra
    Proved by   tests/programme/test_network.py
    """
    far = [[0 if i == j else NO_PATH for j in range(count)] for i in range(count)]
    for arc in arcs:
        far[arc.frm][arc.to] = max(far[arc.frm][arc.to], arc.minutes)
    for k in range(count):
        for i in range(count):
            if far[i][k] == NO_PATH:
                continue
            for j in range(count):
                if far[k][j] != NO_PATH:
                    far[i][j] = max(far[i][j], far[i][k] + far[k][j])
    return tuple(tuple(row) for row in far)


def contradiction(job: Job) -> tuple[int, tuple[Arc, ...]] | None:
    """The lags that cannot all hold, whatever the crew: by how many minutes, and the ring of arcs; None where all can.

    Valid       a job whose lags name its own steps
    Source      algebra (Bellman and Ford: a label that still rises after n rounds lies behind a positive ring)
    Proved by   tests/programme/test_network.py
    """
    arcs = arcs_of(job)
    count = len(job.tasks)
    label = [0] * count
    came_by: list[Arc | None] = [None] * count
    risen = -1
    for _ in range(count + 1):
        risen = -1
        for arc in arcs:
            if label[arc.frm] + arc.minutes > label[arc.to]:
                label[arc.to] = label[arc.frm] + arc.minutes
                came_by[arc.to] = arc
                risen = arc.to
        if risen < 0:
            return None
    ring = _ring_behind(risen, came_by)
    return sum(arc.minutes for arc in ring), ring


def _ring_behind(node: int, came_by: list[Arc | None]) -> tuple[Arc, ...]:
    for _ in came_by:  # as many steps back as there are tasks: then we stand on the ring
        node = _arc(came_by, node).frm
    ring: list[Arc] = []
    at = node
    while True:
        arc = _arc(came_by, at)
        ring.append(arc)
        at = arc.frm
        if at == node:
            return tuple(reversed(ring))


def _arc(came_by: list[Arc | None], node: int) -> Arc:
    arc = came_by[node]
    if arc is None:
        raise AssertionError("a task behind a risen label has no arc into it")
    return arc


def net_of(problem: Problem, job: Job) -> Net:
    """The job's net in this closure.

    Valid       a job without contradiction
    Source      algebra
    Proved by   tests/programme/test_network.py
    """
    count = len(job.tasks)
    longest = longest_paths(count, arcs_of(job))
    own_open = [_own_tail(problem, job, k) for k in range(count)]
    to_open = tuple(
        max(longest[i][j] + own_open[j] for j in range(count) if longest[i][j] != NO_PATH) for i in range(count)
    )
    heads = tuple(problem.tm_set_min + max(0, *(longest[j][i] for j in range(count)), 0) for i in range(count))
    own_latest = [
        min(problem.window_min - to_open[k], *_noise_latest(problem, job.tasks[k], problem.window_min))
        for k in range(count)
    ]
    latest = tuple(
        min(own_latest[j] - longest[i][j] for j in range(count) if longest[i][j] != NO_PATH) for i in range(count)
    )
    return Net(job, longest, to_open, heads, latest)


def _own_tail(problem: Problem, job: Job, k: int) -> int:
    """From the task's own start to the opening, by its own end and its own clocks only."""
    task = job.tasks[k]
    clocks = (
        edge_offset(task, lag.from_edge) + lag.least_min
        for lag in job.lags
        if lag.to_step == OPEN and lag.from_step == task.step and lag.least_min is not None
    )
    return max(task.minutes + problem.tm_clear_min, *clocks, 0)


def _noise_latest(problem: Problem, task: Task, horizon_min: int) -> tuple[int, ...]:
    return (problem.noise_ends_min - task.minutes,) if task.noisy else (horizon_min,)
