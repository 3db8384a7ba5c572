"""works.toml -> the heading of the works."""

from __future__ import annotations

import re
import tomllib
from functools import lru_cache
from zoneinfo import ZoneInfo, available_timezones

from truebed.given.cells import Value, Wrong, read_cell
from truebed.given.column import Column
from truebed.given.columns import HEADING
from truebed.given.notes import Notes, did_you_mean, nearest, shown
from truebed.given.text import decode
from truebed.given.works import Heading

_MOST_BYTES_COUNT = 64 * 1024
_AT_LINE = re.compile(r"at line (\d+)")
_ZONE = re.compile(r"UTC|[A-Za-z_]+(?:/[A-Za-z0-9_+\-]+)+")
_FORMS = {
    "currency": (re.compile(r"[A-Z]{3}"), "an ISO 4217 code of three capitals, as GBP"),
    "language": (re.compile(r"[a-z]{2,3}(?:-[A-Za-z0-9]{2,8})*"), "a language tag, as en-GB"),
}


def read_heading(file: str, data: bytes, notes: Notes) -> Heading | None:
    """The heading, or None and faults with the lines they stand in.

    Valid       any bytes
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_faults.py, tests/properties/test_reader.py
    """
    if len(data) > _MOST_BYTES_COUNT:
        mend = "Keep to the keys of docs/works-folder.md."
        notes.fault(file, 0, "", f"{len(data)} bytes", f"at most {_MOST_BYTES_COUNT}", mend)
        return None
    text = decode(file, data, notes)
    if text is None:
        return None
    before_count = len(notes.faults)
    keys = _keys(file, text, notes)
    if keys is None:
        return None
    values: dict[str, Value] = {}
    known = {column.name: column for column in HEADING}
    for key, given in keys.items():
        line = _line_of(key, text)
        if key not in known:
            mend = did_you_mean(key, known, "Rename the key, or take it out.")
            notes.fault(file, line, shown(key).strip("'"), f"the key {shown(key)}", "a key of works.toml", mend)
            continue
        value = _value(given, known[key])
        if isinstance(value, Wrong):
            notes.fault(file, line, key, value.found, value.expected, value.mend)
        else:
            values[key] = value
    near = {nearest(key, known) for key in keys if key not in known}
    for column in HEADING:
        if column.required and column.name not in keys and column.name not in near:
            mend = f"Add a line: {column.name} = {_as_toml(column)}."
            notes.fault(file, 0, column.name, "no such key", column.expected, mend)
    return _heading(values) if len(notes.faults) == before_count else None


def _keys(file: str, text: str, notes: Notes) -> dict[str, object] | None:
    try:
        return dict(tomllib.loads(text))
    except RecursionError:
        found = "brackets within brackets without end"
        notes.fault(file, 0, "", found, 'one line a key, as name = "..."', "Take the brackets out.")
    except ValueError as problem:
        at = _AT_LINE.search(str(problem))
        row = int(at.group(1)) if at else text.rstrip().count("\n") + 1
        what = "".join(c if c.isprintable() else "?" for c in str(problem).split(" (at ")[0])[:120]
        mend = "Mend that line: text in straight quotation marks, numbers with a point, one line a key."
        notes.fault(file, row, "", f"a line that is not TOML ({what})", 'one line a key, as name = "..."', mend)
    return None


def _line_of(key: str, text: str) -> int:
    """The line a key stands in, 0 if it cannot be told."""
    pattern = re.compile(r"\s*\[*\s*[\"']?" + re.escape(key) + r"[\"']?\s*[=.\]]")
    for number, line in enumerate(text.split("\n"), start=1):
        if pattern.match(line):
            return number
    return 0


def _value(given: object, column: Column) -> Value | Wrong:
    """The value of one key; the type is TOML's, the rest is judged as a cell is."""
    if column.holds == "yes or no":
        fits = isinstance(given, bool)
    elif column.holds == "number":
        fits = isinstance(given, int | float) and not isinstance(given, bool)
    else:
        fits = isinstance(given, str)
    cell = _cell(given)
    if not cell:
        return Wrong("nothing", column.expected, f"Fill it: {column.meaning}.")
    if not fits:
        mend = f"Write it as {column.name} = {_as_toml(column)}."
        return Wrong(shown(cell), column.expected, mend)
    value = read_cell(cell, column, column.unit, decimal_comma=False)
    if isinstance(value, str):
        return _formed(value, column)
    return value


def _cell(given: object) -> str:
    """A TOML value as it would stand in a cell."""
    if isinstance(given, dict | list):
        return "a table or list"
    if isinstance(given, int) and given.bit_length() > 64:
        return "a number beyond 64 bits"
    return str(given).strip()


def _formed(value: str, column: Column) -> str | Wrong:
    """Zone, currency and language have forms of their own."""
    if column.name == "time_zone":
        if _zone(value):
            return value
        mend = did_you_mean(value, sorted(available_timezones()), "Write an IANA name, as Europe/London.")
        return Wrong(shown(value), "an IANA time zone", mend)
    if column.name in _FORMS:
        form, expected = _FORMS[column.name]
        if not form.fullmatch(value):
            return Wrong(shown(value), expected, f"Write it as {column.example}.")
    return value


@lru_cache(maxsize=64)
def _zone(name: str) -> bool:
    if not _ZONE.fullmatch(name):
        return False
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True


def _as_toml(column: Column) -> str:
    return column.example if column.holds in {"number", "yes or no"} else f'"{column.example}"'


def _heading(values: dict[str, Value]) -> Heading:
    def text(key: str) -> str:
        return str(values[key])

    latitude, longitude, wanted = values["latitude_deg"], values["longitude_deg"], values["wanted_probability"]
    if not (isinstance(latitude, float) and isinstance(longitude, float) and isinstance(wanted, float)):
        raise TypeError("works.toml: a number was not read as one")
    return Heading(
        name=text("name"),
        reference=text("reference"),
        rule_set=text("rule_set"),
        time_zone=text("time_zone"),
        latitude_deg=latitude,
        longitude_deg=longitude,
        coordinate_system=text("coordinate_system"),
        holiday_calendar=text("holiday_calendar"),
        currency=text("currency"),
        language=text("language"),
        wanted_probability=wanted,
        demo=values.get("demo") is True,
    )
