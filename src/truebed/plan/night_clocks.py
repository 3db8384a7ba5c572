"""The clocks of one cover from heat and hydration: each wait and life by the hour of placing, with its edges."""

from __future__ import annotations

import math
from dataclasses import replace

from truebed.curing.clocks import ClockReading
from truebed.curing.hour_clocks import (
    HourTime,
)
from truebed.curing.read_clock import WORDS, read_clock
from truebed.curing.two_clocks import EARLY_PART, Band
from truebed.errors import NotDesignedError, NotDeterminedError
from truebed.mixing.kits import RoleVolume
from truebed.plan.case import Case
from truebed.plan.clock_why import clock_why
from truebed.plan.clocks import KnownClock, asked_clocks, target_of, with_least_strength
from truebed.plan.night_layers import HOUR_MIN, closure_of, window_of_min
from truebed.plan.pours import Pour, asked_of, hours_of, pour_of
from truebed.plan.tasks import pour_starts
from truebed.sheets.method import Clock

COLD_MEND = (
    "Keep it warm (protection in closures.csv: a sheet, a blanket), warm the kits, take a method whose sheets are "
    "tested colder, or another night."
)


def night_clocks(
    case: Case,
    targets: dict[str, float | None],
    volumes: tuple[RoleVolume, ...],
    drivers: dict[str, float],
) -> tuple[KnownClock, ...]:
    """Every clock of the method, from the heat of its layer on the night's own forecast.

    Waited for to open the road: the 95 % late minutes; what runs out: the 5 % early ones; waits between steps: the most
    probable. Of the hours at which the layer may be placed and still open the road, the slowest governs a wait; of all
    hours the fastest a life. No layer is placed before the steps and the least waits that come first are over. Where a
    sheet has no curve to follow, its own points at the night's coldest or hottest.

    drivers     what the cover's durations depend on
    Valid       weather that covers the closure
    Source      truebed.curing.hour_clocks; which edge is taken: house
    Raises      NotDeterminedError where a sheet cannot answer or does not allow the night; NotDesignedError for frost
    Proved by   tests/plan/test_night_clocks.py
    """
    links = with_least_strength(case.method.links, targets)
    to_open = {link.least_clock for link in links if link.to_step == "open"}
    asked = asked_clocks(links)
    waits: dict[Clock, float] = {}
    known: dict[tuple[Clock, bool], KnownClock] = {}
    for name in _in_order(case, asked):
        from_min = pour_starts(case.cover, case.method, drivers, closure_of(case).tm_set_min, waits).get(name, 0.0)
        pour = pour_of(case, name, volumes, from_min)
        for clock, wait in asked:
            if clock.pour == name:
                one = _known(case, pour, clock, targets, wait=wait, opens=clock in to_open)
                known[(clock, wait)] = one
                if wait:
                    waits[clock] = least_min_of(one.reading)
    return tuple(known[key] for key in asked)


def least_min_of(reading: ClockReading) -> float:
    """The least that a clock can believably run, at any hour of placing.

    Valid       any reading
    Source      house (5 % early)
    Proved by   tests/plan/test_night_clocks.py
    """
    early = [hour.band.early_min for hour in reading.hours if hour.band.early_min is not None]
    return min([reading.early_min, *early])


def _in_order(case: Case, asked: tuple[tuple[Clock, bool], ...]) -> tuple[str, ...]:
    """The pours whose clocks are asked, in the order of the method's steps."""
    steps = [step.pour for step in case.method.steps if step.pour]
    return tuple(dict.fromkeys((*steps, *(clock.pour for clock, _ in asked))))


def _known(
    case: Case, pour: Pour, clock: Clock, targets: dict[str, float | None], *, wait: bool, opens: bool
) -> KnownClock:
    target_n_per_mm2 = target_of(clock, targets, pour.sheet)
    line, strength_n_per_mm2 = asked_of(pour, clock.kind, target_n_per_mm2)
    if line is None and pour.fitted is None:
        which = "wait" if wait else "life"
        bands = case.rules.number("cure_temp_band_c"), case.rules.number("sheet_time_band_share")
        reading, why = read_clock(pour.sheet, clock.pour, clock.kind, target_n_per_mm2, case.temps, *bands, which)  # type: ignore[arg-type]
        return KnownClock(clock, wait, reading, why)
    hours = hours_of(pour, pour.question, line, strength_n_per_mm2, wait=wait)
    at = _governing(case, pour, hours, strength_n_per_mm2, wait=wait, opens=opens)
    reading = _reading(pour, clock, target_n_per_mm2, hours, at, wait=wait, opens=opens)
    return KnownClock(clock, wait, reading, clock_why(reading, pour.sheet, pour.fitted, line, pour.question, at))


