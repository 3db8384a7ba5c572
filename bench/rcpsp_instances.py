"""Projects with greatest lags that are known to have a plan: made around one, with seeds."""

from __future__ import annotations

import numpy as np

from truebed.programme.rcpsp import Activity, Project, StartLag, ways
from truebed.programme.rcpsp_heuristics import by_rule, longest_plan

RESOURCES = 5
#: Successors of each activity, the span of places they may lie ahead, and the share of pairs with a greatest lag.
SUCCESSORS, AHEAD, GREATEST_SHARE = 2, 20, 0.35


def satisfiable(seed: int, count: int = 200, *, slack: int = 4) -> Project:
    """A project of `count` activities with a hidden plan that keeps every lag; slack: most play of a greatest lag.

    The hidden plan comes of serial generation in a stirred order under the least lags; then greatest lags are drawn
    between related and unrelated activities, each 0 to `slack` above the distance in the hidden plan.
    """
    rng = np.random.default_rng(seed)
    acts = tuple(
        Activity(int(rng.integers(1, 11)), tuple(int(v) for v in rng.integers(0, 6, RESOURCES))) for _ in range(count)
    )
    capacities = tuple(int(v) for v in rng.integers(10, 16, RESOURCES))
    pairs = sorted(
        {(i, int(rng.integers(i + 1, min(i + AHEAD, count)))) for i in range(count - 1) for _ in range(SUCCESSORS)}
    )
    least = [StartLag(i, j, int(rng.integers(1, acts[i].duration + 4))) for i, j in pairs]
    loose = Project(acts, capacities, tuple(least))
    table = ways(loose)
    assert table is not None
    hidden = by_rule(loose, table, rng.random(count).tolist(), longest_plan(loose))
    assert hidden is not None
    lags = []
    for lag in least:
        apart = hidden[lag.after] - hidden[lag.before]
        most = apart + int(rng.integers(0, slack + 1)) if rng.random() < GREATEST_SHARE else None
        lags.append(StartLag(lag.before, lag.after, lag.least, most))
    return Project(acts, capacities, tuple(lags))


def unsatisfiable(seed: int, count: int = 30) -> Project:
    """A project whose lags allow it but not its first resource: two activities bound to overlap need it whole."""
    made = satisfiable(seed, count)
    whole = (made.capacities[0], *([0] * (RESOURCES - 1)))
    pair = (Activity(4, whole), Activity(4, whole))
    lag = StartLag(count, count + 1, -3, 3)
    return Project((*made.activities, *pair), made.capacities, (*made.lags, lag))
