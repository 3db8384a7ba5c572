"""From an hourly forecast, a place and a face to what meets the top of the stack; or from a probe's readings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from truebed.curing.dew import vapour_kpa, wet_bulb_c
from truebed.curing.forecast import HOUR, check_forecast, check_span
from truebed.curing.sky import (
    absorbed_w_per_m2,
    film_w_per_m2_k,
    long_wave,
    sky_emissivity_share,
    sky_temp_c,
    sunlight_w_per_m2,
)
from truebed.curing.stack import Boundary
from truebed.curing.sun import sun_place
from truebed.curing.surfaces import Surface, WeatherData
from truebed.errors import FaultsError
from truebed.given.night import WeatherHour

#: Sun and film are taken at this step, so that an hour's own rise and fall of the sun is kept.
STEP_MIN = 10.0
YEAR_DAYS = 365.25


@dataclass(frozen=True, slots=True)
class Place:
    """Where a face lies. sky_view_share: 1 in the open. convection: a key of the packaged formulas."""

    latitude_deg: float
    longitude_deg: float
    sky_view_share: float
    convection: str


@dataclass(frozen=True, slots=True)
class Weathered:
    """A boundary, and what was taken for granted on the way, in sentences."""

    boundary: Boundary
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Meets:
    """What meets a face at one moment: heat into it = film (air - face) + flux."""

    air_c: float
    film_w_per_m2_k: float
    flux_w_per_m2: float


def meets(
    hour: WeatherHour,
    at: datetime,
    place: Place,
    surface: Surface,
    data: WeatherData,
    *,
    wet: bool,
    about_face_c: float,
) -> Meets:
    """One moment of weather on a face: convection, sky, sun, and rain where it is wet.

    Sky: straightened about about_face_c. A wet face gives and takes vapour as well as heat: its air side becomes
    film (1 + slope/psychrometer) driven by the wet bulb, and rain comes down at the wet bulb. Where no humidity is
    given, wet air is taken as full, so that the wet bulb is the air.

    Valid       values that check_forecast lets pass
    Source      [noaa-solar], [haurwitz-1945], [kasten-czeplak-1980], [martin-berdahl-1984], [psychrometer];
                sum: algebra
    Raises      ValueError for values that cannot be
    Proved by   tests/curing/test_boundary.py
    """
    part = _hour_part(hour, place, surface, data, wet=wet, about_face_c=about_face_c)
    return _at(part, sun_place(at, place.latitude_deg, place.longitude_deg).zenith_deg, place, surface, data)


@dataclass(frozen=True, slots=True)
class _HourPart:
    """What an hour gives that does not change with the sun."""

    air_c: float
    film_w_per_m2_k: float
    waves_w_per_m2: float
    rain_w_per_m2: float
    cloud_share: float


def _hour_part(
    hour: WeatherHour, place: Place, surface: Surface, data: WeatherData, *, wet: bool, about_face_c: float
) -> _HourPart:
    wind = data["wind_taken_m_per_s"] if hour.wind_m_per_s is None else hour.wind_m_per_s
    cloud = data["cloud_taken_share"] if hour.cloud_share is None else hour.cloud_share
    air_c, film = hour.air_temp_c, film_w_per_m2_k(wind, place.convection, data)
    sky_c = sky_temp_c(air_c, sky_emissivity_share(air_c, hour.humidity_pct, cloud, data))
    waves = long_wave(sky_c, about_face_c, surface, place.sky_view_share)
    rain_flux = 0.0
    if wet:
        humidity = 100.0 if hour.humidity_pct is None else hour.humidity_pct
        bulb_c = wet_bulb_c(air_c, humidity, data)
        rain = 0.0 if hour.rain_mm is None else hour.rain_mm
        film = film * (1.0 + _vapour_slope(bulb_c, data) / data["psychrometer_kpa_per_k"])
        film += rain * data["water_w_per_m2_k_per_mm"]
        rain_flux = film * (bulb_c - air_c)
    waves_flux = waves.film_w_per_m2_k * (sky_c - air_c)
    return _HourPart(air_c, film + waves.film_w_per_m2_k, waves_flux, rain_flux, cloud)


def _at(part: _HourPart, zenith_deg: float, place: Place, surface: Surface, data: WeatherData) -> Meets:
    """An hour's part with the sun where it stands."""
    flux = absorbed_w_per_m2(sunlight_w_per_m2(zenith_deg, part.cloud_share, data), surface, place.sky_view_share)
    return Meets(part.air_c, part.film_w_per_m2_k, flux + part.waves_w_per_m2 + part.rain_w_per_m2)


