"""People in the model of one closure: teams, rests, vibration points of each person, kits from the stock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from math import lcm
from typing import TYPE_CHECKING

from truebed.programme.hands import has_skill, share_of, team_spans
from truebed.programme.network import Net
from truebed.programme.problem import Problem, Task

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, IntervalVar, IntVar


@dataclass(slots=True)
class PeopleModel:
    """by_team[k][team]: net k is done by that team; who[k, i]: of task i, the literal of each person's place."""

    by_team: list[list[IntVar]] = field(default_factory=list)
    who: dict[tuple[int, int], dict[int, IntVar]] = field(default_factory=dict)


def add_people(
    model: CpModel,
    problem: Problem,
    nets: Sequence[Net],
    done: Sequence[IntVar],
    starts: Sequence[Sequence[IntVar]],
    pad_min: int,
) -> PeopleModel:
    """Teams (or the pool) with their rests, points and the kits. pad_min: minutes more that people are bound by a step.

    Source      algebra; a team rests together, in one spell; points of a step fall on its people in even turns: house
    Proved by   tests/programme/test_model_people.py, tests/oracles/test_programme_profiles.py
    """
    made = PeopleModel()
    spans = team_spans(problem)
    for net, is_done in zip(nets, done, strict=True):
        of_net = [is_done]
        if problem.teams:
            of_net = [model.new_bool_var(f"{net.job.cover} team {k}") for k in range(len(spans))]
            model.add(sum(of_net) == is_done)
            for x, span in zip(of_net, spans, strict=True):
                if any(task.people > len(span) for task in net.job.tasks):
                    model.add(x == 0)
        made.by_team.append(of_net)
    for k, span in enumerate(spans):
        _add_team(model, problem, nets, starts, [of_net[k] for of_net in made.by_team], len(span), pad_min)
    _add_order(model, problem, nets, made)
    _add_points(model, problem, nets, starts, made, spans)
    for kind, count in problem.stock:
        taken = [dict(net.job.kits).get(kind, 0) for net in nets]
        model.add(sum(n * d for n, d in zip(taken, done, strict=True)) <= count)
    return made


def _add_team(
    model: CpModel,
    problem: Problem,
    nets: Sequence[Net],
    starts: Sequence[Sequence[IntVar]],
    literals: Sequence[IntVar],
    size: int,
    pad_min: int,
) -> None:
    intervals: list[IntervalVar] = []
    counts: list[int] = []
    for net, of_job, x in zip(nets, starts, literals, strict=True):
        for task, start in zip(net.job.tasks, of_job, strict=True):
            if task.people and task.minutes:
                length = task.minutes + pad_min
                intervals.append(model.new_optional_fixed_size_interval_var(start, length, x, "bound"))
                counts.append(min(task.people, size))
    for not_before, not_after, minutes in problem.breaks:
        rest = model.new_int_var(not_before, max(not_before, not_after), "rest")
        intervals.append(model.new_fixed_size_interval_var(rest, minutes, "rest"))
        counts.append(size)
    if intervals and all(2 * count > size for count in counts):
        model.add_no_overlap(intervals)
    elif intervals:
        model.add_cumulative(intervals, counts, size)


def _add_order(model: CpModel, problem: Problem, nets: Sequence[Net], made: PeopleModel) -> None:
    """Teams that are alike in the order of the work they take: no programme is met again with them swapped."""
    if problem.crew_skills:
        return
    work = [sum(task.minutes * task.people for task in net.job.tasks) for net in nets]
    for k, (size, then) in enumerate(pairwise(problem.teams)):
        if size == then:
            loads = [sum(w * x[team] for w, x in zip(work, made.by_team, strict=True)) for team in (k, k + 1)]
            model.add(loads[0] >= loads[1])


def _add_points(
    model: CpModel,
    problem: Problem,
    nets: Sequence[Net],
    starts: Sequence[Sequence[IntVar]],
    made: PeopleModel,
    spans: Sequence[range],
) -> None:
    """Nobody over the budget: where a step takes the whole team, by its sum; else by who is on it."""
    if problem.most_points is None:
        return
    shaking = [(k, i, task) for k, net in enumerate(nets) for i, task in enumerate(net.job.tasks) if task.points > 0]
    if not shaking:
        return
    most = Fraction(str(problem.most_points))
    scale = lcm(most.denominator, *(share_of(task).denominator for _k, _i, task in shaking))
    for team, span in enumerate(spans):
        total = sum(_whole(share_of(t) * t.people, scale) * made.by_team[k][team] for k, _i, t in shaking)
        model.add(total <= _whole(most, scale) * len(span))
    if all(task.people == len(span) for _k, _i, task in shaking for span in spans):
        return
    load: dict[int, list[tuple[int, IntVar]]] = {}
    spells: dict[int, list[IntervalVar]] = {}
    for k, i, task in shaking:
        made.who[k, i] = {}
        for team, span in enumerate(spans):
            x = made.by_team[k][team]
            of_team = [model.new_bool_var(f"{task.cover} {task.step} {p}") for p in span]
            model.add(sum(of_team) == min(task.people, len(span)) * x)
            for p, on in zip(span, of_team, strict=True):
                made.who[k, i][p] = on
                load.setdefault(p, []).append((_whole(share_of(task), scale), on))
                spell = model.new_optional_fixed_size_interval_var(starts[k][i], task.minutes, on, "spell")
                spells.setdefault(p, []).append(spell)
        _need_skill(model, problem, task, made.who[k, i])
    for p in sorted(load):
        model.add(sum(points * on for points, on in load[p]) <= _whole(most, scale))
        model.add_no_overlap(spells[p])


def _need_skill(model: CpModel, problem: Problem, task: Task, on: dict[int, IntVar]) -> None:
    able = [x for p, x in on.items() if has_skill(problem, p, task.skill)]
    if task.skill and task.people and problem.crew_skills:
        # Whoever is on it: if anybody is, one of them has the skill.
        for x in on.values():
            model.add_bool_or([x.negated(), *able])


def _whole(points: Fraction, scale: int) -> int:
    return int(points * scale)
