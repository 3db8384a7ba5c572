"""The night's facts set against the problem: what each cover still has to do, and which ways out it has."""

from __future__ import annotations

from dataclasses import dataclass, replace

from truebed.errors import NotDeterminedError
from truebed.programme.problem import OPEN, Edge, Job, Lag, Problem, Schedule, Task
from truebed.programme.profiles import greatest_at, least_at
from truebed.programme.recovery import Policy
from truebed.programme.replan_types import Happened, NightState

SAFE_STEP = "make safe"


@dataclass(frozen=True, slots=True)
class Left:
    """One cover's rest.

    tasks       not yet begun, with the lengths now expected and the spans now barred
    started     whether any step was begun; opened: whether the road or frame was
    may_be_safe whether it can still be made safe; safe_min: how long that takes, 0 where the old frame is left alone
    lacks       tools that the rest wants and the night no longer has
    """

    job: Job
    tasks: tuple[Task, ...]
    begun: dict[str, Happened]
    started: bool
    may_be_safe: bool
    safe_min: int
    lacks: tuple[str, ...]

    @property
    def complete(self) -> bool:
        """Nothing is left to begin."""
        return not self.tasks


def left_of(problem: Problem, state: NightState, policy: Policy) -> tuple[Left, ...]:
    """Every cover's rest, in the order of the problem.

    Valid       facts that name the problem's own covers and steps
    Source      house
    Raises      NotDeterminedError where a fact names a step that the problem has not, or lies after now;
                for several teams, or lanes shut in turn
    Proved by   tests/programme/test_replan.py
    """
    if len(problem.teams) > 1 or any(job.stage for job in problem.jobs):
        raise NotDeterminedError(
            f"{problem.closure} is worked by several teams or lane by lane; its rest is not replanned yet"
        )
    known = {(job.cover, task.step) for job in problem.jobs for task in job.tasks}
    for fact in state.happened:
        if (fact.cover, fact.step) not in known:
            raise NotDeterminedError(f"{fact.cover} has no step '{fact.step}' in the plan of {problem.closure}")
        if fact.start_min > state.now_min or (not fact.running and fact.end_min > state.now_min):
            raise NotDeterminedError(
                f"{fact.cover}, {fact.step}: recorded at minute {max(fact.start_min, fact.end_min)}, "
                f"which is after the minute {state.now_min} asked about"
            )
    have = tools_left(problem, state)
    return tuple(_left(job, state, policy, have) for job in problem.jobs)


def tools_left(problem: Problem, state: NightState) -> dict[str, int]:
    """How many of each kind still work.

    Source      algebra
    Proved by   tests/programme/test_replan.py
    """
    lost = dict(state.lost)
    return {kind: max(0, count - lost.get(kind, 0)) for kind, count in problem.tools}


def _left(job: Job, state: NightState, policy: Policy, have: dict[str, int]) -> Left:
    begun = state.of(job.cover)
    longer = {step: minutes for cover, step, minutes in state.longer if cover == job.cover}
    tasks = tuple(
        replace(
            task,
            minutes=task.minutes + longer.get(task.step, 0),
            not_during=(*task.not_during, *((a, b) for c, s, a, b in state.barred if (c, s) == (job.cover, task.step))),
        )
        for task in job.tasks
        if task.step not in begun
    )
    order = [task.step for task in job.tasks]
    opened = any(order.index(step) >= order.index(policy.break_out.get(job.cover, order[0])) for step in begun)
    last = policy.leave_until.get(job.cover)
    plates = last is not None and not any(order.index(step) >= order.index(last) for step in begun)
    lacks = tuple(sorted({kind for task in tasks for kind in task.tools if have.get(kind, 0) < 1}))
    minutes = round(policy.make_safe_min) if opened else 0
    return Left(job, tasks, begun, bool(begun), bool(begun) and (plates or not opened), minutes, lacks)


def edge_of(left: Left, step: str, edge: Edge) -> int | None:
    """The minute of an edge that is a fact; None where the step is still to begin.

    Source      algebra
    Proved by   tests/programme/test_replan.py
    """
    fact = left.begun.get(step)
    return None if fact is None else fact.start_min if edge == "start" else fact.end_min


def waits_of(lag: Lag, from_min: int | None) -> tuple[int | None, int | None]:
    """Least and greatest wait: at the hour of a fact, else the worst of the night.

    Source      house
    Proved by   tests/programme/test_replan.py
    """
    if from_min is not None:
        return least_at(lag, from_min), greatest_at(lag, from_min)
    least = max(wait for _m, wait in lag.profile) if lag.profile else lag.least_min
    greatest = min(wait for _m, wait in lag.greatest_profile) if lag.greatest_profile else lag.greatest_min
    return least, greatest


def horizon_of(problem: Problem, state: NightState) -> int:
    """A minute by which any one cover can be ended after all others, however late.

    Source      algebra
    Proved by   tests/programme/test_replan.py
    """
    work = sum(task.minutes for job in problem.jobs for task in job.tasks) + sum(m for _c, _s, m in state.longer)
    waits = max((sum(waits_of(lag, None)[0] or 0 for lag in job.lags) for job in problem.jobs), default=0)
    barred = max((b for *_ab, b in state.barred), default=0)
    ends = max((h.end_min for h in state.happened), default=0)
    return max(problem.window_min, state.now_min, barred, ends) + work + waits + problem.tm_clear_min + 60


def old_starts(old: Schedule) -> dict[tuple[str, str], int]:
    """The starts of the plan that the night began with.

    Source      algebra
    Proved by   tests/programme/test_replan.py
    """
    return {(placed.cover, placed.step): placed.start_min for placed in old.placed}


__all__ = ["OPEN", "SAFE_STEP", "Left", "edge_of", "horizon_of", "left_of", "old_starts", "tools_left", "waits_of"]
