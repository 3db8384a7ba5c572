"""The lags of one job as a net of start times: longest paths, heads, tails, and the ring that contradicts itself."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.programme.problem import OPEN, Edge, Job, Lag, Problem, Task
from truebed.programme.profiles import greatest_at, least_at, loosest_greatest, loosest_least

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
    """Every lag between two steps of the job, brought to start times; a wait that varies by the hour at its loosest.

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
        least, greatest = loosest_least(lag), loosest_greatest(lag)
        if least is not None:
            arcs.append(Arc(a, b, shift + least, lag, greatest=False))
        if greatest is not None:
            arcs.append(Arc(b, a, -shift - greatest, lag, greatest=True))
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
    if any(task.not_during for task in job.tasks) or any(lag.profile or lag.greatest_profile for lag in job.lags):
        heads, latest = _drawn_in(problem, job, list(heads), list(latest))
    return Net(job, longest, to_open, heads, latest)


def _drawn_in(
    problem: Problem, job: Job, heads: list[int], latest: list[int]
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Heads and latest starts moved out of forbidden hours and along the waits of their own hours, until none moves."""
    place = {task.step: k for k, task in enumerate(job.tasks)}
    arcs = arcs_of(job)
    for _ in range(2 * len(job.tasks) + 2):
        was = (tuple(heads), tuple(latest))
        for k, task in enumerate(job.tasks):
            heads[k], latest[k] = _out_of(task, heads[k], latest[k])
        for arc in arcs:
            heads[arc.to] = max(heads[arc.to], heads[arc.frm] + arc.minutes)
            latest[arc.frm] = min(latest[arc.frm], latest[arc.to] - arc.minutes)
        for lag in job.lags:
            if lag.profile and all(h <= late for h, late in zip(heads, latest, strict=True)):
                _along(problem, job, lag, place, heads, latest)
        if was == (tuple(heads), tuple(latest)) or any(h > late for h, late in zip(heads, latest, strict=True)):
            break
    return tuple(heads), tuple(latest)


def _out_of(task: Task, head: int, latest: int) -> tuple[int, int]:
    for _ in task.not_during:
        for a, b in task.not_during:
            if task.minutes and a - task.minutes < head < b:
                head = b
            if task.minutes and a - task.minutes < latest < b:
                latest = a - task.minutes
    return head, latest


def _along(problem: Problem, job: Job, lag: Lag, place: dict[str, int], heads: list[int], latest: list[int]) -> None:
    """One varying least wait: the soonest it lets its to step start, the last start of its from step it allows."""
    a = place[lag.from_step]
    off = edge_offset(job.tasks[a], lag.from_edge)
    ready = {start: start + off + (least_at(lag, start + off) or 0) for start in range(heads[a], latest[a] + 1)}
    if lag.to_step == OPEN:
        sink = problem.window_min
    else:
        b = place[lag.to_step]
        there = edge_offset(job.tasks[b], lag.to_edge)
        sink = latest[b] + there
        heads[b] = max(heads[b], min(ready.values()) - there)
    latest[a] = max((start for start, at in ready.items() if at <= sink), default=heads[a] - 1)


def opening_of(problem: Problem, job: Job, starts: dict[str, int]) -> int:
    """When the road can open after this cover: its last end with the clearing, and its clocks, each at its own hour.

    Source      algebra
    Proved by   tests/programme/test_network.py
    """
    last = max(starts[task.step] + task.minutes for task in job.tasks) + problem.tm_clear_min
    return max(last, traffic_from(job, starts))


def traffic_from(job: Job, starts: dict[str, int]) -> int:
    """When this cover's lane can carry traffic: its last step has ended and every clock to the opening has run out.

    Source      algebra
    Proved by   tests/programme/test_network.py
    """
    by_step = {task.step: task for task in job.tasks}
    at = max(starts[task.step] + task.minutes for task in job.tasks)
    for lag in job.lags:
        if lag.to_step == OPEN:
            edge = starts[lag.from_step] + edge_offset(by_step[lag.from_step], lag.from_edge)
            at = max(at, edge + (least_at(lag, edge) or 0))
    return at


def lag_holds(job: Job, lag: Lag, from_start: int, to_start: int) -> bool:
    """Whether a lag between two steps holds at these starts, read at the hour of its from edge.

    Source      algebra
    Proved by   tests/programme/test_network.py
    """
    by_step = {task.step: task for task in job.tasks}
    edge = from_start + edge_offset(by_step[lag.from_step], lag.from_edge)
    between = to_start + edge_offset(by_step[lag.to_step], lag.to_edge) - edge
    least, greatest = least_at(lag, edge), greatest_at(lag, edge)
    return (least is None or between >= least) and (greatest is None or between <= greatest)


def _own_tail(problem: Problem, job: Job, k: int) -> int:
    """From the task's own start to the opening, by its own end and its own clocks only."""
    task = job.tasks[k]
    clocks = (
        edge_offset(task, lag.from_edge) + (loosest_least(lag) or 0)
        for lag in job.lags
        if lag.to_step == OPEN and lag.from_step == task.step
    )
    return max(task.minutes + problem.tm_clear_min, *clocks, 0)


def _noise_latest(problem: Problem, task: Task, horizon_min: int) -> tuple[int, ...]:
    return (problem.noise_ends_min - task.minutes,) if task.noisy else (horizon_min,)