def _vapour_slope(temp_c: float, data: WeatherData) -> float:
    """How vapour pressure grows with temperature [kPa/K]: the derivative of the Magnus form."""
    a, b = data["magnus_ratio"], data["magnus_shift_c"]
    return vapour_kpa(temp_c, data) * a * b / (b + temp_c) ** 2


def boundary_of(
    hours: Sequence[WeatherHour],
    start: datetime,
    minutes_min: float,
    place: Place,
    surface: Surface,
    data: WeatherData,
    file: str,
) -> Weathered:
    """What meets the top face from a start for so many minutes, from an hourly forecast.

    Air, wind, cloud and humidity hold through their hour from its beginning, joined by straight lines between the
    middles of the hours; the sun is taken every ten minutes. The sky is straightened about the road's temperature where
    it is given, else the air's.

    Valid       a forecast that check_forecast and check_span let pass
    Source      as meets; joining: house
    Raises      FaultsError with every hour that is wrong and how to mend it
    Proved by   tests/curing/test_boundary.py
    """
    end = start + timedelta(minutes=minutes_min)
    faults = check_forecast(hours, file, data) or check_span(hours, start, end, file)
    if faults:
        raise FaultsError(faults)
    steps = max(1, math.ceil(minutes_min / STEP_MIN))
    clock = np.linspace(0.0, minutes_min, steps + 1)
    parts = [_row(hours, index, place, surface, data) for index in range(len(hours))]
    rows = []
    for minute in clock:
        at = start + timedelta(minutes=float(minute))
        zenith_deg = sun_place(at, place.latitude_deg, place.longitude_deg).zenith_deg
        rows.append(_meets_at(parts, (at - hours[0].at - HOUR / 2) / HOUR, zenith_deg, place, surface, data))
    boundary = Boundary(
        clock,
        np.array([row.air_c for row in rows]),
        np.array([row.film_w_per_m2_k for row in rows]),
        np.array([row.flux_w_per_m2 for row in rows]),
    )
    return Weathered(boundary, _notes(hours, start, end, data))


def _row(hours: Sequence[WeatherHour], index: int, place: Place, surface: Surface, data: WeatherData) -> _HourPart:
    """One hour's part, straightened about the road where it is given."""
    hour = hours[index]
    about_face_c = hour.air_temp_c if hour.road_temp_c is None else hour.road_temp_c
    return _hour_part(hour, place, surface, data, wet=_is_wet(hours, index, data), about_face_c=about_face_c)


def _meets_at(
    parts: Sequence[_HourPart], shifted_h: float, zenith_deg: float, place: Place, surface: Surface, data: WeatherData
) -> Meets:
    """The weather between the middles of two hours; before the first and past the last middle, that hour's own.

    shifted_h   hours from the middle of the first part's hour
    """
    low = min(max(0, math.floor(shifted_h)), len(parts) - 1)
    high = min(low + 1, len(parts) - 1)
    part_share = min(1.0, max(0.0, shifted_h - low))
    one, other = (_at(parts[index], zenith_deg, place, surface, data) for index in (low, high))
    return Meets(
        one.air_c + part_share * (other.air_c - one.air_c),
        one.film_w_per_m2_k + part_share * (other.film_w_per_m2_k - one.film_w_per_m2_k),
        one.flux_w_per_m2 + part_share * (other.flux_w_per_m2 - one.flux_w_per_m2),
    )


def _is_wet(hours: Sequence[WeatherHour], index: int, data: WeatherData) -> bool:
    """It rains in this hour, or did so near enough before it."""
    back = round(data["stays_wet_h"])
    near = hours[max(0, index - back) : index + 1]
    return any(hour.rain_mm is not None and hour.rain_mm > 0.0 for hour in near)


def _notes(hours: Sequence[WeatherHour], start: datetime, end: datetime, data: WeatherData) -> tuple[str, ...]:
    used = [hour for hour in hours if hour.at < end and hour.at + HOUR > start]
    notes = []
    for missing, figure in (
        ([h for h in used if h.wind_m_per_s is None], "wind_taken_m_per_s"),
        ([h for h in used if h.cloud_share is None], "cloud_taken_share"),
    ):
        if missing:
            notes.append(f"{len(missing)} of {len(used)} hours give none: {data.figures[figure].sentence()}")
    dry = [hour for hour in used if hour.humidity_pct is None]
    if dry:
        notes.append(
            f"{len(dry)} of {len(used)} hours give no humidity: the sky is taken by the air's temperature alone"
        )
    if any(hour.rain_mm is None for hour in used):
        notes.append("hours without rain given are taken as dry")
    return tuple(notes)


