"""The rest of a night as a soft model: always an answer, greatest waits and lateness priced."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from truebed.programme.problem import OPEN, Lag, Problem, Task
from truebed.programme.recovery import Policy
from truebed.programme.replan_state import Left, edge_of, horizon_of, left_of, tools_left, waits_of
from truebed.programme.replan_types import NightState, Prices

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, IntervalVar, IntVar, LinearExprT


@dataclass(slots=True)
class RestModel:
    """The model and its variables. end[cover]: the cover is brought to its end; safe, held likewise.

    ready       when its place can carry traffic, if it does; over: (cover, lag, minutes passed, priced if `end`)
    cost        the sum that is made least
    """

    model: CpModel
    lefts: tuple[Left, ...]
    opening: IntVar
    start: dict[tuple[str, str], IntVar] = field(default_factory=dict)
    end: dict[str, IntVar] = field(default_factory=dict)
    safe: dict[str, IntVar] = field(default_factory=dict)
    held: dict[str, IntVar] = field(default_factory=dict)
    safe_start: dict[str, IntVar] = field(default_factory=dict)
    over: list[tuple[str, Lag, IntVar]] = field(default_factory=list)
    late: dict[str, IntVar] = field(default_factory=dict)
    late_min: dict[str, IntVar] = field(default_factory=dict)
    cost: list[tuple[IntVar, int]] = field(default_factory=list)
    fixed_cost: int = 0
    using: list[tuple[IntervalVar, int, tuple[str, ...], str]] = field(default_factory=list)


def rest_model(problem: Problem, state: NightState, policy: Policy, prices: Prices) -> RestModel:
    """The model without hint or objective.

    Valid       one crew of which anybody may take any step; waits still to begin at their worst of the night
    Source      house
    Proved by   tests/programme/test_replan.py
    """
    from ortools.sat.python import cp_model

    model, horizon = cp_model.CpModel(), horizon_of(problem, state)
    lefts = left_of(problem, state, policy)
    made = RestModel(model, lefts, model.new_int_var(state.now_min, horizon, "opening"))
    for left in made.lefts:
        _cover(made, left, problem, state, policy, prices, horizon)
    _means(made, problem, state)
    for kind, count in problem.stock:
        takes = [(dict(left.job.kits).get(kind, 0), left) for left in made.lefts]
        spent = sum(n for n, left in takes if left.started)
        made.model.add(sum(n * made.end[left.job.cover] for n, left in takes if n and not left.started)
                       <= max(0, count - spent))  # fmt: skip
    made.cost.append((made.opening, 1))
    return made


def _cover(
    made: RestModel, left: Left, problem: Problem, state: NightState, policy: Policy, prices: Prices, horizon: int
) -> None:
    model, cover = made.model, left.job.cover
    heaviest = max(job.weight for job in problem.jobs)
    worth = max(
        1, prices.cover_weight * left.job.weight // max(1, heaviest)
    )  # a price must not hang on the weights' scale
    end = made.end[cover] = model.new_bool_var(f"end {cover}")
    if left.lacks:
        model.add(end == 0)
    if left.started:
        safe, held = model.new_bool_var(f"safe {cover}"), model.new_bool_var(f"held {cover}")
        made.safe[cover], made.held[cover] = safe, held
        model.add_exactly_one(end, safe, held)
        if not left.may_be_safe:
            model.add(safe == 0)
        made.cost += [(safe, prices.safe_weight + worth), (held, prices.held_weight)]
    else:
        made.cost.append((end, -worth))
        made.fixed_cost += worth
    for fact in left.begun.values():
        if fact.running:
            task = next(t for t in left.job.tasks if t.step == fact.step)
            busy = max(0, fact.end_min - state.now_min)
            if busy:
                fixed = model.new_fixed_size_interval_var(state.now_min, busy, f"{cover} {fact.step} runs")
                made.using.append((fixed, task.people, task.tools, task.skill))
            model.add(made.opening >= fact.end_min + problem.tm_clear_min)
    for task in left.tasks:
        _task(made, cover, task, end, problem, state, horizon)
    for lag in left.job.lags:
        _lag(made, left, lag, end, prices, horizon)
    _ready(made, left, problem, prices, horizon)
    if left.started:
        _safe(made, left, problem, state, policy, horizon)


def _task(
    made: RestModel, cover: str, task: Task, end: IntVar, problem: Problem, state: NightState, horizon: int
) -> None:
    model, first = made.model, max(state.now_min, problem.tm_set_min)
    last = horizon - task.minutes
    start = made.start[cover, task.step] = model.new_int_var(first, max(first, last), f"{cover} {task.step}")
    if task.noisy:
        model.add(start + task.minutes <= problem.noise_ends_min).only_enforce_if(end)
    interval = model.new_optional_fixed_size_interval_var(start, task.minutes, end, f"{cover} {task.step} on")
    made.using.append((interval, task.people, task.tools, task.skill))
    for a, b in task.not_during:
        before = model.new_bool_var(f"{cover} {task.step} before {a}")
        model.add(start + task.minutes <= a).only_enforce_if(before, end)
        model.add(start >= b).only_enforce_if(before.negated(), end)


def _lag(made: RestModel, left: Left, lag: Lag, end: IntVar, prices: Prices, horizon: int) -> None:
    if lag.to_step == OPEN:
        return
    model, length = made.model, {task.step: task.minutes for task in left.tasks}
    fact_a, fact_b = edge_of(left, lag.from_step, lag.from_edge), edge_of(left, lag.to_step, lag.to_edge)
    if fact_a is not None and fact_b is not None:
        return
    a: Any = fact_a if fact_a is not None else _edge(made, left, lag.from_step, lag.from_edge, length)
    b: Any = fact_b if fact_b is not None else _edge(made, left, lag.to_step, lag.to_edge, length)
    least, greatest = waits_of(lag, fact_a)
    if least is not None and fact_b is None:
        model.add(b - a >= least).only_enforce_if(end)
    if greatest is None:
        return
    if fact_a is not None or fact_b is not None:  # what has begun to run out can be too late; what has not is not begun
        over = model.new_int_var(0, horizon, f"{left.job.cover} {lag.from_step} {lag.to_step} over")
        model.add(over >= b - a - greatest).only_enforce_if(end)
        made.over.append((left.job.cover, lag, over))
        made.cost.append((over, prices.overrun_minute_weight))
    else:
        model.add(b - a <= greatest).only_enforce_if(end)


def _edge(made: RestModel, left: Left, step: str, edge: str, length: dict[str, int]) -> LinearExprT:
    start = made.start[left.job.cover, step]
    return start + length[step] if edge == "end" else start


def _ready(made: RestModel, left: Left, problem: Problem, prices: Prices, horizon: int) -> None:
    """The opening waits for every cover brought to its end; one begun may be late at a price, another may not."""
    model, cover = made.model, left.job.cover
    length = {task.step: task.minutes for task in left.tasks}
    ends: list[LinearExprT] = [made.start[cover, t.step] + t.minutes + problem.tm_clear_min for t in left.tasks]
    ends += [fact.end_min + problem.tm_clear_min for fact in left.begun.values()]
    for lag in left.job.lags:
        if lag.to_step == OPEN:
            fact = edge_of(left, lag.from_step, lag.from_edge)
            least = waits_of(lag, fact)[0]
            ends.append((fact if fact is not None else _edge(made, left, lag.from_step, lag.from_edge, length))
                        + (0 if least is None else least))  # fmt: skip
    for at in ends:
        model.add(made.opening >= at).only_enforce_if(made.end[cover])
    if not left.started:
        for at in ends:
            model.add(at <= problem.window_min).only_enforce_if(made.end[cover])
        return
    late, minutes = model.new_bool_var(f"late {cover}"), model.new_int_var(0, horizon, f"{cover} late by")
    made.late[cover], made.late_min[cover] = late, minutes
    for at in ends:
        model.add(minutes >= at - problem.window_min).only_enforce_if(made.end[cover])
    model.add(minutes == 0).only_enforce_if(late.negated())
    made.cost += [(late, prices.late_weight), (minutes, prices.late_minute_weight)]


def _safe(made: RestModel, left: Left, problem: Problem, state: NightState, policy: Policy, horizon: int) -> None:
    model, cover, safe = made.model, left.job.cover, made.safe[left.job.cover]
    first = max([state.now_min, *(fact.end_min for fact in left.begun.values())])
    start = made.safe_start[cover] = model.new_int_var(first, horizon, f"{cover} safe from")
    interval = model.new_optional_fixed_size_interval_var(start, left.safe_min, safe, f"{cover} made safe")
    made.using.append((interval, min(policy.make_safe_people, problem.people), (), ""))
    at = start + left.safe_min + problem.tm_clear_min
    model.add(made.opening >= at).only_enforce_if(safe)
    # Making safe that ends after the deadline keeps the road shut as much as a late cover does.
    model.add(made.late_min[cover] >= at - problem.window_min).only_enforce_if(safe)


def _means(made: RestModel, problem: Problem, state: NightState) -> None:
    model = made.model
    model.add_cumulative([i for i, *_ in made.using], [n for _i, n, *_ in made.using], problem.people)
    for kind, count in tools_left(problem, state).items():
        held = [i for i, _n, tools, _s in made.using if kind in tools]
        if held and count:
            model.add_cumulative(held, [1] * len(held), count)
    for skill, count in problem.skills:
        held = [i for i, _n, _t, wanted in made.using if wanted == skill]
        if held:
            model.add_cumulative(held, [1] * len(held), count)
