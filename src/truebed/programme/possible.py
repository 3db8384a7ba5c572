"""What rules a cover out before any hour is looked at: means the crew has not, lags that contradict each other."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.programme.means import capacities
from truebed.programme.network import Arc, Net, contradiction, net_of
from truebed.programme.problem import OPEN, Job, LeftOut, Problem


@dataclass(frozen=True, slots=True)
class Sorted:
    """The jobs that can be done at all (with their nets) and those that never can (with the reason)."""

    nets: tuple[Net, ...]
    never: tuple[LeftOut, ...]


def sort_jobs(problem: Problem) -> Sorted:
    """Which jobs could be done at all by this crew, and why not the others.

    A job whose net does not fit between the hours is not among the nets either, but has no reason here: left_out
    finds how many minutes it lacks.

    Valid       any problem, also without jobs
    Source      algebra
    Proved by   tests/programme/test_possible.py
    """
    nets: list[Net] = []
    never: list[LeftOut] = []
    for job in problem.jobs:
        reason = why_never(problem, job)
        if reason is not None:
            never.append(reason)
            continue
        net = net_of(problem, job)
        if all(head <= latest for head, latest in zip(net.heads, net.latest, strict=True)):
            nets.append(net)
    return Sorted(tuple(nets), tuple(never))


def why_never(problem: Problem, job: Job) -> LeftOut | None:
    """Why this crew can never do the job, or None: data that do not hold together, means, lags.

    Source      house (the order in which reasons are tried); algebra
    Proved by   tests/programme/test_possible.py
    """
    if sum(other.cover == job.cover for other in problem.jobs) > 1:
        return LeftOut(job.cover, "it is listed twice in this closure", None)
    reason = _fault_of_data(job) or _means_lacking(problem, job)
    if reason:
        return LeftOut(job.cover, reason, None)
    found = contradiction(job)
    if found is None:
        return None
    over_min, ring = found
    return LeftOut(job.cover, _contradiction_words(job, ring), over_min)


def _fault_of_data(job: Job) -> str:
    steps = [task.step for task in job.tasks]
    if not steps:
        return "it has no steps"
    if len(set(steps)) != len(steps):
        return "one of its steps is listed twice"
    if job.weight < 1:
        return "it weighs nothing, so nothing speaks for doing it"
    for lag in job.lags:
        if lag.from_step not in steps or lag.to_step not in (*steps, OPEN):
            return f"a lag joins steps it does not have: {lag.from_step} to {lag.to_step} ({lag.why})"
        if lag.to_step == OPEN and (lag.greatest_min is not None or lag.greatest_profile):
            return f"only a least lag may lead to the opening: {lag.from_step} ({lag.why})"
    return ""


def _means_lacking(problem: Problem, job: Job) -> str:
    means = capacities(problem)
    for task in job.tasks:
        for kind in task.tools:
            have, need = means.get(("tool", kind), 0), task.tools.count(kind)
            if have < need:
                short = f"'{task.name}' needs {need} of '{kind}', the crew has {have}"
                return short if have else f"no {kind} among the tools"
        if task.skill and means.get(("skill", task.skill), 0) < 1:
            return f"nobody in the crew has the skill '{task.skill}'"
        if task.people > problem.people:
            return f"'{task.name}' needs {task.people} people, the crew is {problem.people}"
    largest = max(problem.teams, default=problem.people)
    for task in job.tasks:
        if task.people > largest:
            return f"'{task.name}' needs {task.people} people, the largest team is {largest}"
        if task.points > 0 and task.people < 1:
            return f"'{task.name}' shakes its holder, but nobody is on it"
    return _points_lacking(problem, job, largest) or _kits_lacking(problem, job)


def _points_lacking(problem: Problem, job: Job, largest: int) -> str:
    """Only what no sharing out can mend: one step too many for its own people, or the cover for the largest team."""
    most = problem.most_points
    if most is None:
        return ""
    for task in job.tasks:
        if task.points > most * task.people:
            each = task.points / task.people
            return f"'{task.name}' gives each of its people {each:g} vibration points, the budget is {most:g}"
    total = sum(task.points for task in job.tasks)
    if total > most * largest:
        return f"its steps give {total:g} vibration points, the budget of a whole team is {most * largest:g}"
    return ""


def _kits_lacking(problem: Problem, job: Job) -> str:
    stock = dict(problem.stock)
    for kind, count in job.kits:
        if kind in stock and count > stock[kind]:
            return f"it takes {count} kits of '{kind}', the stock has {stock[kind]}"
    return ""


def _contradiction_words(job: Job, ring: tuple[Arc, ...]) -> str:
    names = {task.step: task.name for task in job.tasks}
    parts: list[str] = []
    for arc in ring:
        lag = arc.lag
        bound = f"at most {lag.greatest_min}" if arc.greatest else f"at least {lag.least_min}"
        span = f"{lag.from_edge} of '{names[lag.from_step]}' to {lag.to_edge} of '{names[lag.to_step]}'"
        parts.append(f"{bound} min from {span} ({lag.why})")
    # Steps that the ring crosses from edge to edge add their own length; without it two clocks seem to agree.
    inside = _lengths_crossed(job, ring)
    tail = f"; with {inside}" if inside else ""
    return "least lag exceeds greatest lag: " + "; ".join(parts) + tail


def _lengths_crossed(job: Job, ring: tuple[Arc, ...]) -> str:
    minutes = {task.step: (task.name, task.minutes) for task in job.tasks}
    crossed: list[str] = []
    for before, after in zip(ring, (*ring[1:], ring[0]), strict=True):
        into = before.lag.from_edge if before.greatest else before.lag.to_edge
        out = after.lag.to_edge if after.greatest else after.lag.from_edge
        if into != out:
            name, length = minutes[job.tasks[before.to].step]
            crossed.append(f"'{name}' taking {length} min")
    return ", ".join(crossed)
