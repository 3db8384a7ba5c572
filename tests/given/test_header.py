"""Headers: which cell is which column and in which unit."""

from __future__ import annotations

import pytest

from truebed.given.columns import FILES, file_columns
from truebed.given.conversion import convert, convertible, units_for
from truebed.given.grid import Grid, Line
from truebed.given.header import read_header
from truebed.given.notes import Notes


def _read(*cells: str) -> tuple[dict[str, str], Notes]:
    notes = Notes()
    grid = Grid(Line(1, cells), (Line(2, tuple("1" for _ in cells)),), decimal_comma=False)
    heads = read_header("weather.csv", grid, file_columns("weather.csv"), notes)
    return {head.column.name: head.unit for head in heads}, notes


def test_a_header_cell_names_its_column_and_its_unit() -> None:
    heads, notes = _read("At", "air temp F", "wind-mph", "rain_in", "cloud_pct")
    assert notes.faults == []
    assert heads == {"at": "", "air_temp_c": "f", "wind_m_per_s": "mph", "rain_mm": "in", "cloud_share": "pct"}


def test_a_filled_column_without_a_header_is_a_fault() -> None:
    _, notes = _read("at", "air_temp_c", "")
    assert [(f.row, f.column) for f in notes.faults] == [(2, "column 3")]


def test_a_slip_of_the_pen_is_told_once_and_not_as_a_missing_column_too() -> None:
    _, notes = _read("at", "air_tmp_c")
    assert [f.mend.split("?")[0] for f in notes.faults] == ["Did you mean 'air_temp_c'"]


def test_a_unit_of_another_quantity_is_refused_with_the_units_that_are_taken() -> None:
    _, notes = _read("at", "air_temp_mm")
    assert [f.expected for f in notes.faults] == ["one of these units: c, f"]


def test_every_unit_of_every_column_is_one_that_can_be_converted_and_none_is_taken_twice() -> None:
    for columns in FILES:
        taken: dict[str, str] = {}
        for column in columns.columns:
            for unit in units_for(column.unit) if column.unit else ():
                assert convertible(unit, column.unit)
                name = f"{column.stem}_{unit}"
                assert taken.setdefault(name, column.name) == column.name


def test_what_is_not_convertible_is_not_converted() -> None:
    assert not convertible("kg", "mm")
    assert not convertible("furlong", "mm")
    with pytest.raises(KeyError):
        convert(1.0, "kg", "mm")
