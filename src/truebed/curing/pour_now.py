"""One pour now: strength believed, minutes left and the clock times of it, from what the night's record says."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from truebed.curing.binder import strength_n_per_mm2
from truebed.curing.binder_band import BinderBand
from truebed.curing.fitted import FittedBinder
from truebed.curing.now import GAP_COUNTED_MIN, Remaining, TempAhead, remaining_time
from truebed.curing.recorded import Placed, ProbesSince
from truebed.curing.site_readings import SiteReadings
from truebed.curing.site_test import SiteTest, TestDecision, after_tests, opening_may_be_judged
from truebed.curing.surfaces import weather_data
from truebed.curing.target_band import target_band
from truebed.errors import NotDeterminedError

#: Draws of the fit behind a band; a form less probable than this is not asked.
DRAWS_COUNT, FORM_LEAST_SHARE = 512, 0.05
#: As far apart as readings may be (curing/now.remaining_time); a test so many standard deviations off is told.
GAP_MOST_MIN, OFF_TOLD_SD = GAP_COUNTED_MIN, 2.0


@dataclass(frozen=True, slots=True)
class PourQuestion:
    """One pour, the strength it waits for, and all that the record says of it.

    ahead       what a heat calculation expects at the probe; None: nothing was reckoned
    ahead_said  what that rests on, or why there is none
    """

    pour: str
    fitted: FittedBinder
    target_n_per_mm2: float
    target_source: str
    placed: Placed
    probes: ProbesSince
    tests: tuple[SiteTest, ...]
    decision: TestDecision | None
    ahead: TempAhead | None
    ahead_said: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PourNow:
    """What is known of a pour at the time asked about.

    strength_*, reached_probability   at the last reading: middle, and the least believable (5 %)
    ready_*     clock times; None: not within two days, or frost. left_*: minutes from the time asked about
    off_k, change_in_hour_k   the filter: layer less what was expected, and how fast that changes
    may_be_judged  whether the road's opening may be judged as far as site tests go; judged_why says it
    """

    pour: str
    sheet: str
    target_n_per_mm2: float
    target_source: str
    asked_at: datetime
    placed_at: datetime
    placed_how: str
    place: str
    readings_count: int
    last_reading_at: datetime
    last_temp_c: float
    longest_gap_min: float
    since_last_min: float
    off_k: float
    change_in_hour_k: float
    age_min: float
    strength_n_per_mm2: float
    strength_low_n_per_mm2: float
    reached_probability: float
    ready_early_at: datetime | None
    ready_middle_at: datetime | None
    ready_late_at: datetime | None
    left_early_min: float | None
    left_min: float | None
    left_late_min: float | None
    tests_count: int
    may_be_judged: bool
    judged_why: str
    notes: tuple[str, ...]


def refuse_pour(question: PourQuestion) -> None:
    """Refuses what the sheet does not promise or allow.

    Source      house (nothing past the last datum; the sheet's own temperatures)
    Raises      NotDeterminedError
    Proved by   tests/curing/test_pour_now.py
    """
    fitted, target_n_per_mm2 = question.fitted, question.target_n_per_mm2
    if not 0.0 < target_n_per_mm2 <= fitted.last_datum_n_per_mm2:
        raise NotDeterminedError(
            f"{question.pour}: time to {target_n_per_mm2:g} N/mm² is not determined: the last datum of {fitted.sheet} "
            f"is {fitted.last_datum_n_per_mm2:g} N/mm², nothing past it is promised, and a target is more than 0."
        )
    least_c, most_c = fitted.allowed_least_c, fitted.allowed_most_c
    outside = [r for r in question.probes.readings if not least_c <= r.temp_c <= most_c]
    if outside:
        first = outside[0]
        raise NotDeterminedError(
            f"{question.pour}: not allowed by the sheet: {first.temp_c:g} °C at {first.after_min:.0f} min after placing"
            f"{_more(len(outside) - 1)}; {fitted.sheet} lets it be used from {least_c:g} to {most_c:g} °C. Its "
            "strength there is not known: test it, or keep the road shut."
        )


def _more(count: int) -> str:
    return f" (and {count} more reading{'s' if count != 1 else ''})" if count > 0 else ""


def pour_now(question: PourQuestion, at: datetime, table: SiteReadings) -> PourNow:
    """What is known of a pour at a time, from its readings and tests; the edges hold both forms of curve.

    A Kalman filter on temperature and rate, draws of the binder's band; each form of curve that the sheet leaves
    possible is asked: the more probable one gives the middle, the outermost edges count.

    Valid       readings until `at`, at most half an hour apart
    Source      as now.remaining_time and site_test.after_tests; house: the outer edges of both forms
    Raises      NotDeterminedError as refuse_pour, as now.remaining_time
    Proved by   tests/curing/test_pour_now.py
    """
    refuse_pour(question)
    bands = _bands(question)
    tests, odd = _telling(question.tests, bands)
    tested = [(share, after_tests(band, tests)) for share, band in bands]
    odd += _tests_off(tests, tested[0][1].expected_n_per_mm2, tested[0][1].off_sd)
    probe = table.places[question.probes.place]
    forms = [
        (share, remaining_time(
            question.probes.readings, one.band, question.target_n_per_mm2, probe, table.drift, question.ahead,
            weather_data()["frost_safe_n_per_mm2"],
        ))
        for share, one in tested
    ]  # fmt: skip
    middle = forms[0][1]
    readings, placed = question.probes.readings, question.placed.at
    last_at = placed + timedelta(minutes=middle.at_min)
    froze = middle.froze
    ready = [
        None if froze or not math.isfinite(left_min) else middle.at_min + left_min
        for left_min in (
            min(one.early_min for _, one in forms), middle.remaining_min, max(one.late_min for _, one in forms)
        )
    ]  # fmt: skip
    clocks = [None if minutes is None else placed + timedelta(minutes=minutes) for minutes in ready]
    lefts = [None if clock is None else max(0.0, _minutes(clock, at)) for clock in clocks]
    judged, why = opening_may_be_judged(question.decision, len(tests))
    since_min = _minutes(at, last_at)
    return PourNow(
        question.pour, question.fitted.sheet, question.target_n_per_mm2, question.target_source, at, placed,
        question.placed.how, question.probes.place, len(readings), last_at, readings[-1].temp_c,
        middle.longest_gap_min, since_min, middle.off.offset_k, 60.0 * middle.off.rate_k, middle.age_min,
        middle.strength_n_per_mm2, min(one.strength_low_n_per_mm2 for _, one in forms),
        sum(share * one.reached_share for share, one in forms) / sum(share for share, _ in forms),
        clocks[0], clocks[1], clocks[2], lefts[0], lefts[1], lefts[2], len(tests), judged, why,
        (*_notes(question, middle, since_min, clocks[2], max(one.frost_share for _, one in forms)), *odd),
    )  # fmt: skip


def _minutes(later: datetime, earlier: datetime) -> float:
    return (later - earlier).total_seconds() / 60.0


def _bands(question: PourQuestion) -> list[tuple[float, BinderBand]]:
    """The band of every form that is probable enough, the more probable first, with its share."""
    draws, fitted = question.fitted.draws(DRAWS_COUNT), question.fitted
    shares = {fit.form: float(fitted.shares[0, i]) for i, fit in enumerate(fitted.fits)}
    own = {form: [one for one in draws if one.form == form] for form in shares}
    return [
        (share, target_band(own[form], question.target_n_per_mm2))
        for form, share in sorted(shares.items(), key=lambda row: (-row[1], row[0]))
        if share >= FORM_LEAST_SHARE and len(own[form]) >= 2
    ]


def _telling(
    tests: Sequence[SiteTest], bands: Sequence[tuple[float, BinderBand]]
) -> tuple[tuple[SiteTest, ...], list[str]]:
    """Tests at an age at which every form has strength; the others, in sentences."""
    used, odd = [], []
    for test in tests:
        if all(strength_n_per_mm2(band.binder, test.age_min) > 0.0 for _, band in bands):
            used.append(test)
        else:
            odd.append(
                f"left out: a {test.kind.key} test at {test.age_min:.0f} min of equivalent age, where the curve has no "
                "strength yet: it tells nothing, test later"
            )
    return tuple(used), odd


def _tests_off(tests: Sequence[SiteTest], expected: Sequence[float], off: Sequence[float]) -> list[str]:
    """Tests that lie far off what was believed."""
    return [
        f"the {test.kind.key} test found {test.strength_n_per_mm2:g} N/mm² where {believed:.1f} was believed, "
        f"{'more' if sd > 0.0 else 'less'} by {math.fabs(sd):.1f} standard deviations: look for the reason before "
        "it is relied on"
        for test, believed, sd in zip(tests, expected, off, strict=True)
        if sd > OFF_TOLD_SD or sd < -OFF_TOLD_SD
    ]


def _notes(
    question: PourQuestion, found: Remaining, since_min: float, late: datetime | None, frost_share: float
) -> tuple[str, ...]:
    said = [*question.notes, *question.probes.left_out, question.ahead_said]
    if found.froze:
        said.insert(0, "FROST: a reading at or below 0 °C; no law of strength holds, so no time is given. Test it.")
    elif late is None:
        said.insert(0, "the late side is endless: in more than one of twenty believable cases it is never reached")
    if frost_share > 0.0 and not found.froze:
        safe_n_per_mm2 = weather_data()["frost_safe_n_per_mm2"]
        said.insert(
            0,
            f"FROST: in up to {math.ceil(100.0 * frost_share)}% of the believable cases the slowest spot freezes "
            f"before it has {safe_n_per_mm2:g} N/mm²; such a layer is never taken as ready. Keep it warm, read again",
        )
    if found.longest_gap_min > GAP_MOST_MIN:
        said.append(
            f"readings are up to {found.longest_gap_min:.0f} min apart; of a gap only {GAP_MOST_MIN:g} min count, at "
            "its colder end: minutes left are on the late side"
        )
    if since_min > GAP_MOST_MIN:
        said.append(f"the last reading is {since_min:.0f} min old: read the probe again")
    return tuple(said)
