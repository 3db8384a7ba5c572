"""Single cells: how they are taken, and how a fault shows them."""

from __future__ import annotations

import pytest

from truebed.given.cells import Wrong, read_cell
from truebed.given.column import Column
from truebed.given.notes import did_you_mean, nearest, shown

LEVEL = Column("value_mm", "number", "a level", "1", unit="mm", between=(-6000.0, 6000.0))
NAME = Column("cover", "name", "a name", "F-1")


@pytest.mark.parametrize(
    ("cell", "value"),
    [("-14", -14.0), ("+3.5", 3.5), (".5", 0.5), ("5.", 5.0), ("1e2", 100.0), ("−7", -7.0), ("-0", 0.0)],
)
def test_numbers_as_people_write_them(cell: str, value: float) -> None:
    assert read_cell(cell, LEVEL, "mm", decimal_comma=False) == value


@pytest.mark.parametrize("cell", ["1_000", "0x10", "١٢", "1 000", "--1", "1e", "e1", ".", "½", "1" * 41])
def test_what_is_no_number_is_refused_though_a_programming_language_might_take_it(cell: str) -> None:
    assert isinstance(read_cell(cell, LEVEL, "mm", decimal_comma=False), Wrong)


def test_a_decimal_comma_is_taken_only_where_cells_are_parted_by_semicolons() -> None:
    assert read_cell("1,5", LEVEL, "mm", decimal_comma=True) == 1.5
    assert isinstance(read_cell("1,5", LEVEL, "mm", decimal_comma=False), Wrong)


@pytest.mark.parametrize("cell", ["F-1", "Fünf 5", "a.b_c-d", "1"])
def test_names_that_may_be_part_of_a_file_name_are_taken(cell: str) -> None:
    assert read_cell(cell, NAME, "", decimal_comma=False) == cell


@pytest.mark.parametrize("cell", ["../x", ".x", "a/b", "a\\b", "a:b", "a*", "x.", "-x", "a|b", "x" * 61])
def test_names_that_could_harm_a_file_name_are_refused(cell: str) -> None:
    assert isinstance(read_cell(cell, NAME, "", decimal_comma=False), Wrong)


def test_two_ways_to_type_one_accent_are_one_name() -> None:
    assert read_cell("Cafe\u0301", NAME, "", decimal_comma=False) == "Caf\u00e9"


def test_a_fault_shows_a_cell_short_and_with_nothing_hidden() -> None:
    assert shown("  ") == "nothing"
    assert shown("a\tb\x00") == "'a\\u0009b\\u0000'"
    assert len(shown("x" * 500)) == 62


def test_the_nearest_name_is_hinted_and_never_put_in() -> None:
    assert nearest("Talow row", ["Weir Cross", "Tallow Row"]) == "Tallow Row"
    assert nearest("zzz", ["Weir Cross"]) == ""
    assert did_you_mean("weir", ["Weir Cross", "Weir"], "Else.") == "Did you mean 'Weir'? Else."
    assert did_you_mean("zzz", ["Weir Cross"], "Else.") == "Else."
