"""Release tables of a cover's layers: how long until each may be trafficked, against the base's temperature."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from truebed.curing.two_clocks import Band
from truebed.mixing.kits import RoleVolume
from truebed.plan.case import Case
from truebed.plan.clocks import KnownClock
from truebed.plan.pours import asked_of, hours_of, pour_of
from truebed.sheets.method import Clock

#: Steps of the base's temperature, and how far past the night's own range the table reaches.
STEP_K, PAST_K = 2.0, 6.0


@dataclass(frozen=True, slots=True)
class ReleaseLine:
    """Minutes from placing on a base (and iron) of one temperature, in the weather of the governing hour."""

    base_c: float
    ready: Band
    frost_share: float


@dataclass(frozen=True, slots=True)
class LayerRelease:
    """The release table of one pour. target_n_per_mm2 None: it is ready by its sheet's times."""

    pour: str
    sheet: str
    kind: str
    target_n_per_mm2: float | None
    lines: tuple[ReleaseLine, ...]


def releases_of(
    case: Case, known: tuple[KnownClock, ...], opens: frozenset[Clock], volumes: tuple[RoleVolume, ...]
) -> tuple[LayerRelease, ...]:
    """A table for each clock that the opening waits for; () for those read off a sheet's points.

    opens       the clocks that lead to the opening
    Valid       clocks of the same case, from truebed.plan.night_clocks
    Source      truebed.curing.hour_clocks
    Proved by   tests/plan/test_releases.py
    """
    return tuple(_release(case, one, volumes) for one in known if one.wait and one.clock in opens and one.reading.hours)


def _release(case: Case, one: KnownClock, volumes: tuple[RoleVolume, ...]) -> LayerRelease:
    reading = one.reading
    at_min = reading.hours[0].start_min if reading.at_min is None else reading.at_min
    pour = pour_of(case, reading.pour, volumes, reading.hours[0].start_min)
    hour = next(h for h in pour.question.hours if h.start_min == at_min)
    bases = _bases(pour.sheet.limits.temp_least_c, pour.sheet.limits.temp_most_c, case)
    hours = tuple(
        replace(hour, base_cold_c=base_c, base_warm_c=base_c, iron_cold_c=base_c, iron_warm_c=base_c)
        for base_c in bases
    )
    question = replace(pour.question, hours=hours)
    if reading.kind == "strength" and pour.carrier is None:
        return LayerRelease(reading.pour, reading.sheet, reading.kind, reading.target_n_per_mm2, ())
    line, strength_n_per_mm2 = asked_of(pour, one.clock.kind, reading.target_n_per_mm2)
    found = hours_of(pour, question, line, strength_n_per_mm2, wait=True)
    lines = tuple(ReleaseLine(base_c, row.band, row.frost_share) for base_c, row in zip(bases, found, strict=True))
    return LayerRelease(reading.pour, reading.sheet, reading.kind, reading.target_n_per_mm2, lines)


def _bases(least_c: float, most_c: float, case: Case) -> tuple[float, ...]:
    """Round temperatures about the night's own, within the sheet's."""
    low = max(least_c, case.temps.coldest_c - PAST_K)
    high = min(most_c, case.temps.hottest_c + PAST_K)
    first = math.ceil(low / STEP_K - 1e-9)
    last = math.floor(high / STEP_K + 1e-9)
    return tuple(STEP_K * step for step in range(first, last + 1))
