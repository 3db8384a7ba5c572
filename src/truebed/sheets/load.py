"""Loads the data sheets of a works folder."""

from __future__ import annotations

from collections.abc import Mapping

from truebed.errors import Fault
from truebed.rules.shape import shaped
from truebed.rules.toml_file import read_toml
from truebed.sheets.extra_checks import told_fahrenheit
from truebed.sheets.sheet import Sheet
from truebed.sheets.sheet_checks import sheet_faults
from truebed.sheets.sheet_shape import SheetFile, sheet_of


def load_sheets(files: Mapping[str, bytes]) -> tuple[dict[str, Sheet], tuple[Fault, ...]]:
    """The sheets that are sound, by key, and every fault of those that are not.

    files       'sheets/<key>.toml' -> content; other files are passed over
    Source      house
    Proved by   tests/sheets/test_load_sheets.py
    """
    sheets: dict[str, Sheet] = {}
    faults: list[Fault] = []
    for file in sorted(f for f in files if f.startswith("sheets/") and f.endswith(".toml")):
        sheet, found = _load(file, files[file])
        faults += found
        if sheet is not None:
            sheets[sheet.key] = sheet
    return sheets, tuple(sorted(faults))


def _load(file: str, content: bytes) -> tuple[Sheet | None, tuple[Fault, ...]]:
    """One sheet, or its faults."""
    toml, faults = read_toml(file, content)
    if toml is None:
        return None, faults
    table, faults = shaped(SheetFile, toml)
    if table is None:
        return None, told_fahrenheit(faults)
    faults = sheet_faults(toml, table)
    return (None, faults) if faults else (sheet_of(table, file), ())
