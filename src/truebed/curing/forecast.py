"""Is this forecast fit to reckon with: in order, without gaps, in degrees Celsius, and of this world."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import median, median_low

from truebed.curing.surfaces import WeatherData
from truebed.errors import Fault
from truebed.given.night import Closure, WeatherHour

HOUR = timedelta(hours=1)
YEAR_DAYS = 365.25
FAHRENHEIT_COLUMNS = ("air_temp_c", "road_temp_c")


def check_forecast(hours: Sequence[WeatherHour], file: str, data: WeatherData) -> tuple[Fault, ...]:
    """Everything that is wrong with an hourly forecast, each with its hour and how to mend it; empty where it is fit.

    hours       in the order of the file
    Valid       any
    Source      house; limits of data/surfaces.toml
    Proved by   tests/curing/test_forecast.py
    """
    if not hours:
        return (Fault(file, 0, "", "no hour of weather", "one row an hour", "Add the forecast of the night."),)
    columns = fahrenheit_columns(hours, data)
    faults = [*_order(hours, file), *(_fahrenheit(hours, column, file) for column in columns)]
    for hour in hours:
        faults += _ranges(hour, file, data, columns)
    return tuple(faults)


def check_nights(
    hours: Sequence[WeatherHour], file: str, data: WeatherData, latitude_deg: float | None = None
) -> tuple[Fault, ...]:
    """As check_forecast, for a file of several nights: time that passes between them is no gap.

    Fahrenheit is looked for in each night, since one may have another source; told once where it is all of them.

    latitude_deg  of the works, so that a hot night in winter is seen; None: not known
    Valid       any; nothing is wrong with no hours
    Source      house; limits of data/surfaces.toml
    Proved by   tests/curing/test_forecast.py
    """
    nights = nights_of(hours)
    told = [fahrenheit_columns(night, data, latitude_deg) for night in nights]
    every = [column for column in FAHRENHEIT_COLUMNS if nights and all(column in columns for columns in told)]
    faults = [_fahrenheit(hours, column, file) for column in every]
    for night, columns in zip(nights, told, strict=True):
        faults += _order(night, file)
        faults += [_fahrenheit(night, column, file) for column in columns if column not in every]
        for hour in night:
            faults += _ranges(hour, file, data, columns)
    return tuple(faults)


def nights_of(hours: Sequence[WeatherHour]) -> tuple[tuple[WeatherHour, ...], ...]:
    """Hours in runs without a gap, in the order of the file.

    Valid       any
    Source      house (a row is an hour)
    Proved by   tests/curing/test_forecast.py
    """
    nights: list[list[WeatherHour]] = []
    for hour in hours:
        if nights and hour.at - nights[-1][-1].at <= HOUR:
            nights[-1].append(hour)
        else:
            nights.append([hour])
    return tuple(tuple(night) for night in nights)


def check_gaps(times: Sequence[tuple[datetime, int]], closures: Sequence[Closure], file: str) -> tuple[Fault, ...]:
    """Hours that are missing between two rows while a road is shut. A night without weather, or with its end only, is
    not told here: its forecast may not have been made yet.

    times       beginning and row of every hour, in any order
    Valid       any
    Source      house
    Proved by   tests/curing/test_forecast.py
    """
    faults = []
    for (before, _), (after, row) in pairwise(sorted(times)):
        for closure in closures:
            if before + HOUR < after and before + HOUR < closure.road_open_by and after > closure.road_shut_from:
                found = f"a gap: {_said(after)} after {_said(before)}, in closure '{closure.closure}'"
                mend = "Add the hours between the two."
                faults.append(Fault(file, row, "at", found, "an hour from row to row while the road is shut", mend))
    return tuple(faults)


def check_span(hours: Sequence[WeatherHour], start: datetime, end: datetime, file: str) -> tuple[Fault, ...]:
    """Whether the hours cover a span of time: one fault where they begin too late, one where they end too early.

    Valid       hours in order (check_forecast says so)
    Source      house (nothing is drawn past the forecast)
    Proved by   tests/curing/test_forecast.py
    """
    faults = []
    want = f"weather from {_said(start)} to {_said(end)}"
    if not hours or hours[0].at > start:
        found = f"nothing before {_said(hours[0].at)}" if hours else "no hour of weather"
        row = hours[0].row if hours else 0
        faults.append(Fault(file, row, "at", found, want, "Add the hours that are missing at its start."))
    if hours and hours[-1].at + HOUR < end:
        found = f"nothing after {_said(hours[-1].at + HOUR)}"
        faults.append(Fault(file, hours[-1].row, "at", found, want, "Add the hours that are missing at its end."))
    return tuple(faults)


def _order(hours: Sequence[WeatherHour], file: str) -> Iterator[Fault]:
    for before, after in pairwise(hours):
        step = after.at - before.at
        row, both = after.row, f"{_said(after.at)} after {_said(before.at)}"
        if step == timedelta(0):
            yield Fault(file, row, "at", f"{_said(after.at)} a second time", "each hour once", "Keep one of the two.")
        elif step < timedelta(0):
            yield Fault(file, row, "at", both, "times that grow", "Sort the rows by their time.")
        elif step < HOUR:
            yield Fault(
                file, row, "at", f"{both}, less than an hour", "an hour from row to row", "Keep one row an hour."
            )
        elif step > HOUR:
            missing = f"a gap: {both}"
            yield Fault(file, row, "at", missing, "an hour from row to row", "Add the hours between the two.")


def fahrenheit_columns(
    hours: Sequence[WeatherHour], data: WeatherData, latitude_deg: float | None = None
) -> tuple[str, ...]:
    """Which temperatures of one night can only be Fahrenheit: air that is far too hot for any night or, where the
    latitude is known, for the season; or air and road that agree only where one of them is Fahrenheit.

    Valid       any
    Source      house; limits of data/surfaces.toml
    Proved by   tests/curing/test_forecast.py
    """
    if not hours:
        return ()
    airs_c = [hour.air_temp_c for hour in hours]
    roads = [(hour.air_temp_c, hour.road_temp_c) for hour in hours if hour.road_temp_c is not None]
    most_c = min(data["fahrenheit_median_c"], _season_most_c(hours[0].at, latitude_deg, data))
    air_hot = median_low(airs_c) > most_c and _as_celsius(max(airs_c)) <= data["air_most_c"]
    if air_hot:
        # a road that is as hot is of the same mistake
        road_hot = bool(roads) and median(abs(air_c - road_c) for air_c, road_c in roads) < data["fahrenheit_apart_k"]
        return FAHRENHEIT_COLUMNS if road_hot else FAHRENHEIT_COLUMNS[:1]
    for column, pairs in zip(FAHRENHEIT_COLUMNS, (roads, [(road, air) for air, road in roads]), strict=True):
        if 2 * sum(_other_scale(doubted_c, other_c, data) for doubted_c, other_c in pairs) > len(roads):
            return (column,)
    return ()


def _season_most_c(at: datetime, latitude_deg: float | None, data: WeatherData) -> float:
    """The warmest middle of a night at this time of the year; boundless where the year's wave is not of the place."""
    if latitude_deg is None or math.fabs(latitude_deg) < data["season_latitude_deg"]:
        return math.inf
    turn = 2.0 * math.pi * (at.timetuple().tm_yday - data["ground_warmest_day_count"]) / YEAR_DAYS
    swing_k = math.copysign(data["ground_swing_k"], latitude_deg)
    return data["ground_mean_c"] + swing_k * math.cos(turn) + data["season_above_k"]


