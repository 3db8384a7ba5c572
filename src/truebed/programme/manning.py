"""Who is on each step of a schedule whose times stand: exact, with teams, walks, skills and points."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from math import lcm
from typing import TYPE_CHECKING

from truebed.programme.hands import has_skill, share_of, team_spans, walks_of
from truebed.programme.problem import Placed, Problem, Schedule, Task

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, IntVar

#: Deterministic limit of the search; where it ends without an answer nobody is named.
LIMIT_S = 2.0


def manned(problem: Problem, schedule: Schedule, team: Mapping[str, int], *, walks: bool = True) -> Schedule | None:
    """The same schedule with its people named, or None where no naming was found.

    team        each cover's team
    walks       whether the walk between two covers must fit between two steps of one person; without it the fewest
                changes of people between covers are sought instead, for retime.retimed to make the times fit

    Valid       a schedule that holds but for its people
    Source      algebra; points of a step fall on its people in even turns: house
    Proved by   tests/programme/test_manning.py
    """
    from ortools.sat.python import cp_model

    tasks = {(job.cover, task.step): task for job in problem.jobs for task in job.tasks}
    needs = [tasks[p.cover, p.step] for p in schedule.placed]
    spans = team_spans(problem)
    model = cp_model.CpModel()
    on: list[dict[int, cp_model.IntVar]] = []
    for k, (placed, task) in enumerate(zip(schedule.placed, needs, strict=True)):
        on.append({p: model.new_bool_var(f"{k} {p}") for p in spans[team[placed.cover]]} if task.people else {})
        model.add(sum(on[k].values()) == task.people)
        able = [x for p, x in on[k].items() if has_skill(problem, p, task.skill)]
        if task.skill and task.people:
            model.add_bool_or(able)
    for a, b in _clashes(problem, schedule.placed, walks):
        for p in on[a].keys() & on[b].keys():
            model.add_bool_or([on[a][p].negated(), on[b][p].negated()])
    _keep_points(model, problem, needs, on)
    if not walks:
        model.minimize(sum(_on_covers(model, schedule.placed, on)))
    solver = cp_model.CpSolver()
    solver.parameters.random_seed = 1
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = LIMIT_S
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    who = [tuple(sorted(p for p, x in of.items() if solver.value(x))) for of in on]
    return replace(schedule, placed=tuple(replace(p, people=w) for p, w in zip(schedule.placed, who, strict=True)))


def _clashes(problem: Problem, placed: Sequence[Placed], walks: bool) -> list[tuple[int, int]]:
    """Pairs of steps that nobody can be on both of."""
    apart = walks_of(problem) if walks else {}
    found: list[tuple[int, int]] = []
    for (a, one), (b, other) in combinations(enumerate(placed), 2):
        walk = apart.get((one.cover, other.cover), 0) if one.cover != other.cover else 0
        if one.start_min < other.end_min + walk and other.start_min < one.end_min + walk:
            found.append((a, b))
    return found


def _keep_points(model: CpModel, problem: Problem, needs: Sequence[Task], on: Sequence[Mapping[int, IntVar]]) -> None:
    if problem.most_points is None:
        return
    most = Fraction(str(problem.most_points))
    shares = [share_of(task) for task in needs]
    scale = lcm(most.denominator, *(share.denominator for share in shares))
    for p in range(problem.people):
        load = [int(s * scale) * of[p] for s, of in zip(shares, on, strict=True) if s and p in of]
        if load:
            model.add(sum(load) <= int(most * scale))


def _on_covers(model: CpModel, placed: Sequence[Placed], on: Sequence[Mapping[int, IntVar]]) -> list[IntVar]:
    """A literal for each cover and person that is on any of its steps."""
    here: dict[tuple[str, int], IntVar] = {}
    for one, of in zip(placed, on, strict=True):
        for p, x in of.items():
            if (one.cover, p) not in here:
                here[one.cover, p] = model.new_bool_var(f"{one.cover} {p}")
            model.add_implication(x, here[one.cover, p])
    return list(here.values())
