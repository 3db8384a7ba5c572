"""The constraint model of one closure: optional covers, steps of whole minutes, lags, shared means, opening."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

from truebed.programme.cuts import Energy, energy_cuts, identical_groups
from truebed.programme.hands import are_named, team_of
from truebed.programme.means import held_with_shadows, with_shadows
from truebed.programme.model_lags import add_lanes, add_varying_lags, start_domain
from truebed.programme.model_people import PeopleModel, add_people
from truebed.programme.network import Net, arcs_of
from truebed.programme.problem import OPEN, Problem, Schedule

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, IntervalVar, IntVar


@dataclass(slots=True)
class ClosureModel:
    """The model and the variables that its readers need. starts[k][i]: task i of net k."""

    problem: Problem
    model: CpModel
    nets: Sequence[Net]
    done: list[IntVar]
    starts: list[list[IntVar]]
    open: IntVar
    intervals: list[list[IntervalVar]] = field(default_factory=list)
    people: PeopleModel = field(default_factory=PeopleModel)


def build(
    problem: Problem, nets: Sequence[Net], *, must: frozenset[str] = frozenset(), pad_min: int = 0
) -> ClosureModel:
    """The model without an objective. must: covers that have to be done; pad_min: what a walk may take after each step.

    Walks between covers are not in it: with no pad it is a bound on what can be done, with one a guess that
    retime.retimed makes exact.

    Valid       nets whose heads do not pass their latest starts (possible.sort_jobs gives those)
    Source      algebra
    Proved by   tests/oracles/test_programme_brute.py, tests/properties/test_programme.py
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    made = ClosureModel(problem, model, nets, [], [], model.new_int_var(0, max(0, problem.window_min), OPEN))
    for net in nets:
        _add_job(made, net)
        if net.job.cover in must:
            model.add(made.done[-1] == 1)
    _add_means(made, problem)
    add_lanes(model, problem, list(nets), made.done, made.starts)
    made.people = add_people(model, problem, nets, made.done, made.starts, pad_min)
    for cut in energy_cuts(problem, nets):
        _add_cut(made, cut, problem)
    for group in identical_groups(nets):
        for first, then in pairwise(group):
            if (nets[first].job.cover in must) == (nets[then].job.cover in must):
                model.add_implication(made.done[then], made.done[first])
                model.add(made.starts[first][0] <= made.starts[then][0]).only_enforce_if(made.done[then])
    return made


def _add_job(made: ClosureModel, net: Net) -> None:
    model, name = made.model, net.job.cover
    done = model.new_bool_var(f"done {name}")
    starts: list[IntVar] = []
    intervals: list[IntervalVar] = []
    arcs = arcs_of(net.job)
    for task, head, latest, tail in zip(net.job.tasks, net.heads, net.latest, net.to_open, strict=True):
        domain = start_domain(task, head, latest)
        start = model.new_int_var_from_domain(domain, f"{name} {task.step}")
        starts.append(start)
        intervals.append(model.new_optional_fixed_size_interval_var(start, task.minutes, done, f"{name} {task.step}"))
        model.add(made.open >= start + tail).only_enforce_if(done)
    # A cover that is not done keeps its chain all the same: it holds nothing, so it may, and the lags stay plain; but
    # among forbidden hours and waits that vary it might find no place, and then its absence must not forbid anything.
    loose = any(task.not_during for task in net.job.tasks) or any(a.lag.profile or a.lag.greatest_profile for a in arcs)
    for arc in arcs:
        apart = model.add(starts[arc.to] >= starts[arc.frm] + arc.minutes)
        if loose:
            apart.only_enforce_if(done)
    add_varying_lags(model, net, starts, made.open, done)
    made.done.append(done)
    made.starts.append(starts)
    made.intervals.append(intervals)


