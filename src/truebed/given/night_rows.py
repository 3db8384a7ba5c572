"""The hours of weather and the closures as far as they can be read, whatever else of a folder is wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from truebed.given.column import FileColumns
from truebed.given.file_names import WORKS_TOML, choose_files
from truebed.given.heading import read_heading
from truebed.given.night import Closure, WeatherHour
from truebed.given.night_columns import CLOSURES, WEATHER
from truebed.given.notes import Notes
from truebed.given.rows import closure_of, weather_of
from truebed.given.table import Row, Table, read_table


@dataclass(frozen=True, slots=True)
class NightRows:
    """What a forecast is checked on as a whole.

    file     weather.csv as the folder spells it
    hours    rows whose cells are all values, of whatever size: a Fahrenheit night must be seen whole to be named
    times    beginning and row of every hour; None where one could not be read, so that nobody knows what is missing
    closures rows of closures.csv without a fault of their own
    latitude_deg  of works.toml; None where it could not be read
    """

    file: str
    hours: tuple[WeatherHour, ...]
    times: tuple[tuple[datetime, int], ...] | None
    closures: tuple[Closure, ...]
    latitude_deg: float | None


def night_rows(files: Mapping[str, bytes]) -> NightRows | None:
    """The night of a folder; None without a readable weather.csv. What is wrong with a cell, parse_works tells.

    Valid       any mapping: no bytes raise
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_night_rows.py
    """
    notes = Notes()
    chosen = choose_files(files, notes)
    weather = _table(files, chosen, _of_any_size(WEATHER))
    if weather is None:
        return None
    closures = _table(files, chosen, CLOSURES)
    found = [(row.maybe("at", datetime), row.row) for row in weather.rows]
    times = tuple((at, row) for at, row in found if at is not None)
    return NightRows(
        weather.file,
        tuple(weather_of(row) for row in _sound(weather)),
        times if len(times) == len(found) else None,
        () if closures is None else tuple(closure_of(row) for row in _sound(closures)),
        _latitude_deg(files, chosen),
    )


def _latitude_deg(files: Mapping[str, bytes], chosen: Mapping[str, str]) -> float | None:
    if WORKS_TOML not in chosen:
        return None
    heading = read_heading(chosen[WORKS_TOML], files[chosen[WORKS_TOML]], Notes())
    return None if heading is None else heading.latitude_deg


def _table(files: Mapping[str, bytes], chosen: Mapping[str, str], columns: FileColumns) -> Table | None:
    if columns.name not in chosen:
        return None
    file = chosen[columns.name]
    return read_table(file, files[file], columns, Notes())


def _of_any_size(columns: FileColumns) -> FileColumns:
    return replace(columns, columns=tuple(replace(column, between=None) for column in columns.columns))


def _sound(table: Table) -> tuple[Row, ...]:
    return tuple(row for row in table.rows if row.sound)
