"""A forecast that cannot be reckoned with is refused with its hour and what mends it."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from truebed.curing.forecast import check_forecast, check_span
from truebed.curing.surfaces import weather_data
from truebed.given.night import WeatherHour

DATA = weather_data()
START = datetime(2026, 1, 10, 20, tzinfo=UTC)


def night(airs=(4.0, 3.0, 2.0, 1.0, 0.0, -1.0), **other):
    return [WeatherHour(START + timedelta(hours=n), air, row=n + 2, **other) for n, air in enumerate(airs)]


def faults(hours):
    return check_forecast(hours, "weather.csv", DATA)


def test_a_sound_forecast_passes():
    full = night(road_temp_c=3.0, humidity_pct=90.0, wind_m_per_s=2.0, cloud_share=0.5, rain_mm=0.0)
    assert faults(full) == ()
    assert check_span(full, START, START + timedelta(hours=6), "weather.csv") == ()


def test_a_gap_is_told_with_both_hours():
    hours = night()
    (fault,) = faults(hours[:2] + hours[4:])
    assert (fault.row, fault.column) == (6, "at")
    assert "2026-01-11 00:00 after 2026-01-10 21:00" in fault.found


def test_times_out_of_order_and_twice_are_told():
    hours = night()
    assert "Sort" in faults([hours[1], hours[0]])[0].mend
    assert "second time" in faults([hours[0], hours[0]])[0].found


def test_fahrenheit_is_named_with_what_it_would_be():
    (fault,) = faults(night((41.0, 39.0, 37.5, 36.0, 38.0, 40.0)))
    assert "Fahrenheit" in fault.found
    assert "air_temp_f" in fault.mend
    assert "2 to 5 °C" in fault.mend


def test_fahrenheit_beside_a_road_in_celsius_is_named():
    (fault,) = faults(night((34.0, 33.0, 32.0, 31.0, 30.0, 30.0), road_temp_c=1.0))
    assert "Fahrenheit" in fault.found


def test_a_hot_day_is_not_taken_for_fahrenheit():
    assert faults(night((34.0, 35.0, 36.0, 35.0, 33.0, 31.0), road_temp_c=50.0)) == ()


def test_air_of_sixty_degrees_is_refused_at_its_hour():
    (fault,) = faults(night((4.0, 60.0, 2.0)))
    assert fault.row == 3
    assert "60 °C at 2026-01-10 21:00" in fault.found
    assert "50" in fault.expected


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("humidity_pct", 105.0),
        ("humidity_pct", 0.0),
        ("humidity_pct", -3.0),
        ("wind_m_per_s", -1.0),
        ("cloud_share", 8.0),
        ("rain_mm", -0.1),
        ("road_temp_c", 95.0),
        ("air_temp_c", float("nan")),
    ],
)
def test_a_value_out_of_range_is_refused_with_its_column(column, value):
    hours = night()
    hours[2] = replace(hours[2], **{column: value})
    (fault,) = faults(hours)
    assert (fault.column, fault.row) == (column, 4)
    assert fault.mend


def test_no_forecast_and_one_that_is_too_short_are_refused():
    assert "no hour" in faults([])[0].found
    early, late = check_span(night(), START - timedelta(hours=1), START + timedelta(hours=7), "weather.csv")
    assert "nothing before" in early.found
    assert "nothing after" in late.found
