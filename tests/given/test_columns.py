"""The columns match the frozen types they become, and every example would be taken."""

from __future__ import annotations

from dataclasses import fields

import pytest

from truebed.given.cells import Wrong, read_cell
from truebed.given.column import Column, plain
from truebed.given.columns import FILES, HEADING, file_columns
from truebed.given.cover import Cover
from truebed.given.night import Closure, Person, Tool, WeatherHour
from truebed.given.reading import Reading
from truebed.given.survey import Obstacle, Sounding, YardUnit
from truebed.given.works import Condition, Heading, StockLine

TYPES = {
    "readings.csv": Reading,
    "closures.csv": Closure,
    "people.csv": Person,
    "tools.csv": Tool,
    "weather.csv": WeatherHour,
    "stock.csv": StockLine,
    "condition.csv": Condition,
    "obstacles.csv": Obstacle,
    "soundings.csv": Sounding,
    "units.csv": YardUnit,
}
ALL_COLUMNS = [(f.name, c) for f in FILES for c in f.columns] + [("works.toml", c) for c in HEADING]


@pytest.mark.parametrize("file", sorted(TYPES))
def test_the_columns_of_a_file_are_the_fields_of_its_type(file: str) -> None:
    names = {field.name for field in fields(TYPES[file])} - {"row"}
    assert {column.name for column in file_columns(file).columns} == names


def test_the_keys_of_works_toml_are_the_fields_of_the_heading() -> None:
    assert {column.name for column in HEADING} == {field.name for field in fields(Heading)}


def test_covers_csv_keeps_the_outlines_flat_and_the_rest_as_the_type_has_it() -> None:
    names = {field.name for field in fields(Cover)} - {"row"}
    for what in ("opening", "body", "flange", "chamber"):
        names = (names - {what}) | {f"{what}_along_mm", f"{what}_across_mm"}
    names = (names - {"severity_weight"}) | {"severity", "shape", "opening_shape", "flange_shape", "chamber_shape"}
    names = (names - {"parts_count"}) | {"parts"}
    assert {column.name for column in file_columns("covers.csv").columns} == names


@pytest.mark.parametrize(("file", "column"), ALL_COLUMNS, ids=lambda value: getattr(value, "name", value))
def test_the_example_of_a_column_is_taken(file: str, column: Column) -> None:
    value = read_cell(column.example, column, column.unit, decimal_comma=False)
    assert not isinstance(value, Wrong)
    assert value is not None


@pytest.mark.parametrize(("file", "column"), ALL_COLUMNS, ids=lambda value: getattr(value, "name", value))
def test_a_number_column_has_a_range_and_its_name_ends_in_its_unit(file: str, column: Column) -> None:
    assert (column.between is not None) == (column.holds in {"number", "whole"})
    assert column.name.endswith(f"_{column.unit}") or not column.unit


def test_a_file_the_reader_does_not_know_has_no_columns() -> None:
    with pytest.raises(KeyError):
        file_columns("cover.csv")


@pytest.mark.parametrize(
    ("value", "text"), [(850.0, "850"), (850.9, "850.9"), (-0.0, "0"), (2e7, "20000000"), (1e-12, "0"), (0.5, "0.5")]
)
def test_a_number_is_printed_without_exponent_or_idle_zeros(value: float, text: str) -> None:
    assert plain(value) == text
