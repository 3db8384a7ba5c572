"""A schedule under way: steps placed one by one, taken back, moved forward; every rule of the problem kept at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from truebed.programme.hands import Hands, are_named, team_of, team_spans, walks_of
from truebed.programme.means import Mean, capacities, held_by
from truebed.programme.network import NO_PATH, Net, lag_holds, opening_of, traffic_from
from truebed.programme.problem import OPEN, Lag, Placed, Problem, Schedule, Task
from truebed.programme.usage import Usage, never_starts

#: (job, task) by their places in the list of nets
Node = tuple[int, int]


@dataclass(slots=True)
class Board:
    """The schedule under way. team: each job's team; varying: lags of each job whose waits depend on the hour."""

    problem: Problem
    nets: Sequence[Net]
    have: dict[Mean, int]
    usage: Usage
    hands: Hands | None
    spans: tuple[range, ...]
    team: dict[int, int]
    varying: list[list[tuple[int, int, Lag]]]
    never: dict[Node, int]
    at: dict[Node, int] = field(default_factory=dict)
    who: dict[Node, tuple[int, ...]] = field(default_factory=dict)
    not_before: dict[Node, int] = field(default_factory=dict)
    held: dict[Node, dict[Mean, int]] = field(default_factory=dict)

    def task(self, node: Node) -> Task:
        """The node's task."""
        return self.nets[node[0]].job.tasks[node[1]]

    def holds(self, node: Node) -> dict[Mean, int]:
        """What the node holds: the people of its own team where there are teams."""
        if node not in self.held:
            held = held_by(self.task(node), self.have)
            if self.problem.teams and ("people",) in held:
                held["people", "team", str(self.team[node[0]])] = held[("people",)]
            self.held[node] = held
        return self.held[node]

    def span(self, node: Node) -> tuple[int, int]:
        """Earliest and latest start that the job's placed steps, and the lanes before and behind, leave."""
        job, i = node
        net = self.nets[job]
        early = max(net.heads[i], self.not_before.get(node, 0), self._lane_from(job))
        late = net.latest[i]
        for j in range(len(net.job.tasks)):
            start = self.at.get((job, j))
            if start is None or j == i:
                continue
            if net.longest[j][i] != NO_PATH:
                early = max(early, start + net.longest[j][i])
            if net.longest[i][j] != NO_PATH:
                late = min(late, start - net.longest[i][j])
        return early, late

    def _lane_from(self, job: int) -> int:
        """When the lane of this job is shut: all that is placed in the lanes before carries traffic again."""
        stage = self.nets[job].job.stage
        if not any(net.job.stage < stage for net in self.nets):
            return 0
        before = {j for j, _i in self.at if self.nets[j].job.stage < stage}
        ends = [self._traffic(j) + self.problem.stage_min for j in before]
        return max(ends, default=0)

    def _traffic(self, job: int) -> int:
        net = self.nets[job]
        starts = {task.step: self.at.get((job, i), net.heads[i]) for i, task in enumerate(net.job.tasks)}
        return traffic_from(net.job, starts)

    def fit(self, node: Node, early: int, late: int) -> int | None:
        """The first start between the two at which everything is free, and varying waits to placed steps hold."""
        task, held = self.task(node), self.holds(node)
        while True:
            start = self.usage.earliest(held, task.minutes, early, late, self.never[node])
            if start is None or (self._waits_hold(node, start) and self._manned(node, start)):
                return start
            early = start + 1

    def _manned(self, node: Node, start: int) -> bool:
        return self.hands is None or self.hands.who(self.task(node), start, self._span_of(node)) is not None

    def _span_of(self, node: Node) -> range:
        return self.spans[self.team[node[0]]]

    def _waits_hold(self, node: Node, start: int) -> bool:
        """Least waits from placed steps, and all waits to placed steps; greatest waits from them are unscheduling's."""
        job, i = node
        net = self.nets[job]
        for a, b, lag in self.varying[job]:
            if b < 0 and a == i:
                starts = {t.step: start if k == i else net.heads[k] for k, t in enumerate(net.job.tasks)}
                if opening_of(self.problem, net.job, starts) > self.problem.window_min:
                    return False
            elif b == i and (job, a) in self.at:
                if not lag_holds(net.job, lag, self.at[job, a], start):
                    return False
            elif a == i and (job, b) in self.at and not lag_holds(net.job, lag, start, self.at[job, b]):
                return False
        return True

    def place(self, node: Node, start: int, people: tuple[int, ...] | None = None) -> None:
        """Place a step; people: who is on it, chosen here where None."""
        task = self.task(node)
        self.usage.hold(self.holds(node), start, task.minutes)
        self.at[node] = start
        if self.hands is not None:
            chosen = self.hands.who(task, start, self._span_of(node)) if people is None else people
            if chosen is None:
                raise AssertionError("a step was placed at an hour without people")
            self.hands.take(task, start, chosen)
            self.who[node] = chosen

    def take_back(self, node: Node) -> int:
        """Take a step back; its start."""
        task = self.task(node)
        start = self.at.pop(node)
        self.usage.hold(self.holds(node), start, task.minutes, -1)
        if self.hands is not None:
            self.hands.release(task, start, self.who.pop(node))
        return start

    def left_shift(self) -> None:
        """Move step after step to its earliest free hour until nothing floats."""
        moved = True
        while moved:
            moved = False
            for node in sorted(self.at, key=lambda n: (self.at[n], n)):
                people = self.who.get(node)
                ready_min = self._traffic(node[0])
                was = self.take_back(node)
                self.not_before.pop(node, None)
                early, _late = self.span(node)
                start = self.fit(node, early, was) if early < was else None
                if start is None or start >= was:
                    self.place(node, was, people)
                    continue
                self.place(node, start)
                if self._traffic(node[0]) > ready_min:  # an earlier pour may cure later, where the night warms
                    self.take_back(node)
                    self.place(node, was, people)
                    continue
                moved = True

    def schedule(self, jobs: Sequence[int]) -> Schedule:
        """The schedule of these jobs."""
        names = {(self.nets[j].job.cover, self.task((j, i)).step): (j, i) for j, i in self.at}
        starts = {key: self.at[node] for key, node in names.items()}
        people = {key: self.who.get(node, ()) for key, node in names.items()}
        return schedule_of(self.problem, [self.nets[j] for j in jobs], starts, people)


