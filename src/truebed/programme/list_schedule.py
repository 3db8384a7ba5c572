"""Schedules by simple rules: one step after another at its earliest hour, taken back where a greatest lag breaks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from truebed.programme.board import Board, Node, board_of, rests_in, schedule_of
from truebed.programme.cuts import Energy, energy_cuts
from truebed.programme.hands import team_of
from truebed.programme.network import NO_PATH, Net
from truebed.programme.possible import sort_jobs
from truebed.programme.problem import Problem, Schedule

__all__ = ["RULES", "by_rule", "list_schedules", "nothing_floats", "one_after_another", "schedule_of", "worth"]

#: Which step is next: a key of the node, and of the first hour that is free for it, asked only where a rule wants it
Rule = Callable[[Node, Callable[[], int]], tuple[int, ...]]

#: How often one job's steps may be taken back before the rule gives that job up.
MOST_REPAIRS = 60


def list_schedules(problem: Problem) -> tuple[Schedule, ...]:
    """The schedules that all rules give, best first: greatest weight, then earliest opening, then least sum of starts.

    Valid       any problem; a cover that a rule cannot place is left out by it though it may be possible
    Source      [franck-2001] serial generation with unscheduling, from memory; rules: house
    Proved by   tests/programme/test_list_schedule.py, tests/oracles/test_programme_brute.py
    """
    nets = sort_jobs(problem).nets
    weights = {net.job.cover: net.job.weight for net in nets}
    found: list[Schedule] = []
    cuts = energy_cuts(problem, nets)
    for wished in _orders(nets):
        order = tuple(sorted(wished, key=lambda k: nets[k].job.stage))
        ranked = [nets[k] for k in order]
        ranked_cuts = [replace(cut, work=tuple(cut.work[k] for k in order)) for cut in cuts]
        for rule in _rules(ranked):
            schedule = _without_failures(problem, ranked, rule, ranked_cuts)
            if schedule not in found:
                found.append(schedule)
    return tuple(sorted(found, key=lambda s: worth(s, weights)))


#: Names of the rules, in their order below.
RULES = ("cover by cover", "tightest first", "earliest hour", "kind by kind")


def by_rule(problem: Problem, rule: str) -> Schedule:
    """The schedule of one rule, covers with the least work for their weight first: soon found, seldom the best.

    Valid       a name of RULES
    Source      house
    Raises      ValueError for another name
    Proved by   tests/programme/test_list_schedule.py
    """
    if rule not in RULES:
        raise ValueError(f"There is no rule '{rule}'; the rules are {', '.join(RULES)}.")
    nets = sort_jobs(problem).nets
    work = [max(1, sum(task.minutes * task.people for task in net.job.tasks)) for net in nets]
    order = sorted(range(len(nets)), key=lambda k: (nets[k].job.stage, work[k] / nets[k].job.weight, nets[k].job.cover))
    ranked = [nets[k] for k in order]
    return _without_failures(problem, ranked, _rules(ranked)[RULES.index(rule)], energy_cuts(problem, ranked))


def one_after_another(problem: Problem) -> Schedule:
    """Heaviest first, each team one cover after another: none is begun before the last step of the former has ended.

    Valid       any problem
    Source      common practice, no source
    Proved by   tests/programme/test_hand_way.py
    """
    nets = sorted(sort_jobs(problem).nets, key=lambda net: (net.job.stage, -net.job.weight, net.job.cover))
    kept: list[int] = []
    board = _empty(problem, nets, kept)
    for job in range(len(nets)):
        tried = _run(problem, nets, [*kept, job], _rules(nets)[0], serial=True)
        if tried is not None:
            kept, board = [*kept, job], tried
    return board.schedule(kept)


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
        lambda node, fit: (fit(), nets[node[0]].latest[node[1]], node[0], node[1]),
        lambda node, _fit: (node[1], node[0]),
    )


def _without_failures(problem: Problem, nets: Sequence[Net], rule: Rule, cuts: Sequence[Energy]) -> Schedule:
    """Run the rule with one cover more each time; a cover with which it fails is left out again."""
    kept: list[int] = []
    board = _empty(problem, nets, kept)
    for job in range(len(nets)):
        wanted = [*kept, job]
        work = [sum(cut.work[k] for k in wanted) for cut in cuts]
        sinks = [problem.window_min if cut.to_open else problem.noise_ends_min for cut in cuts]
        if any(c.head_min + c.tail_min + -(-w // c.have) > s for c, w, s in zip(cuts, work, sinks, strict=True) if w):
            continue
        tried = _run(problem, nets, wanted, rule)
        if tried is not None:
            kept, board = wanted, tried
    board.left_shift()
    return board.schedule(kept)


def _empty(problem: Problem, nets: Sequence[Net], jobs: Sequence[int]) -> Board:
    """A board on which each job has its team (the one with least to do so far) and every rest its first hour."""
    load = [0] * max(1, len(problem.teams))
    team: dict[int, int] = {}
    for job in jobs:
        tasks = nets[job].job.tasks
        able = [k for k, n in enumerate(problem.teams) if all(t.people <= n for t in tasks)] or [0]
        team[job] = min(able, key=lambda k: (load[k], k))
        load[team[job]] += sum(t.minutes * t.people for t in tasks)
    rests: list[tuple[int, int, int]] = []
    for k in range(len(load)):
        free = 0
        for not_before, not_after, minutes in problem.breaks:
            start = min(max(not_before, free), max(not_before, not_after))
            rests.append((k, start, minutes))
            free = start + minutes
    return board_of(problem, nets, team, rests)


def _run(problem: Problem, nets: Sequence[Net], jobs: list[int], rule: Rule, *, serial: bool = False) -> Board | None:
    """One run of a rule on these jobs. serial: a job starts after all that its team has placed of jobs before it."""
    board = _empty(problem, nets, jobs)
    if not _stock_lasts(problem, nets, jobs):
        return None
    waiting = {job: set(range(len(nets[job].job.tasks))) for job in jobs}
    before = {job: _befores(nets[job]) for job in jobs}
    repairs = dict.fromkeys(jobs, 0)
    while any(waiting.values()):
        node = min(_ready(nets, before, waiting), key=lambda n: rule(n, lambda: _first_fit(board, n)))
        early, late = board.span(node)
        if serial:
            early = max(early, _free_from(board, node[0]))
        start = board.fit(node, early, nets[node[0]].latest[node[1]])
        if start is None:
            return None
        if start <= late:
            board.place(node, start)
            waiting[node[0]].remove(node[1])
            continue
        repairs[node[0]] += 1
        freed = _delay_culprits(board, node, start)
        if freed is None or repairs[node[0]] > MOST_REPAIRS:
            return None
        for job, i in freed:
            waiting[job].add(i)
    return board


def _stock_lasts(problem: Problem, nets: Sequence[Net], jobs: Sequence[int]) -> bool:
    return all(sum(dict(nets[j].job.kits).get(kind, 0) for j in jobs) <= count for kind, count in problem.stock)


def _free_from(board: Board, job: int) -> int:
    """When the job's team has ended all that it has begun before; jobs are begun in their order."""
    mine = [node for node in board.at if node[0] < job and board.team[node[0]] == board.team[job]]
    return max((board.at[node] + board.task(node).minutes for node in mine), default=0)