def _add_means(made: ClosureModel, problem: Problem) -> None:
    have = with_shadows(problem)
    for mean, capacity in sorted(have.items()):
        intervals: list[IntervalVar] = []
        counts: list[int] = []
        for net, of_job in zip(made.nets, made.intervals, strict=True):
            for task, interval in zip(net.job.tasks, of_job, strict=True):
                count = held_with_shadows(task, have).get(mean, 0)
                if count and task.minutes:
                    intervals.append(interval)
                    counts.append(count)
        if not intervals or (mean == ("people",)):
            continue  # people are in add_people, with their teams, rests and walks
        if all(2 * count > capacity for count in counts):
            made.model.add_no_overlap(intervals)
        else:
            made.model.add_cumulative(intervals, counts, capacity)


def _add_cut(made: ClosureModel, cut: Energy, problem: Problem) -> None:
    _add_energy(made, cut, cut.work, made.done, cut.have, problem)
    if cut.mean != ("people",) or not problem.teams:
        return
    for team, size in enumerate(problem.teams):
        _add_energy(made, cut, cut.work, [x[team] for x in made.people.by_team], size, problem)


def _add_energy(
    made: ClosureModel, cut: Energy, works: Sequence[int], literals: Sequence[IntVar], have: int, problem: Problem
) -> None:
    work = sum(w * done for w, done in zip(works, literals, strict=True) if w)
    room = cut.head_min + cut.tail_min
    if not cut.to_open:
        made.model.add(work <= have * max(0, problem.noise_ends_min - room))
        return
    made.model.add(work <= have * max(0, problem.window_min - room))
    for w, done in zip(works, literals, strict=True):
        if w:
            made.model.add(have * made.open >= work + have * room * done)


def hint(made: ClosureModel, schedule: Schedule) -> None:
    """Lay a schedule into the model as its first guess, identical covers in the order that the model asks.

    Source      house
    Proved by   tests/programme/test_model.py
    """
    made.model.clear_hints()  # type: ignore[no-untyped-call]
    for k, at in enumerate(_starts_in_order(made, schedule)):
        made.model.add_hint(made.done[k], int(at is not None))
        for i, start in enumerate(made.starts[k]):
            made.model.add_hint(start, made.nets[k].heads[i] if at is None else at[i])
    made.model.add_hint(made.open, schedule.open_min)
    if are_named(made.problem):
        _hint_people(made, schedule)


def _hint_people(made: ClosureModel, schedule: Schedule) -> None:
    """Teams in the order of their work, as the model asks it where they are alike."""
    at = {(p.cover, p.step): p for p in schedule.placed}
    of_cover = team_of(made.problem, schedule.placed)
    count = len(made.people.by_team[0]) if made.people.by_team else 0
    load = [0] * count
    for net in made.nets:
        if net.job.cover in schedule.done:
            load[of_cover[net.job.cover]] += sum(task.minutes * task.people for task in net.job.tasks)
    alike = len(set(made.problem.teams)) == 1 and not made.problem.crew_skills
    order = sorted(range(count), key=lambda k: (-load[k], k)) if alike else list(range(count))
    if made.problem.teams:
        for net, x in zip(made.nets, made.people.by_team, strict=True):
            for place, team in enumerate(order):
                made.model.add_hint(x[place], int(of_cover.get(net.job.cover, -1) == team))
    for (k, i), on in made.people.who.items():
        placed = at.get((made.nets[k].job.cover, made.nets[k].job.tasks[i].step))
        if order == sorted(order):
            for p, literal in on.items():
                made.model.add_hint(literal, int(placed is not None and p in placed.people))


def _starts_in_order(made: ClosureModel, schedule: Schedule) -> list[tuple[int, ...] | None]:
    at = {(placed.cover, placed.step): placed.start_min for placed in schedule.placed}
    starts: list[tuple[int, ...] | None] = [
        tuple(at[net.job.cover, task.step] for task in net.job.tasks) if net.job.cover in schedule.done else None
        for net in made.nets
    ]
    for group in identical_groups(made.nets):
        done = sorted(found for found in (starts[k] for k in group) if found is not None)
        for place, k in enumerate(group):
            starts[k] = done[place] if place < len(done) else None
    return starts
