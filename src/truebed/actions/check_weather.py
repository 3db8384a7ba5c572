"""The forecast of a works is held against what weather can be, together with what else is wrong with its files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from truebed.curing.forecast import HOUR, check_forecast, check_gaps, check_nights, fahrenheit_columns, nights_of
from truebed.curing.surfaces import weather_data
from truebed.errors import Fault
from truebed.given.folder import MOST_FAULTS_COUNT
from truebed.given.night_rows import NightRows, night_rows


def with_weather(told: Sequence[Fault], files: Mapping[str, bytes]) -> tuple[Fault, ...]:
    """What reading the tables told, and what is wrong with the forecast; nothing twice.

    A cell that was told stays as it was told; but where a column of a night is Fahrenheit, that is said once in place
    of each of its cells.
    """
    rows = night_rows(files)
    if rows is None:
        return tuple(told)
    whole = _fahrenheit_cells(rows)
    kept = [fault for fault in told if not (fault.file == rows.file and (fault.row, fault.column) in whole)]
    places = {(fault.row, fault.column) for fault in kept if fault.file == rows.file}
    more = [fault for fault in _weather_faults(rows) if (fault.row, fault.column) not in places]
    return (*kept, *_first(more, rows.file))


def _first(faults: Sequence[Fault], file: str) -> tuple[Fault, ...]:
    """Of very many the first, and how many more there are."""
    rest_count = len(faults) - MOST_FAULTS_COUNT
    if rest_count <= 0:
        return tuple(faults)
    more = Fault(file, 0, "", f"{rest_count} more faults", "none", "Mend those listed and read the folder again.")
    return (*sorted(faults)[:MOST_FAULTS_COUNT], more)


def _weather_faults(rows: NightRows) -> tuple[Fault, ...]:
    data = weather_data()
    gaps = () if rows.times is None else check_gaps(rows.times, rows.closures, rows.file)
    faults = (*check_nights(rows.hours, rows.file, data, rows.latitude_deg), *gaps)
    return faults or _closure_faults(rows)


def _closure_faults(rows: NightRows) -> tuple[Fault, ...]:
    """A closure's own hours, as the plan will take them: without the day before they may look like Fahrenheit."""
    data = weather_data()
    for closure in rows.closures:
        hours = [hour for hour in rows.hours if hour.at + HOUR > closure.road_shut_from]
        faults = check_forecast(nights_of(hours)[0], rows.file, data) if hours else ()
        if faults:
            return faults
    return ()


def _fahrenheit_cells(rows: NightRows) -> set[tuple[int, str]]:
    """Row and column of every temperature that is told as Fahrenheit."""
    data = weather_data()
    return {
        (hour.row, column)
        for night in nights_of(rows.hours)
        for column in fahrenheit_columns(night, data, rows.latitude_deg)
        for hour in night
    }
