"""Verifies any schedule against its problem, from the two alone: it shares no code with the solver or the rules.

PR-001 a cover that is done is not offered in the closure, or is named twice
PR-002 a step of a cover that is done is not placed
PR-003 a step is placed more than once
PR-004 a placed step belongs to no cover that is done
PR-005 a step is placed with another length than it takes
PR-006 a step starts before the traffic management is set
PR-007 a least lag between two steps is cut short
PR-008 a greatest lag between two steps is overrun
PR-009 the road opens before a clock that leads to the opening has run out
PR-010 more people at work than there are
PR-011 more tools of a kind in use than there are
PR-012 more steps that need a skill at once than people who have it
PR-013 noisy work after the noise ban begins
PR-014 the road opens before the traffic management can be off after the last step
PR-015 the road opens after its deadline
PR-016 steps that run at once need skills that too few people share out between them
PR-017 (crew.assign_people) a step for which no free person, or none with its skill, is left
PR-018 (check_people) a person gathers more vibration points than the budget
PR-019 (check_hours) a step runs in hours forbidden to it
PR-020 (check_people) a person has too little time to walk from one cover to the next
PR-021 (check_hours) there is no spell in which a team rests together
PR-022 (check_hours) work in a lane begins before the lane before carries traffic and the cones are moved
PR-023 (check_people) people named on a step: too few or too many, at two steps at once, without the skill, of two teams
PR-024 (check_hours) more kits are taken than the stock has
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations

from truebed.findings import Finding, Severity
from truebed.programme.check_hours import check_hours, wait_bounds
from truebed.programme.check_people import check_people
from truebed.programme.problem import OPEN, Job, Lag, Placed, Problem, Schedule, Task

Found = list[Finding]
#: (cover, step) -> the task
Tasks = dict[tuple[str, str], Task]


def check_schedule(problem: Problem, schedule: Schedule) -> tuple[Finding, ...]:
    """Every rule that the schedule breaks; () where it holds. What is missing is named, the rest still checked.

    Valid       any schedule for any problem, by whatever hand it was made
    Source      algebra; the limits are the problem's own
    Proved by   tests/programme/test_check.py, tests/properties/test_programme.py
    """
    done = [job for job in problem.jobs if job.cover in schedule.done]
    tasks: Tasks = {(job.cover, task.step): task for job in done for task in job.tasks}
    known = [placed for placed in schedule.placed if (placed.cover, placed.step) in tasks]
    return (
        *_covers(problem, schedule),
        *_placing(tasks, schedule, known),
        *_hours(problem, schedule, tasks, known),
        *(finding for job in done for finding in _lags(job, schedule)),
        *_means(problem, tasks, known),
        *check_hours(problem, schedule),
        *check_people(problem, schedule),
    )


def _breaks(
    code: str, subject: str, what: str, value_min: int | None, limit: str, mend: str, unit: str = "min"
) -> Finding:
    value = None if value_min is None else float(value_min)
    return Finding(code, Severity.BREAKS, subject, what, value, unit if value is not None else "", limit, "", mend)


def _covers(problem: Problem, schedule: Schedule) -> Found:
    offered = Counter(job.cover for job in problem.jobs)
    found: Found = []
    for cover, times in sorted(Counter(schedule.done).items()):
        if offered[cover] != 1 or times != 1:
            what = (
                "is named as done but is not offered once in this closure" if times == 1 else "is named as done twice"
            )
            found.append(_breaks("PR-001", cover, what, None, "", "Take it out of the programme."))
    return found


def _placing(tasks: Tasks, schedule: Schedule, known: list[Placed]) -> Found:
    found: Found = []
    times = Counter((placed.cover, placed.step) for placed in known)
    for (cover, step), task in tasks.items():
        subject = f"{cover}, {task.name}"
        if times[cover, step] == 0:
            found.append(_breaks("PR-002", subject, "the step is not placed", None, "", "Place it or leave the cover."))
        if times[cover, step] > 1:
            found.append(
                _breaks(
                    "PR-003",
                    subject,
                    "the step is placed more than once",
                    times[cover, step],
                    "1 time",
                    "Keep one.",
                    "times",
                )
            )
    for placed in schedule.placed:
        task_of = tasks.get((placed.cover, placed.step))
        subject = f"{placed.cover}, {placed.step}"
        if task_of is None:
            what = "the step is placed but belongs to no cover that is done"
            found.append(_breaks("PR-004", subject, what, None, "", "Take it out."))
        elif placed.end_min - placed.start_min != task_of.minutes:
            length = placed.end_min - placed.start_min
            found.append(
                _breaks(
                    "PR-005",
                    f"{placed.cover}, {task_of.name}",
                    "the step has another length than it takes",
                    length,
                    f"{task_of.minutes} min",
                    "Give it its own length.",
                )
            )
    return found


def _hours(problem: Problem, schedule: Schedule, tasks: Tasks, known: list[Placed]) -> Found:
    found: Found = []
    for placed in known:
        task = tasks[placed.cover, placed.step]
        subject = f"{placed.cover}, {task.name}"
        if placed.start_min < problem.tm_set_min:
            found.append(
                _breaks(
                    "PR-006",
                    subject,
                    "starts before the traffic management is set",
                    placed.start_min,
                    f"from minute {problem.tm_set_min}",
                    "Start it later.",
                )
            )
        if task.noisy and placed.end_min > problem.noise_ends_min:
            found.append(
                _breaks(
                    "PR-013",
                    subject,
                    "noisy work goes on after the noise ban begins",
                    placed.end_min,
                    f"by minute {problem.noise_ends_min}",
                    "Do it sooner or leave the cover.",
                )
            )
    if known:
        last = max(placed.end_min for placed in known)
        if schedule.open_min < last + problem.tm_clear_min:
            found.append(
                _breaks(
                    "PR-014",
                    "opening",
                    "the road opens before the traffic management can be off",
                    schedule.open_min,
                    f"from minute {last + problem.tm_clear_min}",
                    "Open later.",
                )
            )
    if schedule.open_min > problem.window_min:
        found.append(
            _breaks(
                "PR-015",
                "opening",
                "the road opens after its deadline",
                schedule.open_min,
                f"by minute {problem.window_min}",
                "Do fewer covers or have a longer closure.",
            )
        )
    return found


def _lags(job: Job, schedule: Schedule) -> Found:
    at: dict[str, Placed] = {}
    for placed in schedule.placed:
        if placed.cover == job.cover:
            at.setdefault(placed.step, placed)
    found: Found = []
    for lag in job.lags:
        before = at.get(lag.from_step)
        if before is None:
            continue
        begins = before.end_min if lag.from_edge == "end" else before.start_min
        subject = f"{job.cover}, {lag.from_step} {lag.from_edge} to {lag.to_step}"
        least, greatest = wait_bounds(lag, begins)
        if lag.to_step == OPEN:
            found += _lag_to_open(lag, subject, schedule.open_min - begins, least)
            continue
        after = at.get(lag.to_step)
        if after is None:
            continue
        between = (after.end_min if lag.to_edge == "end" else after.start_min) - begins
        if least is not None and between < least:
            found.append(
                _breaks(
                    "PR-007",
                    f"{subject} {lag.to_edge}",
                    f"too short a wait: {lag.why}",
                    between,
                    f"at least {least} min",
                    "Wait longer.",
                )
            )
        if greatest is not None and between > greatest:
            found.append(
                _breaks(
                    "PR-008",
                    f"{subject} {lag.to_edge}",
                    f"too long a wait: {lag.why}",
                    between,
                    f"at most {greatest} min",
                    "Start the former step later.",
                )
            )
    return found


def _lag_to_open(lag: Lag, subject: str, between_min: int, least_min: int | None) -> Found:
    if least_min is None or between_min >= least_min:
        return []
    return [
        _breaks(
            "PR-009",
            subject,
            f"the road opens too soon: {lag.why}",
            between_min,
            f"at least {least_min} min",
            "Open later.",
        )
    ]


def _means(problem: Problem, tasks: Tasks, known: list[Placed]) -> Found:
    """One finding for each mean that is short, at the minute where it is shortest."""
    worst: dict[tuple[str, str], tuple[int, int, int]] = {}  # (code, mean) -> short by, minute, in use
    limits: dict[tuple[str, str], int] = {}
    for minute in sorted({placed.start_min for placed in known}):
        running = [tasks[p.cover, p.step] for p in known if p.start_min <= minute < p.end_min]
        for key, (used, have) in _used(problem, running).items():
            limits[key] = have
            if used > have and (used - have) > worst.get(key, (0, 0, 0))[0]:
                worst[key] = (used - have, minute, used)
    found: Found = []
    for (code, mean), (_short, minute, used) in sorted(worst.items()):
        found.append(
            _breaks(
                code,
                f"{mean}, minute {minute}",
                "more is in use than there is",
                used,
                f"{limits[code, mean]}",
                "Move one of the steps.",
                "at once",
            )
        )
    return found


def _used(problem: Problem, running: list[Task]) -> dict[tuple[str, str], tuple[int, int]]:
    """In use and at hand, for each mean that the running steps hold."""
    tools, skills = dict(problem.tools), dict(problem.skills)
    used = {("PR-010", "people"): (sum(task.people for task in running), problem.people)}
    for kind, count in Counter(kind for task in running for kind in task.tools).items():
        used["PR-011", f"tool '{kind}'"] = (count, tools.get(kind, 0))
    wanted = Counter(task.skill for task in running if task.skill)
    for skill, count in wanted.items():
        used["PR-012", f"skill '{skill}'"] = (count, skills.get(skill, 0))
    if problem.crew_skills:
        for size in range(1, len(wanted) + 1):
            for group in combinations(sorted(wanted), size):
                holders = sum(1 for has in problem.crew_skills if any(skill in has for skill in group))
                used["PR-016", "skills " + ", ".join(group)] = (sum(wanted[skill] for skill in group), holders)
    return used
