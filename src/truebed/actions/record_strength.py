"""Record what tells the strength of a layer: probe readings, strength tests, whether a test is asked for."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from truebed.actions.load import Loaded, load_works
from truebed.actions.record import Recorded, add, known_method
from truebed.actions.when import instant
from truebed.curing.site_readings import site_readings
from truebed.curing.site_test import decided
from truebed.records.events import EventData, ProbeRead, SiteTestDecided, StrengthTested, unsound
from truebed.records.journal import RecordRefusedError
from truebed.sheets.sheet import Sheet

#: What a layer is believed to be at (as curing/now), and the coldest that a value read as Fahrenheit may mean.
BELIEVED_C, FAHRENHEIT_FROM_C = (-30.0, 95.0), -20.0
#: A strength above so many times the sheet's strongest figure is taken for another unit.
TOO_STRONG_RATIO = 3.0
PSI_COUNT = 145.04


def known_pour(loaded: Loaded, cover: str, pour: str) -> Sheet:
    """The sheet of a pour. Raises RecordRefusedError for a pour that the cover's method does not have."""
    method = known_method(loaded, cover)
    role = next((role for role in method.roles if role.pour == pour), None)
    if role is None:
        raise RecordRefusedError(
            f"The method {method.key} of {cover} has no pour '{pour}'; its pours are {', '.join(method.pours())}."
        )
    return loaded.shelf.sheets[role.sheet]


def record_probe(
    works: Path, cover: str, pour: str, temp_c: float, place: str, at: str | None, author: str, *, celsius: bool,
    dry_run: bool,
) -> Recorded:  # fmt: skip
    """Record a probe's temperature in a pour. Raises FaultsError, RecordRefusedError, TimeUnreadableError.

    celsius     the temperature is in degC although it looks like Fahrenheit
    """
    loaded = load_works(works)
    sheet, places = known_pour(loaded, cover, pour), site_readings().places
    if place not in places:
        raise RecordRefusedError(f"There is no probe place '{place}'; there are {', '.join(places)}.")
    _refuse_temperature(temp_c, sheet, f"{cover}, {pour}", celsius=celsius)
    when = None if at is None else instant(at, loaded.works.heading.time_zone, "--at").isoformat()
    data = ProbeRead(f"{pour}, {place}", temp_c, pour, place, when)
    said = f"{cover}, {pour}: probe at the {place} {temp_c:g} °C" + ("" if when is None else f" at {when}")
    return _add(works, data, author, cover, said, dry_run=dry_run)


def _refuse_temperature(temp_c: float, sheet: Sheet, what: str, *, celsius: bool) -> None:
    least_c, most_c = sheet.limits.temp_least_c, sheet.limits.temp_most_c
    as_celsius_c = (temp_c - 32.0) / 1.8
    if temp_c > most_c and FAHRENHEIT_FROM_C <= as_celsius_c <= most_c and not celsius:
        raise RecordRefusedError(
            f"Not recorded: {what}: {temp_c:g} looks like Fahrenheit: {sheet.key} is used from {least_c:g} to "
            f"{most_c:g} °C, and {temp_c:g} °F is {as_celsius_c:.1f} °C. If it was read in Fahrenheit, give --temp "
            f"{as_celsius_c:.1f}; if it is in °C all the same, add --celsius."
        )
    if not BELIEVED_C[0] <= temp_c <= BELIEVED_C[1]:
        raise RecordRefusedError(
            f"Not recorded: {what}: a layer at {temp_c:g} °C is not believed ({BELIEVED_C[0]:g} to "
            f"{BELIEVED_C[1]:g} °C): check the probe, and whether it reads Fahrenheit."
        )


def record_strength_test(
    works: Path,
    cover: str,
    pour: str,
    kind: Literal["cube", "rebound", "penetration"],
    strength_n_per_mm2: float,
    readings: int,
    age_min: float | None,
    at: str | None,
    author: str,
    *,
    dry_run: bool,
) -> Recorded:
    """Record a strength test of a pour. Raises FaultsError, RecordRefusedError, TimeUnreadableError."""
    loaded = load_works(works)
    sheet = known_pour(loaded, cover, pour)
    _refuse_test(sheet, f"{cover}, {pour}", kind, strength_n_per_mm2, age_min)
    when = None if at is None else instant(at, loaded.works.heading.time_zone, "--at").isoformat()
    data = StrengthTested(pour, kind, strength_n_per_mm2, readings, age_min, when)
    age = "" if age_min is None else f" at {age_min:g} min of equivalent age"
    said = f"{cover}, {pour}: {kind} test, {strength_n_per_mm2:g} N/mm² from {readings} readings{age}" + (
        "" if when is None else f" at {when}"
    )
    return _add(works, data, author, cover, said, dry_run=dry_run)


def _refuse_test(sheet: Sheet, what: str, kind: str, strength_n_per_mm2: float, age_min: float | None) -> None:
    if len(sheet.strength) < 2:
        raise RecordRefusedError(
            f"Not recorded: {what}: {sheet.key} gives no strengths to hold a test against; follow its cure time."
        )
    if kind == "cube" and age_min is None:
        raise RecordRefusedError(
            f"Not recorded: {what}: a cube has a history of its own, and is older than the bed where it was kept "
            "warmer; give its own equivalent age with --age-min (minutes at 20 °C)."
        )
    strongest_n_per_mm2 = max(point.strength_n_per_mm2 for point in sheet.strength)
    if strength_n_per_mm2 > TOO_STRONG_RATIO * strongest_n_per_mm2:
        raise RecordRefusedError(
            f"Not recorded: {what}: {strength_n_per_mm2:g} N/mm² is not believed, the strongest figure of {sheet.key} "
            f"is {strongest_n_per_mm2:g}. If it was read in psi, it is {strength_n_per_mm2 / PSI_COUNT:.1f} N/mm²."
        )


def record_site_test(
    works: Path, cover: str, decision: Literal["required", "waived"], why: str, author: str, *, dry_run: bool
) -> Recorded:
    """Record that a site test is required or waived, by name. Raises FaultsError and what `decided` raises."""
    known_method(load_works(works), cover)
    named = decided(decision, author, "when it is recorded", why)
    data = SiteTestDecided(decision, named.by, named.why)
    return _add(
        works, data, author, cover, f"{cover}: site test {decision} by {named.by}: {named.why}", dry_run=dry_run
    )


def _add(works: Path, data: EventData, author: str, cover: str, sentence: str, *, dry_run: bool) -> Recorded:
    wrong = unsound(data)
    if wrong:
        first = wrong[0]
        column = first.column.removeprefix("data.")
        raise RecordRefusedError(f"Not recorded: {column}: found {first.found}; expected {first.expected}.")
    return add(works, data, author, cover, sentence, dry_run=dry_run)
