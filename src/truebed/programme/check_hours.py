"""Verifies hours that a schedule must keep: forbidden spans, lanes, rests; and reads waits that vary by the hour.

Like check, it shares no code with the solver or the rules: every reading here is its own.
"""

from __future__ import annotations

import math
from fractions import Fraction

from truebed.findings import Finding, Severity
from truebed.programme.problem import OPEN, Job, Lag, Placed, Problem, Schedule, Task

#: (cover, step) -> the task
Tasks = dict[tuple[str, str], Task]


def wait_of(points: tuple[tuple[int, int], ...], minute: int) -> Fraction:
    """The wait at that minute by the points around it, the nearest point's beyond both ends.

    Valid       at least one point
    Source      house (problem.Lag)
    Proved by   tests/programme/test_check_hours.py
    """
    before = [point for point in points if point[0] <= minute]
    after = [point for point in points if point[0] >= minute]
    if not before:
        return Fraction(after[0][1])
    if not after or before[-1][0] == after[0][0]:
        return Fraction(before[-1][1])
    (a, wait_a), (b, wait_b) = before[-1], after[0]
    return wait_a + Fraction((wait_b - wait_a) * (minute - a), b - a)


def wait_bounds(lag: Lag, minute: int) -> tuple[int | None, int | None]:
    """The least and the greatest wait of a lag whose from edge lies at that minute of the closure.

    Source      house (problem.Lag)
    Proved by   tests/programme/test_check_hours.py
    """
    least = math.ceil(wait_of(lag.profile, minute)) if lag.profile else lag.least_min
    greatest = math.floor(wait_of(lag.greatest_profile, minute)) if lag.greatest_profile else lag.greatest_min
    return least, greatest


def check_hours(problem: Problem, schedule: Schedule) -> tuple[Finding, ...]:
    """Forbidden spans (PR-019), rests (PR-021), lanes (PR-022) and stock (PR-024).

    Valid       any schedule for any problem
    Source      algebra; the limits are the problem's own
    Proved by   tests/programme/test_check_hours.py, tests/properties/test_programme.py
    """
    done = [job for job in problem.jobs if job.cover in schedule.done]
    tasks: Tasks = {(job.cover, task.step): task for job in done for task in job.tasks}
    known = [placed for placed in schedule.placed if (placed.cover, placed.step) in tasks]
    return (
        *_forbidden(tasks, known),
        *_rests(problem, tasks, known),
        *_lanes(problem, done, known),
        *_stock(problem, done),
    )


def _finding(code: str, subject: str, what: str, value: int, unit: str, limit: str, mend: str) -> Finding:
    return Finding(code, Severity.BREAKS, subject, what, float(value), unit, limit, "", mend)


def _forbidden(tasks: Tasks, known: list[Placed]) -> list[Finding]:
    found: list[Finding] = []
    for placed in known:
        task = tasks[placed.cover, placed.step]
        for a, b in task.not_during:
            inside = [minute for minute in range(placed.start_min, placed.end_min) if a <= minute < b]
            if inside:
                what = "the step runs in hours that are forbidden to it, by rain or by temperature"
                limit = f"not from minute {a} to {b}"
                subject = f"{placed.cover}, {task.name}"
                found.append(_finding("PR-019", subject, what, inside[0], "min", limit, "Move it or leave the cover."))
    return found


def _rests(problem: Problem, tasks: Tasks, known: list[Placed]) -> list[Finding]:
    """A team rests together: minutes in which nobody of it is on a step; two rests are two spells."""
    found: list[Finding] = []
    for name, mine in _by_team(problem, tasks, known):
        resting: set[int] = set()
        for not_before, not_after, minutes in sorted(problem.breaks, key=lambda rest: rest[1]):
            work = {m for p in mine for m in range(p.start_min, p.end_min)} | resting
            starts = range(not_before, not_after + 1)
            start = next((s for s in starts if not work.intersection(range(s, s + minutes))), None)
            if start is None:
                limit = f"begun from minute {not_before} to {not_after}"
                what = "there is no spell in which all rest together"
                found.append(_finding("PR-021", name, what, minutes, "min", limit, "Leave them a rest."))
                continue
            resting |= set(range(start, start + minutes))
    return found


def _by_team(problem: Problem, tasks: Tasks, known: list[Placed]) -> list[tuple[str, list[Placed]]]:
    busy = [p for p in known if tasks[p.cover, p.step].people > 0]
    if not problem.teams:
        return [("crew", busy)]
    sorted_out: list[tuple[str, list[Placed]]] = []
    first = 0
    for k, size in enumerate(problem.teams):
        mine = [p for p in busy if any(first <= person < first + size for person in p.people)]
        sorted_out.append((f"team {k + 1}", mine))
        first += size
    return sorted_out


def _lanes(problem: Problem, done: list[Job], known: list[Placed]) -> list[Finding]:
    found: list[Finding] = []
    carries: dict[int, int] = {}
    for job in done:
        at = {p.step: p for p in known if p.cover == job.cover}
        ends = [p.end_min for p in at.values()]
        for lag in job.lags:
            before = at.get(lag.from_step)
            if lag.to_step == OPEN and before is not None:
                edge = before.end_min if lag.from_edge == "end" else before.start_min
                least, _greatest = wait_bounds(lag, edge)
                ends.append(edge if least is None else edge + least)
        if ends:
            carries[job.stage] = max(carries.get(job.stage, 0), *ends)
    for job in done:
        needed = [minute + problem.stage_min for stage, minute in carries.items() if stage < job.stage]
        begins = [p.start_min for p in known if p.cover == job.cover]
        if needed and begins and min(begins) < max(needed):
            what = "work begins in this lane before the lane before carries traffic and the cones are moved"
            limit = f"from minute {max(needed)}"
            found.append(_finding("PR-022", job.cover, what, min(begins), "min", limit, "Start later."))
    return found


def _stock(problem: Problem, done: list[Job]) -> list[Finding]:
    found: list[Finding] = []
    for kind, have in problem.stock:
        taken = sum(count for job in done for of, count in job.kits if of == kind)
        if taken > have:
            what = "more kits are taken than there are"
            found.append(_finding("PR-024", kind, what, taken, "kits", f"{have}", "Bring more or leave a cover."))
    return found
