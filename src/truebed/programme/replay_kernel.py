"""Nights replayed: steps in the plan's order, each when able, covers dropped or made safe where the policy says so.

Nothing is drawn here: factors of every step and wait come in as arrays, so that plans are compared on the same nights.
A decision at some minute knows what is past; of what still runs it knows the middle and the spread. A few plain arrays
go through every call: a tuple of many costs more than the night's sums.
"""

from __future__ import annotations

import math

import numpy as np

from truebed.compiled import inlined, side_by_side
from truebed.programme.hold_kernel import held_back, wait_of
from truebed.programme.night_columns import (
    ALWAYS,
    AT,
    AT_END,
    BANS,
    COLUMN,
    COVER,
    DONE,
    DRAW,
    DROPPED,
    DUE,
    END,
    FREE,
    FREE_DUE,
    FROM,
    GUARD,
    HOLDS,
    LAGS,
    LIMIT,
    LONG,
    M_AT_END,
    M_FROM,
    M_ROW,
    M_TO,
    M_TO_END,
    M_WAIT,
    MAKE_SAFE,
    MARK,
    MEDIAN,
    MODE,
    NOISE_ENDS,
    NOT_BEFORE,
    OPENS,
    PERSON,
    ROUNDING_MIN,
    ROW,
    SAFE,
    SAFE_MIN,
    SAFES,
    START,
    TM_CLEAR,
    TM_SET,
    TO_END,
    TOOL,
    U_MARK,
    UNITS,
    WAIT,
    Factors,
    Floats,
    Ints,
    Result,
    Tables,
)


@inlined
def able(k: int, step: Floats, ptr: Ints, entry: Floats, unit: Ints, table: Floats, walk: Floats, bs: Floats,
         bu: Floats, waits: Factors) -> float:  # fmt: skip
    """The first minute at which step k has its waits behind it and its units free.

    Source      house
    Proved by   tests/oracles/test_replay_events.py
    """
    at_min = step[k, NOT_BEFORE]
    for i in range(ptr[k, LAGS], ptr[k + 1, LAGS]):
        edge_min = bs[int(entry[i, FROM]), END if entry[i, AT_END] > 0.0 else START]
        wait_min = wait_of(table, entry[i, WAIT], int(entry[i, ROW]), edge_min)
        if entry[i, DRAW] >= 0.0:
            wait_min *= waits[int(entry[i, DRAW])]
        at_min = max(at_min, edge_min + wait_min - (step[k, MEDIAN] if entry[i, TO_END] > 0.0 else 0.0))
    for i in range(ptr[k, UNITS], ptr[k + 1, UNITS]):
        u = int(entry[i, FROM])
        free = bu[u, FREE]
        if unit[u, PERSON] > 0 and bu[u, AT] >= 0.0:
            free += walk[int(bu[u, AT]), int(step[k, COVER])]
        at_min = max(at_min, free)
    return float(at_min)


@inlined
def past_bans(k: int, at_min: float, step: Floats, ptr: Ints, entry: Floats) -> float:
    """The start moved behind every span that the step's middle length would run into.

    Source      house
    Proved by   tests/programme/test_replay.py
    """
    for i in range(ptr[k, BANS], ptr[k + 1, BANS]):
        if at_min < entry[i, AT_END] and at_min + step[k, MEDIAN] > entry[i, FROM]:
            at_min = entry[i, AT_END]
    return at_min


@inlined
def with_stops(
    k: int, at_min: float, length_min: float, ptr: Ints, entry: Floats, unit: Ints, stops: Factors
) -> tuple[float, float]:
    """Start and end of step k with the stops of its tools in it. stops: (tool, minute and length).

    Source      house
    Proved by   tests/programme/test_replay.py
    """
    for i in range(ptr[k, UNITS], ptr[k + 1, UNITS]):
        tool = unit[int(entry[i, FROM]), TOOL]
        if tool < 0:
            continue
        begins, lasts = stops[tool, 0], stops[tool, 1]
        if begins <= at_min < begins + lasts:
            at_min = begins + lasts
        elif at_min < begins < at_min + length_min:
            length_min += lasts
    return at_min, at_min + length_min


