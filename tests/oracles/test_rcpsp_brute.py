"""A second way for general projects: every start of every activity tried, on projects small enough for that."""

from __future__ import annotations

from itertools import product

import numpy as np

from truebed.programme.rcpsp import Activity, Project, StartLag, ends_at
from truebed.programme.rcpsp_check import faults
from truebed.programme.rcpsp_model import solve_project

#: Starts 0..HORIZON hold every shortest plan of the projects made here: 4 activities of at most 3, lags of at most 3.
HORIZON = 11


def _made(seed: int) -> Project:
    rng = np.random.default_rng(seed)
    acts = tuple(Activity(int(rng.integers(0, 4)), (int(rng.integers(0, 3)),)) for _ in range(4))
    lags = []
    for _ in range(int(rng.integers(1, 4))):
        a, b = (int(v) for v in rng.choice(4, 2, replace=False))
        least = int(rng.integers(-2, 4))
        lags.append(StartLag(a, b, least, least + int(rng.integers(0, 2)) if rng.random() < 0.7 else None))
    return Project(acts, (2,), tuple(lags))


def _brute(project: Project) -> int | None:
    sound = (s for s in product(range(HORIZON + 1), repeat=4) if 0 in s and not faults(project, s))
    return min((ends_at(project, s) for s in sound), default=None)


def test_the_model_agrees_with_every_start_tried() -> None:
    seen: set[str] = set()
    for seed in range(14):
        project = _made(seed)
        found, least = solve_project(project, deterministic_limit_s=2.0), _brute(project)
        seen.add(found.standing)
        assert found.standing == ("infeasible" if least is None else "optimal"), seed
        assert found.makespan == least, seed
    assert seen == {"infeasible", "optimal"}
