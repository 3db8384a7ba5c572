"""The solver on published project scheduling, beside the best-known values; and plans under greatest lags."""

from __future__ import annotations

import os
from dataclasses import dataclass, replace
from pathlib import Path
from statistics import fmean
from time import perf_counter

from bench.rcpsp_data import ABSENT, SOURCE, best_known, folder, read
from bench.rcpsp_instances import satisfiable, unsatisfiable
from bench.row import Row, row
from truebed.programme.rcpsp import Project
from truebed.programme.rcpsp_check import faults
from truebed.programme.rcpsp_model import solve_project

#: set -> (goal of the mean gap [%], instances in the sample)
SETS = {"J30": (0.0, 12), "J60": (1.0, 2), "J120": (4.0, 1)}
#: Deterministic limit above what the clock allows: each instance has so many seconds of the clock.
SAMPLE_GUARD_S, LONG_GUARD_S, DETERMINISTIC_S = 15.0, 60.0, 60.0
SEEDS_SAMPLE, SEEDS_LONG = 3, 20


@dataclass(frozen=True)
class _Solved:
    """One instance: makespan (None without a plan), bound, time, faults of the plan."""

    name: str
    published: int
    makespan: int | None
    bound: int
    proven: bool
    taken_s: float
    broken: int


def _solve(name: str, published: int, project: Project, guard_s: float) -> _Solved:
    begun = perf_counter()
    found = solve_project(project, deterministic_limit_s=DETERMINISTIC_S, guard_s=guard_s)
    taken_s = perf_counter() - begun
    broken = 0 if found.starts is None else len(faults(project, found.starts, said_end=found.makespan))
    return _Solved(name, published, found.makespan, found.bound, found.standing == "optimal", taken_s, broken)


def _set_row(kind: str, guard_s: float, most: int | None) -> Row:
    goal_pct, _sample = SETS[kind]
    name, place = f"rcpsp_{kind.lower()}_gap", folder()
    if place is None:
        return replace(row(name, -1.0, "%", ABSENT, n=0, goal=goal_pct), met=False)
    known = best_known(place, kind)
    if most is not None:
        known = known[:: max(1, len(known) // most)][:most]
    solved = [_solve(file, best, read(place / file), guard_s) for file, best in known]
    planned = [s.makespan / s.published - 1.0 for s in solved if s.makespan is not None]
    made = row(
        name,
        100.0 * fmean(planned) if planned else -1.0,
        "%",
        _note(kind, solved, guard_s),
        n=len(solved),
        goal=goal_pct,
    )
    return made if all(_sound(kind, s) for s in solved) else replace(made, met=False)


def _sound(kind: str, solved: _Solved) -> bool:
    """A plan without faults, no bound above the published value, and on J30 the published optimum proven."""
    if solved.makespan is None or solved.broken > 0 or solved.bound > solved.published:
        return False
    return kind != "J30" or (solved.proven and solved.makespan == solved.published)


def _note(kind: str, solved: list[_Solved], guard_s: float) -> str:
    beside = ", ".join(
        f"{Path(s.name).stem} {s.makespan}/{s.published}" for s in solved if kind != "J30" or s.makespan != s.published
    )
    proven = sum(s.proven for s in solved)
    slowest_s = max(s.taken_s for s in solved)
    return (
        f"mean gap to the best known, {guard_s:.0f} s each; {proven} of {len(solved)} proven; "
        f"slowest {slowest_s:.1f} s; "
        f"checker faults {sum(s.broken for s in solved)}; "
        f"{sum(not _sound(kind, s) for s in solved)} not sound; load {os.getloadavg()[0]:.1f}; source: {SOURCE}"
        + (f"; ours/published: {beside}" if beside else "; every one at the published value")
    )


def _greatest_lag_rows(count: int, guard_s: float) -> list[Row]:
    planned, slowest_s = 0, 0.0
    for seed in range(1, count + 1):
        solved = _solve(f"seed {seed}", 0, satisfiable(seed), guard_s / 2)  # two searches at most
        planned += solved.makespan is not None and solved.broken == 0
        slowest_s = max(slowest_s, solved.taken_s)
    wrongly = sum(_solve("", 0, unsatisfiable(s), guard_s / 2).makespan is not None for s in range(1, count + 1))
    note = (
        f"200 activities with greatest lags around a hidden plan; slowest {slowest_s:.1f} s, "
        f"searches {guard_s:.0f} s at most, rules before them"
    )
    return [
        row("rcpsp_max_planned_share", planned / count, "ratio", note, n=count, seed=1, goal=0.9, sense="least"),
        row("rcpsp_max_wrongly_planned", wrongly, "projects", "unsatisfiable ones", n=count, seed=1, goal=0),
    ]


def rows() -> list[Row]:
    """A sample with a shorter time for each; rows_long() has all at the published time."""
    sets = [
        _set_row(kind, LONG_GUARD_S if kind == "J30" else SAMPLE_GUARD_S, most) for kind, (_goal, most) in SETS.items()
    ]
    return [*sets, *_greatest_lag_rows(SEEDS_SAMPLE, SAMPLE_GUARD_S)]


def rows_long() -> list[Row]:
    """Every instance of the three sets at 60 s, and twenty projects with greatest lags."""
    return [*(_set_row(kind, LONG_GUARD_S, None) for kind in SETS), *_greatest_lag_rows(SEEDS_LONG, LONG_GUARD_S)]