def _other_scale(doubted_c: float, other_c: float, data: WeatherData) -> bool:
    """One value is the other in Fahrenheit, and far from it."""
    near = abs(doubted_c - (1.8 * other_c + 32.0)) < data["fahrenheit_near_k"]
    return near and abs(doubted_c - other_c) > data["fahrenheit_apart_k"]


def _fahrenheit(hours: Sequence[WeatherHour], column: str, file: str) -> Fault:
    """One fault for all rows."""
    values = [value for hour in hours if (value := getattr(hour, column)) is not None]
    row = next(hour.row for hour in hours if getattr(hour, column) is not None)
    what, head = column.removesuffix("_temp_c"), f"{column.removesuffix('_c')}_f"
    found = f"{what} of {min(values):g} to {max(values):g}, which looks like Fahrenheit"
    as_c = f"{_as_celsius(min(values)):.0f} to {_as_celsius(max(values)):.0f} °C"
    mend = f"If it is ({as_c}), head the column {head} and it is converted; if not, mend the values."
    return Fault(file, row, column, found, "degrees Celsius", mend)


def _as_celsius(value: float) -> float:  # what a value would be if it were Fahrenheit
    return (value - 32.0) / 1.8


def _ranges(hour: WeatherHour, file: str, data: WeatherData, told: Sequence[str]) -> list[Fault]:
    """Values that cannot be; not of columns whose unit was told already."""
    least_c = data["air_least_c"]
    asked: list[tuple[str, float | None, float, float, str]] = [
        ("air_temp_c", hour.air_temp_c, least_c, data["air_most_c"], "°C"),
        ("road_temp_c", hour.road_temp_c, least_c, data["road_most_c"], "°C"),
        ("humidity_pct", hour.humidity_pct, 0.0, 100.0, "%"),
        ("wind_m_per_s", hour.wind_m_per_s, 0.0, data["wind_most_m_per_s"], "m/s"),
        ("cloud_share", hour.cloud_share, 0.0, 1.0, ""),
        ("rain_mm", hour.rain_mm, 0.0, float("inf"), "mm"),
    ]
    faults = []
    for column, value, least, most, unit in asked:
        if (
            column in told
            or value is None
            or (least <= value <= most and not (column == "humidity_pct" and value == 0.0))
        ):
            continue
        least_said = "more than 0" if column == "humidity_pct" else f"{least:g}"
        span = f"{least_said} to {most:g} {unit}".strip() if most < float("inf") else f"{least:g} or more {unit}"
        found = f"{value:g} {unit}".strip() + f" at {_said(hour.at)}"
        faults.append(Fault(file, hour.row, column, found, span, "Mend the value, or the unit in the column's head."))
    return faults


def _said(at: datetime) -> str:
    return f"{at:%Y-%m-%d %H:%M}"
