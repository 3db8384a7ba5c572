"""A schedule laid out for replaying: its order, who and what each step holds, its waits, what may be given up when."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from truebed.programme.means import Mean, capacities, held_by
from truebed.programme.network import NO_PATH, edge_offset, net_of
from truebed.programme.night_columns import (
    ALWAYS,
    DROP,
    ENTRY_WIDTH,
    M_WIDTH,
    MAKE_SAFE,
    PTR_WIDTH,
    STEP_WIDTH,
    Floats,
    Tables,
)
from truebed.programme.problem import OPEN, Job, Lag, Placed, Problem, Schedule, Task
from truebed.programme.recovery import Policy
from truebed.programme.spread import Spreads, wait_spread

#: Minutes after the window for which waits by the hour are still looked up.
BEYOND_MIN = 600


@dataclass(frozen=True, slots=True)
class Columns:
    """Which column of the draws is whose: of the problem, not of a plan, so that plans share their nights."""

    steps: Mapping[tuple[str, str], int]
    waits: Mapping[tuple[str, int], int]
    tools: Mapping[tuple[str, int], int]


def columns_of(problem: Problem) -> Columns:
    """The columns of every step, of every wait that may vary (by its place in its job's lags), of every tool.

    Source      house
    Proved by   tests/programme/test_replay.py
    """
    steps = [(job.cover, task.step) for job in problem.jobs for task in job.tasks]
    waits = [(job.cover, i) for job in problem.jobs for i, lag in enumerate(job.lags) if (lag.least_min or 0) > 0]
    tools = [(kind, i) for kind, count in sorted(problem.tools) for i in range(count)]
    return Columns(*({key: i for i, key in enumerate(keys)} for keys in (steps, waits, tools)))  # type: ignore[arg-type]


@dataclass(slots=True)
class _Step:
    """One step of the plan in its place."""

    job: Job
    task: Task
    placed: Placed
    units: list[int]


@dataclass(slots=True)
class _Unit:
    """One person, tool or holder of a skill while the plan is dealt out."""

    mean: Mean
    number: int
    free_min: int = 0
    cover: str = ""


def tables_of(
    problem: Problem, schedule: Schedule, spreads: Spreads, policy: Policy, columns: Columns,
    not_before: Mapping[tuple[str, str], float] | None = None,
) -> Tables:  # fmt: skip
    """The schedule as arrays for the replay.

    Valid       a schedule that check_schedule passes
    Source      house
    Raises      ValueError for a schedule that holds more than there is, or whose steps run against their lags' order
    Proved by   tests/programme/test_replay.py, tests/oracles/test_replay_events.py
    """
    steps = _in_order(problem, schedule)
    units = _deal_out(problem, steps)
    place = {(s.task.cover, s.task.step): k for k, s in enumerate(steps)}
    covers = {cover: c for c, cover in enumerate(schedule.done)}
    rows: list[list[float]] = []
    width = problem.window_min + BEYOND_MIN
    lags, opens = _least(problem, steps, place, spreads, columns, rows, policy.hold_sd)
    most = _greatest(steps, place, rows, width)
    step = np.array(
        [
            [
                covers[s.task.cover],
                s.task.minutes * spreads.of(s.task.step).bias_ratio,
                columns.steps[s.task.cover, s.task.step],
                _mode(k, s, place, policy),
                policy.limits.get((s.task.cover, s.task.step), math.inf),
                _guard(s.task, spreads, policy),
                0.0 if not_before is None else not_before.get((s.task.cover, s.task.step), 0.0),
                s.placed.start_min,
                s.task.minutes * spreads.of(s.task.step).long_ratio(policy.hold_sd, spreads.night_sd),
                _safe_min(s, policy),
            ]
            for k, s in enumerate(steps)
        ],
        np.float64,
    ).reshape(-1, STEP_WIDTH)
    entries = _Entries()
    holds = _holds(problem, steps, place, policy, entries)
    sorts: list[list[list[Entry]]] = [
        [[(u,) for u in s.units] for s in steps],
        lags,
        holds,
        opens,
        [[(u,) for u in _safe_units(s, units, policy)] for s in steps],
        [sorted((float(a), float(b)) for a, b in s.task.not_during) for s in steps],
    ]
    return Tables(
        step=step,
        ptr=np.array([entries.add(of_steps) for of_steps in sorts], np.int64).T.copy().reshape(-1, PTR_WIDTH),
        entry=entries.table(),
        unit=np.array(
            [(u.mean == ("people",), columns.tools[u.mean[1], u.number] if u.mean[0] == "tool" else -1) for u in units],
            np.int64,
        ),
        most=np.array(most, np.float64).reshape(-1, M_WIDTH),
        table=np.array(rows, np.float64).reshape(len(rows), width),
        walk=_walks(problem, schedule),
        weight=np.array([_weight(problem, cover) for cover in schedule.done], np.float64),
        plan=np.array([problem.tm_set_min, problem.tm_clear_min, problem.noise_ends_min], np.float64),
    )


Entry = tuple[float, ...]


class _Entries:
    """The one table of entries under way."""

    def __init__(self) -> None:
        self._rows: list[Entry] = []

    def block(self, entries: Sequence[Entry]) -> tuple[int, int]:
        """Lay entries down; the first and the one after the last."""
        first = len(self._rows)
        self._rows.extend((*entry, *(0.0,) * (ENTRY_WIDTH - len(entry))) for entry in entries)
        return first, len(self._rows)

    def add(self, of_steps: Sequence[Sequence[Entry]]) -> list[int]:
        """Lay down the entries of every step in turn; where each begins, and where the last ends."""
        begins = [self.block(entries)[0] for entries in of_steps]
        return [*begins, len(self._rows)]

    def table(self) -> Floats:
        """All of them."""
        return np.array(self._rows, np.float64).reshape(-1, ENTRY_WIDTH)


def _weight(problem: Problem, cover: str) -> float:
    return float(next(job.weight for job in problem.jobs if job.cover == cover))


def _in_order(problem: Problem, schedule: Schedule) -> list[_Step]:
    """Steps by planned start; of those that start together the one that others wait for first."""
    jobs = {job.cover: job for job in problem.jobs}
    task_of = {(task.cover, task.step): task for job in problem.jobs for task in job.tasks}
    depth: dict[tuple[str, str], int] = {}
    for cover in schedule.done:
        net = net_of(problem, jobs[cover])
        for k, task in enumerate(net.job.tasks):
            depth[cover, task.step] = sum(1 for j, row in enumerate(net.longest) if j != k and row[k] >= 0)
    found = [_Step(jobs[p.cover], task_of[p.cover, p.step], p, []) for p in schedule.placed]
    rank = {cover: c for c, cover in enumerate(schedule.done)}
    return sorted(
        found,
        key=lambda s: (
            s.placed.start_min,
            s.placed.end_min,
            depth[s.placed.cover, s.placed.step],
            rank[s.placed.cover],
        ),
    )


def _deal_out(problem: Problem, steps: Sequence[_Step]) -> list[_Unit]:
    """Gives each step its persons, tools and holders: those of its own cover first, then those longest free."""
    have = capacities(problem)
    units = [_Unit(mean, i) for mean, count in sorted(have.items()) for i in range(count)]
    for step in steps:
        for mean, count in sorted(held_by(step.task, have).items()):
            free = [u for u, unit in enumerate(units) if unit.mean == mean and unit.free_min <= step.placed.start_min]
            free.sort(key=lambda u: (units[u].cover != step.task.cover, units[u].free_min, u))
            if len(free) < count:
                raise ValueError(f"{step.task.cover}, {step.task.name}: more of {' '.join(mean)} is held than there is")
            for u in free[:count]:
                units[u].free_min, units[u].cover = step.placed.end_min, step.task.cover
                step.units.append(u)
    return units


def _mode(k: int, step: _Step, place: Mapping[tuple[str, str], int], policy: Policy) -> int:
    """What may be done at a step: drop up to the break-out, make safe up to the last step before the bed."""
    cover = step.task.cover
    gate, leave = (place.get((cover, of.get(cover, ""))) for of in (policy.break_out, policy.leave_until))
    if not policy.gates:
        return ALWAYS
    if gate is not None and k <= gate:
        return DROP
    return MAKE_SAFE if leave is not None and k <= leave else ALWAYS


def _guard(task: Task, spreads: Spreads, policy: Policy) -> float:
    if not task.noisy:
        return -1.0
    spread = spreads.of(task.step)
    return task.minutes * spread.long_ratio(policy.noise_sd, spreads.night_sd)


def _row(profile: Sequence[tuple[int, int]], scale_ratio: float, width: int, rows: list[list[float]]) -> int:
    """Adds the row of a wait by the hour; -1 where it is the same at every hour."""
    if not profile:
        return -1
    minutes, waits = zip(*profile, strict=True)
    rows.append([float(w) * scale_ratio for w in np.interp(np.arange(width), minutes, waits)])
    return len(rows) - 1


def _least(
    problem: Problem, steps: Sequence[_Step], place: Mapping[tuple[str, str], int], spreads: Spreads, columns: Columns,
    rows: list[list[float]], hold_sd: float,
) -> tuple[list[list[Entry]], list[list[Entry]]]:  # fmt: skip
    """Least waits by the step they lead to, and clocks to the opening by the step they run from."""
    lags: list[list[Entry]] = [[] for _ in steps]
    opens: list[list[Entry]] = [[] for _ in steps]
    width = problem.window_min + BEYOND_MIN
    for job in {s.job.cover: s.job for s in steps}.values():
        for i, lag in enumerate(job.lags):
            if lag.least_min is None:
                continue
            spread = wait_spread(lag, spreads)
            column = columns.waits[job.cover, i] if spread.own_sd + spread.temperature_sd > 0.0 else -1
            longer = math.exp(hold_sd * math.hypot(spread.own_sd, spread.temperature_sd))
            row = _row(lag.profile, spread.median_min / lag.least_min if lag.least_min > 0 else 1.0, width, rows)
            frm = place[job.cover, lag.from_step]
            if lag.to_step == OPEN:
                opens[frm].append((frm, lag.from_edge == "end", 0.0, spread.median_min, column, row))
                continue
            to = place[job.cover, lag.to_step]
            if frm >= to:
                raise ValueError(f"{job.cover}: {lag.to_step} is planned before {lag.from_step}, which it waits for")
            lags[to].append((frm, lag.from_edge == "end", lag.to_edge == "end", spread.median_min, column, row, longer))
    return lags, opens


def _greatest(
    steps: Sequence[_Step], place: Mapping[tuple[str, str], int], rows: list[list[float]], width: int
) -> list[Entry]:
    return [
        (place[job.cover, lag.from_step], place[job.cover, lag.to_step], lag.from_edge == "end", lag.to_edge == "end",
         float(lag.greatest_min), _row(lag.greatest_profile, 1.0, width, rows))
        for job in {s.job.cover: s.job for s in steps}.values()
        for lag in job.lags
        if lag.greatest_min is not None and lag.to_step != OPEN
    ]  # fmt: skip


def _holds(
    problem: Problem, steps: Sequence[_Step], place: Mapping[tuple[str, str], int], policy: Policy, entries: _Entries
) -> list[list[Entry]]:
    """Greatest lags by the step that begins them, with the steps between that its end waits for."""
    before = _waits_for(steps, place)
    holds: list[list[Entry]] = [[] for _ in steps]
    nets = {cover: net_of(problem, job) for cover, job in {s.job.cover: s.job for s in steps}.items()}
    for k, step in enumerate(steps):
        net = nets[step.job.cover]
        for lag in step.job.lags:
            if lag.greatest_min is None or lag.from_step != step.task.step or not policy.hold_back:
                continue
            to = place[step.task.cover, lag.to_step]
            if to <= k:
                continue
            most = lag.greatest_min - _margin(lag, net.longest, step.job, policy, _gap(lag, step, steps[to]))
            first, last = entries.block([(float(j),) for j in (*_between(before, k, to), to)])
            holds[k].append((to, lag.from_edge == "end", lag.to_edge == "end", most, first, last))
    return holds


def _gap(lag: Lag, first: _Step, last: _Step) -> int:
    """Minutes between the lag's two edges as planned."""
    begins = first.placed.end_min if lag.from_edge == "end" else first.placed.start_min
    return (last.placed.end_min if lag.to_edge == "end" else last.placed.start_min) - begins


def _margin(lag: Lag, longest: Sequence[Sequence[int]], job: Job, policy: Policy, planned_min: int) -> float:
    """Minutes kept in hand: the policy's, or what the plan leaves, or what the cover's own steps leave, the least."""
    names = [task.step for task in job.tasks]
    a, b = names.index(lag.from_step), names.index(lag.to_step)
    needs = 0 if longest[a][b] == NO_PATH else longest[a][b]
    needs += edge_offset(job.tasks[b], lag.to_edge) - edge_offset(job.tasks[a], lag.from_edge)
    greatest = 0 if lag.greatest_min is None else lag.greatest_min
    return max(0.0, min(policy.hold_margin_min, float(greatest - needs), float(greatest - planned_min)))


def _waits_for(steps: Sequence[_Step], place: Mapping[tuple[str, str], int]) -> list[set[int]]:
    """The steps that each waits for at first hand: by its lags, and the former holder of each of its units."""
    before: list[set[int]] = [set() for _ in steps]
    for job in {s.job.cover: s.job for s in steps}.values():
        for lag in job.lags:
            if lag.to_step != OPEN and lag.least_min is not None:
                before[place[job.cover, lag.to_step]].add(place[job.cover, lag.from_step])
    held: dict[int, list[int]] = {}
    for k, step in enumerate(steps):
        for u in step.units:
            held.setdefault(u, []).append(k)
    for chain in held.values():
        for former, then in pairwise(chain):
            before[then].add(former)
    return before


def _between(before: Sequence[set[int]], first: int, last: int) -> list[int]:
    """The steps after `first` in the plan's order that `last` waits for, at whatever remove."""
    found: set[int] = set()
    open_ends = [last]
    while open_ends:
        for k in before[open_ends.pop()]:
            if k > first and k not in found:
                found.add(k)
                open_ends.append(k)
    return sorted(found)


def _safe_units(step: _Step, units: Sequence[_Unit], policy: Policy) -> list[int]:
    """Who makes a cover safe if it is left at this step: those who stand there for it, as many as that takes."""
    return [u for u in step.units if units[u].mean == ("people",)][: policy.make_safe_people]


def _safe_min(step: _Step, policy: Policy) -> float:
    """Fewer hands than making safe takes need longer in proportion."""
    hands = min(max(1, step.task.people), policy.make_safe_people)
    return policy.make_safe_min * policy.make_safe_people / hands if policy.make_safe_people else policy.make_safe_min


def _walks(problem: Problem, schedule: Schedule) -> Floats:
    minutes = {frozenset((a, b)): m for a, b, m in problem.walk_min}
    return np.array(
        [[float(minutes.get(frozenset((a, b)), 0)) if a != b else 0.0 for b in schedule.done] for a in schedule.done],
        np.float64,
    ).reshape(len(schedule.done), len(schedule.done))
