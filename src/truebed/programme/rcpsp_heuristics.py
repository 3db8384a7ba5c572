"""Plans of a general project by rule: serial generation, un-scheduling for greatest lags, justification."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from truebed.programme.rcpsp import NO_WAY, Project, ends_at

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Table = NDArray[np.int64]

#: Times that a lack of room may push activities out again, for each activity of the project.
PUSHES_EACH = 12
SEED = 1


class Room:
    """What is left of each capacity at each moment."""

    def __init__(self, project: Project, horizon: int) -> None:
        self.left = np.repeat(np.array(project.capacities, dtype=np.int64)[:, None], horizon, axis=1)
        self.demand = [np.array(a.demand, dtype=np.int64)[:, None] for a in project.activities]
        self.duration = [a.duration for a in project.activities]

    def first_from(self, i: int, earliest: int, latest: int) -> int | None:
        """The first start in [earliest, latest] at which activity i has room; None where there is none."""
        time, start = self.duration[i], earliest
        latest = min(latest, self.left.shape[1] - time)
        while start <= latest:
            short = (self.left[:, start : start + time] < self.demand[i]).any(axis=0)
            if not short.any():
                return start
            start += int(np.flatnonzero(short)[-1]) + 1
        return None

    def take(self, i: int, start: int, sign: int = 1) -> None:
        """Uses the room of activity i from start (sign -1 gives it back)."""
        self.left[:, start : start + self.duration[i]] -= sign * self.demand[i]


def longest_plan(project: Project) -> int:
    """A time by which some plan ends if any plan exists.

    Valid       any project
    Source      algebra (each activity's longest wait, one after another)
    Proved by   tests/programme/test_rcpsp.py
    """
    waits = [a.duration for a in project.activities]
    for lag in project.lags:
        waits[lag.before] = max(waits[lag.before], lag.least)
        if lag.greatest is not None:
            waits[lag.after] = max(waits[lag.after], -lag.greatest)
    return sum(waits) + 1


def tails(project: Project, table: Table) -> Table:
    """From the start of each activity to the end of the project, by the lags alone.

    Valid       the table of ways() of the same project
    Source      algebra
    Proved by   tests/programme/test_rcpsp.py
    """
    durations = np.array([a.duration for a in project.activities], dtype=np.int64)
    longest: Table = (table + durations[None, :]).max(axis=1)
    return np.maximum(longest, 0)


def by_rule(project: Project, table: Table, urgency_weight: Sequence[float], horizon: int) -> tuple[int, ...] | None:
    """Serial generation with un-scheduling: what a greatest lag holds soonest goes first, else the most urgent.

    urgency_weight  least first, among activities whose predecessors stand and that no greatest lag holds sooner

    Where an activity finds no room before a greatest lag forbids it, the activities that hold it back are pushed later,
    and with them all that start after the first of these.

    None where the pushes or the horizon run out, which proves nothing. Without greatest lags a plan always comes out.

    Valid       the table of ways() of the same project; a horizon of longest_plan() or more
    Source      house (serial generation is textbook; from memory)
    Proved by   tests/programme/test_rcpsp.py, tests/properties/test_rcpsp.py
    """
    count = len(project.activities)
    order_before = (table > 0) | ((table == 0) & (table.T < 0))
    waiting_for = order_before.sum(axis=0)
    room, starts = Room(project, horizon), np.full(count, -1, dtype=np.int64)
    lower = np.maximum(table.max(axis=0), 0)
    rank, pushes = np.asarray(urgency_weight, dtype=np.float64), PUSHES_EACH * count
    while (starts < 0).any():
        placed = starts >= 0
        ready = np.flatnonzero(~placed & (waiting_for == 0))
        at = np.flatnonzero(placed)
        held = (starts[at] - table[np.ix_(ready, at)]).min(axis=1, initial=horizon)
        i = int(ready[np.lexsort((rank[ready], held))[0]])
        earliest = int(max(lower[i], (starts[at] + table[at, i]).max(initial=0)))
        back = at[table[i, at] > NO_WAY // 2]
        latest = int((starts[back] - table[i, back]).min(initial=horizon))
        start = room.first_from(i, earliest, latest)
        if start is not None:
            starts[i] = start
            room.take(i, start)
            waiting_for -= order_before[i]
            continue
        wanted = room.first_from(i, max(earliest, latest + 1), horizon)
        pushes -= 1
        if wanted is None or pushes < 0:
            return None
        late = back[starts[back] - table[i, back] < wanted]
        lower[late] = np.maximum(lower[late], wanted + table[i, late])
        lower = np.maximum(lower, (lower[:, None] + table).max(axis=0))
        out = np.union1d(late, at[starts[at] > starts[late].min()])
        for j in out.tolist():
            room.take(j, int(starts[j]), -1)
            waiting_for += order_before[j]
        starts[out] = -1
    return tuple(starts.tolist())


def justified(project: Project, table: Table, starts: Sequence[int]) -> tuple[int, ...]:
    """The plan pushed as late as it goes and then as early: never ends later, and keeps every lag.

    Valid       a sound plan
    Source      house (double justification is textbook; from memory)
    Proved by   tests/properties/test_rcpsp.py
    """
    end = ends_at(project, tuple(starts))
    room, now = Room(project, end + 1), np.array(starts, dtype=np.int64)
    ends = now + np.array([a.duration for a in project.activities])
    for i, start in enumerate(starts):
        room.take(i, start)
    for i in sorted(range(len(starts)), key=lambda i: (-int(ends[i]), i)):
        _move(project, table, room, now, i, end, late=True)
    for i in sorted(range(len(starts)), key=lambda i: (int(now[i]), i)):
        _move(project, table, room, now, i, end, late=False)
    first = int(now.min(initial=end))
    return tuple((now - first).tolist())


def _move(project: Project, table: Table, room: Room, now: Table, i: int, end: int, *, late: bool) -> None:
    forward, backward = table[:, i].copy(), table[i].copy()
    forward[i] = backward[i] = NO_WAY
    earliest = int(max(0, (now + forward).max(initial=0)))
    latest = int(min(end - project.activities[i].duration, (now - backward).min(initial=end)))
    room.take(i, int(now[i]), -1)
    tries = range(latest, int(now[i]), -1) if late else range(earliest, int(now[i]))
    now[i] = next((t for t in tries if room.first_from(i, t, t) is not None), int(now[i]))
    room.take(i, int(now[i]))


def best_by_rules(project: Project, table: Table, *, tries: int = 40) -> tuple[int, ...] | None:
    """The plan that ends first among several orders, each justified; None where no order gave a plan.

    tries       the longest tail first, then the same stirred, with a fixed seed

    Valid       the table of ways() of the same project
    Source      house
    Proved by   tests/programme/test_rcpsp.py
    """
    tail, horizon = tails(project, table), longest_plan(project)
    rng, best = np.random.default_rng(SEED), None
    failed = 0
    for k in range(tries):
        stir = 0.0 if k == 0 else 0.25 * (k % 4 + 1) / 4
        stirred = -tail * (1.0 + stir * rng.standard_normal(len(tail)))
        found = by_rule(project, table, stirred.tolist(), horizon)
        if found is None:
            failed += 1
            if failed >= 8 and best is None:
                return None
            continue
        found = justified(project, table, found)
        if best is None or ends_at(project, found) < ends_at(project, best):
            best = found
    return best
