"""One cell of text -> one value, or what was wrong with it."""

from __future__ import annotations

import datetime as dt
import math
import re
import unicodedata
from dataclasses import dataclass

from truebed.given.column import LONGEST_NAME_COUNT, LONGEST_TEXT_COUNT, Column, plain
from truebed.given.conversion import convert, convertible
from truebed.given.notes import did_you_mean, shown

Value = str | float | int | bool | dt.datetime | tuple[str, ...] | None

_NUMBER = re.compile(r"[+-]?(?:[0-9]{1,40}(?:\.[0-9]{0,40})?|\.[0-9]{1,40})(?:[eE][+-]?[0-9]{1,3})?")
_NAME = re.compile(r"\w[\w .\-]*")
_BLANKS = re.compile(r"[\s_\-]+")
_HIDDEN = {"Cc", "Cs", "Co", "Zl", "Zp"}
_TURNING = {chr(code) for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A), 0x200E, 0x200F)}
#: the units people slip into, the likeliest first
_SLIPS = ("m", "mm", "in", "cm", "ft", "f", "lb", "h", "kmh", "m_per_s", "pct")


@dataclass(frozen=True, slots=True)
class Wrong:
    """Why a cell is refused."""

    found: str
    expected: str
    mend: str


def read_cell(cell: str, column: Column, unit: str, decimal_comma: bool) -> Value | Wrong:
    """The value of one filled cell, in the column's own unit.

    unit        the unit the header carries
    Valid       any text
    Source      house (how people write cells)
    Proved by   tests/given/test_cells.py, tests/properties/test_reader.py
    """
    match column.holds:
        case "number":
            return _number(cell, column, unit, decimal_comma)
        case "whole":
            return _whole(cell, column, unit, decimal_comma)
        case "choice":
            return _choice(cell, column)
        case "time":
            return _time(cell, column)
        case "date":
            return _date(cell, column)
        case "list":
            return _list(cell, column)
        case "yes or no":
            return _yes_or_no(cell, column)
        case _:
            return _text(cell, column)


def _number(cell: str, column: Column, unit: str, decimal_comma: bool) -> float | Wrong:
    text = cell.replace("−", "-")
    if decimal_comma and text.count(",") == 1 and "." not in text:
        text = text.replace(",", ".")
    if not _NUMBER.fullmatch(text):
        return Wrong(shown(cell), column.expected, _number_mend(cell, column, decimal_comma))
    value = float(text)
    if not math.isfinite(value):
        return Wrong(shown(cell), column.expected, "Write a finite number.")
    inside = convert(value, unit, column.unit)
    if not _within(inside, column):
        found = shown(cell) if unit == column.unit else f"{shown(cell)} {unit}, which is {plain(inside)} {column.unit}"
        return Wrong(found, column.expected, _range_mend(value, column, unit))
    return inside


def _within(value: float, column: Column) -> bool:
    return column.between is None or column.between[0] <= value <= column.between[1]


def _number_mend(cell: str, column: Column, decimal_comma: bool) -> str:
    if cell.strip().casefold().strip("+-") in {"nan", "inf", "infinity", "n/a", "na", "#n/a", "-", "?"}:
        return "Write the number" + ("." if column.required else ", or leave the cell empty.")
    if "," in cell and not decimal_comma:
        return "Write decimals with a point and no marks between thousands."
    if any(letter.isalpha() for letter in cell) and any(digit.isdigit() for digit in cell):
        return "Write the number alone; its unit stands in the header."
    return "Write the number in digits, with no marks between thousands."


def _range_mend(value: float, column: Column, unit: str) -> str:
    """Says which unit the value looks like, if another one would put it in range."""
    for slip in _SLIPS:
        if slip == unit or not convertible(slip, column.unit):
            continue
        inside = convert(value, slip, column.unit)
        if _within(inside, column):
            written = plain(convert(inside, column.unit, unit))
            return (
                f"It looks like {slip}: if it is, write {written}, or head the column '{column.stem}_{slip}'; "
                "if not, measure again."
            )
    check = f"Check the reading and its unit ({unit})." if unit else "Check the value."
    return f"{check} {column.beyond}" if column.beyond else check


def _whole(cell: str, column: Column, unit: str, decimal_comma: bool) -> int | Wrong:
    value = _number(cell, column, unit, decimal_comma)
    if isinstance(value, Wrong):
        return value
    if not value.is_integer():
        return Wrong(shown(cell), column.expected, "Write a whole number.")
    return int(value)


def _plain_text(cell: str, expected: str, longest_count: int) -> str | Wrong:
    if any(unicodedata.category(c) in _HIDDEN or c in _TURNING for c in cell):
        return Wrong(f"{shown(cell)} with a hidden character", expected, "Type it again, on one line.")
    if cell[0] in "=+@":
        return Wrong(f"{shown(cell)}, which a spreadsheet would run", expected, "Write the text or value itself.")
    if len(cell) > longest_count:
        return Wrong(f"{len(cell)} characters", expected, f"Shorten it to {longest_count}.")
    return unicodedata.normalize("NFC", cell)


def _text(cell: str, column: Column) -> str | Wrong:
    text = _plain_text(cell, column.expected, LONGEST_NAME_COUNT if column.holds == "name" else LONGEST_TEXT_COUNT)
    if isinstance(text, str) and column.holds == "name" and (not _NAME.fullmatch(text) or text.endswith(".")):
        mend = "It becomes part of file names: keep to letters, digits, spaces, dots, hyphens and underscores."
        return Wrong(shown(cell), column.expected, mend)
    return text


def _choice(cell: str, column: Column) -> str | Wrong:
    key = _BLANKS.sub("", cell.casefold())
    for choice in column.choices:
        if key == _BLANKS.sub("", choice.casefold()):
            return choice
    for word, mend in column.refused:
        if key == _BLANKS.sub("", word.casefold()):
            return Wrong(shown(cell), column.expected, mend)
    return Wrong(shown(cell), column.expected, did_you_mean(cell, column.choices, "Write one of the choices."))


def _time(cell: str, column: Column) -> dt.datetime | Wrong:
    try:
        value = dt.datetime.fromisoformat(cell)
    except ValueError:
        return Wrong(shown(cell), column.expected, f"Write it as {column.example}.")
    if value.tzinfo is None:
        mend = f"Say the offset of the place at that time, as {column.example}; in a spreadsheet type it as text."
        return Wrong(f"{shown(cell)} without an offset", column.expected, mend)
    if not 2000 <= value.year < 2100:
        return Wrong(shown(cell), column.expected, "Check the year.")
    return value


def _date(cell: str, column: Column) -> str | Wrong:
    try:
        return dt.date.fromisoformat(cell).isoformat()
    except ValueError:
        return Wrong(shown(cell), column.expected, f"Write it as {column.example}.")


def _list(cell: str, column: Column) -> tuple[str, ...] | Wrong:
    items = [item.strip() for item in cell.split("|")]
    if not all(items):
        return Wrong(shown(cell), column.expected, "Take out the | that has nothing beside it.")
    read = [_plain_text(item, column.expected, LONGEST_TEXT_COUNT) for item in items]
    for item in read:
        if isinstance(item, Wrong):
            return item
    texts = tuple(item for item in read if isinstance(item, str))
    once: set[str] = set()
    for item in texts:
        if item in once:
            return Wrong(f"{shown(item)} twice", column.expected, "Name each once.")
        once.add(item)
    return texts


def _yes_or_no(cell: str, column: Column) -> bool | Wrong:
    answer = {"true": True, "false": False}.get(cell.casefold())
    return Wrong(shown(cell), column.expected, "Write true or false.") if answer is None else answer
