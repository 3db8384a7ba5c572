"""The bytes of a works folder -> the works, or every fault of every file at once. Pure."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar
from zoneinfo import ZoneInfo

from truebed.errors import Fault
from truebed.given import check_covers, check_night, check_readings, check_survey, rows, survey_rows
from truebed.given.columns import FILES
from truebed.given.file_names import WORKS_TOML, choose_files
from truebed.given.heading import read_heading
from truebed.given.night import Closure
from truebed.given.notes import Notes
from truebed.given.table import Row, Table, read_table
from truebed.given.works import Heading, Works

T = TypeVar("T")

#: faults of one file that are listed; the rest are counted
MOST_FAULTS_COUNT = 500


def parse_works(files: Mapping[str, bytes]) -> tuple[Works | None, tuple[Fault, ...]]:
    """The works that the files of a folder give, and all faults; the works only where there is none.

    files       relative name ('covers.csv', 'sheets/x.toml') -> bytes; sheets, methods and rules are not read here
    Valid       any mapping: no bytes raise
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_folder.py, tests/properties/test_reader.py
    """
    notes = Notes()
    chosen = choose_files(files, notes)
    heading = None
    if WORKS_TOML in chosen:
        heading = read_heading(chosen[WORKS_TOML], files[chosen[WORKS_TOML]], notes)
    tables: dict[str, Table] = {}
    for columns in FILES:
        if columns.name in chosen:
            file = chosen[columns.name]
            table = read_table(file, files[file], columns, notes)
            if table is not None:
                tables[columns.name] = table
    # a file of soundings that could not be read may hold what a cover without a margin needs
    margins = "soundings.csv" not in chosen or "soundings.csv" in tables
    works = _works(heading, tables, notes, margins)
    faults = _listed(notes.faults)
    return (None, faults) if faults else (works, ())


def _works(heading: Heading | None, tables: Mapping[str, Table], notes: Notes, margins: bool) -> Works | None:
    """Builds what can be built and checks all of it together; margins: the covers' sound margins too."""
    covers = tuple(cover for row in _sound(tables, "covers.csv") if (cover := rows.cover_of(row, notes)) is not None)
    closures = _built(tables, "closures.csv", rows.closure_of)
    _check_names(tables, notes)
    if "covers.csv" in tables:
        check_covers.check_frames(tables["covers.csv"].file, covers, notes)
    if "covers.csv" in tables and margins:
        sounded = _names(tables.get("soundings.csv"), "cover")
        check_covers.check_margins(tables["covers.csv"].file, covers, sounded, notes)
    check_covers.check_streets(tables.get("covers.csv"), tables.get("closures.csv"), notes)
    if "readings.csv" in tables:
        cover_rows = _names(tables.get("covers.csv"), "cover")
        check_readings.check_readings(tables["readings.csv"], covers, cover_rows, notes)
    if "obstacles.csv" in tables:
        check_survey.check_obstacles(tables["obstacles.csv"], covers, notes)
    if "soundings.csv" in tables:
        check_survey.check_soundings(tables["soundings.csv"], covers, notes)
    if "closures.csv" in tables:
        check_night.check_closures(tables["closures.csv"].file, closures, notes)
    if "tools.csv" in tables:
        check_night.check_vibration(tables["tools.csv"], notes)
    if "weather.csv" in tables:
        check_night.check_weather(tables["weather.csv"], notes)
    if "stock.csv" in tables:
        check_night.check_lots(tables["stock.csv"], notes)
    if heading is None or notes.faults:
        return None
    _echo_local(tables["closures.csv"].file, closures, heading, notes)
    return Works(
        heading=heading,
        covers=covers,
        readings=_built(tables, "readings.csv", rows.reading_of),
        closures=closures,
        people=_built(tables, "people.csv", rows.person_of),
        tools=_built(tables, "tools.csv", rows.tool_of),
        weather=_built(tables, "weather.csv", rows.weather_of),
        stock=_built(tables, "stock.csv", rows.stock_of),
        condition=_built(tables, "condition.csv", survey_rows.condition_of),
        obstacles=_built(tables, "obstacles.csv", survey_rows.obstacle_of),
        soundings=_built(tables, "soundings.csv", survey_rows.sounding_of),
        units=_built(tables, "units.csv", survey_rows.unit_of),
        echoes=tuple(notes.echoes),
    )


def _check_names(tables: Mapping[str, Table], notes: Notes) -> None:
    """Names once in their own file, and known there where another file uses them."""
    own = (
        ("covers.csv", "cover", "cover"),
        ("closures.csv", "closure", "closure"),
        ("people.csv", "person", "person"),
        ("tools.csv", "tool", "tool"),
        ("condition.csv", "cover", "cover"),
        ("units.csv", "unit", "unit"),
    )
    for file, column, what in own:
        if file in tables:
            check_covers.check_once(tables[file], column, what, notes)
    used = (
        ("readings.csv", "cover", "covers.csv", "cover"),
        ("condition.csv", "cover", "covers.csv", "cover"),
        ("obstacles.csv", "cover", "covers.csv", "cover"),
        ("soundings.csv", "cover", "covers.csv", "cover"),
        ("people.csv", "closures", "closures.csv", "closure"),
    )
    for file, column, other, other_column in used:
        if file not in tables or other not in tables:
            continue
        # a row whose own name was refused would make its users look wrong too
        if all(row.maybe(other_column, str) is not None for row in tables[other].rows):
            known = _names(tables[other], other_column)
            check_covers.check_known(tables[file], column, known, other, notes)


def _names(table: Table | None, column: str) -> dict[str, int]:
    if table is None:
        return {}
    named = ((row.maybe(column, str), row.row) for row in reversed(table.rows))
    return {name: row for name, row in named if name is not None}


def _sound(tables: Mapping[str, Table], name: str) -> tuple[Row, ...]:
    return tuple(row for row in tables[name].rows if row.sound) if name in tables else ()


def _built(tables: Mapping[str, Table], name: str, build: Callable[[Row], T]) -> tuple[T, ...]:
    return tuple(build(row) for row in _sound(tables, name))


def _echo_local(file: str, closures: tuple[Closure, ...], heading: Heading, notes: Notes) -> None:
    """Tells the local clock where a time is given in another offset than the place has then."""
    zone = ZoneInfo(heading.time_zone)
    for closure in closures:
        times = {
            "road_shut_from": closure.road_shut_from,
            "road_open_by": closure.road_open_by,
            "noisy_work_ends": closure.noisy_work_ends,
        }
        for column, time in times.items():
            local = time.astimezone(zone)
            if local.utcoffset() != time.utcoffset():
                now = f"{local.isoformat(timespec='minutes')} in {heading.time_zone}"
                notes.echo(file, closure.row, column, time.isoformat(timespec="minutes"), now)


def _listed(faults: list[Fault]) -> tuple[Fault, ...]:
    """Each fault once, in order of place; of a file with very many the first, and how many more there are."""
    listed: list[Fault] = []
    counts: dict[str, int] = {}
    for fault in sorted(set(faults)):
        counts[fault.file] = counts.get(fault.file, 0) + 1
        if counts[fault.file] <= MOST_FAULTS_COUNT:
            listed.append(fault)
    for file, count in counts.items():
        if count > MOST_FAULTS_COUNT:
            more = f"{count - MOST_FAULTS_COUNT} more faults"
            listed.append(Fault(file, 0, "", more, "none", "Mend those listed and read the folder again."))
    return tuple(sorted(listed))
