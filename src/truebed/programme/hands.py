"""The people by their places in the crew: teams, walks between covers, vibration points; who is free for a step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from truebed.programme.problem import Placed, Problem, Task

#: From minute, to minute, cover, points of one person
Spell = tuple[int, int, str, Fraction]


def are_named(problem: Problem) -> bool:
    """Whether it matters who is on a step: teams, walks or points; else counts of people are enough.

    Source      house
    Proved by   tests/programme/test_hands.py
    """
    return bool(problem.teams or problem.walk_min) or problem.most_points is not None


def team_spans(problem: Problem) -> tuple[range, ...]:
    """The places in the crew of each team's people; one span of all where there are no teams.

    Source      house
    Proved by   tests/programme/test_hands.py
    """
    spans: list[range] = []
    first = 0
    for size in problem.teams or (problem.people,):
        spans.append(range(first, first + size))
        first += size
    return tuple(spans)


def walks_of(problem: Problem) -> dict[tuple[str, str], int]:
    """Minutes between two covers, both ways; a pair not named is not in it and takes none.

    Source      house
    Proved by   tests/programme/test_hands.py
    """
    both = {(a, b): minutes for a, b, minutes in problem.walk_min}
    return both | {(b, a): minutes for (a, b), minutes in both.items() if (b, a) not in both}


def share_of(task: Task) -> Fraction:
    """Vibration points of each of the step's people, who hold its tool in even turns.

    Valid       a step of at least one person, or without points
    Source      house
    Proved by   tests/programme/test_hands.py
    """
    return Fraction(str(task.points)) / max(1, task.people)


def has_skill(problem: Problem, person: int, skill: str) -> bool:
    """Whether that person has the skill; everybody where the crew's skills are only counted.

    Source      house
    Proved by   tests/programme/test_hands.py
    """
    return not skill or not problem.crew_skills or skill in problem.crew_skills[person]


@dataclass(slots=True)
class Hands:
    """Who is where, as a schedule grows."""

    problem: Problem
    walks: dict[tuple[str, str], int]
    spells: dict[int, list[Spell]] = field(default_factory=dict)
    sums: dict[int, Fraction] = field(default_factory=dict)

    def who(self, task: Task, start: int, span: Sequence[int]) -> tuple[int, ...] | None:
        """The step's people at that start: the skill first, then those who know the cover, then fewest points."""
        free = [p for p in span if self._can(p, task, start)]

        def cost(person: int) -> tuple[int, Fraction, int, int]:
            known = any(spell[2] == task.cover for spell in self.spells.get(person, ()))
            skills = len(self.problem.crew_skills[person]) if self.problem.crew_skills else 0
            return (0 if known else 1, self._points(person), skills, person)

        free.sort(key=cost if not task.points else lambda p: (self._points(p), p))
        holder = next((p for p in free if has_skill(self.problem, p, task.skill)), None)
        if len(free) < task.people or (task.skill and holder is None and task.people):
            return None
        first = [holder] if task.skill and holder is not None and task.people else []
        others = [p for p in free if p not in first]
        return tuple(sorted([*first, *others[: task.people - len(first)]]))

    def _points(self, person: int) -> Fraction:
        return self.sums.get(person, Fraction(0))

    def _can(self, person: int, task: Task, start: int) -> bool:
        most = self.problem.most_points
        if task.points and most is not None and self._points(person) + share_of(task) > Fraction(str(most)):
            return False
        for begun, ended, cover, _points in self.spells.get(person, ()):
            walk = self.walks.get((cover, task.cover), 0) if cover != task.cover else 0
            if start < ended + walk and begun < start + task.minutes + walk:
                return False
        return True

    def take(self, task: Task, start: int, people: Sequence[int]) -> None:
        """Put them on the step."""
        for person in people:
            self.spells.setdefault(person, []).append((start, start + task.minutes, task.cover, share_of(task)))
            self.sums[person] = self._points(person) + share_of(task)

    def release(self, task: Task, start: int, people: Sequence[int]) -> None:
        """Take them off it again."""
        for person in people:
            self.spells[person].remove((start, start + task.minutes, task.cover, share_of(task)))
            self.sums[person] = self._points(person) - share_of(task)


def team_of(problem: Problem, placed: Sequence[Placed]) -> dict[str, int]:
    """Each cover's team, read from the people on its steps; the first team where nobody is named.

    Source      algebra
    Proved by   tests/programme/test_hands.py
    """
    spans = team_spans(problem)
    found: dict[str, int] = {}
    for one in placed:
        for person in one.people:
            found.setdefault(one.cover, next(k for k, span in enumerate(spans) if person in span))
    return {one.cover: found.get(one.cover, 0) for one in placed}