def _governing(
    case: Case, pour: Pour, hours: tuple[HourTime, ...], strength_n_per_mm2: float | None, *, wait: bool, opens: bool
) -> HourTime:
    """The hour whose clock the programme takes: the slowest that can still open, or the fastest to run out."""
    if not wait:
        return min(hours, key=lambda one: math.inf if one.band.early_min is None else one.band.early_min)
    window_min = window_of_min(closure_of(case))
    able = [h for h in hours if h.band.central_min is not None and h.start_min + h.band.central_min <= window_min]
    # An hour that most probably freezes has no minutes at all: it could open if the quickest of the others could then.
    quickest_min = min([h.band.central_min for h in able if h.band.central_min is not None], default=math.inf)
    never = [h for h in hours if h.band.central_min is None and h.start_min + quickest_min <= window_min]
    lost = [h for h in (able or hours[:1]) if h.band.late_min is None] + never
    if lost:
        worst = max(lost, key=lambda one: one.frost_share)
        raise NotDesignedError(_why_lost(pour, worst, strength_n_per_mm2), COLD_MEND)
    late = [h for h in able if h.band.late_min is not None and h.start_min + h.band.late_min <= window_min]
    able = late if opens else able
    if not able:
        return hours[0]
    if opens:
        frozen = _freezes_before(hours, able[-1], window_min)
        if frozen is not None:
            raise NotDesignedError(_why_lost(pour, frozen, strength_n_per_mm2), COLD_MEND)
        able = [*able, *_last_that_opens(hours, able[-1], window_min)]
    return max(able, key=lambda one: _edge_min(one.band, opens=opens))


def _edge_min(band: Band, *, opens: bool) -> float:
    """The minutes of a wait that the programme takes."""
    taken_min = band.late_min if opens else band.central_min
    return math.inf if taken_min is None else taken_min


def _last_that_opens(hours: tuple[HourTime, ...], last: HourTime, window_min: float) -> list[HourTime]:
    """The clock at the last minute that still opens, straight between the hour before it and the next; [] without one.

    It keeps the hour's own start, since the why looks the hour up; the minutes are those of the last minute.
    """
    after = [h for h in hours if h.start_min > last.start_min][:1]
    if not after or last.band.late_min is None or after[0].band.late_min is None:
        return []
    span_min = after[0].start_min - last.start_min
    grows_ratio = (after[0].band.late_min - last.band.late_min) / span_min
    share = min(1.0, (window_min - last.start_min - last.band.late_min) / ((1.0 + grows_ratio) * span_min))
    return [replace(last, band=_between(last.band, after[0].band, share))]


def _freezes_before(hours: tuple[HourTime, ...], last: HourTime, window_min: float) -> HourTime | None:
    """The last minute that still opens, where the next hour freezes too often and, straight between, so does it.

    The next hour has no late minutes then, so those of the hour before it are taken for that minute.
    """
    after = [h for h in hours if last.start_min < h.start_min <= last.start_min + HOUR_MIN][:1]
    if not after or after[0].band.late_min is not None or last.band.late_min is None:
        return None
    spare_min = window_min - last.start_min - last.band.late_min
    share = min(1.0, spare_min / (after[0].start_min - last.start_min))
    frost_share = last.frost_share + share * (after[0].frost_share - last.frost_share)
    if frost_share <= EARLY_PART:
        return None
    return replace(after[0], start_min=last.start_min + spare_min, frost_share=frost_share)


def _between(one: Band, other: Band, share: float) -> Band:
    pairs = zip(
        (one.early_min, one.central_min, one.late_min),
        (other.early_min, other.central_min, other.late_min),
        strict=True,
    )
    return Band(*(None if a is None or b is None else a + share * (b - a) for a, b in pairs))


def _why_lost(pour: Pour, worst: HourTime, strength_n_per_mm2: float | None) -> str:
    at = f"{pour.sheet.name} placed {worst.start_min:.0f} minutes after the road shuts"
    guard_n_per_mm2 = pour.question.data["frost_safe_n_per_mm2"]
    if worst.frost_share > 0.0:
        return (
            f"{at} would freeze before it has {guard_n_per_mm2:g} N/mm² in {worst.frost_share:.0%} of the believable "
            f"nights (forecast ± {pour.question.temp_band_c:g} °C); such a layer is never taken as ready."
        )
    wanted = "its time" if strength_n_per_mm2 is None else f"{strength_n_per_mm2:.3g} N/mm²"
    return f"{at} does not believably reach {wanted} within two days."


def _reading(
    pour: Pour, clock: Clock, target_n_per_mm2: float | None, hours: tuple[HourTime, ...], at: HourTime, *, wait: bool,
    opens: bool,
) -> ClockReading:  # fmt: skip
    early, central, late = at.band.early_min, at.band.central_min, at.band.late_min
    if early is None or central is None or late is None:
        raise NotDeterminedError(f"{WORDS[clock.kind]} of {pour.sheet.key} is not determined in this night")
    used = (late if opens else central) if wait else early
    return ClockReading(
        pour=clock.pour,
        sheet=pour.sheet.key,
        kind=clock.kind,
        target_n_per_mm2=target_n_per_mm2 if clock.kind == "strength" else None,
        minutes_min=central,
        early_min=early,
        late_min=late,
        temp_c=pour.question.hours[0].mix_c if at.as_if_c is None else at.as_if_c,
        from_what=f"placed {at.start_min:.0f} min after shutting",
        wait=wait,
        used_min=used,
        hours=hours,
        frost_share=at.frost_share,
        at_min=at.start_min,
    )
