"""The constraint model of one closure: optional covers, steps of whole minutes, lags, shared means, opening."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

from truebed.programme.cuts import Energy, energy_cuts, identical_groups
from truebed.programme.means import held_with_shadows, with_shadows
from truebed.programme.network import Net, arcs_of
from truebed.programme.problem import OPEN, Problem, Schedule

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, IntervalVar, IntVar


@dataclass(slots=True)
class ClosureModel:
    """The model and the variables that its readers need. starts[k][i]: task i of net k."""

    model: CpModel
    nets: Sequence[Net]
    done: list[IntVar]
    starts: list[list[IntVar]]
    open: IntVar
    intervals: list[list[IntervalVar]] = field(default_factory=list)


def build(problem: Problem, nets: Sequence[Net], *, must: frozenset[str] = frozenset()) -> ClosureModel:
    """The model without an objective. must: covers that have to be done.

    Valid       nets whose heads do not pass their latest starts (possible.sort_jobs gives those)
    Source      algebra
    Proved by   tests/oracles/test_programme_brute.py, tests/properties/test_programme.py
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    made = ClosureModel(model, nets, [], [], model.new_int_var(0, max(0, problem.window_min), OPEN))
    for net in nets:
        _add_job(made, net)
        if net.job.cover in must:
            model.add(made.done[-1] == 1)
    _add_means(made, problem)
    for cut in energy_cuts(problem, nets):
        _add_cut(made, cut, problem.noise_ends_min)
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
    for task, head, latest, tail in zip(net.job.tasks, net.heads, net.latest, net.to_open, strict=True):
        start = model.new_int_var(head, latest, f"{name} {task.step}")
        starts.append(start)
        intervals.append(model.new_optional_fixed_size_interval_var(start, task.minutes, done, f"{name} {task.step}"))
        model.add(made.open >= start + tail).only_enforce_if(done)
    # A cover that is not done keeps its chain all the same: it holds nothing, so it may, and the lags stay plain.
    for arc in arcs_of(net.job):
        model.add(starts[arc.to] >= starts[arc.frm] + arc.minutes)
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
        if not intervals:
            continue
        if all(2 * count > capacity for count in counts):
            made.model.add_no_overlap(intervals)
        else:
            made.model.add_cumulative(intervals, counts, capacity)


def _add_cut(made: ClosureModel, cut: Energy, noise_ends_min: int) -> None:
    work = sum(w * done for w, done in zip(cut.work, made.done, strict=True) if w)
    room = cut.head_min + cut.tail_min
    if not cut.to_open:
        made.model.add(work <= cut.have * max(0, noise_ends_min - room))
        return
    for w, done in zip(cut.work, made.done, strict=True):
        if w:
            made.model.add(cut.have * made.open >= work + cut.have * room * done)


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
