"""A forecast that cannot be reckoned with is refused with its hour and what mends it."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from truebed.curing.forecast import check_forecast, check_gaps, check_nights, check_span, fahrenheit_columns, nights_of
from truebed.curing.surfaces import weather_data
from truebed.given.night import Closure, WeatherHour

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


def test_rows_nearer_than_an_hour_are_refused_since_a_row_is_an_hour():
    hours = night()
    hours[2:2] = [replace(hours[1], at=hours[1].at + timedelta(minutes=30), row=9)]
    told = faults(hours)
    assert [fault.row for fault in told] == [9, 4]
    assert "less than an hour" in told[0].found


def later(hours, days):
    return [replace(hour, at=hour.at + timedelta(days=days), row=hour.row + 100 * days) for hour in hours]


def test_the_days_between_two_nights_are_no_gap():
    hours = [*night(), *later(night(), 3)]
    assert [len(run) for run in nights_of(hours)] == [6, 6]
    assert check_nights(hours, "weather.csv", DATA) == ()
    assert len(faults(hours)) == 1


def test_no_hours_are_no_nights_and_no_fault_of_a_file_that_may_be_left_out():
    assert nights_of([]) == ()
    assert check_nights([], "weather.csv", DATA) == ()


def test_fahrenheit_in_every_night_is_told_once_and_in_one_night_at_its_own_row():
    hot, mild = night((50.0, 48.0, 46.0)), night((9.0, 8.0, 7.0))
    (every,) = check_nights([*hot, *later(hot, 3)], "weather.csv", DATA)
    assert every.row == 2
    assert "46 to 50" in every.found
    (one,) = check_nights([*mild, *later(hot, 3)], "weather.csv", DATA)
    assert one.row == 302
    assert "8 to 10 °C" in one.mend


def test_a_road_in_fahrenheit_beside_air_in_celsius_is_named():
    (fault,) = faults(night((2.0, 1.0, 0.0, 0.0), road_temp_c=33.0))
    assert fault.column == "road_temp_c"
    assert "road_temp_f" in fault.mend
    assert "1 to 1 °C" in fault.mend


def test_air_and_road_in_fahrenheit_are_both_named_and_not_held_against_celsius():
    told = faults(night((95.0, 92.0, 88.0), road_temp_c=99.0))
    assert [fault.column for fault in told] == ["air_temp_c", "road_temp_c"]
    assert all("Fahrenheit" in fault.found for fault in told)


def test_air_in_fahrenheit_does_not_draw_a_road_in_celsius_with_it():
    assert fahrenheit_columns(night((60.0, 58.0, 57.0), road_temp_c=14.0), DATA) == ("air_temp_c",)


def test_a_winter_night_of_a_few_degrees_in_fahrenheit_is_seen_by_its_season():
    frosty = night((34.0, 33.0, 32.0, 30.0))
    assert check_nights(frosty, "weather.csv", DATA) == ()
    (fault,) = check_nights(frosty, "weather.csv", DATA, latitude_deg=53.0)
    assert "-1 to 1 °C" in fault.mend
    summer = [replace(hour, at=hour.at + timedelta(days=185)) for hour in frosty]
    assert check_nights(summer, "weather.csv", DATA, latitude_deg=53.0) == ()


@pytest.mark.parametrize("latitude_deg", [-46.0, 0.0, 20.0, -20.0])
def test_a_january_night_of_33_degrees_is_believed_where_it_is_summer_or_always_hot(latitude_deg):
    assert check_nights(night((34.0, 33.0, 32.0)), "weather.csv", DATA, latitude_deg) == ()


def test_the_mildest_winter_nights_are_believed():
    """In January the year's wave stands near 2 degrees; a night of 15 is mild, not Fahrenheit."""
    assert check_nights(night((16.0, 15.5, 15.0)), "weather.csv", DATA, latitude_deg=53.0) == ()


def shut(start_h, end_h, name="n"):
    start, end = START + timedelta(hours=start_h), START + timedelta(hours=end_h)
    return Closure(name, ("Weir Cross",), "full", start, end, end, 20, 20, 12.0)


@pytest.mark.parametrize(
    ("closure", "count"),
    [
        (shut(-1, 6), 1),
        (shut(2.5, 3.5), 1),
        (shut(-3, 2), 0),  # over when the gap begins
        (shut(4, 7), 0),  # begins when it is over
        (shut(3.9, 7), 1),
        (shut(30, 36), 0),  # a night whose forecast is not made yet
        (shut(-30, -20), 0),
    ],
)
def test_a_gap_is_a_fault_only_while_a_road_is_shut(closure, count):
    """Hours at 0, 1 and 4: from 2 to 4 nothing is known."""
    times = [(START + timedelta(hours=n), n + 2) for n in (4, 0, 1)]
    told = check_gaps(times, (closure,), "weather.csv")
    assert len(told) == count
    assert all((fault.row, fault.column) == (6, "at") for fault in told)
    assert all("2026-01-11 00:00 after 2026-01-10 21:00, in closure 'n'" in fault.found for fault in told)


def test_a_humidity_of_nought_is_told_that_it_must_be_more():
    (fault,) = faults(night(humidity_pct=0.0)[:1])
    assert fault.expected == "more than 0 to 100 %"
