"""Closures, tools and hours of weather that cannot be."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from truebed.given.night import Closure
from truebed.given.notes import Notes, shown
from truebed.given.table import Table


def check_closures(file: str, closures: Iterable[Closure], notes: Notes) -> None:
    """A closure opens after it shuts, leaves time to work, and its noisy work ends after it begins.

    Valid       closures with aware times
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_faults.py
    """
    for closure in closures:
        shut, opened = closure.road_shut_from, closure.road_open_by
        if opened <= shut:
            found = f"{_at(opened)}, not after road_shut_from {_at(shut)}"
            mend = "Look for a date that did not pass midnight, or times in each other's column."
            notes.fault(file, closure.row, "road_open_by", found, "a time after road_shut_from", mend)
        elif opened - shut <= timedelta(minutes=closure.tm_set_min + closure.tm_clear_min):
            minutes = (opened - shut).total_seconds() / 60.0
            notes.fault(
                file,
                closure.row,
                "road_open_by",
                f"a closure of {minutes:g} min; traffic management takes {closure.tm_set_min} + {closure.tm_clear_min}",
                "time left to work",
                "Check the times and the minutes of tm_set_min and tm_clear_min.",
            )
        if closure.noisy_work_ends <= shut:
            found = f"{_at(closure.noisy_work_ends)}, not after road_shut_from {_at(shut)}"
            mend = "Look for a date that did not pass midnight; with no limit on noise write road_open_by again."
            notes.fault(file, closure.row, "noisy_work_ends", found, "a time after road_shut_from", mend)


def _at(time: datetime) -> str:
    return time.isoformat(timespec="minutes")


def check_vibration(table: Table, notes: Notes) -> None:
    """A vibration value says where it was read.

    Valid       tools.csv as far as it was read
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_faults.py
    """
    for row in table.rows:
        value = row.maybe("vibration_m_per_s2", float)
        if value is not None and row.sound and row.maybe("vibration_source", str) is None:
            found = f"{value:g} m/s2 and no source"
            mend = "Write the maker's handbook, or who measured it and when."
            notes.fault(table.file, row.row, "vibration_source", found, "where the value was read", mend)


def check_weather(table: Table, notes: Notes) -> None:
    """Hours stand in order, each once.

    Valid       weather.csv as far as it was read
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_faults.py
    """
    before: tuple[int, datetime] | None = None
    for row in table.rows:
        at = row.maybe("at", datetime)
        if at is None:
            continue
        if before is not None and at <= before[1]:
            what = "the same hour as" if at == before[1] else "earlier than"
            found = f"{_at(at)}, {what} row {before[0]}"
            mend = "Sort the rows by time and keep one row an hour."
            notes.fault(table.file, row.row, "at", found, "a later hour in every row", mend)
        before = row.row, at


def check_lots(table: Table, notes: Notes) -> None:
    """A lot of a sheet stands in one row.

    Valid       stock.csv as far as it was read
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_faults.py
    """
    seen: dict[tuple[str | None, str | None], int] = {}
    for row in table.rows:
        lot = row.maybe("sheet", str), row.maybe("lot", str)
        if None in lot:
            continue
        first = seen.setdefault(lot, row.row)
        if first != row.row:
            found = f"lot {shown(str(lot[1]))} of {shown(str(lot[0]))}, which stands in row {first} too"
            notes.fault(table.file, row.row, "lot", found, "each lot of a sheet once", "Join the two rows.")
