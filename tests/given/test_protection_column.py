"""closures.csv says what is laid over fresh layers; nothing said is nothing laid."""

from __future__ import annotations

import pytest

from given.base_folder import base_folder
from truebed.errors import Fault
from truebed.given.folder import parse_works
from truebed.given.night import Closure


def _read(value: str) -> tuple[tuple[Closure, ...], tuple[Fault, ...]]:
    files = base_folder()
    head, row = files["closures.csv"].decode().splitlines()[:2]
    files["closures.csv"] = f"{head},protection\n{row},{value}\n".encode()
    works, faults = parse_works(files)
    return () if works is None else works.closures, faults


@pytest.mark.parametrize(
    ("value", "kind"), [("blanket", "blanket"), ("sheet", "sheet"), ("none", "none"), ("", "none")]
)
def test_a_protection_is_read_and_an_empty_cell_is_none(value: str, kind: str) -> None:
    closures, faults = _read(value)
    assert faults == ()
    assert closures[0].protection == kind


def test_a_folder_without_the_column_lays_nothing() -> None:
    works, _ = parse_works(base_folder())
    assert works is not None
    assert works.closures[0].protection == "none"


def test_a_protection_nobody_knows_is_named_with_its_row_and_the_known_ones() -> None:
    _, (fault,) = _read("straw")
    assert (fault.file, fault.row, fault.column) == ("closures.csv", 2, "protection")
    assert "'straw'" in fault.found
    assert fault.expected == "one of: none, sheet, blanket"