def _ready(nets: Sequence[Net], before: dict[int, list[frozenset[int]]], waiting: dict[int, set[int]]) -> list[Node]:
    """Waiting steps of the first lane that still waits, with nothing waiting before them in their own job."""
    lane = min(nets[job].job.stage for job, steps in waiting.items() if steps)
    return [
        (job, i)
        for job, steps in waiting.items()
        if nets[job].job.stage == lane
        for i in sorted(steps)
        if not before[job][i] & steps
    ]


def _befores(net: Net) -> list[frozenset[int]]:
    """For each step of a job the steps that must be placed before it."""
    every = range(len(net.job.tasks))
    return [frozenset(j for j in every if j != i and _before(net, j, i)) for i in every]


def _before(net: Net, first: int, then: int) -> bool:
    forth, back = net.longest[first][then], net.longest[then][first]
    return forth > 0 or (forth == 0 and (back != 0 or first < then))


def _first_fit(board: Board, node: Node) -> int:
    early, _late = board.span(node)
    start = board.fit(node, early, board.nets[node[0]].latest[node[1]])
    return board.problem.window_min if start is None else start


def _delay_culprits(board: Board, node: Node, start: int) -> list[Node] | None:
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


def nothing_floats(problem: Problem, schedule: Schedule) -> Schedule:
    """The same schedule with every step moved to the earliest hour that the others leave it.

    Valid       a schedule that holds and whose covers are among the possible ones
    Source      house
    Proved by   tests/programme/test_list_schedule.py
    """
    nets = sort_jobs(problem).nets
    rests = rests_in(problem, schedule)
    if rests is None:
        return schedule
    teams = team_of(problem, schedule.placed)
    team = {j: teams.get(net.job.cover, 0) for j, net in enumerate(nets)}
    board = board_of(problem, nets, team, rests)
    node_of = {(net.job.cover, task.step): (j, i) for j, net in enumerate(nets) for i, task in enumerate(net.job.tasks)}
    for placed in schedule.placed:
        board.place(node_of[placed.cover, placed.step], placed.start_min, placed.people)
    board.left_shift()
    return board.schedule([j for j, net in enumerate(nets) if net.job.cover in schedule.done])
