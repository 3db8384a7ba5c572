"""A general project under scarce resources: activities, capacities, least and greatest lags between starts.

The closure's own model has the trade's names and rules; this one has none, so that the same machinery can be measured
on published problems. Every number is a whole number of one unit of time.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: 'optimal' and 'infeasible' are proofs; 'unknown' is neither a plan nor a proof that there is none.
Standing = Literal["optimal", "feasible", "infeasible", "unknown"]
#: Stands for 'no lag' in a matrix of longest ways; far from overflow when two are added.
NO_WAY = -(10**9)


@dataclass(frozen=True, slots=True)
class Activity:
    """duration may be 0; demand has one number for each capacity, held from start to end."""

    duration: int
    demand: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class StartLag:
    """start of `after` minus start of `before` is at least `least` and, where given, at most `greatest`."""

    before: int
    after: int
    least: int
    greatest: int | None = None


@dataclass(frozen=True, slots=True)
class Project:
    """Activities are known by their place in the tuple."""

    activities: tuple[Activity, ...]
    capacities: tuple[int, ...]
    lags: tuple[StartLag, ...]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What is known of a project.

    starts      of every activity; None where no plan was found
    bound       no plan ends sooner (0 where nothing is known)
    """

    standing: Standing
    starts: tuple[int, ...] | None
    makespan: int | None
    bound: int
    guard_hit: bool = False


def ends_at(project: Project, starts: tuple[int, ...]) -> int:
    """The time at which the last activity of a plan ends.

    Valid       one start for each activity
    Source      algebra
    Proved by   tests/programme/test_rcpsp.py
    """
    return max((s + a.duration for s, a in zip(starts, project.activities, strict=True)), default=0)


def ways(project: Project) -> NDArray[np.int64] | None:
    """Longest way between any two starts that the lags ask for; None where they contradict one another.

    A greatest lag is a least lag backwards, below zero. NO_WAY stands where nothing is asked.

    Valid       any whole lags; n activities cost n sweeps of an n by n table
    Source      algebra (longest ways; a loop longer than 0 is a contradiction)
    Proved by   tests/programme/test_rcpsp.py
    """
    import numpy as np

    count = len(project.activities)
    table = np.full((count, count), NO_WAY, dtype=np.int64)
    np.fill_diagonal(table, 0)
    for lag in project.lags:
        table[lag.before, lag.after] = max(table[lag.before, lag.after], lag.least)
        if lag.greatest is not None:
            table[lag.after, lag.before] = max(table[lag.after, lag.before], -lag.greatest)
    for k in range(count):
        through = table[:, k, None] + table[None, k, :]
        through[(table[:, k] == NO_WAY), :] = NO_WAY
        through[:, (table[k, :] == NO_WAY)] = NO_WAY
        np.maximum(table, through, out=table)
    return None if (np.diagonal(table) > 0).any() else table


def too_much(project: Project) -> tuple[int, ...]:
    """The activities that ask for more than a whole capacity, which no plan can hold.

    Valid       any project
    Source      algebra
    Proved by   tests/programme/test_rcpsp.py
    """
    return tuple(
        i
        for i, activity in enumerate(project.activities)
        if activity.duration > 0 and any(d > c for d, c in zip(activity.demand, project.capacities, strict=True))
    )
