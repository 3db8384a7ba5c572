"""The clocks of one cover in words: what must be done within, what is waited for, minutes on the safe side."""

from __future__ import annotations

import math

from truebed.curing.clocks import ClockReading
from truebed.findings import short_number
from truebed.papers.writing import plain_name, tenth_mm

Words = dict[str, object]
WAIT_WORDS = {"set": "wait: has set", "ready": "wait: ready for the next layer or wheels"}
WITHIN_WORDS = {"life": "within: mixed, placed, set to level", "set": "within: last levels, it sets"}


def clock_words(reading: ClockReading) -> dict[str, str]:
    """One clock as a row: whole minutes, a life rounded down, a wait rounded up.

    Valid       any reading
    Source      house (writing)
    Proved by   tests/papers/test_clock_words.py
    """
    target = reading.target_n_per_mm2
    words = WAIT_WORDS if reading.wait else WITHIN_WORDS
    what = (
        f"wait: reaches {short_number(target)} N/mm\u00b2"
        if target is not None
        else words.get(reading.kind, reading.kind)
    )
    return {
        "pour": plain_name(reading.pour),
        "what": what,
        "minutes": str(whole_minutes(reading)),
        "range": f"{math.floor(reading.early_min)} to {math.ceil(reading.late_min)}",
        "temp": f"{tenth_mm(reading.temp_c)} \u00b0C, {reading.from_what}",
    }


def clock_table(readings: tuple[ClockReading, ...]) -> Words:
    """The clocks with a row for each pour and a column for each thing waited for or to be done within.

    Valid       any readings; of two for one cell both stand in it
    Source      house (arrangement)
    Proved by   tests/papers/test_clock_words.py
    """
    rows = [clock_words(r) for r in sorted(readings, key=lambda r: r.wait)]
    heads = list(dict.fromkeys(r["what"] for r in rows))
    pours = list(dict.fromkeys(plain_name(r.pour) for r in readings))
    pointwise = [clock_words(r) for r in readings if not r.hours]
    temps = dict.fromkeys(r["temp"] for r in pointwise)
    return {
        "heads": heads,
        "rows": [
            {
                "pour": pour,
                "cells": [
                    [
                        {"minutes": r["minutes"], "range": r["range"]}
                        for r in rows
                        if (r["pour"], r["what"]) == (pour, head)
                    ]
                    for head in heads
                ],
            }
            for pour in pours
        ],
        "temps": [f"{temp} ({', '.join(_of_temp(pointwise, temp))})" for temp in temps]
        if len(temps) > 1 or len(pointwise) < len(readings)
        else list(temps),
        "heat": heat_words(readings),
    }


def _of_temp(rows: list[dict[str, str]], temp: str) -> list[str]:
    """What is read at that temperature: its whole kind (within, wait) where all of it is, else pour by pour."""
    told = []
    for kind in ("within", "wait"):
        own = [r for r in rows if r["what"].startswith(kind)]
        mine = [r for r in own if r["temp"] == temp]
        if mine:
            told.append(
                kind if len(mine) == len(own) else f"{kind}: {', '.join(dict.fromkeys(r['pour'] for r in mine))}"
            )
    return told


def whole_minutes(reading: ClockReading) -> int:
    """Whole minutes on the safe side: what must be done within, down; a wait, up.

    Valid       any reading
    Source      house (rounding as in the programme)
    Proved by   tests/papers/test_clock_words.py
    """
    return math.ceil(reading.planned_min) if reading.wait else math.floor(reading.planned_min)


def heat_words(readings: tuple[ClockReading, ...]) -> str:
    """How the clocks that follow the layer's heat were read; '' where none does.

    Valid       any readings
    Source      house (writing)
    Proved by   tests/papers/test_clock_words.py
    """
    heated = [r for r in readings if r.hours]
    if not heated:
        return ""
    temps = [r.temp_c for r in heated]
    return (
        "Waits for the opening at the late end (95 %), what runs out at the early end (5 %), waits between steps the "
        "most probable; in brackets nine nights in ten. From the heat of each layer on this night's forecast, at the "
        f"hour that governs: as if held at {tenth_mm(min(temps))} to {tenth_mm(max(temps))} \u00b0C."
    )
