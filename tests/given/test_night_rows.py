"""What can be read of a night is read, whatever else of the folder is wrong."""

from __future__ import annotations

from given.base_folder import base_folder, spoilt
from truebed.given.night_rows import night_rows


def test_a_good_folder_gives_its_hours_times_closures_and_latitude() -> None:
    rows = night_rows(base_folder())
    assert rows is not None
    assert rows.file == "weather.csv"
    assert [hour.row for hour in rows.hours] == [2, 3, 4]
    assert rows.times is not None
    assert [row for _, row in rows.times] == [2, 3, 4]
    assert [closure.closure for closure in rows.closures] == ["N-1"]
    assert rows.latitude_deg is not None
    assert 49.0 < rows.latitude_deg < 61.0


def test_without_weather_there_is_nothing_to_check() -> None:
    files = base_folder()
    del files["weather.csv"]
    assert night_rows(files) is None


def test_other_broken_files_do_not_hide_the_weather() -> None:
    files = base_folder() | {"covers.csv": b"\xff\xfe\x00", "works.toml": b"name = ", "closures.csv": b""}
    rows = night_rows(files)
    assert rows is not None
    assert len(rows.hours) == 3
    assert (rows.closures, rows.latitude_deg) == ((), None)


def test_a_temperature_of_any_size_is_read_so_that_a_fahrenheit_night_is_seen_whole() -> None:
    rows = night_rows(spoilt("weather.csv", "7.5,6,", "66.5,64,"))
    assert rows is not None
    assert (rows.hours[0].air_temp_c, rows.hours[0].road_temp_c) == (66.5, 64.0)


def test_air_in_a_column_headed_fahrenheit_is_converted() -> None:
    files = base_folder()
    files["weather.csv"] = b"at,air_temp_f,road_temp_f\n2027-03-11T20:00+00:00,50,41\n"
    rows = night_rows(files)
    assert rows is not None
    assert (rows.hours[0].air_temp_c, rows.hours[0].road_temp_c) == (10.0, 5.0)


def test_a_cell_that_is_no_number_takes_its_hour_but_not_its_time() -> None:
    rows = night_rows(spoilt("weather.csv", "7.5,6,", "mild,6,"))
    assert rows is not None
    assert [hour.row for hour in rows.hours] == [3, 4]
    assert rows.times is not None
    assert len(rows.times) == 3


def test_a_time_that_cannot_be_read_leaves_the_times_unknown() -> None:
    rows = night_rows(spoilt("weather.csv", "2027-03-11T21:00+00:00", "nine"))
    assert rows is not None
    assert rows.times is None
