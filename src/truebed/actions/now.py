"""What is known now of a cover's bearing pours, from the journal; and the form for a crew without signal."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from truebed.actions.load import Loaded, load_works
from truebed.actions.record import known_method
from truebed.actions.record_strength import known_pour
from truebed.actions.when import instant
from truebed.curing.calibrate import fit_sheet
from truebed.curing.defaults import curing_defaults
from truebed.curing.expected_temps import expected_temps, hour_of
from truebed.curing.fitted import FittedBinder
from truebed.curing.layer_night import LayerNight
from truebed.curing.now import TempAhead
from truebed.curing.opening_strength import opening_strength
from truebed.curing.points_table import PointsTable, points_table
from truebed.curing.pour_now import DRAWS_COUNT, PourNow, PourQuestion, pour_now, refuse_pour
from truebed.curing.recorded import Placed, ProbesSince, placed_at, probes_since, strength_tests_until
from truebed.curing.site_readings import site_readings
from truebed.curing.site_test import TestDecision, decided
from truebed.curing.surfaces import weather_data
from truebed.curing.two_clocks import Asked
from truebed.errors import NotDeterminedError
from truebed.given.cover import Cover
from truebed.papers.now_words import PointsForm, points_form
from truebed.records.replay import CoverState, replay
from truebed.sheets.method import Method
from truebed.sheets.sheet import Sheet
from truebed.store.journal import load_journal

FLANGE_ROLES = ("bed", "under_flange_fill")
NO_AHEAD = (
    "no forecast is in this: the temperature goes on as the readings leave it, and a night that goes on cooling makes "
    "it later; with --thick MM the layer's heat is reckoned with the forecast"
)
WHEEL = "what the wheel itself asks is in the plan's figure, not in this one"


@dataclass(frozen=True, slots=True)
class Asking:
    """What was typed: times and strength as given, None where not. thick_mm: the layer, for the temperatures ahead."""

    at: str | None = None
    placed: str | None = None
    target_n_per_mm2: float | None = None
    thick_mm: float | None = None


@dataclass(frozen=True, slots=True)
class CoverNow:
    """The pours that can be told, those that cannot with the reason, and what else leads to the road's opening.

    open_by     when the closure that the pours lie in must be open; None where none holds them
    """

    cover: str
    time_zone: str
    asked_at: datetime
    pours: tuple[PourNow, ...]
    refused: tuple[tuple[str, str], ...]
    also: tuple[str, ...]
    open_by: datetime | None

    def as_data(self) -> dict[str, object]:
        """Everything as plain data, for other programs; times as ISO 8601 with offset."""
        return {
            "cover": self.cover,
            "asked_at": self.asked_at.isoformat(),
            "open_by": None if self.open_by is None else self.open_by.isoformat(),
            "pours": [
                {name: value.isoformat() if isinstance(value, datetime) else value for name, value in asdict(p).items()}
                for p in self.pours
            ],
            "refused": [{"pour": pour, "why": why} for pour, why in self.refused],
            "also": list(self.also),
        }


def as_json(found: CoverNow) -> str:
    """The answer as JSON text."""
    return json.dumps(found.as_data(), indent=2, ensure_ascii=False)


def cover_now(works: Path, cover: str, pour: str | None, asking: Asking) -> CoverNow:
    """What the journal says of a pour, or of every bearing pour, at a time (by default now, by this device's clock).

    Raises FaultsError, RecordRefusedError, TimeUnreadableError; NotDeterminedError where no pour can be told.
    """
    loaded = load_works(works)
    method, heading = known_method(loaded, cover), loaded.works.heading
    zone = ZoneInfo(heading.time_zone)
    at = datetime.now(UTC) if asking.at is None else instant(asking.at, heading.time_zone, "--at")
    state = replay(load_journal(works)).cover(cover)
    told, refused = [], []
    for one in asked_pours(loaded, method, cover, pour):
        try:
            told.append(
                pour_now(_question(loaded, cover, one, state, at, asking), at.astimezone(zone), site_readings())
            )
        except NotDeterminedError as unknown:
            refused.append((one, str(unknown)))
    if not told:
        raise NotDeterminedError(" ".join(why for _, why in refused))
    return CoverNow(
        cover, heading.time_zone, at.astimezone(zone), tuple(told), tuple(refused),
        _also(method, tuple(p.pour for p in told)), _open_by(loaded, loaded.works.cover(cover), told),
    )  # fmt: skip


def asked_pours(loaded: Loaded, method: Method, cover: str, pour: str | None) -> tuple[str, ...]:
    """The pour asked for, else every pour that bears. Raises RecordRefusedError for one that the method has not."""
    if pour is not None:
        known_pour(loaded, cover, pour)
        return (pour,)
    return tuple(dict.fromkeys(role.pour for role in method.roles if role.bears))


def form_for(works: Path, cover: str, pour: str | None, place: str, target_n_per_mm2: float | None) -> list[PointsForm]:
    """The form of a pour, or of every bearing pour, for a probe at one place.

    Raises FaultsError, RecordRefusedError; NotDeterminedError where a sheet gives no strength or no target.
    """
    loaded = load_works(works)
    places = site_readings().places
    if place not in places:
        raise NotDeterminedError(f"There is no probe place '{place}'; there are {', '.join(places)}.")
    forms = []
    for one in asked_pours(loaded, known_method(loaded, cover), cover, pour):
        sheet, fitted = _fitted(loaded, cover, one)
        target, source = _target(loaded, cover, one, sheet, target_n_per_mm2)
        empty = ProbesSince(place, (), ())
        nowhere = Placed(datetime.fromtimestamp(0.0, UTC), "")
        refuse_pour(PourQuestion(one, fitted, target, source, nowhere, empty, (), None, None, ""))
        table = _table(fitted, target, place)
        forms.append(points_form(cover, one, sheet.name, source, table))
    return forms


def _table(fitted: FittedBinder, target_n_per_mm2: float, place: str) -> PointsTable:
    spot = site_readings().places[place]
    draws = fitted.draws(DRAWS_COUNT)
    return points_table(draws, target_n_per_mm2, spot, fitted.allowed_least_c, fitted.allowed_most_c)


def _fitted(loaded: Loaded, cover: str, pour: str) -> tuple[Sheet, FittedBinder]:
    sheet = known_pour(loaded, cover, pour)
    if sheet.kind != "cement":
        raise NotDeterminedError(
            f"{cover}, {pour}: {sheet.key} is a {sheet.kind}, which has no strength to wait for: follow the cure time "
            "of its sheet."
        )
    return sheet, fit_sheet(sheet, curing_defaults())


def _target(loaded: Loaded, cover: str, pour: str, sheet: Sheet, asked_n_per_mm2: float | None) -> tuple[float, str]:
    """The strength waited for, and whose word it is."""
    if asked_n_per_mm2 is not None:
        return asked_n_per_mm2, "as asked"
    given = loaded.works.cover(cover)
    method = known_method(loaded, cover)
    if not any(role.bears for role in method.roles if role.pour == pour):
        raise NotDeterminedError(
            f"{cover}, {pour}: it bears no wheel by the method {method.key}, so no opening strength is asked of it; "
            "give --target."
        )
    found, why = opening_strength(loaded.shelf.rules, (given.kind, given.place, given.load_class), sheet, None)
    if found is None:
        raise NotDeterminedError(f"{cover}, {pour}: the strength to wait for is not determined: {why.relation}.")
    return found, f"{why.governed_by}, {why.source}; {WHEEL}"


def _question(loaded: Loaded, cover: str, pour: str, state: CoverState, at: datetime, asking: Asking) -> PourQuestion:
    """Everything that is known of one pour. Raises NotDeterminedError with the pour's name in it."""
    heading, method = loaded.works.heading, known_method(loaded, cover)
    sheet, fitted = _fitted(loaded, cover, pour)
    target, source = _target(loaded, cover, pour, sheet, asking.target_n_per_mm2)
    override = None if asking.placed is None else instant(asking.placed, heading.time_zone, "--placed")
    zone = ZoneInfo(heading.time_zone)
    placed = placed_at(method, pour, state, override)
    placed = Placed(placed.at.astimezone(zone), placed.how)
    if placed.at > at:
        raise NotDeterminedError(
            f"{cover}, {pour}: it was placed at {placed.at:%Y-%m-%d %H:%M}, after the time asked about "
            f"({at.astimezone(zone):%Y-%m-%d %H:%M}); give another --at or --placed."
        )
    probes = probes_since(pour, state, placed.at, at)
    energy = fitted.binder.activation_j_per_mol
    tests, odd = strength_tests_until(pour, state, placed.at, at, probes.readings, energy, site_readings())
    question = PourQuestion(pour, fitted, target, source, placed, probes, tests, _decision(state), None, NO_AHEAD, odd)
    refuse_pour(question)
    if asking.thick_mm is None:
        return question
    ahead, said = _ahead(loaded, loaded.works.cover(cover), question, state, sheet, asking.thick_mm)
    return replace(question, ahead=ahead, ahead_said=said)


def _decision(state: CoverState) -> TestDecision | None:
    noted = state.site_test
    return None if noted is None else decided(noted.data.decision, noted.data.by, noted.at, noted.data.why)


def _ahead(
    loaded: Loaded, cover: Cover, question: PourQuestion, state: CoverState, sheet: Sheet, thick_mm: float
) -> tuple[TempAhead | None, str]:
    """What the layer's heat is expected to do at the probe, with the forecast's hour of placing; and what that took."""
    hour = hour_of(loaded.works.weather, question.placed.at)
    if hour is None:
        return None, f"weather.csv has no hour of placing; {NO_AHEAD.split(';', maxsplit=1)[0]}"
    kits = [kit.data for kit in state.kits if kit.data.pour == question.pour]
    first_c = question.probes.readings[0].temp_c
    base_c, base_said = (
        (kits[-1].base_temp_c, "base as its kit says") if kits else (first_c, "base as the first reading")
    )
    roles = [role.role for role in known_method(loaded, cover.cover).roles if role.pour == question.pour]
    iron_mm = cover.flange_thick_mm if any(role in FLANGE_ROLES for role in roles) else None
    night = LayerNight(
        thick_mm, base_c, hour.air_temp_c, first_c, question.target_n_per_mm2, iron_mm, None, hour.wind_m_per_s,
        hour.cloud_share,
    )  # fmt: skip
    asked = Asked(question.fitted, None, sheet.limits, weather_data())
    ahead = expected_temps(night, asked, question.probes.place)
    under = "open to the air" if iron_mm is None else f"under {iron_mm:g} mm of iron"
    return ahead, (
        f"ahead: {thick_mm:g} mm {under} on brick, air {hour.air_temp_c:g} °C as forecast for the hour of placing and "
        f"held, {base_said} ({base_c:g} °C), mix as the first reading; corrected by the filter"
    )


def _also(method: Method, told: tuple[str, ...]) -> tuple[str, ...]:
    """What else the method lets lead to the opening."""
    others = [
        f"{link.least_clock.pour} ({link.why})"
        for link in method.links
        if link.to_step == "open" and link.least_clock is not None and link.least_clock.pour not in told
    ]
    return tuple(dict.fromkeys(others))


def _open_by(loaded: Loaded, cover: Cover, told: list[PourNow]) -> datetime | None:
    placed = told[0].placed_at
    for closure in loaded.works.closures:
        if cover.street in closure.streets and closure.road_shut_from <= placed <= closure.road_open_by:
            return closure.road_open_by.astimezone(ZoneInfo(loaded.works.heading.time_zone))
    return None
