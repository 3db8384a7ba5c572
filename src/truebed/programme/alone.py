"""One cover by itself: exact, because a rule might wrongly say that it does not fit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from truebed.programme.model import ClosureModel, build, hint
from truebed.programme.network import Net
from truebed.programme.possible import sort_jobs
from truebed.programme.problem import Job, Problem, Schedule
from truebed.programme.search import search

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntVar, LinearExpr

#: Deterministic limit of each search on one cover; such a search takes a hundredth of it.
LIMIT_S = 5.0

Wanted = Literal["end", "open", "noisy end"]


def long_enough(problem: Problem) -> int:
    """A window in which any cover that can be done at all is done: all its minutes and lags one after another.

    Source      algebra
    Proved by   tests/programme/test_alone.py
    """
    total = problem.tm_set_min + problem.tm_clear_min + 1
    for job in problem.jobs:
        total += sum(task.minutes for task in job.tasks)
        total += sum(max(0, lag.least_min or 0) + max(0, lag.greatest_min or 0) for lag in job.lags)
        total += max((end for task in job.tasks for _from, end in task.not_during), default=0)
        total += sum(most for lag in job.lags for most in (_most(lag.profile), _most(lag.greatest_profile)))
    total += sum(not_after + minutes for _not_before, not_after, minutes in problem.breaks)
    total += problem.stage_min * len({job.stage for job in problem.jobs})
    return max(total, problem.window_min, problem.noise_ends_min)


def _most(profile: Sequence[tuple[int, int]]) -> int:
    return max((0, *(wait for _minute, wait in profile)))


def alone(problem: Problem, job: Job, *, deadline: bool = True, noise: bool = True) -> Problem:
    """The same closure with that cover only, without the deadline or the noise ban if wanted.

    Source      algebra
    Proved by   tests/programme/test_alone.py
    """
    only = replace(problem, jobs=(job,))
    horizon = long_enough(only)
    return replace(
        only,
        window_min=problem.window_min if deadline else horizon,
        noise_ends_min=problem.noise_ends_min if noise else horizon,
    )


def earliest(problem: Problem, wanted: tuple[Wanted, ...]) -> Schedule | None:
    """The only cover's schedule, least by each wish in turn, then by the sum of starts; None where it does not fit.

    Valid       one job
    Source      algebra
    Proved by   tests/programme/test_alone.py, tests/oracles/test_programme_brute.py
    """
    nets = sort_jobs(problem).nets
    if not nets:
        return None
    made = build(problem, nets, must=frozenset(net.job.cover for net in nets))
    schedule: Schedule | None = None
    wishes: tuple[Wanted | Literal["starts"], ...] = (*wanted, "starts")
    for wish in wishes:
        goal = _goal(made, nets[0], wish)
        made.model.minimize(goal)
        found = search(problem, made, deterministic_limit_s=LIMIT_S)
        if found.schedule is None or found.value is None:
            return None
        schedule = found.schedule
        made.model.add(goal <= found.value)
        hint(made, schedule)
    return schedule


def _goal(made: ClosureModel, net: Net, wish: Wanted | Literal["starts"]) -> IntVar | LinearExpr:
    """What is made least; each wish but the last is then held at what was reached."""
    from ortools.sat.python.cp_model import LinearExpr

    if wish == "open":
        return made.open
    if wish == "starts":
        return LinearExpr.sum(made.starts[0])
    noisy_only = wish == "noisy end"
    last = made.model.new_int_var(0, max(net.latest) + max(task.minutes for task in net.job.tasks), wish)
    for task, start in zip(net.job.tasks, made.starts[0], strict=True):
        if task.noisy or not noisy_only:
            made.model.add(last >= start + task.minutes)
    return last
