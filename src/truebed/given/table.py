"""A grid of text cells -> rows of typed values, with a fault for every cell that is wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from truebed.given.cells import Value, Wrong, read_cell
from truebed.given.column import Column, FileColumns, plain
from truebed.given.grid import Grid, Line, read_grid
from truebed.given.header import Head, read_header
from truebed.given.notes import Notes, shown

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Row:
    """One row as far as it could be read. sound: every cell of it could."""

    file: str
    row: int
    values: Mapping[str, Value]
    sound: bool

    def get(self, column: str, kind: type[T]) -> T:
        """The value of a column that must be filled. Raises TypeError where it is not of that kind."""
        value = self.values.get(column)
        if not isinstance(value, kind):
            raise TypeError(f"{self.file}, row {self.row}: {column} is not read as {kind.__name__}")
        return value

    def maybe(self, column: str, kind: type[T]) -> T | None:
        """The value of a column, None where it is empty, missing or was refused."""
        value = self.values.get(column)
        return value if isinstance(value, kind) else None


@dataclass(frozen=True, slots=True)
class Table:
    """One file as far as it could be read. whole: header and all rows are sound."""

    file: str
    rows: tuple[Row, ...]
    whole: bool


def read_table(file: str, data: bytes, columns: FileColumns, notes: Notes) -> Table | None:
    """The rows of one file; None where it could not be read at all (a fault says why).

    Valid       any bytes
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_faults.py, tests/properties/test_reader.py
    """
    before_count = len(notes.faults)
    grid = read_grid(file, columns.stem, data, notes)
    if grid is None:
        return None
    heads = read_header(file, grid, columns, notes)
    if not heads:
        return None
    _mixed_decimals(file, grid, heads, notes)
    present = {head.column.name for head in heads}
    all_there = all(column.name in present for column in columns.columns if column.required)
    rows = tuple(_row(file, line, heads, grid.decimal_comma, notes) for line in grid.lines)
    if not all_there:
        rows = tuple(replace(row, sound=False) for row in rows)
    if columns.needed and not rows:
        notes.fault(file, 0, "", "a header and no rows", "at least one row", f"Fill it. {columns.what}")
    return Table(file, rows, len(notes.faults) == before_count)


def _row(file: str, line: Line, heads: tuple[Head, ...], decimal_comma: bool, notes: Notes) -> Row:
    values: dict[str, Value] = {}
    sound = True
    for head in heads:
        cell, column = line.cells[head.index], head.column
        if not cell:
            if column.required and not column.unless:
                notes.fault(file, line.row, column.name, "nothing", column.expected, f"Fill it: {column.meaning}.")
                sound = False
            continue
        value = read_cell(cell, column, head.unit, decimal_comma)
        if isinstance(value, Wrong):
            notes.fault(file, line.row, column.name, value.found, value.expected, value.mend)
            sound = False
            continue
        values[column.name] = value
        if head.unit != column.unit and isinstance(value, float | int):
            notes.echo(file, line.row, head.written, f"{cell} {head.unit}", f"{plain(value)} {column.unit}")
    return Row(file, line.row, values, sound)


def _mixed_decimals(file: str, grid: Grid, heads: tuple[Head, ...], notes: Notes) -> None:
    """Points and commas as decimals in one file: one of them may part thousands, so neither is guessed."""
    if not grid.decimal_comma:
        return
    numbers = [head for head in heads if head.column.holds in {"number", "whole"}]
    pointed = _first_with(grid, numbers, ".")
    commaed = _first_with(grid, numbers, ",")
    if pointed is not None and commaed is not None:
        row, column, cell = commaed
        notes.fault(
            file,
            row,
            column.name,
            f"{shown(cell)} here and {shown(pointed[2])} in row {pointed[0]}",
            "one way of writing decimals in a file",
            "Write all of them with a comma, or all with a point, and no marks between thousands.",
        )


def _first_with(grid: Grid, heads: list[Head], mark: str) -> tuple[int, Column, str] | None:
    for line in grid.lines:
        for head in heads:
            if mark in line.cells[head.index]:
                return line.row, head.column, line.cells[head.index]
    return None
