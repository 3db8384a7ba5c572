"""The clocks of one cover: every wait and life that its method names, read off the sheets at the night's hours."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from truebed.curing.clocks import ClockReading
from truebed.curing.night_temps import NightTemps
from truebed.curing.read_clock import read_clock
from truebed.errors import NotDeterminedError
from truebed.rules.ruleset import RuleSet
from truebed.sheets.method import Clock, Link, Method
from truebed.sheets.sheet import Sheet
from truebed.why import Why


@dataclass(frozen=True, slots=True)
class KnownClock:
    """A clock of the method with its reading; wait: it is waited out (coldest), else it runs out (hottest)."""

    clock: Clock
    wait: bool
    reading: ClockReading
    why: Why


def sheet_of(method: Method, pour: str, sheets: dict[str, Sheet]) -> Sheet:
    """The sheet of a pour.

    Valid       a pour of the method
    Source      house (look-up)
    Raises      KeyError for a pour the method does not have
    Proved by   tests/plan/test_clocks.py
    """
    for role in method.roles:
        if role.pour == pour:
            return sheets[role.sheet]
    raise KeyError(pour)


def opened_by_strength(method: Method) -> frozenset[str]:
    """Pours that the road waits for by their strength; the others are waited for by their sheets' ready times.

    Valid       any method
    Source      house (look-up)
    Proved by   tests/plan/test_clocks.py
    """
    clocks = [link.least_clock for link in method.links if link.to_step == "open"]
    return frozenset(c.pour for c in clocks if c is not None and c.kind == "strength")


def with_least_strength(links: tuple[Link, ...], targets: dict[str, float | None]) -> tuple[Link, ...]:
    """The links with every strength clock that leads to the opening at no less than the pour's opening strength.

    A method may ask for more than the road does, never for less.

    Valid       targets by pour; None: not determined
    Source      house: opening strength is a rule value, else the sheet's; the greater governs
    Proved by   tests/plan/test_clocks.py
    """
    raised = []
    for link in links:
        clock = link.least_clock
        own = clock.strength_n_per_mm2 if clock is not None and clock.kind == "strength" else None
        asked = targets.get(clock.pour) if clock is not None else None
        if clock is not None and link.to_step == "open" and own is not None and asked is not None and asked > own:
            link = replace(link, least_clock=replace(clock, strength_n_per_mm2=asked))  # noqa: PLW2901
        raised.append(link)
    return tuple(raised)


def asked_clocks(links: tuple[Link, ...]) -> tuple[tuple[Clock, bool], ...]:
    """Each different clock once, with whether it is a wait.

    Valid       links of one method
    Source      house (look-up)
    Proved by   tests/plan/test_clocks.py
    """
    asked: dict[tuple[Clock, bool], None] = {}
    for link in links:
        if link.least_clock is not None:
            asked[(link.least_clock, True)] = None
        if link.greatest_clock is not None:
            asked[(link.greatest_clock, False)] = None
    return tuple(asked)


def read_clocks(
    method: Method,
    sheets: dict[str, Sheet],
    targets: dict[str, float | None],
    temps: NightTemps,
    rules: RuleSet,
) -> tuple[KnownClock, ...]:
    """Every clock of the method at the night's temperatures.

    targets     opening strength of each pour [N/mm2], None where it is not determined
    Valid       within each sheet's own temperatures and strengths
    Source      the sheets' own points; bands from the rule set
    Raises      NotDeterminedError where a sheet cannot answer
    Proved by   tests/plan/test_clocks.py
    """
    temp_band = rules.number("cure_temp_band_c")
    time_band = rules.number("sheet_time_band_share")
    known = []
    for clock, wait in asked_clocks(with_least_strength(method.links, targets)):
        sheet = sheet_of(method, clock.pour, sheets)
        target = target_of(clock, targets, sheet)
        which: Literal["wait", "life"] = "wait" if wait else "life"
        reading, why = read_clock(sheet, clock.pour, clock.kind, target, temps, temp_band, time_band, which)
        known.append(KnownClock(clock, wait, reading, why))
    return tuple(known)


def target_of(clock: Clock, targets: dict[str, float | None], sheet: Sheet) -> float | None:
    """The strength that a clock waits for: the method's own, else the pour's opening strength; None for other kinds.

    Valid       a clock of the method
    Source      house: never a default
    Raises      NotDeterminedError where nobody says
    Proved by   tests/plan/test_clocks.py
    """
    if clock.kind != "strength":
        return None
    target = clock.strength_n_per_mm2 if clock.strength_n_per_mm2 is not None else targets[clock.pour]
    if target is None:
        raise NotDeterminedError(
            f"the strength at which {sheet.name} may open is not determined: neither the rule set nor the sheet says"
        )
    return target


def minutes_of(known: tuple[KnownClock, ...], clock: Clock, *, wait: bool) -> float:
    """The minutes of one clock as the programme takes them.

    Valid       a clock that was read
    Source      house (look-up)
    Raises      KeyError for a clock that was not read
    Proved by   tests/plan/test_clocks.py
    """
    for one in known:
        if one.clock == clock and one.wait == wait:
            return one.reading.planned_min
    raise KeyError(clock)


def late_minutes_of(known: tuple[KnownClock, ...], clock: Clock) -> float:
    """The minutes of a wait at the late end of its range.

    Valid       a wait that was read
    Source      house (look-up)
    Raises      KeyError for a clock that was not read
    Proved by   tests/plan/test_clocks.py
    """
    for one in known:
        if one.clock == clock and one.wait:
            return one.reading.late_min
    raise KeyError(clock)
