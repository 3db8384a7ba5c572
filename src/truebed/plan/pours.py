"""A pour of a cover on its night: its layer, its hours, what reacts in it, and any clock of its sheet by the hour."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from truebed.curing.calibrate import fit_sheet, thermals_of
from truebed.curing.defaults import curing_defaults
from truebed.curing.fitted import FittedBinder
from truebed.curing.hour_clocks import (
    Carrier,
    HourQuestion,
    HourTime,
    carrier_of,
    heatless_carrier,
    hours_to_strengths,
    hours_to_time,
)
from truebed.curing.placed_layer import hour_temps
from truebed.curing.read_clock import WORDS
from truebed.curing.time_line import TimeLine, fit_times
from truebed.errors import NotDeterminedError
from truebed.mixing.kits import RoleVolume
from truebed.plan.case import Case
from truebed.plan.clocks import sheet_of
from truebed.plan.night_layers import question_of
from truebed.sheets.method import ClockKind
from truebed.sheets.sheet import Sheet

#: Sheets whose fit is kept: a works uses a few, and every cover asks for them again.
KEPT_COUNT = 64


@dataclass(frozen=True, slots=True)
class Pour:
    """A pour with what reacts in it; fitted None: its sheet has no strength curve."""

    name: str
    sheet: Sheet
    question: HourQuestion
    fitted: FittedBinder | None
    carrier: Carrier | None


def pour_of(case: Case, name: str, volumes: tuple[RoleVolume, ...], from_min: float) -> Pour:
    """A pour with its hours and what reacts in it; what its sheet does not allow is refused.

    Valid       a pour of the method
    Source      house
    Raises      NotDeterminedError where the sheet does not allow a temperature of the night
    Proved by   tests/plan/test_night_clocks.py
    """
    sheet = sheet_of(case.method, name, case.sheets)
    question = question_of(case, name, volumes, from_min)
    _refuse_hours(sheet, question)
    fitted, carrier = _reacting(sheet, question.draws_count)
    return Pour(name, sheet, question, fitted, carrier)


@lru_cache(maxsize=KEPT_COUNT)
def _reacting(sheet: Sheet, draws_count: int) -> tuple[FittedBinder | None, Carrier | None]:
    """A sheet's fit and what reacts by it; (None, None) where it has no strength curve."""
    try:
        fitted = fit_sheet(sheet, curing_defaults())
    except NotDeterminedError:
        return None, None
    return fitted, carrier_of(fitted, draws_count)


def _refuse_hours(sheet: Sheet, question: HourQuestion) -> None:
    """The sheet's own limits come first: every temperature at every hour at which the layer may be placed."""
    least_c, most_c = sheet.limits.temp_least_c, sheet.limits.temp_most_c
    outside: dict[str, list[float]] = {}
    for hour in question.hours:
        for name, temp_c in hour_temps(hour):
            if not least_c <= temp_c <= most_c:
                outside.setdefault(name, []).append(temp_c)
    if outside:
        told = ", ".join(_span(name, outside[name]) for name in sorted(outside))
        raise NotDeterminedError(
            f"{sheet.name}: not allowed by the sheet: {told} while the road is shut; it lets it be used from "
            f"{least_c:g} to {most_c:g} °C{_of_what(question)}"
        )


def _span(name: str, temps_c: list[float]) -> str:
    low, high = f"{min(temps_c):.3g}", f"{max(temps_c):.3g}"
    return f"{name} {low} °C" if low == high else f"{name} {low} to {high} °C"


def _of_what(question: HourQuestion) -> str:
    """What a base was reckoned from where the forecast does not give the road."""
    if not any("on a road not given" in hour.base_why for hour in question.hours):
        return ""
    return "; the road is not given, so the base is as warm as the sun can make it: give road_temp_c in weather.csv"


def asked_of(pour: Pour, kind: ClockKind, target_n_per_mm2: float | None) -> tuple[TimeLine | None, float | None]:
    """The line of times that a clock follows, or the strength; one of the two is None.

    target_n_per_mm2  for kind 'strength'
    Valid       a clock that the sheet has something to say of
    Source      the sheet: its times; a readiness without times is that of its traffic strength
    Raises      NotDeterminedError for a strength that is not known, or past the sheet's last datum
    Proved by   tests/plan/test_night_clocks.py
    """
    sheet = pour.sheet
    if kind == "strength":
        return None, _within_sheet(pour, target_n_per_mm2)
    times = {"life": sheet.life, "set": sheet.set_, "ready": sheet.ready}[kind]
    if not times and kind == "ready":
        return None, _within_sheet(pour, sheet.traffic_strength_n_per_mm2)
    what = f"{WORDS[kind]} of {sheet.key}"
    return fit_times(times, sheet.kind, what, sheet.limits, curing_defaults()), None


def _within_sheet(pour: Pour, target_n_per_mm2: float | None) -> float | None:
    """A strength to wait for that the sheet itself reaches."""
    if target_n_per_mm2 is None:
        raise NotDeterminedError(f"readiness of {pour.sheet.key}: the sheet gives neither times nor a traffic strength")
    if pour.fitted is not None and target_n_per_mm2 > pour.fitted.last_datum_n_per_mm2:
        raise NotDeterminedError(
            f"time of {pour.sheet.name} to {target_n_per_mm2:.3g} N/mm²: the sheet's last datum is "
            f"{pour.fitted.last_datum_n_per_mm2:g} N/mm², and nothing past it is promised"
        )
    return target_n_per_mm2


def hours_of(
    pour: Pour, question: HourQuestion, line: TimeLine | None, strength_n_per_mm2: float | None, *, wait: bool
) -> tuple[HourTime, ...]:
    """A clock by the hours of a question: of a line of times or of a strength, as asked_of gives them.

    question    the pour's own, or the same layer at other hours
    Valid       as hour_clocks
    Source      truebed.curing.hour_clocks
    Raises      NotDeterminedError where there is neither
    Proved by   tests/plan/test_night_clocks.py, tests/plan/test_releases.py
    """
    if line is None:
        if strength_n_per_mm2 is None or pour.carrier is None:
            raise NotDeterminedError(f"{pour.sheet.key}: no strength is known to wait for")
        return hours_to_strengths(question, pour.carrier, (strength_n_per_mm2,))[0]
    carrier = pour.carrier
    if carrier is None:
        thermals, cement = thermals_of(pour.sheet, curing_defaults()), pour.sheet.kind == "cement"
        carrier = heatless_carrier(line, thermals, question.draws_count, frost_harms=cement)
    return hours_to_time(question, carrier, line, slowest=wait)