@inlined
def held_until(k: int, at_min: float, ptr: Ints, entry: Floats, bu: Floats) -> None:
    """What step k would have held stays its own until its cover is given up: nobody knows of that sooner.

    Source      house
    Proved by   tests/oracles/test_replay_events.py
    """
    for i in range(ptr[k, UNITS], ptr[k + 1, UNITS]):
        u = int(entry[i, FROM])
        if bu[u, FREE] < at_min:
            bu[u, FREE], bu[u, FREE_DUE] = at_min, at_min


@inlined
def make_safe(k: int, at_min: float, factor_ratio: float, step: Floats, ptr: Ints, entry: Floats, bu: Floats) -> float:
    """Those who stand at step k close its cover for the night instead; the minute at which that is done.

    Source      common practice, no source
    Proved by   tests/oracles/test_replay_events.py
    """
    done = at_min + step[k, SAFE_MIN] * factor_ratio
    for i in range(ptr[k, SAFES], ptr[k + 1, SAFES]):
        u = int(entry[i, FROM])
        bu[u, FREE], bu[u, FREE_DUE], bu[u, AT] = done, at_min + step[k, SAFE_MIN], step[k, COVER]
    return float(done)


@inlined
def place(k: int, at_min: float, length_min: float, step: Floats, ptr: Ints, entry: Floats, unit: Ints, table: Floats,
          bs: Floats, bu: Floats, waits: Factors, stops: Factors) -> None:  # fmt: skip
    """Step k runs from `at`.

    Source      house
    Proved by   tests/oracles/test_replay_events.py
    """
    at_min, done = with_stops(k, at_min, length_min, ptr, entry, unit, stops)
    for i in range(ptr[k, LAGS], ptr[k + 1, LAGS]):
        if entry[i, TO_END] > 0.0:
            edge_min = bs[int(entry[i, FROM]), END if entry[i, AT_END] > 0.0 else START]
            wait_min = wait_of(table, entry[i, WAIT], int(entry[i, ROW]), edge_min)
            done = max(done, edge_min + wait_min * (waits[int(entry[i, DRAW])] if entry[i, DRAW] >= 0.0 else 1.0))
    due_min = at_min + step[k, LONG]
    bs[k, START], bs[k, END], bs[k, DUE] = at_min, done, due_min
    for i in range(ptr[k, UNITS], ptr[k + 1, UNITS]):
        u = int(entry[i, FROM])
        bu[u, FREE], bu[u, FREE_DUE], bu[u, AT] = done, due_min, step[k, COVER]


@inlined
def ready_of(k: int, ptr: Ints, entry: Floats, table: Floats, plan: Floats, bs: Floats, waits: Factors) -> float:
    """The minute at which step k alone would let the road open.

    Source      algebra
    Proved by   tests/oracles/test_replay_events.py
    """
    ready = bs[k, END] + plan[TM_CLEAR]
    for i in range(ptr[k, OPENS], ptr[k + 1, OPENS]):
        edge_min = bs[k, END if entry[i, AT_END] > 0.0 else START]
        wait_min = wait_of(table, entry[i, WAIT], int(entry[i, ROW]), edge_min)
        ready = max(ready, edge_min + wait_min * (waits[int(entry[i, DRAW])] if entry[i, DRAW] >= 0.0 else 1.0))
    return float(ready)


@inlined
def lives_passed(step: Floats, most: Floats, table: Floats, bs: Floats, state: Ints) -> int:
    """How many greatest lags of finished covers were overrun.

    Source      algebra
    Proved by   tests/oracles/test_replay_events.py
    """
    count = 0
    for i in range(most.shape[0]):
        frm, to = int(most[i, M_FROM]), int(most[i, M_TO])
        if state[int(step[frm, COVER])] != DONE:
            continue
        first = bs[frm, END if most[i, M_AT_END] > 0.0 else START]
        last = bs[to, END if most[i, M_TO_END] > 0.0 else START]
        if last - first > wait_of(table, most[i, M_WAIT], int(most[i, M_ROW]), first) + ROUNDING_MIN:
            count += 1
    return count


