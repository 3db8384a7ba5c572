"""What tasks hold while they run (people, tools, skills) and how much of it the closure has."""

from __future__ import annotations

from itertools import combinations

from truebed.programme.problem import Problem, Task

#: A mean: ('people',), ('tool', kind), ('skill', skill) or ('skills', skill, skill, ...) for people who share skills.
Mean = tuple[str, ...]

#: Sets of skills grow as 2^n; above this many only pairs are looked at (crew.assign_people still tells the truth).
MOST_SKILLS_FOR_ALL_SETS = 6


def demands(task: Task) -> dict[Mean, int]:
    """What the task holds, without the shared-skill sets.

    Source      house
    Proved by   tests/programme/test_means.py
    """
    held: dict[Mean, int] = {}
    if task.people > 0:
        held[("people",)] = task.people
    for kind in task.tools:
        held[("tool", kind)] = task.tools.count(kind)
    if task.skill:
        held[("skill", task.skill)] = 1
    return held


def capacities(problem: Problem) -> dict[Mean, int]:
    """How much of each mean there is, shared-skill sets included.

    Source      algebra (Hall's condition: each set of wanted skills needs as many holders as steps that run at once)
    Proved by   tests/programme/test_means.py
    """
    have: dict[Mean, int] = {("people",): problem.people}
    have |= {("tool", kind): count for kind, count in problem.tools}
    have |= {("skill", skill): count for skill, count in problem.skills}
    wanted = sorted({task.skill for job in problem.jobs for task in job.tasks if task.skill})
    most = len(wanted) if len(wanted) <= MOST_SKILLS_FOR_ALL_SETS else 2
    if problem.crew_skills:
        for size in range(1, most + 1):
            for group in combinations(wanted, size):
                holders = sum(1 for skills in problem.crew_skills if set(skills) & set(group))
                key: Mean = ("skill", group[0]) if size == 1 else ("skills", *group)
                have[key] = min(holders, have.get(key, holders))
    return have


def held_by(task: Task, have: dict[Mean, int]) -> dict[Mean, int]:
    """What the task holds of the means there are, shared-skill sets included.

    Source      algebra
    Proved by   tests/programme/test_means.py
    """
    held = demands(task)
    if task.skill:
        held |= {mean: 1 for mean in have if mean[0] == "skills" and task.skill in mean[1:]}
    return held


def with_shadows(problem: Problem) -> dict[Mean, int]:
    """The means there are, and shadows of the people: the same crew, counted so that odd gaps do not count as free.

    Beside a step of three out of four people no step of two fits: the shadow ('people', 'from', '2') counts the three
    as four and a step of one as none. Any schedule that holds the crew holds every shadow; bounds gain by it.

    Source      [fekete-2001] dual feasible functions; algebra
    Proved by   tests/programme/test_means.py
    """
    have = capacities(problem)
    crew = problem.people
    if problem.teams:
        return have
    shadows: dict[Mean, int] = {("people", "from", str(least)): crew for least in range(2, crew // 2 + 1)}
    return have | shadows | {("people", "over half"): 1}


def held_with_shadows(task: Task, have: dict[Mean, int]) -> dict[Mean, int]:
    """What the task holds of the means and of the shadows of the people.

    Source      [fekete-2001] dual feasible functions; algebra
    Proved by   tests/programme/test_means.py
    """
    held = held_by(task, have)
    crew = have[("people",)]
    if ("people", "over half") not in have:
        return held
    if 2 * task.people > crew:
        held[("people", "over half")] = 1
    for mean in have:
        if mean[:2] == ("people", "from"):
            least = int(mean[2])
            counted = crew if task.people > crew - least else task.people if task.people >= least else 0
            if counted:
                held[mean] = counted
    return held
