"""Why a cover is not done in this closure, and how many minutes it lacks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from truebed.programme.alone import alone, earliest, long_enough
from truebed.programme.list_schedule import list_schedules
from truebed.programme.model import build, hint
from truebed.programme.possible import sort_jobs, why_never
from truebed.programme.problem import Job, LeftOut, Problem, Schedule, Solution
from truebed.programme.search import search

Clock = Callable[[int], str]

#: Deterministic limit of the search for the least longer window, for each cover left out.
LIMIT_S = 0.6


def minute_words(minute: int) -> str:
    """A minute of the closure in words, where the caller knows no clock.

    Source      house
    Proved by   tests/programme/test_left_out.py
    """
    return f"minute {minute} after the road shuts"


def left_out(problem: Problem, solution: Solution, *, clock: Clock = minute_words) -> tuple[LeftOut, ...]:
    """Each cover that is not done: the first reason that holds, and the shortfall in minutes where there is one.

    clock       turns a minute of the closure into the words of the sentence, such as a time of day

    The reasons in turn: means or lags that rule it out; too long even alone; its noisy work too late even alone; no
    room beside the covers chosen, with the least longer window found that takes it too.

    Valid       the solution of that problem
    Source      house (the order); algebra
    Proved by   tests/programme/test_left_out.py
    """
    found: list[LeftOut] = []
    for job in problem.jobs:
        if job.cover not in solution.schedule.done:
            found.append(
                why_never(problem, job) or _why_not_alone(problem, job, clock) or _no_room(problem, job, solution)
            )
    return tuple(found)


def _why_not_alone(problem: Problem, job: Job, clock: Clock) -> LeftOut | None:
    return _why_in_any_weather(problem, job, clock) or _forbidden_hours(problem, job)


def _forbidden_hours(problem: Problem, job: Job) -> LeftOut | None:
    """A cover that would fit alone in a dry and mild night, but not in this one."""
    if not any(task.not_during for task in job.tasks):
        return None
    if earliest(alone(problem, job), ("open",)) is not None:
        return None
    names = ", ".join(f"'{task.name}'" for task in job.tasks if task.not_during)
    reason = f"alone it finds no place beside the hours in which rain or temperature forbids {names}"
    free = earliest(alone(problem, job, deadline=False), ("open",))
    return LeftOut(job.cover, reason, None if free is None else free.open_min - problem.window_min)


def _why_in_any_weather(problem: Problem, job: Job, clock: Clock) -> LeftOut | None:
    job = replace(job, tasks=tuple(replace(task, not_during=()) for task in job.tasks))
    free = earliest(alone(problem, job, deadline=False, noise=False), ("open",))
    if free is None:
        return LeftOut(job.cover, "no order of its steps was found even without deadline and noise ban", None)
    if free.open_min > problem.window_min:
        return _too_long(problem, job, free, "")
    quiet = earliest(alone(problem, job, deadline=False), ("open",))
    if quiet is None:
        return _too_noisy(problem, job, clock)
    if quiet.open_min > problem.window_min:
        return _too_long(problem, job, quiet, f", with its noisy work ended by {clock(problem.noise_ends_min)}")
    return None


def _too_long(problem: Problem, job: Job, schedule: Schedule, aside: str) -> LeftOut:
    needs = f"alone it needs {schedule.open_min} min of the {problem.window_min} there are{aside}"
    return LeftOut(job.cover, needs, schedule.open_min - problem.window_min)


def _too_noisy(problem: Problem, job: Job, clock: Clock) -> LeftOut:
    """The least end of its noisy work, without any ban."""
    reason = f"its noisy work cannot end by {clock(problem.noise_ends_min)} even alone"
    soonest = earliest(alone(problem, job, deadline=False, noise=False), ("noisy end",))
    if soonest is None:
        return LeftOut(job.cover, reason, None)
    noisy = {task.step for task in job.tasks if task.noisy}
    end = max(placed.end_min for placed in soonest.placed if placed.step in noisy)
    return LeftOut(job.cover, f"{reason}; the soonest is {clock(end)}", end - problem.noise_ends_min)


def _no_room(problem: Problem, job: Job, solution: Solution) -> LeftOut:
    chosen = "the covers chosen, which weigh more"
    room = f"there is no room beside {chosen}" if solution.weight_proven else f"no room was found beside {chosen}"
    together = tuple(j for j in problem.jobs if j.cover in (*solution.schedule.done, job.cover))
    answer, longer = _least_window(replace(problem, jobs=together))
    if answer == "infeasible":
        return LeftOut(job.cover, f"{room}; all their noisy work does not fit before the noise ban either", None)
    if longer is None:
        return LeftOut(job.cover, room, None)
    more = longer - problem.window_min
    if more <= 0:  # only where the solver did not prove its weight: the wider search found the room after all
        return LeftOut(job.cover, f"{room} in the time the search had, but it would fit: plan again with more", 0)
    return LeftOut(job.cover, f"{room}; with {more} more minutes of window it would fit", more)


def _least_window(together: Problem) -> tuple[str, int | None]:
    """The opening of all these covers together with no deadline, as early as rules and a short search found."""
    wide = replace(together, window_min=long_enough(together))
    covers = frozenset(job.cover for job in wide.jobs)
    first = next((s for s in list_schedules(wide) if set(s.done) == covers), None)
    if first is not None:
        wide = replace(wide, window_min=first.open_min)
    nets = sort_jobs(wide).nets
    if len(nets) < len(covers):
        return "infeasible", None
    made = build(wide, nets, must=covers)
    made.model.minimize(made.open)
    if first is not None:
        hint(made, first)
    found = search(wide, made, deterministic_limit_s=LIMIT_S, workers=1)
    best = first if found.schedule is None else found.schedule
    return found.answer, None if best is None else best.open_min