def board_of(
    problem: Problem, nets: Sequence[Net], team: dict[int, int], rests: Sequence[tuple[int, int, int]]
) -> Board:
    """An empty board. rests: (team, start, minutes) held from the beginning.

    Source      house
    Proved by   tests/programme/test_board.py
    """
    have = capacities(problem)
    for k, size in enumerate(problem.teams):
        have["people", "team", str(k)] = size
    usage = Usage(have, problem.window_min)
    for k, start, minutes in rests:
        mean: Mean = ("people", "team", str(k)) if problem.teams else ("people",)
        usage.hold({mean: have[mean]}, start, minutes)
    varying = [
        [
            (_place(net, lag.from_step), -1 if lag.to_step == OPEN else _place(net, lag.to_step), lag)
            for lag in net.job.lags
            if lag.profile or lag.greatest_profile
        ]
        for net in nets
    ]
    never = {(j, i): never_starts(task) for j, net in enumerate(nets) for i, task in enumerate(net.job.tasks)}
    hands = Hands(problem, walks_of(problem)) if are_named(problem) else None
    return Board(problem, nets, have, usage, hands, team_spans(problem), team, varying, never)


def _place(net: Net, step: str) -> int:
    return next(k for k, task in enumerate(net.job.tasks) if task.step == step)


def rests_in(problem: Problem, schedule: Schedule) -> tuple[tuple[int, int, int], ...] | None:
    """(team, start, minutes) of every rest that the schedule leaves, at its first free minute; None where one lacks.

    Source      house: a team rests together, in one spell
    Proved by   tests/programme/test_board.py
    """
    needs = {(job.cover, task.step): task.people for job in problem.jobs for task in job.tasks}
    teams = team_of(problem, schedule.placed)
    rests: list[tuple[int, int, int]] = []
    for not_before, not_after, minutes in problem.breaks:
        for k in range(max(1, len(problem.teams))):
            busy = [p for p in schedule.placed if teams[p.cover] == k and needs[p.cover, p.step]]
            taken = [(s, s + m) for team, s, m in rests if team == k]
            spells = [(p.start_min, p.end_min) for p in busy] + taken
            free = (
                s
                for s in range(not_before, not_after + 1)
                if all(e <= s or s + minutes <= b for b, e in spells if e > b)
            )
            start = next(free, None)
            if start is None:
                return None
            rests.append((k, start, minutes))
    return tuple(rests)


def schedule_of(
    problem: Problem,
    nets: Sequence[Net],
    starts: dict[tuple[str, str], int],
    people: dict[tuple[str, str], tuple[int, ...]] | None = None,
) -> Schedule:
    """The schedule of these starts: covers in the problem's order, steps in time order, earliest opening.

    An empty one opens at minute 0: where nothing is done, no traffic management is set.

    Source      algebra
    Proved by   tests/programme/test_list_schedule.py
    """
    by_cover = {net.job.cover: net for net in nets}
    done = tuple(job.cover for job in problem.jobs if job.cover in by_cover)
    placed: list[Placed] = []
    open_min = 0
    for cover in done:
        job = by_cover[cover].job
        of_job = {task.step: starts[cover, task.step] for task in job.tasks}
        for task in job.tasks:
            start = of_job[task.step]
            who = () if people is None else people.get((cover, task.step), ())
            placed.append(Placed(cover, task.step, start, start + task.minutes, who))
        open_min = max(open_min, opening_of(problem, job, of_job))
    placed.sort(key=lambda p: (p.start_min, done.index(p.cover), p.end_min, p.step))
    return Schedule(done, tuple(placed), open_min)
