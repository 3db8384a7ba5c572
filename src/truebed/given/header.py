"""The header of a file -> which cell is which column, and in which unit."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.given.column import Column, FileColumns
from truebed.given.conversion import convertible, units_for
from truebed.given.grid import Grid
from truebed.given.notes import Notes, did_you_mean, nearest, shown

_TYPING_SLIP_SHARE = 0.9


@dataclass(frozen=True, slots=True)
class Head:
    """One header cell: its place in the row, its column, the unit its cells are in, as it was written."""

    index: int
    column: Column
    unit: str
    written: str


@dataclass(frozen=True, slots=True)
class _Refused:
    expected: str
    mend: str
    meant: str = ""


def read_header(file: str, grid: Grid, columns: FileColumns, notes: Notes) -> tuple[Head, ...]:
    """The columns of a file in the order of its cells; unknown, doubled and missing ones are faults.

    Valid       any grid
    Source      house (order free, case free, blanks as underscores)
    Proved by   tests/given/test_header.py
    """
    heads: list[Head] = []
    meant: set[str] = set()
    row = grid.header.row
    for index, cell in enumerate(grid.header.cells):
        name = "_".join(cell.casefold().replace("-", "_").split())
        if not name:
            _empty_head(file, grid, index, notes)
            continue
        match = _match(name, columns)
        if isinstance(match, _Refused):
            meant.add(match.meant)
            notes.fault(file, row, shown(cell).strip("'"), shown(cell), match.expected, match.mend)
            continue
        head = Head(index, match[0], match[1], name)
        if any(other.column is head.column for other in heads):
            mend = "Take out the one that is not wanted."
            notes.fault(file, row, head.column.name, "the column twice", "each column once", mend)
            continue
        heads.append(head)
    _missing(file, row, columns, {head.column.name for head in heads} | meant, notes)
    return tuple(heads)


def _match(name: str, columns: FileColumns) -> tuple[Column, str] | _Refused:
    """The column and unit a header cell names, or why it is refused."""
    for column in columns.columns:
        if name == column.name:
            return column, column.unit
    known = [column.name for column in columns.columns]
    slip = nearest(name, known, _TYPING_SLIP_SHARE)
    for column in columns.columns:
        if not column.unit:
            continue
        if name == column.stem:
            return _Refused(f"'{column.name}'", "Say the unit in the header.", column.name)
        unit = name.removeprefix(f"{column.stem}_")
        if unit == name:
            continue
        if convertible(unit, column.unit):
            return column, unit
        if not slip:
            units = ", ".join(units_for(column.unit))
            return _Refused(f"one of these units: {units}", f"Head the column '{column.name}'.", column.name)
    expected = f"a column of {columns.name}"
    mend = did_you_mean(name, known, "Rename the column, or take it out.")
    return _Refused(expected, mend, slip or nearest(name, known))


def _empty_head(file: str, grid: Grid, index: int, notes: Notes) -> None:
    """A column without a header is let be while it is empty."""
    for line in grid.lines:
        if line.cells[index]:
            notes.fault(
                file,
                line.row,
                f"column {index + 1}",
                f"{shown(line.cells[index])} under no header",
                "a header over every filled column",
                "Name the column in the first row, or empty it.",
            )
            return


def _missing(file: str, row: int, columns: FileColumns, present: set[str], notes: Notes) -> None:
    missing = [column for column in columns.columns if column.required and column.name not in present]
    for column in missing:
        notes.fault(file, row, column.name, "no such column", column.expected, f"Add it: {column.meaning}.")
