"""The second stage: covers and people stand, every walk takes its time, the road opens as early as that allows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

from truebed.programme.hands import team_of, team_spans, walks_of
from truebed.programme.model import ClosureModel, build, hint
from truebed.programme.network import Net
from truebed.programme.problem import Placed, Problem, Schedule
from truebed.programme.search import search

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntervalVar, IntVar


#: Of the limit, for the first look by one worker.
PROBE_SHARE = 0.3


def retimed(problem: Problem, nets: Mapping[str, Net], schedule: Schedule, limit_s: float) -> Schedule | None:
    """The schedule's covers and people at times that leave every walk its minutes; None where none were found.

    Each person's steps on two covers are one walk apart, whichever comes first, so nobody hops for nothing.

    Valid       a schedule with its people named; walks that are no longer by way of a third cover
    Source      algebra
    Proved by   tests/programme/test_retime.py
    """
    of_done = [nets[cover] for cover in schedule.done]
    made = build(problem, of_done, must=frozenset(schedule.done))
    if problem.teams or made.people.who:
        # People stand: teams and points are settled, and each team's own rests come with its people below.
        plain = replace(problem, teams=(), most_points=None, breaks=() if problem.teams else problem.breaks)
        made = build(plain, of_done, must=frozenset(schedule.done))
    _add_walks(problem, made, schedule)
    hint(made, schedule)
    made.model.minimize(made.open)
    # One worker first: there may be no such times at all, and several workers that are given a hint to a model
    # without any answer were seen to end the whole process.
    found = search(problem, made, deterministic_limit_s=limit_s * PROBE_SHARE, workers=1)
    if found.answer == "unknown":
        made.model.clear_hints()  # type: ignore[no-untyped-call]
    elif found.schedule is not None:
        hint(made, found.schedule)
    if found.answer not in ("optimal", "infeasible"):
        better = search(problem, made, deterministic_limit_s=limit_s)
        found = found if better.schedule is None else better
    if found.schedule is None:
        return None
    who = {(p.cover, p.step): p.people for p in schedule.placed}
    placed = tuple(replace(p, people=who[p.cover, p.step]) for p in found.schedule.placed)
    return replace(found.schedule, placed=placed)


def _add_walks(problem: Problem, made: ClosureModel, schedule: Schedule) -> None:
    walks = walks_of(problem)
    start = {
        (net.job.cover, task.step): x
        for net, of_job in zip(made.nets, made.starts, strict=True)
        for task, x in zip(net.job.tasks, of_job, strict=True)
    }
    minutes = {(net.job.cover, task.step): task.minutes for net in made.nets for task in net.job.tasks}
    for one, other in combinations(schedule.placed, 2):
        if not set(one.people) & set(other.people):
            continue
        a, b = (one.cover, one.step), (other.cover, other.step)
        walk = walks.get((one.cover, other.cover), 0) if one.cover != other.cover else 0
        before = made.model.new_bool_var("before")
        made.model.add(start[b] >= start[a] + minutes[a] + walk).only_enforce_if(before)
        made.model.add(start[a] >= start[b] + minutes[b] + walk).only_enforce_if(before.negated())
        made.model.add_hint(before, int(_first(one, other)))
    _add_rests(problem, made, schedule, start, minutes)


def _first(one: Placed, other: Placed) -> bool:
    return (one.start_min, one.end_min) <= (other.start_min, other.end_min)


def _add_rests(
    problem: Problem,
    made: ClosureModel,
    schedule: Schedule,
    start: Mapping[tuple[str, str], IntVar],
    minutes: Mapping[tuple[str, str], int],
) -> None:
    """Rests of each team by the people named: the model without teams only knows those of the whole crew."""
    if not problem.teams or not problem.breaks:
        return
    teams = team_of(problem, schedule.placed)
    for team in range(len(team_spans(problem))):
        mine = [p for p in schedule.placed if p.people and teams[p.cover] == team]
        rests: list[IntervalVar] = []
        for not_before, not_after, rest_min in problem.breaks:
            rest = made.model.new_int_var(not_before, max(not_before, not_after), "rest")
            spell = made.model.new_fixed_size_interval_var(rest, rest_min, "rest")
            for p in mine:
                step = made.model.new_fixed_size_interval_var(start[p.cover, p.step], minutes[p.cover, p.step], "step")
                made.model.add_no_overlap([spell, step])
            rests.append(spell)
        made.model.add_no_overlap(rests)
