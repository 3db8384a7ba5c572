"""The exact model of a general project, and its solving: rules first, then repair, then proof."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from truebed.programme.rcpsp import Outcome, Project, Standing, StartLag, ends_at, too_much, ways
from truebed.programme.rcpsp_heuristics import best_by_rules, longest_plan, tails

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from ortools.sat.python.cp_model import CpModel, CpSolver, IntVar

#: Four interleaved workers prove sooner than two on two cores (docs/theory/programme.md).
WORKERS = 4
BATCH = 4
SEED = 1
#: Wall-clock guard [s], reported where it is met.
GUARD_S = 120.0
#: Orders tried by rule; under greatest lags one may cost a second for 200 activities, where its pushes run out.
PLAIN_TRIES, HELD_TRIES = 40, 6
#: Of the limit, what the repair of greatest lags may take.
REPAIR_SHARE = 0.5


@dataclass(frozen=True, slots=True)
class _Made:
    model: CpModel
    starts: tuple[IntVar, ...]
    makespan: IntVar


def solve_project(project: Project, *, deterministic_limit_s: float = 10.0, guard_s: float = GUARD_S) -> Outcome:
    """The plan that ends first, with a bound; a proof of it or of there being none, where the limit allows.

    deterministic_limit_s  of all searches together, in the solver's own deterministic time
    guard_s                of each search, by the clock; only a loaded machine meets it, and the outcome says so

    Valid       whole times; demands of one number for each capacity
    Source      [baptiste-2001] energy of a resource; algebra
    Proved by   tests/programme/test_rcpsp.py, tests/oracles/test_rcpsp_brute.py, tests/properties/test_rcpsp.py
    """
    if not project.activities:
        return Outcome("optimal", (), 0, 0)
    table = ways(project)
    if table is None or too_much(project):
        return Outcome("infeasible", None, None, 0)
    held = any(g.greatest is not None or g.least < 0 for g in project.lags)
    known = best_by_rules(project, table, tries=HELD_TRIES if held else PLAIN_TRIES)
    horizon, limit_s = longest_plan(project), deterministic_limit_s
    if known is None:
        known = _repaired(project, horizon, limit_s * REPAIR_SHARE, guard_s)
        limit_s *= 1.0 - REPAIR_SHARE
    least = least_makespan(project, table)
    if known is not None and ends_at(project, known) == least:
        return Outcome("optimal", known, least, least)
    made = _build(project, table, horizon if known is None else ends_at(project, known))
    made.model.add(made.makespan >= least)
    made.model.minimize(made.makespan)
    if known is not None:
        _hint(project, made, known)
    solver, standing = _run(made.model, limit_s, guard_s)
    if standing == "infeasible":
        return Outcome("infeasible", None, None, 0)
    starts = known if standing == "unknown" else tuple(solver.value(s) for s in made.starts)
    guard_hit = standing != "optimal" and solver.wall_time >= guard_s
    if starts is None:
        return Outcome("unknown", None, None, least, guard_hit)
    end = ends_at(project, starts)
    bound = end if standing == "optimal" else max(least, round(solver.best_objective_bound))
    return Outcome("optimal" if bound >= end else "feasible", starts, end, min(bound, end), guard_hit)


def least_makespan(project: Project, table: NDArray[np.int64]) -> int:
    """No plan ends sooner: the longest way, and the work of each resource through its capacity.

    Valid       the table of ways() of the same project; no activity asks for more than a capacity
    Source      algebra
    Proved by   tests/programme/test_rcpsp.py
    """
    import numpy as np

    heads = np.maximum(table.max(axis=0), 0)
    ends = heads + np.array([a.duration for a in project.activities])
    work = [
        -(-sum(a.duration * a.demand[k] for a in project.activities) // capacity)
        for k, capacity in enumerate(project.capacities)
        if capacity > 0
    ]
    return max([int(ends.max()), *work])


def _build(project: Project, table: NDArray[np.int64], end: int) -> _Made:
    import numpy as np
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    heads, tail = np.maximum(table.max(axis=0), 0), tails(project, table)
    makespan = model.new_int_var(0, end, "makespan")
    starts, spans = [], []
    for i, activity in enumerate(project.activities):
        latest = max(end - int(tail[i]), int(heads[i]))
        starts.append(model.new_int_var(int(heads[i]), latest, f"s{i}"))
        spans.append(model.new_fixed_size_interval_var(starts[i], activity.duration, f"i{i}"))
        model.add(starts[i] + activity.duration <= makespan)
    for lag in project.lags:
        model.add(starts[lag.after] - starts[lag.before] >= lag.least)
        if lag.greatest is not None:
            model.add(starts[lag.after] - starts[lag.before] <= lag.greatest)
    for k, capacity in enumerate(project.capacities):
        users = [i for i, a in enumerate(project.activities) if a.demand[k] > 0 and a.duration > 0]
        model.add_cumulative([spans[i] for i in users], [project.activities[i].demand[k] for i in users], capacity)
    for first, then in twins(project):
        model.add(starts[first] <= starts[then])
    return _Made(model, tuple(starts), makespan)


def twins(project: Project) -> tuple[tuple[int, int], ...]:
    """Pairs of activities that may change places in any plan, so that the first may be taken to start first.

    Valid       any project
    Source      algebra (same duration, demand and lags, none between them)
    Proved by   tests/programme/test_rcpsp.py
    """
    links: dict[int, list[tuple[int, int, int, int | None]]] = defaultdict(list)
    for lag in project.lags:
        links[lag.before].append((0, lag.after, lag.least, lag.greatest))
        links[lag.after].append((1, lag.before, lag.least, lag.greatest))
    alike: dict[object, list[int]] = defaultdict(list)
    for i, activity in enumerate(project.activities):
        alike[(activity, tuple(sorted(links[i], key=repr)))].append(i)
    return tuple(pair for group in alike.values() for pair in pairwise(group))


def _hint(project: Project, made: _Made, starts: tuple[int, ...]) -> None:
    told = list(starts)
    for _again in project.activities:
        swaps = [(a, b) for a, b in twins(project) if told[a] > told[b]]
        if not swaps:
            break
        for a, b in swaps:
            told[a], told[b] = min(told[a], told[b]), max(told[a], told[b])
    for variable, value in zip(made.starts, told, strict=True):
        made.model.add_hint(variable, value)


def _run(model: CpModel, limit_s: float, guard_s: float) -> tuple[CpSolver, Standing]:
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.random_seed = SEED
    solver.parameters.catch_sigint_signal = False
    solver.parameters.num_workers = WORKERS
    solver.parameters.interleave_search = True
    solver.parameters.interleave_batch_size = BATCH
    solver.parameters.max_deterministic_time = limit_s
    solver.parameters.max_time_in_seconds = guard_s
    answers: dict[cp_model.CpSolverStatus, Standing] = {
        cp_model.OPTIMAL: "optimal",
        cp_model.FEASIBLE: "feasible",
        cp_model.INFEASIBLE: "infeasible",
    }
    status = solver.solve(model)
    return solver, answers.get(status, "unknown")


def _repaired(project: Project, horizon: int, limit_s: float, guard_s: float) -> tuple[int, ...] | None:
    """A plan by mending one that overruns greatest lags: the sum of overruns is brought to nothing, or no plan."""
    hard, soft = _loosened(project)
    loose_table = ways(hard)
    if loose_table is None:
        return None
    start = best_by_rules(hard, loose_table, tries=4)
    made = _build(hard, loose_table, horizon)
    over = []
    for before, after, most in soft:
        overrun = made.model.new_int_var(0, horizon, "")
        made.model.add(made.starts[after] - made.starts[before] - overrun <= most)
        over.append(overrun)
        if start is not None:
            made.model.add_hint(overrun, max(0, start[after] - start[before] - most))
    made.model.minimize(sum(over))
    if start is not None:
        _hint(project, made, start)
    solver, standing = _run(made.model, limit_s, guard_s)
    if standing not in ("optimal", "feasible") or round(solver.objective_value) > 0:
        return None
    return tuple(solver.value(s) for s in made.starts)


def _loosened(project: Project) -> tuple[Project, list[tuple[int, int, int]]]:
    """The project without its greatest lags, and these: (before, after, at most)."""
    soft = [(g.before, g.after, g.greatest) for g in project.lags if g.greatest is not None]
    soft += [(g.after, g.before, -g.least) for g in project.lags if g.least < 0]
    hard = tuple(StartLag(g.before, g.after, g.least) for g in project.lags if g.least >= 0)
    return replace(project, lags=hard), soft
