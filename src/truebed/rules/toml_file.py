"""A TOML file as a person wrote it: its tables, and the line on which each key stands."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath

from truebed.errors import Fault

#: A place inside a file: keys and, for arrays of tables, the number of the table counted from 0.
KeyPath = tuple[str | int, ...]

_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(r"""^\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'))*)\s*=""")
_LINE = re.compile(r"line (\d+)")


@dataclass(frozen=True, slots=True)
class TomlFile:
    """One file that could be read as TOML. lines: where each key and table stands, first line = 1."""

    file: str
    tables: Mapping[str, object]
    lines: Mapping[KeyPath, int]

    @property
    def stem(self) -> str:
        """The file's name without folder and ending, which is also its key."""
        return PurePosixPath(self.file).stem

    def fault(self, path: KeyPath, found: str, expected: str, mend: str) -> Fault:
        """A fault at that place, with the nearest line that is known."""
        known = next((self.lines[path[:n]] for n in range(len(path), 0, -1) if path[:n] in self.lines), 0)
        return Fault(self.file, known, dotted(path), found, expected, mend)


def dotted(path: KeyPath) -> str:
    """A place as a person reads it: 'strength[2].age_min' is age_min of the second [[strength]].

    Source      house (counted from 1)
    Proved by   tests/sheets/test_load_sheets.py
    """
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else part
    return text


def read_toml(file: str, content: bytes) -> tuple[TomlFile | None, tuple[Fault, ...]]:
    """The file's tables with their lines, or the one fault that kept it from being read.

    Valid       UTF-8 without or with BOM, TOML 1.0
    Source      house
    Proved by   tests/sheets/test_load_sheets.py
    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        found = f"a byte that is not UTF-8 (0x{content[error.start]:02x})"
        return None, (Fault(file, line, "", found, "UTF-8 text", "Save the file as UTF-8."),)
    text = text.replace("\r\n", "\n")
    try:
        tables = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        where = _LINE.search(str(error))
        line = int(where.group(1)) if where else text.count("\n") + 1
        return None, (Fault(file, line, "", f"text that is no TOML ({error})", "TOML 1.0", "Mend that line."),)
    return TomlFile(file, tables, _lines(text)), ()


def _lines(text: str) -> dict[KeyPath, int]:
    """Line of each table header and key; keys inside multi-line texts are passed over."""
    lines: dict[KeyPath, int] = {}
    table: KeyPath = ()
    counts: dict[KeyPath, int] = {}
    inside = ""
    for number, line in enumerate(text.split("\n"), start=1):
        if inside:
            inside = "" if line.count(inside) % 2 else inside
            continue
        header = _HEADER.match(line)
        if header:
            table = _table_path(_parts(header.group(2)), header.group(1) == "[[", counts)
            lines.setdefault(table, number)
            lines.setdefault(table[:1], number)
            continue
        key = _KEY.match(line)
        if key:
            lines.setdefault(table + _parts(key.group(1)), number)
        inside = next((quote for quote in ('"""', "'''") if line.count(quote) % 2), "")
    return lines


def _parts(dotted_key: str) -> KeyPath:
    """The bare or quoted parts of a dotted key."""
    return tuple(part.strip().strip("\"'") for part in dotted_key.split("."))


def _table_path(parts: KeyPath, is_array: bool, counts: dict[KeyPath, int]) -> KeyPath:
    """Where a header's keys go: arrays of tables get the number of their newest table."""
    path: KeyPath = ()
    for index, part in enumerate(parts):
        path = (*path, part)
        if is_array and index == len(parts) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path
