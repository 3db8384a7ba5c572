"""An independent check of a plan of a general project: it shares nothing with the model or the rules."""

from __future__ import annotations

from collections.abc import Sequence

from truebed.programme.rcpsp import Project


def faults(project: Project, starts: Sequence[int], *, said_end: int | None = None) -> tuple[str, ...]:
    """Every way in which the starts break the project, as sentences; empty for a sound plan.

    said_end    the makespan that was claimed; a fault where the plan does not end then

    Valid       any whole starts
    Source      algebra (each moment at which something starts is looked at)
    Proved by   tests/programme/test_rcpsp_check.py
    """
    if len(starts) != len(project.activities):
        return (f"{len(starts)} starts for {len(project.activities)} activities",)
    found = [f"activity {i} starts at {s}, before 0" for i, s in enumerate(starts) if s < 0]
    found += _lag_faults(project, starts)
    found += _capacity_faults(project, starts)
    end = 0
    for start, activity in zip(starts, project.activities, strict=True):
        end = max(end, start + activity.duration)
    if said_end is not None and said_end != end:
        found.append(f"the plan ends at {end}, not at {said_end} as said")
    return tuple(found)


def _lag_faults(project: Project, starts: Sequence[int]) -> list[str]:
    found = []
    for lag in project.lags:
        apart = starts[lag.after] - starts[lag.before]
        if apart < lag.least:
            found.append(f"{lag.after} starts {apart} after {lag.before}, least {lag.least}")
        if lag.greatest is not None and apart > lag.greatest:
            found.append(f"{lag.after} starts {apart} after {lag.before}, greatest {lag.greatest}")
    return found


def _capacity_faults(project: Project, starts: Sequence[int]) -> list[str]:
    found = []
    for moment in sorted(set(starts)):
        at_work = [a for s, a in zip(starts, project.activities, strict=True) if s <= moment < s + a.duration]
        for k, capacity in enumerate(project.capacities):
            used = sum(a.demand[k] for a in at_work)
            if used > capacity:
                found.append(f"at {moment} resource {k} is used {used} of {capacity}")
    return found
