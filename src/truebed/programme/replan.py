"""The rest of the night: a first plan at once, then the best that the soft model finds, least upset."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from truebed.programme.problem import OPEN, Placed, Problem, Schedule
from truebed.programme.profiles import least_at
from truebed.programme.recovery import Policy
from truebed.programme.replan_model import RestModel, rest_model
from truebed.programme.replan_state import SAFE_STEP, Left, old_starts
from truebed.programme.replan_types import Answer, Kind, NightState, Overrun, Prices, Replanned

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpSolver, IntVar

#: Deterministic seconds of the search for the first plan, for the best one, and for the least upset.
FIRST_S, FINAL_S, UPSET_S = 0.06, 1.5, 0.5
#: Wall-clock guard of one search [s]; reported where it is met.
GUARD_S = 30.0
#: What the least upset may cost, in minutes of an earlier opening.
UPSET_SLACK = 5


def replan(
    problem: Problem,
    old: Schedule,
    state: NightState,
    policy: Policy,
    prices: Prices | None = None,
    *,
    final_s: float = FINAL_S,
    on_first: Callable[[Replanned], None] | None = None,
) -> Replanned:
    """The rest of the night, answered for every cover.

    First the answers and times of least cost, hinted from the old plan; then, at that cost, the fewest covers moved.
    on_first    is given the first plan as soon as there is one
    final_s     deterministic limit of the main search

    Valid       facts of the problem's covers and steps; one crew as a pool: who walks where, rests and each person's
                points are not reckoned here
    Source      house
    Raises      NotDeterminedError for facts that are not the problem's
    Proved by   tests/programme/test_replan.py, tests/programme/test_replan_check.py
    """
    asked = Prices() if prices is None else prices
    made = rest_model(problem, state, policy, asked)
    _hint(made, old)
    total = sum(var * factor for var, factor in made.cost) + made.fixed_cost
    made.model.minimize(total)
    first = _search(made, FIRST_S)
    best = _read(problem, state, made, first, None)
    if on_first is not None:
        on_first(best)
    _hint_from(made, first)
    solver = _search(made, final_s)
    # The bound only ever comes from the full search.
    bound = round(solver.best_objective_bound)
    cost = round(solver.objective_value)
    _hint_from(made, solver)
    made.model.add(total <= cost + UPSET_SLACK)
    made.model.minimize(sum(_moved(made, old)))
    calm = _search(made, UPSET_S)
    found = _read(problem, state, made, calm, bound)
    return _with_retimed(found, made, old, state)


def _search(made: RestModel, limit_s: float) -> CpSolver:
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.random_seed = 1
    solver.parameters.catch_sigint_signal = False
    solver.parameters.num_workers = 4
    solver.parameters.interleave_search = True
    solver.parameters.interleave_batch_size = 4
    solver.parameters.max_deterministic_time = limit_s
    solver.parameters.max_time_in_seconds = GUARD_S
    status = solver.solve(made.model)
    while status == cp_model.UNKNOWN and solver.wall_time < GUARD_S and limit_s < 60.0:
        limit_s *= 4.0  # holding every cover begun is always an answer: only a little more search is wanted
        solver.parameters.max_deterministic_time = limit_s
        status = solver.solve(made.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise ValueError(f"the rest of the night has no answer: {solver.status_name(status)}")
    return solver


def _hint(made: RestModel, old: Schedule) -> None:
    for key, at in old_starts(old).items():
        if key in made.start:
            made.model.add_hint(made.start[key], at)
    for left in made.lefts:
        made.model.add_hint(made.end[left.job.cover], int(left.job.cover in old.done and not left.lacks))


def _hint_from(made: RestModel, solver: CpSolver) -> None:
    made.model.clear_hints()  # type: ignore[no-untyped-call]
    every = [*made.start.values(), *made.end.values(), *made.safe.values(), *made.held.values(),
             *made.safe_start.values(), *made.late.values(), *made.late_min.values(),
             *(over for *_l, over in made.over), made.opening]  # fmt: skip
    for var in every:
        made.model.add_hint(var, solver.value(var))


def _moved(made: RestModel, old: Schedule) -> list[IntVar]:
    """One variable for each cover that goes on as planned: whether any of its steps stands at another time."""
    was, moved = old_starts(old), []
    for left in made.lefts:
        cover = left.job.cover
        if cover not in old.done or not left.tasks:
            continue
        stays = made.model.new_bool_var(f"{cover} stays")
        for task in left.tasks:
            made.model.add(made.start[cover, task.step] == was[cover, task.step]).only_enforce_if(stays)
        moves = made.model.new_bool_var(f"{cover} moves")
        made.model.add(moves >= made.end[cover] - stays)
        moved.append(moves)
    return moved


def _read(problem: Problem, state: NightState, made: RestModel, solver: CpSolver, bound: int | None) -> Replanned:
    answers, placed, safe = [], [], []
    for left in made.lefts:
        cover = left.job.cover
        if solver.value(made.end[cover]):
            mine = [_placed(cover, t.step, solver.value(made.start[cover, t.step]), t.minutes) for t in left.tasks]
            placed += mine
        if left.started and solver.value(made.safe[cover]) and left.safe_min:
            safe.append(_placed(cover, SAFE_STEP, solver.value(made.safe_start[cover]), left.safe_min))
        answers.append(_answer(problem, made, left, solver))
    overruns = tuple(
        Overrun(cover, lag.from_step, lag.to_step, solver.value(over), lag.why)
        for cover, lag, over in made.over
        if solver.value(over) > 0 and solver.value(made.end[cover])
    )
    order = tuple(sorted(placed, key=lambda p: (p.start_min, p.end_min, p.cover, p.step)))
    cost = sum(solver.value(var) * factor for var, factor in made.cost) + made.fixed_cost
    opening = max([state.now_min + problem.tm_clear_min, *(a.at_min for a in answers if a.at_min is not None)])
    busy = [h.end_min + problem.tm_clear_min for h in state.happened if h.running]
    return Replanned(
        tuple(answers), order, tuple(safe), overruns, max([opening, *busy]), cost, bound,
        guard_hit=solver.wall_time >= GUARD_S,
    )  # fmt: skip


def _placed(cover: str, step: str, start_min: int, minutes: int) -> Placed:
    return Placed(cover, step, start_min, start_min + minutes)


def _answer(problem: Problem, made: RestModel, left: Left, solver: CpSolver) -> Answer:
    cover = left.job.cover
    if solver.value(made.end[cover]):
        starts = {t.step: solver.value(made.start[cover, t.step]) for t in left.tasks}
        at = _ready_min(left, starts, problem)
        kind: Kind = "chosen" if not left.started else "finished" if at <= problem.window_min else "late"
        return Answer(cover, kind, at)
    if not left.started:
        return Answer(cover, "dropped", None)
    if solver.value(made.safe[cover]):
        at = solver.value(made.safe_start[cover]) + left.safe_min + problem.tm_clear_min
        return Answer(cover, "made safe", at, left_alone=left.safe_min == 0)
    return Answer(cover, "held", None, needs=left.lacks or ("hours and working lives in which its steps fit",))


def _ready_min(left: Left, starts: dict[str, int], problem: Problem) -> int:
    """When its place can carry traffic: steps ended and cleared, each clock from its own hour, as the facts have it."""
    length = {task.step: task.minutes for task in left.tasks}
    begin = {**starts, **{step: fact.start_min for step, fact in left.begun.items()}}
    end = {**{s: at + length[s] for s, at in starts.items()}, **{s: f.end_min for s, f in left.begun.items()}}
    at = max(end.values()) + problem.tm_clear_min
    for lag in left.job.lags:
        if lag.to_step == OPEN:
            edge = end[lag.from_step] if lag.from_edge == "end" else begin[lag.from_step]
            at = max(at, edge + (least_at(lag, edge) or 0))
    return at


def _with_retimed(found: Replanned, made: RestModel, old: Schedule, state: NightState) -> Replanned:
    """Covers that stand at other times though the delay did not reach them."""
    was, reached = old_starts(old), _reached(made, old, state)
    moved = {p.cover for p in found.placed if (p.cover, p.step) in was and was[p.cover, p.step] != p.start_min}
    return replace(found, retimed=tuple(sorted(moved - reached)))


def _reached(made: RestModel, old: Schedule, state: NightState) -> set[str]:
    """Covers one of whose steps is late, longer, barred or without its tool, or is run into by a late one of another.

    A late step runs into one that was planned after it and before its new end, and hands on what that leaves.
    """
    lost = {kind for kind, _n in state.lost}
    tasks = {(left.job.cover, task.step): task for left in made.lefts for task in left.tasks}
    late = {(h.cover, h.step): h.end_min for h in state.happened}
    longer = {(c, s): m for c, s, m in state.longer}
    barred = {(c, s, a, b) for c, s, a, b in state.barred}
    new_end: list[tuple[int, int]] = []
    reached: set[str] = set()
    for p in sorted(old.placed, key=lambda p: (p.start_min, p.end_min, p.cover)):
        key = (p.cover, p.step)
        shift = max((to - p.start_min for end, to in new_end if end <= p.start_min), default=0)
        if key in late:
            shift = late[key] - p.end_min
        else:
            shift = max(0, shift, state.now_min - p.start_min) + longer.get(key, 0)
            hit = any((c, s) == key and p.start_min < b and a < p.end_min for c, s, a, b in barred)
            if hit or (key in tasks and lost & set(tasks[key].tools)):
                reached.add(p.cover)
        if shift > 0:
            reached.add(p.cover)
            new_end.append((p.end_min, p.end_min + shift))
    return reached
