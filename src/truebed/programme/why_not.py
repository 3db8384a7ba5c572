"""Why certain covers cannot all be done in a closure: the smallest set of reasons, and how little is missing.

Each reason is a rule of the closure that could be lifted. A set of reasons is enough where the covers cannot be done
with these rules alone; the smallest such set is the answer, so lifting any one of it is needed (not always enough).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from truebed.programme.alone import long_enough
from truebed.programme.model import build
from truebed.programme.possible import sort_jobs, why_never
from truebed.programme.problem import Problem
from truebed.programme.search import search

#: Deterministic limit of each question; one that stays open counts as 'can be done', so no reason is invented.
LIMIT_S = 1.0


@dataclass(frozen=True, slots=True)
class Reason:
    """A rule of the closure, in words, by a key that stays the same."""

    key: str
    words: str


@dataclass(frozen=True, slots=True)
class WhyNot:
    """reasons: the smallest set that rules the covers out together, () where none was proved; smallest: no smaller set
    does, else only that none of it can be spared."""

    covers: tuple[str, ...]
    reasons: tuple[Reason, ...]
    smallest: bool


Lift = Callable[[Problem], Problem]


def why_not(problem: Problem, covers: Sequence[str]) -> WhyNot:
    """The smallest set of reasons why these covers cannot all be done in the closure.

    Walks between covers are not among the reasons: what is ruled out is ruled out without them.

    Valid       covers that are offered
    Source      algebra (a set is enough where the covers do not fit when all other rules are lifted)
    Proved by   tests/programme/test_why_not.py
    """
    wanted = replace(problem, jobs=tuple(job for job in problem.jobs if job.cover in covers))
    never = [out for job in wanted.jobs if (out := why_never(problem, job)) is not None]
    if never:
        reasons = (Reason("never", f"{never[0].cover}: {never[0].reason}"),)
        return WhyNot(tuple(covers), reasons, smallest=True)
    lifts = _lifts(wanted)
    needed = list(lifts)
    if not _ruled_out(wanted, lifts, needed):
        return WhyNot(tuple(covers), (), smallest=False)
    for reason in list(needed):  # lift one after another what is not missed
        rest = [other for other in needed if other != reason]
        if _ruled_out(wanted, lifts, rest):
            needed = rest
    for size in range(1, len(needed)):
        for kept in combinations(lifts, size):
            if _ruled_out(wanted, lifts, kept):
                return WhyNot(tuple(covers), kept, smallest=True)
    return WhyNot(tuple(covers), tuple(needed), smallest=True)


def _ruled_out(problem: Problem, lifts: dict[Reason, Lift], kept: Sequence[Reason]) -> bool:
    """Whether the covers cannot all be done although all other rules are lifted; one worker, as many have no answer."""
    eased = replace(problem, window_min=long_enough(problem))
    if any(reason.key == "deadline" for reason in kept):
        eased = problem
    for reason, lift in lifts.items():
        if reason not in kept:
            eased = lift(eased)
    nets = sort_jobs(eased).nets
    if len(nets) < len(eased.jobs):
        return True
    made = build(eased, nets, must=frozenset(job.cover for job in eased.jobs))
    return search(eased, made, deterministic_limit_s=LIMIT_S, workers=1).answer == "infeasible"


def _lifts(problem: Problem) -> dict[Reason, Lift]:
    """The rules that this closure has, each with what the closure is without it."""
    far = long_enough(problem)
    most = sum(task.people for job in problem.jobs for task in job.tasks)
    found: dict[Reason, Lift] = {
        Reason("deadline", f"the road must be open by minute {problem.window_min}"): lambda p: p,
        Reason("people", f"the crew is {problem.people}"): lambda p: replace(p, people=max(most, 1), teams=()),
    }
    if any(task.noisy for job in problem.jobs for task in job.tasks):
        words = f"noisy work must end by minute {problem.noise_ends_min}"
        found[Reason("noise", words)] = lambda p: replace(p, noise_ends_min=far)
    for kind in sorted({kind for job in problem.jobs for task in job.tasks for kind in task.tools}):
        have = dict(problem.tools).get(kind, 0)
        found[Reason(f"tool {kind}", f"there is {have} of '{kind}'")] = _lift_tool(kind, most)
    if any(task.skill for job in problem.jobs for task in job.tasks):
        found[Reason("skills", "few people have the skills")] = _lift_skills(most)
    if any(task.not_during for job in problem.jobs for task in job.tasks):
        words = "rain or temperature forbids hours to some steps"
        found[Reason("forbidden hours", words)] = _lift_spans
    if problem.most_points is not None:
        words = f"nobody may have more than {problem.most_points:g} vibration points"
        found[Reason("points", words)] = lambda p: replace(p, most_points=None)
    if problem.breaks:
        found[Reason("rests", "everybody rests")] = lambda p: replace(p, breaks=())
    if problem.stock:
        found[Reason("stock", "the kits in stock")] = lambda p: replace(p, stock=())
    if len({job.stage for job in problem.jobs}) > 1:
        found[Reason("lanes", "lanes are shut one after another")] = _lift_lanes
    if any(lag.greatest_min is not None or lag.greatest_profile for job in problem.jobs for lag in job.lags):
        found[Reason("greatest waits", "wet edges and working lives do not wait")] = _lift_greatest
    return found


def _lift_tool(kind: str, most: int) -> Lift:
    def lift(problem: Problem) -> Problem:
        others = tuple(tool for tool in problem.tools if tool[0] != kind)
        return replace(problem, tools=(*others, (kind, max(most, sum(len(job.tasks) for job in problem.jobs)))))

    return lift


def _lift_skills(most: int) -> Lift:
    def lift(problem: Problem) -> Problem:
        wanted = {task.skill for job in problem.jobs for task in job.tasks if task.skill}
        return replace(problem, skills=tuple((skill, max(most, 1)) for skill in sorted(wanted)), crew_skills=())

    return lift


def _lift_spans(problem: Problem) -> Problem:
    free = tuple(replace(job, tasks=tuple(replace(t, not_during=()) for t in job.tasks)) for job in problem.jobs)
    return replace(problem, jobs=free)


def _lift_lanes(problem: Problem) -> Problem:
    return replace(problem, jobs=tuple(replace(job, stage=0) for job in problem.jobs))


def _lift_greatest(problem: Problem) -> Problem:
    jobs = tuple(
        replace(job, lags=tuple(replace(lag, greatest_min=None, greatest_profile=()) for lag in job.lags))
        for job in problem.jobs
    )
    return replace(problem, jobs=jobs)
