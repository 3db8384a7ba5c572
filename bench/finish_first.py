"""Finish-first interleaving, as a gang does it without a plan: the peer of the programme in the bench.

One team of whom all are on every step. Whenever it is free it takes the step that is ready of the cover furthest on;
only where none is ready does it begin a new cover, in list order, if that cover's noisy work still fits before the ban
and the cover alone before the deadline. A night on which that breaks a wet edge, the ban or the deadline is tried
again without the cover that was begun last: the gang is given the benefit of foresight.
"""

from __future__ import annotations

from truebed.programme.check_hours import wait_bounds
from truebed.programme.problem import OPEN, Job, Placed, Problem, Schedule


def finish_first(problem: Problem) -> Schedule:
    """The night's schedule; people are the whole team."""
    offered = list(problem.jobs)
    while offered:
        placed, broken = _night(problem, offered)
        if broken is None:
            return _schedule(problem, placed)
        offered = [job for job in offered if job.cover != broken]
    return Schedule((), (), 0)


def _night(problem: Problem, offered: list[Job]) -> tuple[list[Placed], str | None]:
    """What was done, and the cover to leave out where it does not hold."""
    who = tuple(range(problem.people))
    placed: dict[str, list[Placed]] = {}
    points = 0.0
    minute = problem.tm_set_min
    while minute < problem.window_min:
        step = _furthest_on(offered, placed, minute) or _new_cover(problem, offered, placed, minute, points)
        if step is None:
            minute += 1
            continue
        job, number = step
        task = job.tasks[number]
        points += task.points / max(1, task.people)
        done = placed.setdefault(job.cover, [])
        done.append(Placed(job.cover, task.step, minute, minute + task.minutes, who))
        too_loud = task.noisy and minute + task.minutes > problem.noise_ends_min
        if too_loud or not _wet_edges_hold(job, done):
            return [], list(placed)[-1]
        minute += task.minutes
    begun = [job for job in offered if job.cover in placed]
    late = any(len(placed[job.cover]) < len(job.tasks) for job in begun)
    everything = [p for of in placed.values() for p in of]
    if late or (everything and _schedule(problem, everything).open_min > problem.window_min):
        return [], list(placed)[-1]
    return everything, None


def _ready_from(job: Job, done: list[Placed]) -> int:
    """When the next step may start: every least wait from the steps done, each at its own hour."""
    at = {p.step: p for p in done}
    then = job.tasks[len(done)]
    ready = 0
    for lag in job.lags:
        if lag.to_step == then.step and lag.from_step in at:
            before = at[lag.from_step]
            edge = before.end_min if lag.from_edge == "end" else before.start_min
            least, _greatest = wait_bounds(lag, edge)
            ready = max(ready, edge + (least if least is not None else 0))
    return ready


def _furthest_on(offered: list[Job], placed: dict[str, list[Placed]], minute: int) -> tuple[Job, int] | None:
    ready = [
        (len(placed[job.cover]), -k, job)
        for k, job in enumerate(offered)
        if 0 < len(placed.get(job.cover, [])) < len(job.tasks) and _ready_from(job, placed[job.cover]) <= minute
    ]
    if not ready:
        return None
    number, _k, job = max(ready, key=lambda one: one[:2])
    return job, number


def _new_cover(
    problem: Problem, offered: list[Job], placed: dict[str, list[Placed]], minute: int, points: float
) -> tuple[Job, int] | None:
    for job in offered:
        if job.cover in placed:
            continue
        noisy = sum(task.minutes for task in job.tasks if task.noisy)
        chain = sum(task.minutes for task in job.tasks) + sum(
            lag.least_min for lag in job.lags if lag.least_min is not None
        )
        shaken = points + sum(task.points / max(1, task.people) for task in job.tasks)
        over = problem.most_points is not None and shaken > problem.most_points
        fits = minute + chain + problem.tm_clear_min <= problem.window_min
        if minute + noisy <= problem.noise_ends_min and fits and not over:
            return job, 0
    return None


def _wet_edges_hold(job: Job, done: list[Placed]) -> bool:
    at = {p.step: p for p in done}
    last = done[-1]
    for lag in job.lags:
        if lag.to_step == last.step and lag.from_step in at:
            before = at[lag.from_step]
            edge = before.end_min if lag.from_edge == "end" else before.start_min
            _least, greatest = wait_bounds(lag, edge)
            there = last.end_min if lag.to_edge == "end" else last.start_min
            if greatest is not None and there - edge > greatest:
                return False
    return True


def _schedule(problem: Problem, placed: list[Placed]) -> Schedule:
    done = tuple(job.cover for job in problem.jobs if any(p.cover == job.cover for p in placed))
    opening = max((p.end_min for p in placed), default=0) + (problem.tm_clear_min if placed else 0)
    for job in problem.jobs:
        for p in placed:
            for lag in job.lags:
                if p.cover == job.cover and lag.to_step == OPEN and lag.from_step == p.step:
                    least, _greatest = wait_bounds(lag, p.end_min)
                    opening = max(opening, p.end_min + (least if least is not None else 0))
    return Schedule(done, tuple(sorted(placed, key=lambda p: p.start_min)), opening)
