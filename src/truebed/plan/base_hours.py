"""Hour by hour of a closure: dew and rain on the base, how fast fresh mortar dries, whether a coat may go on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from truebed.curing.base_temp import skied_road_c
from truebed.curing.boundary import Place
from truebed.curing.dew import base_advice, dew_check
from truebed.curing.evaporation import drying
from truebed.curing.surfaces import WeatherData, weather_data
from truebed.given.night import WeatherHour
from truebed.plan.case import Case
from truebed.plan.night_layers import CONVECTION
from truebed.sheets.sheet import Sheet

HOUR = timedelta(hours=1)
#: The equation of evaporation holds above this.
DRYING_ABOVE_C = -18.0
#: Keys of what stands in the way, in few words.
REASONS = {
    "dew-lies-on-it": "dew lies on the face",
    "dew-warm-the-face": "the face is too near the dew point",
    "base-too-wet": "rain on the face",
    "temp-not-on-the-sheet": "base, air or mix outside the sheet's temperatures",
    "dew-not-known": "humidity not given",
    "road-not-known": "road not given, under this sky it may be too near the dew point",
    "rain-not-known": "rain not given",
    "base-not-on-the-sheet": "the sheet does not say which bases it allows",
}


@dataclass(frozen=True, slots=True)
class BaseHour:
    """One hour of a closure. Keys of words: truebed.papers.weather_words.

    at         when it begins, in the closure's own offset
    face_c     the face that is laid on: the road's temperature, the air's where the forecast gives no road (face_from)
    coldest_c  as cold as the hour's sky may make a face that is not given; face_c where it is
    rained     in this hour, or so little before that the face is taken for wet still; None where the forecast is silent
    dew_*, margin_k, clear_of_dew   None without a humidity
    drying_*   of fresh mortar at the mix's temperature; None without a humidity
    wind_taken whether the wind of the drying is a stated one, the forecast giving none
    """

    at: str
    air_c: float
    face_c: float
    face_from: str
    humidity_pct: float | None
    rained: bool | None
    dew_point_c: float | None
    margin_k: float | None
    clear_of_dew: bool | None
    dew_advice: str
    drying_kg_per_m2_h: float | None
    drying_limit_kg_per_m2_h: float
    drying_advice: str
    wind_taken: bool
    coldest_c: float | None = None


@dataclass(frozen=True, slots=True)
class LaidHour:
    """Whether one material may be laid in one hour. allowed: None where that is not known; advice: keys of words."""

    at: str
    face_c: float
    allowed: bool | None
    advice: tuple[str, ...]


def closure_hours(case: Case) -> tuple[WeatherHour, ...]:
    """The hours of weather that lie in the closure, in order; none without a closure or weather.

    Valid       any case
    Source      weather.csv, closures.csv
    Proved by   tests/plan/test_base_hours.py
    """
    closure = case.closure
    if closure is None:
        return ()
    held = (h for h in case.weather if h.at < closure.road_open_by and h.at + HOUR > closure.road_shut_from)
    return tuple(sorted(held, key=lambda hour: hour.at))


def base_hours(case: Case) -> tuple[BaseHour, ...]:
    """Every hour of the closure with its dew point, its rain and its drying.

    Valid       weather that passed the forecast's checks
    Source      truebed.curing.dew, truebed.curing.evaporation; rain stays on a face: data/surfaces.toml, house
    Proved by   tests/plan/test_base_hours.py
    """
    closure, data = case.closure, weather_data()
    if closure is None:
        return ()
    fume = any("fume" in case.sheets[role.sheet].binder.lower() for role in case.method.roles)
    return tuple(_hour(case, hour, closure.mix_temp_c, data, fume=fume) for hour in closure_hours(case))


def _hour(case: Case, hour: WeatherHour, mix_c: float, data: WeatherData, *, fume: bool) -> BaseHour:
    face_c = hour.air_temp_c if hour.road_temp_c is None else hour.road_temp_c
    humid_pct = hour.humidity_pct if hour.humidity_pct is not None and 0.0 < hour.humidity_pct <= 100.0 else None
    dew = None if humid_pct is None else dew_check(face_c, hour.air_temp_c, humid_pct, data)
    here = Place(case.latitude_deg, case.longitude_deg, 1.0, CONVECTION)
    wind = data["wind_taken_m_per_s"] if hour.wind_m_per_s is None else hour.wind_m_per_s
    too_cold = min(mix_c, hour.air_temp_c) <= DRYING_ABOVE_C
    dried = None if humid_pct is None or too_cold else drying(mix_c, hour.air_temp_c, humid_pct, wind, data, fume=fume)
    return BaseHour(
        at=clock_text(case, hour.at),
        air_c=hour.air_temp_c,
        face_c=face_c,
        face_from="air" if hour.road_temp_c is None else "road",
        humidity_pct=humid_pct,
        rained=rained(case.weather, hour.at, data["stays_wet_h"]),
        dew_point_c=None if dew is None else dew.dew_point_c,
        margin_k=None if dew is None else dew.margin_k,
        clear_of_dew=None if dew is None else dew.allowed,
        dew_advice="dew-not-known" if dew is None else dew.advice,
        drying_kg_per_m2_h=None if dried is None else dried.rate_kg_per_m2_h,
        drying_limit_kg_per_m2_h=data["evaporation_fume_kg_per_m2_h" if fume else "evaporation_most_kg_per_m2_h"],
        drying_advice="drying-not-known" if dried is None else dried.advice,
        wind_taken=hour.wind_m_per_s is None,
        coldest_c=face_c if hour.road_temp_c is not None else min(face_c, skied_road_c(hour, here, data)),
    )


def rained(weather: tuple[WeatherHour, ...], at: datetime, stays_wet_h: float) -> bool | None:
    """Whether a face is wet from rain in the hour that begins at `at`; None where the forecast does not say.

    Valid       hours of one place
    Source      data/surfaces.toml, house (how long a face stays wet)
    Proved by   tests/plan/test_base_hours.py
    """
    wet = HOUR + timedelta(hours=stays_wet_h)
    near = [h.rain_mm for h in weather if h.at <= at < h.at + wet]
    if any(rain is not None and rain > 0.0 for rain in near):
        return True
    return None if not near or any(rain is None for rain in near) else False


def laid_hours(sheet: Sheet, hours: tuple[BaseHour, ...], mix_c: float) -> tuple[LaidHour, ...]:
    """When a coat may go on its base: clear of dew, not wet from rain, inside the sheet's temperatures.

    Whether the base is dry in its pores nobody can tell from a forecast: that is looked at on site.

    mix_c       of the material itself
    Valid       hours of base_hours
    Source      truebed.curing.dew; the sheet's limits and its words on the base
    Proved by   tests/plan/test_base_hours.py
    """
    return tuple(_laid(sheet, hour, mix_c) for hour in hours)


def _laid(sheet: Sheet, hour: BaseHour, mix_c: float) -> LaidHour:
    limits, data = sheet.limits, weather_data()
    temps_c = (hour.air_c, hour.face_c, mix_c)
    inside = all(limits.temp_least_c <= temp_c <= limits.temp_most_c for temp_c in temps_c)
    advice: tuple[str, ...] = () if inside else ("temp-not-on-the-sheet",)
    if hour.humidity_pct is None:
        advice += ("dew-not-known",)
        return LaidHour(hour.at, hour.face_c, None if inside else False, advice)
    dew = dew_check(hour.face_c, hour.air_c, hour.humidity_pct, data)
    advice += base_advice("wet" if hour.rained else "dry", sheet.base_state, dew)
    if not inside or not dew.allowed or "base-too-wet" in advice:
        return LaidHour(hour.at, hour.face_c, False, advice)
    unsure = hour.rained is None or (hour.rained and sheet.base_state is None)
    if hour.coldest_c is not None and not dew_check(hour.coldest_c, hour.air_c, hour.humidity_pct, data).allowed:
        advice += ("road-not-known",)
        unsure = True
    if hour.rained is None:
        advice += ("rain-not-known",)
    return LaidHour(hour.at, hour.face_c, None if unsure else True, advice)


def reasons_text(advice: tuple[str, ...]) -> str:
    """Keys of advice in few words, each once, in the order of REASONS.

    Valid       keys of LaidHour
    Source      house (wording)
    Proved by   tests/plan/test_base_hours.py
    """
    return ", ".join(words for key, words in REASONS.items() if key in advice)


def clock_text(case: Case, at: datetime) -> str:
    """A time in the closure's own offset, to the minute.

    Valid       any case
    Source      house (writing)
    Proved by   tests/plan/test_base_hours.py
    """
    local = at if case.closure is None else at.astimezone(case.closure.road_shut_from.tzinfo)
    return local.isoformat(timespec="minutes")


def spans_text(times: tuple[str, ...]) -> str:
    """Hours as spans of the clock: '20:00 to 23:00, 02:00 to 03:00'.

    times       as BaseHour.at, in order
    Valid       whole hours of one night
    Source      house (writing)
    Proved by   tests/plan/test_base_hours.py
    """
    spans: list[tuple[datetime, datetime]] = []
    for start in map(datetime.fromisoformat, times):
        if spans and spans[-1][1] == start:
            spans[-1] = (spans[-1][0], start + HOUR)
        else:
            spans.append((start, start + HOUR))
    return ", ".join(f"{start:%H:%M} to {end:%H:%M}" for start, end in spans)
