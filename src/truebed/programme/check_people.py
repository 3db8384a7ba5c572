"""Verifies the people named on a schedule's steps, person by person: numbers, teams, skills, walks, points.

It shares no code with the solver or the rules.
"""

from __future__ import annotations

from fractions import Fraction

from truebed.findings import Finding, Severity
from truebed.programme.problem import Placed, Problem, Schedule, Task

#: (cover, step) -> the task
Tasks = dict[tuple[str, str], Task]


def check_people(problem: Problem, schedule: Schedule) -> tuple[Finding, ...]:
    """Who is on the steps (PR-023), walks between covers (PR-020), vibration points (PR-018), person by person.

    Where teams, walks or points matter everybody must be named; elsewhere only what is named is looked at.

    Valid       any schedule for any problem
    Source      algebra; the limits are the problem's own
    Proved by   tests/programme/test_check_people.py, tests/properties/test_programme.py
    """
    tasks: Tasks = {(job.cover, task.step): task for job in problem.jobs for task in job.tasks}
    known = [p for p in schedule.placed if p.cover in schedule.done and (p.cover, p.step) in tasks]
    must = bool(problem.teams or problem.walk_min) or problem.most_points is not None
    if not must and not any(p.people for p in known):
        return ()
    return (*_named(problem, tasks, known), *_one_by_one(problem, tasks, known))


def _finding(code: str, subject: str, what: str, value: float, unit: str, limit: str, mend: str) -> Finding:
    return Finding(code, Severity.BREAKS, subject, what, value, unit, limit, "", mend)


def _named(problem: Problem, tasks: Tasks, known: list[Placed]) -> list[Finding]:
    found: list[Finding] = []
    mend = "Name its people anew."
    for placed in known:
        task = tasks[placed.cover, placed.step]
        subject = f"{placed.cover}, {task.name}"
        people = set(placed.people)
        if len(people) != len(placed.people) or len(people) != task.people:
            what = "another number of people is named on the step than it takes"
            found.append(_finding("PR-023", subject, what, len(people), "people", f"{task.people}", mend))
        if any(person < 0 or person >= problem.people for person in people):
            what = "somebody is named who is not in the crew"
            found.append(_finding("PR-023", subject, what, max(people), "place", f"below {problem.people}", mend))
        elif _skill_lacks(problem, task, people):
            what = f"nobody named on the step has the skill '{task.skill}'"
            found.append(_finding("PR-023", subject, what, 0, "people", "1", mend))
    return found + _teams(problem, known)


def _skill_lacks(problem: Problem, task: Task, people: set[int]) -> bool:
    if not (task.skill and people and problem.crew_skills):
        return False
    return not any(task.skill in problem.crew_skills[person] for person in people)


def _teams(problem: Problem, known: list[Placed]) -> list[Finding]:
    team: dict[int, int] = {}
    for k, size in enumerate(problem.teams):
        team |= {len(team) + n: k for n in range(size)}
    found: list[Finding] = []
    for cover in dict.fromkeys(p.cover for p in known):
        on = {team.get(person, -1) for p in known if p.cover == cover for person in p.people}
        if problem.teams and len(on) > 1:
            what = "people of more than one team are on the cover"
            found.append(_finding("PR-023", cover, what, len(on), "teams", "1", "Leave it to one team."))
    return found


def _one_by_one(problem: Problem, tasks: Tasks, known: list[Placed]) -> list[Finding]:
    walk = {frozenset((a, b)): minutes for a, b, minutes in problem.walk_min}
    found: list[Finding] = []
    for person in sorted({person for p in known for person in p.people}):
        mine = sorted((p for p in known if person in p.people), key=lambda p: (p.start_min, p.end_min))
        who = f"person {person + 1}"
        for number, then in enumerate(mine):
            for before in mine[:number]:
                between = then.start_min - before.end_min
                needs = walk.get(frozenset((before.cover, then.cover)), 0) if before.cover != then.cover else 0
                # Two steps at once, or too little time from one cover to the other.
                overlap = before.end_min > then.start_min and then.end_min > then.start_min
                if overlap or between < needs:
                    code = "PR-023" if overlap else "PR-020"
                    what = "is on two steps at once" if overlap else "has too little time to walk between two covers"
                    subject = f"{who}, {before.cover} {before.step} to {then.cover} {then.step}"
                    mend = "Start the later step later."
                    found.append(_finding(code, subject, what, between, "min", f"at least {needs} min", mend))
        if problem.most_points is not None:
            points = sum(
                (Fraction(str(t.points)) / t.people for t in (tasks[p.cover, p.step] for p in mine)), Fraction()
            )
            if points > Fraction(str(problem.most_points)):
                what = "more vibration points than a person may have in the closure"
                limit = f"{problem.most_points:g}"
                mend = "Let others hold the tools, or leave a cover."
                found.append(_finding("PR-018", who, what, float(points), "points", limit, mend))
    return found
