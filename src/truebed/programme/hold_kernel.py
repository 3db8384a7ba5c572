"""Holding a step back where a workable life that begins with it would run out: what is believed then."""

from __future__ import annotations

from truebed.compiled import inlined
from truebed.programme.night_columns import (
    AT,
    AT_END,
    COVER,
    DONE,
    DRAW,
    DUE,
    END,
    FREE,
    FREE_DUE,
    FROM,
    G_END,
    G_FREE,
    G_START,
    HOLDS,
    LAGS,
    LONG_RATIO,
    MARK,
    MEDIAN,
    PERSON,
    PLANNED,
    ROUNDING_MIN,
    ROW,
    START,
    TO_END,
    U_MARK,
    UNITS,
    WAIT,
    Floats,
    Ints,
)


@inlined
def known(real_min: float, due_min: float, now_min: float) -> float:  # minutes
    """A minute as it is believed at `now`: itself if past, else what was expected of it.

    Source      algebra
    Proved by   tests/programme/test_replay.py
    """
    if real_min <= now_min:
        return real_min
    return max(now_min, due_min)


@inlined
def wait_of(table: Floats, wait_min: float, row: int, edge_min: float) -> float:  # minutes
    """The middle of a wait whose from edge lies at that minute.

    Source      algebra
    Proved by   tests/programme/test_replay.py
    """
    if row < 0:
        return wait_min
    return float(table[row, min(max(int(edge_min), 0), table.shape[1] - 1)])


@inlined
def guess(j: int, now_min: float, mark_count: float, step: Floats, ptr: Ints, entry: Floats, unit: Ints, table: Floats,
          walk: Floats, bs: Floats, bu: Floats) -> float:  # fmt: skip
    """When step j will start, as believed at `now`: at its planned hour, or later where the night runs late.

    What is guessed in this round comes first, then what is known. The planned hour stands for what else may hold it.

    Source      house
    Proved by   tests/programme/test_replay.py
    """
    at_min = max(now_min, step[j, PLANNED])
    for i in range(ptr[j, LAGS], ptr[j + 1, LAGS]):
        frm = int(entry[i, FROM])
        if bs[frm, MARK] == mark_count:
            edge_min = bs[frm, G_END if entry[i, AT_END] > 0.0 else G_START]
        elif entry[i, AT_END] > 0.0:
            edge_min = known(bs[frm, END], bs[frm, DUE], now_min)
        else:
            edge_min = known(bs[frm, START], bs[frm, START], now_min)
        wait_min = wait_of(table, entry[i, WAIT], int(entry[i, ROW]), edge_min) * entry[i, LONG_RATIO]
        at_min = max(at_min, edge_min + wait_min - (step[j, MEDIAN] if entry[i, TO_END] > 0.0 else 0.0))
    for i in range(ptr[j, UNITS], ptr[j + 1, UNITS]):
        u = int(entry[i, FROM])
        if bu[u, U_MARK] == mark_count:
            at_min = max(at_min, bu[u, G_FREE])
            continue
        free = known(bu[u, FREE], bu[u, FREE_DUE], now_min)
        if unit[u, PERSON] > 0 and bu[u, AT] >= 0.0:
            free += walk[int(bu[u, AT]), int(step[j, COVER])]
        at_min = max(at_min, free)
    return float(at_min)


@inlined
def note_guess(
    j: int, at_min: float, mark_count: float, step: Floats, ptr: Ints, entry: Floats, bs: Floats, bu: Floats
) -> None:
    """Note the guess of step j.

    Source      house
    Proved by   tests/programme/test_replay.py
    """
    bs[j, MARK], bs[j, G_START], bs[j, G_END] = mark_count, at_min, at_min + step[j, MEDIAN]
    for i in range(ptr[j, UNITS], ptr[j + 1, UNITS]):
        u = int(entry[i, FROM])
        bu[u, U_MARK], bu[u, G_FREE] = mark_count, at_min + step[j, MEDIAN]


@inlined
def overrun(k: int, hold: int, at_min: float, now_min: float, step: Floats, ptr: Ints, entry: Floats, unit: Ints,
            table: Floats, walk: Floats, bs: Floats, bu: Floats, state: Ints) -> float:  # fmt: skip
    """By how much a life that step k begins would be passed if it started at `at`, as believed at `now`.

    Source      house
    Proved by   tests/programme/test_replay.py
    """
    bs[0, MARK + 1] += 1.0
    mark_count = bs[0, MARK + 1]
    note_guess(k, at_min, mark_count, step, ptr, entry, bs, bu)
    for i in range(int(entry[hold, DRAW]), int(entry[hold, ROW])):
        j = int(entry[i, FROM])
        if state[int(step[j, COVER])] == DONE:
            start = guess(j, now_min, mark_count, step, ptr, entry, unit, table, walk, bs, bu)
            note_guess(j, start, mark_count, step, ptr, entry, bs, bu)
    to = int(entry[hold, FROM])
    first = bs[k, G_END if entry[hold, AT_END] > 0.0 else G_START]
    last = bs[to, G_END if entry[hold, TO_END] > 0.0 else G_START]
    return float(last - first - entry[hold, WAIT])


@inlined
def held_back(k: int, at_min: float, step: Floats, ptr: Ints, entry: Floats, unit: Ints, table: Floats, walk: Floats,
              bs: Floats, bu: Floats, state: Ints) -> float:  # fmt: skip
    """The start of step k, later where a life that begins with it would run out before it is used.

    Source      house: a mix is not begun before those who lay it are free
    Proved by   tests/programme/test_replay.py
    """
    now_min = at_min
    for _round in range(2):
        was_min = at_min
        for hold in range(ptr[k, HOLDS], ptr[k + 1, HOLDS]):
            over = overrun(k, hold, at_min, now_min, step, ptr, entry, unit, table, walk, bs, bu, state)
            if over <= 0.0:
                continue
            left = overrun(k, hold, at_min + over, now_min, step, ptr, entry, unit, table, walk, bs, bu, state)
            if left < over - ROUNDING_MIN:
                at_min += over
        if at_min == was_min:
            break
    return at_min
