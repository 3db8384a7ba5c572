"""Who does what: names given to the steps of a schedule that only counted people."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from truebed.findings import Finding, Severity
from truebed.programme.problem import Placed, Problem, Schedule, Task

#: (name, skills)
People = tuple[tuple[str, tuple[str, ...]], ...]
#: Deterministic limit of the exact search, which runs only where one step after another left somebody out.
LIMIT_S = 2.0


@dataclass(frozen=True, slots=True)
class Assignment:
    """The people of one step, in the crew's order; fewer than it needs where a finding says so."""

    cover: str
    step: str
    people: tuple[str, ...]


def assign_people(
    problem: Problem, schedule: Schedule, people: People
) -> tuple[tuple[Assignment, ...], tuple[Finding, ...]]:
    """Each step's people by name, and a finding (PR-017) for each step that cannot be manned from start to end.

    Nobody does two steps at once; one of a step's people has its skill; a cover keeps its people where it can. First
    one step after another, keeping rare skills free; where that leaves a gap, an exact search for the fewest gaps.

    Valid       a schedule that check_schedule passes; its own count of people may still not be enough by skill
    Source      house
    Proved by   tests/programme/test_crew.py
    """
    named = _already_named(schedule, people)
    if named is not None:
        return named, ()
    tasks = {(job.cover, task.step): task for job in problem.jobs for task in job.tasks}
    placed = tuple(p for p in schedule.placed if (p.cover, p.step) in tasks)
    needs = [tasks[p.cover, p.step] for p in placed]
    chosen = _one_after_another(placed, needs, people)
    if any(_gaps(task, names, people) for task, names in zip(needs, chosen, strict=True)):
        chosen = _fewest_gaps(placed, needs, people)
    assigned = tuple(Assignment(p.cover, p.step, names) for p, names in zip(placed, chosen, strict=True))
    lacking = tuple(
        _finding(p, task, gap)
        for p, task, names in zip(placed, needs, chosen, strict=True)
        for gap in _gaps(task, names, people)
    )
    return assigned, lacking


def _already_named(schedule: Schedule, people: People) -> tuple[Assignment, ...] | None:
    """The names of a programme that was made with people in it: teams, walks and points depend on who is where."""
    places = [place for p in schedule.placed for place in p.people]
    if not places or max(places) >= len(people):
        return None
    return tuple(Assignment(p.cover, p.step, tuple(people[place][0] for place in p.people)) for p in schedule.placed)


def _gaps(task: Task, names: Sequence[str], people: People) -> list[str]:
    gaps: list[str] = []
    skilled = {name for name, skills in people if task.skill in skills}
    if task.skill and not skilled & set(names):
        gaps.append(f"nobody with the skill '{task.skill}' is free for the whole of the step")
    if len(names) < task.people:
        gaps.append(f"only {len(names)} of its {task.people} people are free for the whole of the step")
    return gaps


def _finding(placed: Placed, task: Task, gap: str) -> Finding:
    return Finding(
        "PR-017",
        Severity.BREAKS,
        f"{placed.cover}, {task.name}",
        f"{gap}, from minute {placed.start_min} to {placed.end_min}",
        mend="Bring one more person with the skill, or let two people change over during a step.",
    )


def _overlap(a: Placed, b: Placed) -> bool:
    return a.start_min < b.end_min and b.start_min < a.end_min


def _one_after_another(placed: Sequence[Placed], needs: Sequence[Task], people: People) -> list[tuple[str, ...]]:
    chosen: list[tuple[str, ...]] = [() for _ in placed]
    on_cover: dict[str, set[str]] = {}
    order = sorted(range(len(placed)), key=lambda k: (placed[k].start_min, -int(bool(needs[k].skill)), k))
    for k in order:
        busy = {name for j in range(len(placed)) if _overlap(placed[j], placed[k]) for name in chosen[j]}
        free = [(name, skills) for name, skills in people if name not in busy]
        wanted_soon = {needs[j].skill for j in range(len(placed)) if _overlap(placed[j], placed[k]) and j != k} - {""}
        known = on_cover.setdefault(placed[k].cover, set())

        def cost(person: tuple[str, tuple[str, ...]], soon: set[str] = wanted_soon, known: set[str] = known) -> int:
            # A skill that a step running at the same time wants outweighs knowing the cover.
            return 4 * len(soon & set(person[1])) - (1 if person[0] in known else 0)

        names: list[str] = []
        if needs[k].skill:
            holders = sorted((p for p in free if needs[k].skill in p[1]), key=cost)
            names += [name for name, _skills in holders[: min(1, needs[k].people)]]
        others = sorted((p for p in free if p[0] not in names), key=cost)
        names += [name for name, _skills in others[: max(0, needs[k].people - len(names))]]
        chosen[k] = _in_order(names, people)
        known |= set(names)
    return chosen


def _in_order(names: Sequence[str], people: People) -> tuple[str, ...]:
    return tuple(name for name, _skills in people if name in names)


def _fewest_gaps(placed: Sequence[Placed], needs: Sequence[Task], people: People) -> list[tuple[str, ...]]:
    """Exact: fewest empty places and unskilled steps, then fewest different people on a cover."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    does = [[model.new_bool_var(f"{k} {p}") for p in range(len(people))] for k in range(len(placed))]
    gains: list[cp_model.LinearExpr | cp_model.IntVar] = []
    for k, task in enumerate(needs):
        model.add(sum(does[k]) <= task.people)
        gains.append(cp_model.LinearExpr.sum(does[k]))
        if task.skill:
            manned = model.new_bool_var(f"skill {k}")
            model.add(manned <= sum(d for d, (_n, skills) in zip(does[k], people, strict=True) if task.skill in skills))
            gains.append(manned)
    for start in sorted({p.start_min for p in placed}):
        running = [k for k, p in enumerate(placed) if p.start_min <= start < p.end_min]
        for p in range(len(people)):
            model.add_at_most_one(does[k][p] for k in running)
    here = {
        (c, p): model.new_bool_var(f"{c} {p}")
        for c in dict.fromkeys(x.cover for x in placed)
        for p in range(len(people))
    }
    for k, at in enumerate(placed):
        for p in range(len(people)):
            model.add_implication(does[k][p], here[at.cover, p])
    model.maximize((len(here) + 1) * cp_model.LinearExpr.sum(gains) - sum(here.values()))
    solver = cp_model.CpSolver()
    solver.parameters.random_seed = 1
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = LIMIT_S
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return _one_after_another(placed, needs, people)
    return [tuple(name for p, (name, _s) in enumerate(people) if solver.value(does[k][p])) for k in range(len(placed))]
