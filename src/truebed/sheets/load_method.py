"""Loads the methods of a works folder, against its sheets."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import PurePosixPath

from truebed.errors import Fault
from truebed.rules.shape import shaped
from truebed.rules.toml_file import read_toml
from truebed.sheets.chain_checks import chain_faults
from truebed.sheets.method import Method
from truebed.sheets.method_checks import role_faults
from truebed.sheets.method_shape import MethodFile, method_of
from truebed.sheets.opening_checks import opening_faults
from truebed.sheets.sheet import Sheet


def load_methods(
    files: Mapping[str, bytes], sheets: Mapping[str, Sheet]
) -> tuple[dict[str, Method], tuple[Fault, ...]]:
    """The methods that are sound, by key, and every fault of those that are not.

    files       'methods/<key>.toml' -> content; 'sheets/<key>.toml' may be among them, so that a sheet with faults of
                its own is not called missing; a method that needs such a sheet is left out
    sheets      the sound sheets
    Source      house
    Proved by   tests/sheets/test_load_method.py
    """
    given = {PurePosixPath(file).stem for file in files if file.startswith("sheets/") and file.endswith(".toml")}
    faulty = frozenset(given - set(sheets))
    methods: dict[str, Method] = {}
    faults: list[Fault] = []
    for file in sorted(f for f in files if f.startswith("methods/") and f.endswith(".toml")):
        method, found = _load(file, files[file], sheets, faulty)
        faults += found
        if method is not None:
            methods[method.key] = method
    return methods, tuple(sorted(faults))


def _load(
    file: str, content: bytes, sheets: Mapping[str, Sheet], faulty: frozenset[str]
) -> tuple[Method | None, tuple[Fault, ...]]:
    """One method, or its faults; neither where only its sheets are at fault."""
    toml, faults = read_toml(file, content)
    if toml is None:
        return None, faults
    table, faults = shaped(MethodFile, toml)
    if table is None:
        return None, faults
    faults = role_faults(toml, table, sheets, faulty) + chain_faults(toml, table, sheets)
    faults += opening_faults(toml, table)
    if faults or any(role.sheet in faulty for role in table.role):
        return None, faults
    return method_of(table, file), ()
