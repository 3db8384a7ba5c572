"""The words of the page that tells when a cover's layers are ready: clocks, hours of placing, base temperatures."""

from __future__ import annotations

import math
from zoneinfo import ZoneInfo

from truebed.curing.clocks import ClockReading
from truebed.drawings.clock import clock, moment, window_min
from truebed.findings import short_number
from truebed.papers.clock_words import clock_table
from truebed.papers.writing import plain_name
from truebed.plan.releases import LayerRelease
from truebed.plan.result import ClosurePlan, CoverDesign

Words = dict[str, object]
HOUR_MIN = 60
NEVER, NOT_ASKED = "never", "\u2013"


def ready_words(closure: ClosurePlan, design: CoverDesign, zone: ZoneInfo) -> Words:
    """Everything the page prints, as texts.

    Valid       a cover designed in that closure
    Source      house (writing)
    Proved by   tests/papers/test_ready_words.py
    """
    return {
        "clocks": clock_table(design.clocks),
        "latest": latest_rows(closure, design.cover, zone),
        "placed": placed_table(closure, design, zone),
        "bases": base_table(design.releases),
        "frost": frost_words(design),
        "protection": closure.protection,
    }


def latest_rows(closure: ClosurePlan, cover: str, zone: ZoneInfo) -> list[dict[str, str]]:
    """The last minute to begin the lift and each pour, by the cover's own chain; [] where it cannot be done.

    Valid       any cover of the closure
    Source      house (writing)
    Proved by   tests/papers/test_ready_words.py
    """
    texts = closure.texts(cover)
    rows, seen = [], set[str]()
    for one in closure.latest:
        text = texts.get(one.step)
        if one.cover != cover or text is None or not (one.lift or (text.pour and text.pour not in seen)):
            continue
        seen.add(text.pour)
        rows.append({"name": text.name, "by": clock(closure, one.minute_min, zone), "lift": "lift" if one.lift else ""})
    return rows


def opening_clocks(design: CoverDesign) -> tuple[ClockReading, ...]:
    """The clocks that the opening waits for and that are known by the hour of placing, each of a pour that has several.

    Valid       any design
    Source      house (look-up)
    Proved by   tests/papers/test_ready_words.py
    """
    asked = {(one.pour, one.kind, one.target_n_per_mm2) for one in design.releases}
    found: dict[tuple[str, str, float | None], ClockReading] = {}
    for reading in design.clocks:
        key = (reading.pour, reading.kind, reading.target_n_per_mm2)
        if reading.wait and reading.hours and key in asked:
            found.setdefault(key, reading)
    return tuple(found.values())


def placed_table(closure: ClosurePlan, design: CoverDesign, zone: ZoneInfo) -> Words:
    """Rows of clock hours; in each pour's column when the road may open on it if it is placed then (95 %).

    Valid       any design
    Source      straight between the hours that were worked out
    Proved by   tests/papers/test_ready_words.py
    """
    clocks = opening_clocks(design)
    rows = []
    for at_min in whole_hours(closure, zone):
        cells = [_ready_cell(closure, reading, at_min, zone) for reading in clocks]
        if any(cell["text"] != NOT_ASKED for cell in cells):
            rows.append({"at": clock(closure, at_min, zone), "cells": cells})
    return {"heads": [_head(reading) for reading in clocks], "rows": rows}


def whole_hours(closure: ClosurePlan, zone: ZoneInfo) -> tuple[int, ...]:
    """Minutes after the shutting at which the clock on the wall shows a whole hour, up to the deadline.

    Valid       any closure
    Source      algebra
    Proved by   tests/papers/test_ready_words.py
    """
    first = (HOUR_MIN - moment(closure, 0, zone).minute) % HOUR_MIN
    return tuple(range(first, window_min(closure) + 1, HOUR_MIN))


def late_at_min(reading: ClockReading, at_min: float) -> float | None:
    """The 95 % late minutes of a layer placed so many minutes after the shutting; None outside the hours, or never.

    Valid       a clock by the hour of placing
    Source      straight between neighbouring hours
    Proved by   tests/papers/test_ready_words.py
    """
    hours = reading.hours
    if not hours or not hours[0].start_min - HOUR_MIN / 2 <= at_min <= hours[-1].start_min + HOUR_MIN:
        return None
    before = [h for h in hours if h.start_min <= at_min][-1:] or [hours[0]]
    after = [h for h in hours if h.start_min > at_min][:1] or [hours[-1]]
    low, high = before[0], after[0]
    if low.start_min == at_min:
        high = low
    if low.band.late_min is None or high.band.late_min is None:
        return math.inf
    span = high.start_min - low.start_min
    part = 0.0 if span <= 0.0 else min(1.0, max(0.0, (at_min - low.start_min) / span))
    return low.band.late_min + part * (high.band.late_min - low.band.late_min)


def _ready_cell(closure: ClosurePlan, reading: ClockReading, at_min: int, zone: ZoneInfo) -> dict[str, str]:
    late = late_at_min(reading, at_min)
    if late is None:
        return {"text": NOT_ASKED, "late": ""}
    if math.isinf(late):
        return {"text": NEVER, "late": "late"}
    ready_min = at_min + math.ceil(late)
    return {
        "text": clock(closure, ready_min, zone),
        "late": "late" if ready_min > window_min(closure) else "",
    }


def _head(reading: ClockReading) -> str:
    target = reading.target_n_per_mm2
    told = "ready" if target is None else f"{short_number(target)} N/mm\u00b2"
    return f"{plain_name(reading.pour)}: {told}"


def base_table(releases: tuple[LayerRelease, ...]) -> Words:
    """Rows of base temperatures; in each pour's column the late minutes (95 %) and the middle ones.

    Valid       any releases
    Source      house (writing)
    Proved by   tests/papers/test_ready_words.py
    """
    own: dict[tuple[str, str, float | None], LayerRelease] = {}
    for one in releases:
        if one.lines:
            own.setdefault((one.pour, one.kind, one.target_n_per_mm2), one)
    temps = sorted({line.base_c for one in own.values() for line in one.lines})
    rows = []
    for temp_c in temps:
        cells = []
        for one in own.values():
            line = next((x for x in one.lines if x.base_c == temp_c), None)
            if line is None:
                cells.append({"late": NOT_ASKED, "middle": ""})
            elif line.ready.late_min is None:
                cells.append({"late": "freezes" if line.frost_share > 0.0 else NEVER, "middle": ""})
            else:
                middle = "" if line.ready.central_min is None else f"{math.ceil(line.ready.central_min)}"
                cells.append({"late": f"{math.ceil(line.ready.late_min)}", "middle": middle})
        rows.append({"temp": f"{temp_c:g} \u00b0C", "cells": cells})
    heads = []
    for one in own.values():
        told = "ready" if one.target_n_per_mm2 is None else f"{short_number(one.target_n_per_mm2)} N/mm\u00b2"
        heads.append(f"{plain_name(one.pour)}: {told}")
    return {"heads": heads, "rows": rows}


def frost_words(design: CoverDesign) -> str:
    """A sentence where some believable nights would freeze a layer of this cover; '' where none would.

    Valid       any design
    Source      house (writing)
    Proved by   tests/papers/test_ready_words.py
    """
    worst = max((hour.frost_share for reading in design.clocks for hour in reading.hours), default=0.0)
    if worst <= 0.0:
        return ""
    return (
        f"Frost: in up to {worst:.0%} of the believable nights a layer placed late would freeze while it is weak. "
        "Keep it covered, probe it; a layer that froze is not ready at any hour."
    )
