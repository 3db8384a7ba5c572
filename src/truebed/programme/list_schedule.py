"""Schedules by simple rules: one step after another at its earliest hour, taken back where a greatest lag breaks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from truebed.programme.means import Mean, capacities, held_by
from truebed.programme.network import NO_PATH, Net
from truebed.programme.possible import sort_jobs
from truebed.programme.problem import Placed, Problem, Schedule, Task

#: (job, task) by their places in the list of nets
Node = tuple[int, int]
Rule = Callable[[Node, int], tuple[int, ...]]

#: How often one job's steps may be taken back before the rule gives that job up.
MOST_REPAIRS = 60


class Usage:
    """How much of each mean is held in each minute."""

    def __init__(self, have: dict[Mean, int], minutes: int) -> None:
        self._have = have
        self._used = {mean: [0] * (minutes + 1) for mean in have}

    def earliest(self, held: dict[Mean, int], length: int, not_before: int, not_after: int) -> int | None:
        """The first start in that span at which all means are free for the whole length."""
        start = not_before
        while start <= not_after:
            clash = self._last_clash(held, start, start + length)
            if clash is None:
                return start
            start = clash + 1
        return None

    def _last_clash(self, held: dict[Mean, int], start: int, end: int) -> int | None:
        for minute in range(end - 1, start - 1, -1):
            for mean, count in held.items():
                if self._used[mean][minute] + count > self._have[mean]:
                    return minute
        return None

    def hold(self, held: dict[Mean, int], start: int, length: int, sign: int = 1) -> None:
        """Book (sign 1) or give back (sign -1)."""
        for mean, count in held.items():
            row = self._used[mean]
            for minute in range(start, start + length):
                row[minute] += sign * count


@dataclass(slots=True)
class _Board:
    """The schedule under way."""

    problem: Problem
    nets: Sequence[Net]
    have: dict[Mean, int]
    usage: Usage
    at: dict[Node, int] = field(default_factory=dict)
    not_before: dict[Node, int] = field(default_factory=dict)

    def task(self, node: Node) -> Task:
        return self.nets[node[0]].job.tasks[node[1]]

    def span(self, node: Node) -> tuple[int, int]:
        """Earliest and latest start that the job's placed steps leave."""
        job, i = node
        net = self.nets[job]
        early = max(net.heads[i], self.not_before.get(node, 0))
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

    def fit(self, node: Node, early: int, late: int) -> int | None:
        task = self.task(node)
        return self.usage.earliest(held_by(task, self.have), task.minutes, early, late)

    def place(self, node: Node, start: int) -> None:
        task = self.task(node)
        self.usage.hold(held_by(task, self.have), start, task.minutes)
        self.at[node] = start

    def take_back(self, node: Node) -> int:
        task = self.task(node)
        start = self.at.pop(node)
        self.usage.hold(held_by(task, self.have), start, task.minutes, -1)
        return start


def list_schedules(problem: Problem) -> tuple[Schedule, ...]:
    """The schedules that all rules give, best first: greatest weight, then earliest opening, then least sum of starts.

    Valid       any problem; a cover that a rule cannot place is left out by it though it may be possible
    Source      [franck-2001] serial generation with unscheduling, from memory; rules: house
    Proved by   tests/programme/test_list_schedule.py, tests/oracles/test_programme_brute.py
    """
    nets = sort_jobs(problem).nets
    weights = {net.job.cover: net.job.weight for net in nets}
    found: list[Schedule] = []
    for order in _orders(nets):
        ranked = [nets[k] for k in order]
        for rule in _rules(ranked):
            schedule = _without_failures(problem, ranked, rule)
            if schedule not in found:
                found.append(schedule)
    return tuple(sorted(found, key=lambda s: worth(s, weights)))


def worth(schedule: Schedule, weights: dict[str, int]) -> tuple[int, int, int]:
    """The order of preference as a key, least is best.

    Source      house
    Proved by   tests/programme/test_list_schedule.py
    """
    weight = sum(weights[cover] for cover in schedule.done)
    return -weight, schedule.open_min, sum(placed.start_min for placed in schedule.placed)


def _orders(nets: Sequence[Net]) -> tuple[tuple[int, ...], ...]:
    """Orders of covers: heavy first, small first, small for their weight first, long clocks first."""
    work = [max(1, sum(task.minutes * task.people for task in net.job.tasks)) for net in nets]
    every = range(len(nets))
    keys: tuple[Callable[[int], tuple[float, str]], ...] = (
        lambda k: (-nets[k].job.weight, nets[k].job.cover),
        lambda k: (work[k], nets[k].job.cover),
        lambda k: (work[k] / nets[k].job.weight, nets[k].job.cover),
        lambda k: (-max(nets[k].to_open), nets[k].job.cover),
    )
    return tuple(dict.fromkeys(tuple(sorted(every, key=key)) for key in keys))


def _rules(nets: Sequence[Net]) -> tuple[Rule, ...]:
    """Which step is placed next: cover by cover; tightest latest start; earliest hour that is free; kind by kind."""
    return (
        lambda node, _fit: (node[0], nets[node[0]].heads[node[1]], node[1]),
        lambda node, _fit: (nets[node[0]].latest[node[1]], node[0], node[1]),
        lambda node, fit: (fit, nets[node[0]].latest[node[1]], node[0], node[1]),
        lambda node, _fit: (node[1], node[0]),
    )


