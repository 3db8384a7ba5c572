"""A designed cover as a job of tasks and lags for the programme."""

from __future__ import annotations

import math
from dataclasses import replace

from truebed.curing.clocks import ClockReading
from truebed.given.cover import Cover
from truebed.mixing.kits import PourKits
from truebed.plan.clocks import KnownClock, late_minutes_of, minutes_of
from truebed.programme.problem import OPEN, Job, Lag, Task
from truebed.programme.reach import earliest_starts
from truebed.sheets.method import Clock, Duration, Link, Method

#: A lag that a rounding of 1e-9 would lengthen by a minute is not lengthened.
ROUNDING_MIN = 1e-9
#: A wait that is never over in a closure.
NEVER_MIN = 100_000


def drivers_of(
    cover: Cover, pours: tuple[str, ...], saw_length_m: float, joint_m: float, dig_l: float, kits: tuple[PourKits, ...]
) -> dict[str, float]:
    """What a method's durations may depend on, for one cover.

    Valid       a designed cover
    Source      house: docs/sheets-and-methods.md
    Proved by   tests/plan/test_tasks.py
    """
    found = {"saw_m": saw_length_m, "joint_m": joint_m, "dig_l": dig_l, "frame_kg": cover.frame_mass_kg, "count": 1.0}
    for name in pours:  # a pour with nothing to fill takes no kits and no batches
        found[f"{name}_kits"] = found[f"{name}_batches"] = 0.0
    for pour in kits:
        found[f"{pour.pour}_kits"] = float(pour.kits)
        found[f"{pour.pour}_batches"] = float(len(pour.batches))
    return found


def minutes(duration: Duration, drivers: dict[str, float]) -> int:
    """Whole minutes of a step, rounded up; never less than one.

    Valid       drivers of the same cover
    Source      the method's own figures
    Raises      KeyError for a driver that is not known (the method's loader sees to that)
    Proved by   tests/plan/test_tasks.py
    """
    total = duration.base_min + sum(per * drivers[name] for name, per in duration.per)
    return max(1, math.ceil(total - ROUNDING_MIN))


def lag_of(link: Link, known: tuple[KnownClock, ...]) -> Lag:
    """A link with its clocks read: least rounded up, greatest rounded down.

    Valid       clocks of the same method
    Source      the method's own figures and the sheets' clocks
    Proved by   tests/plan/test_tasks.py
    """
    least = [] if link.least_min is None else [link.least_min]
    greatest = [] if link.greatest_min is None else [link.greatest_min]
    late = list(least)
    if link.least_clock is not None:
        least.append(minutes_of(known, link.least_clock, wait=True))
        late.append(late_minutes_of(known, link.least_clock))
    if link.greatest_clock is not None:
        greatest.append(minutes_of(known, link.greatest_clock, wait=False))
    return Lag(
        from_step=link.from_step,
        from_edge=link.from_edge,
        to_step=OPEN if link.to_step == "open" else link.to_step,
        to_edge=link.to_edge,
        least_min=math.ceil(max(least) - ROUNDING_MIN) if least else None,
        greatest_min=math.floor(min(greatest) + ROUNDING_MIN) if greatest else None,
        why=link.why,
        late_min=math.ceil(max(late) - ROUNDING_MIN) if late else None,
        profile=_profile(link, known, wait=True),
        greatest_profile=_profile(link, known, wait=False),
        middle_min=_middle_min(link, known),
    )


def _reading(clock: Clock | None, known: tuple[KnownClock, ...], *, wait: bool) -> ClockReading | None:
    return next((one.reading for one in known if one.clock == clock and one.wait == wait), None)


def _profile(link: Link, known: tuple[KnownClock, ...], *, wait: bool) -> tuple[tuple[int, int], ...]:
    """The clock of a link by the hour at which its layer is placed; () where it is the same at every hour.

    For the opening the 95 % late minutes, between steps the most probable, of what runs out the 5 % early ones; an hour
    at which there are none is never waited out.
    """
    reading = _reading(link.least_clock if wait else link.greatest_clock, known, wait=wait)
    if reading is None or len(reading.hours) < 2:
        return ()
    fixed = link.least_min if wait else link.greatest_min
    rows = []
    for hour in reading.hours:
        band = hour.band
        if wait:
            taken = band.late_min if link.to_step == "open" else band.central_min
            minute = NEVER_MIN if taken is None else math.ceil(taken - ROUNDING_MIN)
            minute = minute if fixed is None else max(minute, math.ceil(fixed - ROUNDING_MIN))
        else:
            minute = 0 if band.early_min is None else math.floor(band.early_min + ROUNDING_MIN)
            minute = minute if fixed is None else min(minute, math.floor(fixed + ROUNDING_MIN))
        rows.append((round(hour.start_min), minute))
    return tuple(rows)


def _middle_min(link: Link, known: tuple[KnownClock, ...]) -> int | None:
    """The most probable minutes of a wait for the opening, which is planned from its late end."""
    reading = _reading(link.least_clock, known, wait=True)
    if reading is None or link.to_step != "open" or not reading.hours:
        return None
    return math.ceil(max(reading.minutes_min, link.least_min if link.least_min is not None else 0.0) - ROUNDING_MIN)


def tasks_of(cover: Cover, method: Method, drivers: dict[str, float]) -> tuple[Task, ...]:
    """The steps of a cover with their minutes.

    Valid       a designed cover
    Source      the method's own figures
    Proved by   tests/plan/test_tasks.py
    """
    return tuple(
        Task(
            cover=cover.cover,
            step=step.key,
            name=step.name,
            minutes=minutes(step.duration, drivers),
            people=step.people,
            tools=step.tools,
            skill=step.skill,
            noisy=step.noisy,
        )
        for step in method.steps
    )


def pour_starts(
    cover: Cover, method: Method, drivers: dict[str, float], from_min: int, waits: dict[Clock, float]
) -> dict[str, float]:
    """The earliest minute after the shutting at which each pour can be begun, people and tools always free.

    waits       the least minutes of the clocks known so far; every other clock is taken as nought
    Valid       a designed cover
    Source      algebra (longest path)
    Proved by   tests/plan/test_tasks.py
    """
    starts = earliest_starts(
        tasks_of(cover, method, drivers), tuple(_least_lag(link, waits) for link in method.links), from_min
    )
    found: dict[str, float] = {}
    for step in method.steps:
        if step.pour:
            found[step.pour] = min(found.get(step.pour, math.inf), float(starts[step.key]))
    return found


def _least_lag(link: Link, waits: dict[Clock, float]) -> Lag:
    """A link without its greatest, its clock at the least that is known, which is never less than nought."""
    lag = lag_of(replace(link, least_clock=None, greatest_clock=None), ())
    if link.least_clock is None:
        return lag
    known = waits.get(link.least_clock, 0.0)
    least = math.floor(known) if lag.least_min is None else max(lag.least_min, math.floor(known))
    return replace(lag, least_min=least)


def job_of(
    cover: Cover, method: Method, links: tuple[Link, ...], drivers: dict[str, float], known: tuple[KnownClock, ...]
) -> Job:
    """One cover's job. links: the method's, with strengths raised to what the opening asks.

    Valid       a designed cover
    Source      the method's own figures
    Proved by   tests/plan/test_tasks.py
    """
    tasks = tasks_of(cover, method, drivers)
    return Job(cover.cover, cover.severity_weight, tasks, tuple(lag_of(link, known) for link in links))