@inlined
def too_late(k: int, at_min: float, step: Floats, plan: Floats) -> bool:
    """Whether the policy gives the cover up rather than start step k at that minute.

    Source      house
    Proved by   tests/oracles/test_replay_events.py
    """
    if step[k, MODE] == ALWAYS:
        return False
    noisy = step[k, GUARD] >= 0.0 and at_min + step[k, GUARD] > plan[NOISE_ENDS]
    return bool(noisy or at_min > step[k, LIMIT])


@inlined
def one_night(step: Floats, ptr: Ints, entry: Floats, unit: Ints, table: Floats, walk: Floats, plan: Floats, bs: Floats,
              bu: Floats, state: Ints, ready: Floats, work: Factors, waits: Factors, safe: Factors,
              stops: Factors) -> int:  # fmt: skip
    """One night from its factors: fills starts, ends, states and ready minutes; how often noise ran into the ban.

    Source      house
    Proved by   tests/oracles/test_replay_events.py
    """
    noise_over, gone = 0, np.zeros(ready.shape[0])
    bu[:, FREE], bu[:, FREE_DUE], bu[:, AT] = 0.0, 0.0, -1.0
    state[:], ready[:] = DONE, 0.0
    for k in range(step.shape[0]):
        cover = int(step[k, COVER])
        if state[cover] != DONE:
            held_until(k, gone[cover], ptr, entry, bu)
            continue
        at_min = max(plan[TM_SET], able(k, step, ptr, entry, unit, table, walk, bs, bu, waits))
        if ptr[k + 1, HOLDS] > ptr[k, HOLDS]:
            at_min = held_back(k, at_min, step, ptr, entry, unit, table, walk, bs, bu, state)
        at_min = past_bans(k, at_min, step, ptr, entry)
        if too_late(k, at_min, step, plan):
            state[cover], gone[cover] = DROPPED, at_min
            held_until(k, at_min, ptr, entry, bu)
            if step[k, MODE] == MAKE_SAFE:
                state[cover] = SAFE
                ready[cover] = make_safe(k, at_min, safe[cover], step, ptr, entry, bu) + plan[TM_CLEAR]
            continue
        length_min = step[k, MEDIAN] * work[int(step[k, COLUMN])]
        place(k, at_min, length_min, step, ptr, entry, unit, table, bs, bu, waits, stops)
        ready[cover] = max(ready[cover], ready_of(k, ptr, entry, table, plan, bs, waits))
        if step[k, GUARD] >= 0.0 and bs[k, END] > plan[NOISE_ENDS] + ROUNDING_MIN:
            noise_over += 1
    return noise_over


@side_by_side
def replay_nights(t: Tables, work: Factors, waits: Factors, safe: Factors, stops: Factors, out: Result) -> None:
    """Every night of the draws, one after the other.

    Source      house
    Proved by   tests/oracles/test_replay_events.py, tests/published/test_replay_closed_forms.py
    """
    step, ptr, entry, unit, most, table, walk, weight, plan = t
    bs, bu = np.zeros((step.shape[0], MARK + 2)), np.zeros((unit.shape[0], U_MARK + 1))
    state, ready = np.zeros(weight.shape[0], np.int64), np.zeros(weight.shape[0])
    for night in range(work.shape[0]):
        out.noise_over[night] = one_night(
            step, ptr, entry, unit, table, walk, plan, bs, bu, state, ready, work[night], waits[night], safe[night],
            stops[night],
        )  # fmt: skip
        out.lag_over[night] = lives_passed(step, most, table, bs, state)
        for cover in range(ready.shape[0]):
            out.open[night] = max(out.open[night], ready[cover])
            out.state[night, cover] = state[cover]
            if state[cover] == DONE:
                out.weight[night] += weight[cover]
                out.covers[night] += 1
            if out.ready.shape[0] > 0:
                out.ready[night, cover] = ready[cover] if state[cover] == DONE else math.nan
        if out.starts.shape[0] > 0:
            for k in range(step.shape[0]):
                out.starts[night, k] = bs[k, START] if state[int(step[k, COVER])] == DONE else math.nan