def _without_failures(problem: Problem, nets: Sequence[Net], rule: Rule) -> Schedule:
    """Run the rule; where it cannot place a cover, run it again without that one."""
    left = list(range(len(nets)))
    while True:
        board, failed = _run(problem, nets, left, rule)
        if failed is None:
            _left_shift(board)
            return _schedule(board, left)
        left.remove(failed)


def _run(problem: Problem, nets: Sequence[Net], jobs: list[int], rule: Rule) -> tuple[_Board, int | None]:
    have = capacities(problem)
    board = _Board(problem, nets, have, Usage(have, problem.window_min))
    waiting = [(job, i) for job in jobs for i in range(len(nets[job].job.tasks))]
    repairs = dict.fromkeys(jobs, 0)
    while waiting:
        node = min(_ready(board, waiting), key=lambda n: rule(n, _first_fit(board, n)))
        early, late = board.span(node)
        start = board.fit(node, early, nets[node[0]].latest[node[1]])
        if start is None:
            return board, node[0]
        if start <= late:
            board.place(node, start)
            waiting.remove(node)
            continue
        repairs[node[0]] += 1
        freed = _delay_culprits(board, node, start)
        if freed is None or repairs[node[0]] > MOST_REPAIRS:
            return board, node[0]
        waiting.extend(freed)
    return board, None


def _ready(board: _Board, waiting: list[Node]) -> list[Node]:
    """Waiting steps with nothing waiting before them in their own job."""
    here = set(waiting)
    return [node for node in waiting if not any(_before(board, (node[0], j), node) for j in _mates(board, node, here))]


def _mates(board: _Board, node: Node, here: set[Node]) -> list[int]:
    return [j for j in range(len(board.nets[node[0]].job.tasks)) if j != node[1] and (node[0], j) in here]


def _before(board: _Board, first: Node, then: Node) -> bool:
    longest = board.nets[first[0]].longest
    forth, back = longest[first[1]][then[1]], longest[then[1]][first[1]]
    return forth > 0 or (forth == 0 and (back != 0 or first[1] < then[1]))


def _first_fit(board: _Board, node: Node) -> int:
    early, _late = board.span(node)
    start = board.fit(node, early, board.nets[node[0]].latest[node[1]])
    return board.problem.window_min if start is None else start


def _delay_culprits(board: _Board, node: Node, start: int) -> list[Node] | None:
    """Take back the steps whose greatest lag forbids `start` and all after them; None where that cannot help."""
    job, i = node
    net = board.nets[job]
    first = board.problem.window_min
    for j in range(len(net.job.tasks)):
        placed = board.at.get((job, j))
        if placed is None or net.longest[i][j] == NO_PATH:
            continue
        wanted = start + net.longest[i][j]
        if wanted <= placed:
            continue
        if wanted > net.latest[j]:
            return None
        board.not_before[job, j] = wanted
        first = min(first, placed)
    freed = [other for other, at in board.at.items() if other[0] == job and at >= first]
    for other in freed:
        board.take_back(other)
    return freed


def _left_shift(board: _Board) -> None:
    """Move step after step to its earliest free hour until nothing floats."""
    moved = True
    while moved:
        moved = False
        for node in sorted(board.at, key=lambda n: (board.at[n], n)):
            was = board.take_back(node)
            board.not_before.pop(node, None)
            early, _late = board.span(node)
            start = board.fit(node, early, was)
            if start is None:
                raise AssertionError("a step lost the hour it already had")
            board.place(node, start)
            moved = moved or start < was


def nothing_floats(problem: Problem, schedule: Schedule) -> Schedule:
    """The same schedule with every step moved to the earliest hour that the others leave it.

    Valid       a schedule that holds and whose covers are among the possible ones
    Source      house
    Proved by   tests/programme/test_list_schedule.py
    """
    nets = sort_jobs(problem).nets
    have = capacities(problem)
    board = _Board(problem, nets, have, Usage(have, problem.window_min))
    node_of = {(net.job.cover, task.step): (j, i) for j, net in enumerate(nets) for i, task in enumerate(net.job.tasks)}
    for placed in schedule.placed:
        board.place(node_of[placed.cover, placed.step], placed.start_min)
    _left_shift(board)
    return _schedule(board, [j for j, net in enumerate(nets) if net.job.cover in schedule.done])


def _schedule(board: _Board, jobs: list[int]) -> Schedule:
    starts = {(board.nets[job].job.cover, board.task((job, i)).step): start for (job, i), start in board.at.items()}
    done = {board.nets[job].job.cover for job in jobs}
    return schedule_of(board.problem, [net for net in board.nets if net.job.cover in done], starts)


def schedule_of(problem: Problem, nets: Sequence[Net], starts: dict[tuple[str, str], int]) -> Schedule:
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
        net = by_cover[cover]
        for task, to_open in zip(net.job.tasks, net.to_open, strict=True):
            start = starts[cover, task.step]
            placed.append(Placed(cover, task.step, start, start + task.minutes))
            open_min = max(open_min, start + to_open)
    placed.sort(key=lambda p: (p.start_min, done.index(p.cover), p.end_min, p.step))
    return Schedule(done, tuple(placed), open_min)
