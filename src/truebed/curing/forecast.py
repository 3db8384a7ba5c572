"""Is this forecast fit to reckon with: in order, without gaps, in degrees Celsius, and of this world."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import median

from truebed.curing.surfaces import WeatherData
from truebed.errors import Fault
from truebed.given.night import WeatherHour

HOUR = timedelta(hours=1)


def check_forecast(hours: Sequence[WeatherHour], file: str, data: WeatherData) -> tuple[Fault, ...]:
    """Everything that is wrong with an hourly forecast, each with its hour and how to mend it; empty where it is fit.

    hours       in the order of the file
    Valid       any
    Source      house; limits of data/surfaces.toml
    Proved by   tests/curing/test_forecast.py
    """
    if not hours:
        return (Fault(file, 0, "", "no hour of weather", "one row an hour", "Add the forecast of the night."),)
    fahrenheit = tuple(_fahrenheit(hours, file, data))
    faults = [*_order(hours, file), *fahrenheit]
    for hour in hours:
        faults += _ranges(hour, file, data, air_told=bool(fahrenheit))
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
        elif step > HOUR:
            missing = f"a gap: {both}"
            yield Fault(file, row, "at", missing, "an hour from row to row", "Add the hours between the two.")


def _fahrenheit(hours: Sequence[WeatherHour], file: str, data: WeatherData) -> Iterator[Fault]:
    """One fault for the whole file where its air can only be Fahrenheit."""
    airs_c = [hour.air_temp_c for hour in hours]
    middle_c = median(airs_c)
    likely = middle_c > data["fahrenheit_median_c"] and _as_celsius(max(airs_c)) <= data["air_most_c"]
    roads = [(hour.air_temp_c, hour.road_temp_c) for hour in hours if hour.road_temp_c is not None]
    if roads and not likely:
        alike = [
            abs(air_c - (1.8 * road_c + 32.0)) < data["fahrenheit_near_k"]
            and abs(air_c - road_c) > data["fahrenheit_apart_k"]
            for air_c, road_c in roads
        ]
        likely = sum(alike) * 2 > len(roads)
    if likely:
        found = f"air of {min(airs_c):g} to {max(airs_c):g}, which looks like Fahrenheit"
        as_c = f"{_as_celsius(min(airs_c)):.0f} to {_as_celsius(max(airs_c)):.0f} °C"
        mend = f"If it is ({as_c}), head the column air_temp_f and it is converted; if not, mend the values."
        yield Fault(file, hours[0].row, "air_temp_c", found, "degrees Celsius", mend)


def _as_celsius(value: float) -> float:  # what a value would be if it were Fahrenheit
    return (value - 32.0) / 1.8


def _ranges(hour: WeatherHour, file: str, data: WeatherData, *, air_told: bool) -> list[Fault]:
    least_c, air_most_c = data["air_least_c"], data["air_most_c"]
    asked: list[tuple[str, float | None, float, float, str]] = [
        ("road_temp_c", hour.road_temp_c, least_c, data["road_most_c"], "°C"),
        ("humidity_pct", hour.humidity_pct, 0.0, 100.0, "%"),
        ("wind_m_per_s", hour.wind_m_per_s, 0.0, data["wind_most_m_per_s"], "m/s"),
        ("cloud_share", hour.cloud_share, 0.0, 1.0, ""),
        ("rain_mm", hour.rain_mm, 0.0, float("inf"), "mm"),
    ]
    if not air_told:
        asked.insert(0, ("air_temp_c", hour.air_temp_c, least_c, air_most_c, "°C"))
    faults = []
    for column, value, least, most, unit in asked:
        if value is None or (least <= value <= most and not (column == "humidity_pct" and value == 0.0)):
            continue
        span = f"{least:g} to {most:g} {unit}".strip() if most < float("inf") else f"{least:g} or more {unit}"
        found = f"{value:g} {unit}".strip() + f" at {_said(hour.at)}"
        faults.append(Fault(file, hour.row, column, found, span, "Mend the value, or the unit in the column's head."))
    return faults


def _said(at: datetime) -> str:
    return f"{at:%Y-%m-%d %H:%M}"
