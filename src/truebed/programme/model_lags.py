"""Waits that depend on the hour, forbidden hours and lanes, in the model of one closure: exact, no mean anywhere."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from truebed.programme.network import Net, edge_offset
from truebed.programme.problem import OPEN, Problem, Task
from truebed.programme.profiles import Piece, Profile, runs

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, Domain, IntVar, LinearExpr

Side = Literal["least", "greatest"]


def start_domain(task: Task, head: int, latest: int) -> Domain:
    """The minutes at which the task may start: from head to latest without its forbidden spans.

    Source      algebra
    Proved by   tests/programme/test_model.py
    """
    from ortools.sat.python import cp_model

    domain = cp_model.Domain(head, latest)
    for a, b in task.not_during:
        if task.minutes and b > a:
            domain = domain.intersection_with(cp_model.Domain(a - task.minutes + 1, b - 1).complement())
    return domain


def add_varying_lags(model: CpModel, net: Net, starts: list[IntVar], opening: IntVar, done: IntVar) -> None:
    """Every lag of the job whose wait depends on the hour of its from edge.

    Over a run of pieces that bends one way the wait is all of its lines at once, so a falling night needs no choice;
    where it bends back, a literal for each run says in which run the from edge lies. Both are exact: a wait rounded up
    is the least whole number above its lines.

    Source      algebra
    Proved by   tests/programme/test_model.py, tests/oracles/test_programme_profiles.py
    """
    place = {task.step: k for k, task in enumerate(net.job.tasks)}
    for lag in net.job.lags:
        a = place[lag.from_step]
        off = edge_offset(net.job.tasks[a], lag.from_edge)
        edge = starts[a] + off
        low, high = net.heads[a] + off, net.latest[a] + off
        if lag.to_step == OPEN:
            if lag.profile:
                _add_wait(model, lag.profile, edge, opening, low, high, "least", done)
            continue
        b = place[lag.to_step]
        there = starts[b] + edge_offset(net.job.tasks[b], lag.to_edge)
        # A cover that is not done keeps its chain; with waits that vary it may lose it, so here it is set free.
        if lag.profile:
            _add_wait(model, lag.profile, edge, there, low, high, "least", done)
        if lag.greatest_profile:
            _add_wait(model, lag.greatest_profile, edge, there, low, high, "greatest", done)


def _add_wait(
    model: CpModel,
    profile: Profile,
    edge: LinearExpr,
    there: LinearExpr | IntVar,
    low: int,
    high: int,
    side: Side,
    done: IntVar,
) -> None:
    found = runs(profile, low, high, convex=side == "least")
    inside = []
    for run in found:
        literals = [done]
        if len(found) > 1:
            here = model.new_bool_var("run")
            inside.append(here)
            literals.append(here)
            # Pieces meet at their ends, where both runs give the same wait: either literal may then be true.
            model.add(edge >= run[0][0]).only_enforce_if(here)
            model.add(edge <= run[-1][1]).only_enforce_if(here)
        for piece in run:
            _add_line(model, piece, edge, there, side, literals)
    if inside:
        model.add_bool_or([done.negated(), *inside])


def _add_line(
    model: CpModel, piece: Piece, edge: LinearExpr, there: LinearExpr | IntVar, side: Side, literals: list[IntVar]
) -> None:
    begin, _end, wait, rise, run = piece
    between = run * (there - edge)
    line = wait * run + rise * (edge - begin)
    (model.add(between >= line) if side == "least" else model.add(between <= line)).only_enforce_if(literals)


def add_lanes(
    model: CpModel, problem: Problem, nets: list[Net], done: list[IntVar], starts: list[list[IntVar]]
) -> None:
    """Lane by lane: a lane is shut when all covers done in the lanes before carry traffic, after the move.

    Source      house: traffic runs on the lanes before, so their clocks to the opening must have run out
    Proved by   tests/programme/test_model.py, tests/programme/test_check_hours.py
    """
    stages = sorted({net.job.stage for net in nets})
    if len(stages) < 2:
        return
    least = problem.tm_set_min - problem.stage_min
    before: IntVar | None = None
    for stage in stages:
        ready = model.new_int_var(least, max(least, problem.window_min), f"lane {stage} carries traffic")
        if before is not None:
            model.add(ready >= before)
        for net, is_done, of_job in zip(nets, done, starts, strict=True):
            if net.job.stage != stage:
                continue
            for task, start in zip(net.job.tasks, of_job, strict=True):
                model.add(ready >= start + task.minutes).only_enforce_if(is_done)
                if before is not None:
                    model.add(start >= before + problem.stage_min).only_enforce_if(is_done)
            _add_clocks(model, net, of_job, ready, is_done)
        before = ready


def _add_clocks(model: CpModel, net: Net, starts: list[IntVar], ready: IntVar, done: IntVar) -> None:
    place = {task.step: k for k, task in enumerate(net.job.tasks)}
    for lag in net.job.lags:
        if lag.to_step != OPEN:
            continue
        a = place[lag.from_step]
        off = edge_offset(net.job.tasks[a], lag.from_edge)
        low, high = net.heads[a] + off, net.latest[a] + off
        if lag.profile:
            _add_wait(model, lag.profile, starts[a] + off, ready, low, high, "least", done)
        elif lag.least_min is not None:
            model.add(ready >= starts[a] + off + lag.least_min).only_enforce_if(done)