def boundary_of_face_probe(minutes_min: Sequence[float], face_c: Sequence[float], data: WeatherData) -> Boundary:
    """A boundary that holds the top face at a probe's own readings, in place of a forecast.

    Valid       two lists of one length, times that grow; a probe pressed on the face and shaded
    Source      house (a film so strong that the face follows within a twentieth of a degree)
    Raises      ValueError for lists that do not match or times that do not grow
    Proved by   tests/curing/test_boundary.py
    """
    clock, readings = _probe(minutes_min, face_c)
    film = np.full_like(clock, data["held_face_w_per_m2_k"])
    return Boundary(clock, readings, film, np.zeros_like(clock))


def boundary_of_air_probe(boundary: Boundary, minutes_min: Sequence[float], air_c: Sequence[float]) -> Boundary:
    """A forecast's boundary with a probe's air in place of the forecast's, from the first reading to the last.

    Past the last reading the forecast goes on, moved by what the last reading was off. Sky, sun and wind stay.

    Valid       as boundary_of_face_probe; the clock of both is one
    Source      house
    Raises      ValueError as boundary_of_face_probe
    Proved by   tests/curing/test_boundary.py
    """
    clock, readings = _probe(minutes_min, air_c)
    both = np.union1d(boundary.minutes_min, clock)
    forecast = np.interp(both, boundary.minutes_min, boundary.air_c)
    off = np.interp(clock, boundary.minutes_min, boundary.air_c)
    shift = np.interp(both, clock, readings - off, left=0.0)
    air = np.where((both >= clock[0]) & (both <= clock[-1]), np.interp(both, clock, readings), forecast + shift)
    film = np.interp(both, boundary.minutes_min, boundary.film_w_per_m2_k)
    return Boundary(both, air, film, np.interp(both, boundary.minutes_min, boundary.flux_w_per_m2))


def _probe(minutes_min: Sequence[float], temps_c: Sequence[float]) -> tuple[np.ndarray, np.ndarray]:
    clock, readings = np.array(minutes_min, dtype=float), np.array(temps_c, dtype=float)
    if clock.size == 0 or clock.shape != readings.shape:
        raise ValueError("a probe gives one reading for each of its times, and at least one")
    if not (np.all(np.isfinite(readings)) and np.all(np.diff(clock) > 0.0)):
        raise ValueError("a probe's times must grow, and its readings must be numbers")
    return clock, readings


def damping_mm(conduct_w_per_m_k: float, store_kj_per_l_k: float, period_min: float) -> float:
    """The depth at which a wave of temperature has shrunk to 1/e: sqrt(a period / pi).

    Valid       all above nought
    Source      [carslaw-jaeger] periodic heating of a half space (from memory)
    Proved by   tests/curing/test_boundary.py
    """
    spread = conduct_w_per_m_k / (store_kj_per_l_k * 1e6)
    return 1e3 * math.sqrt(spread * period_min * 60.0 / math.pi)


def wave_lag_min(depth_mm: float, damping_depth_mm: float, period_min: float) -> float:
    """How much later a wave comes at a depth.

    Valid       damping > 0
    Source      [carslaw-jaeger] periodic heating of a half space (from memory)
    Proved by   tests/curing/test_boundary.py
    """
    return depth_mm / damping_depth_mm * period_min / (2.0 * math.pi)


def ground_c(
    depths_mm: Sequence[float],
    road_temp_c: float,
    at: datetime,
    conduct_w_per_m_k: float,
    store_kj_per_l_k: float,
    data: WeatherData,
) -> tuple[float, ...]:
    """The ground's temperature down from the face, to begin the night with.

    At the face the road's own temperature, further down the year's wave.
    What the road differs by from the year's wave is of the day: it shrinks by the day's damping depth, without lag.

    Valid       depths >= 0; off by the lag of the day's wave (some degrees at 100 mm after a hot day)
    Source      [carslaw-jaeger] form; means and swing of data/surfaces.toml, assumed
    Proved by   tests/curing/test_boundary.py
    """
    year = damping_mm(conduct_w_per_m_k, store_kj_per_l_k, YEAR_DAYS * 1440.0)
    day = damping_mm(conduct_w_per_m_k, store_kj_per_l_k, 1440.0)
    turn = 2.0 * math.pi * (at.timetuple().tm_yday - data["ground_warmest_day_count"]) / YEAR_DAYS
    mean_c, swing_k = data["ground_mean_c"], data["ground_swing_k"]
    off_k = road_temp_c - (mean_c + swing_k * math.cos(turn))
    return tuple(
        mean_c + swing_k * math.exp(-depth / year) * math.cos(turn - depth / year) + off_k * math.exp(-depth / day)
        for depth in depths_mm
    )
