"""Bytes of a CSV or a spreadsheet -> a grid of text cells with the row numbers a spreadsheet shows."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass

from truebed.given.notes import Notes, shown
from truebed.given.spreadsheet import sheet_cells
from truebed.given.text import decode

#: more rows and columns than any works has; a file beyond them is not a survey
MOST_ROWS_COUNT = 100_000
MOST_COLUMNS_COUNT = 200


@dataclass(frozen=True, slots=True)
class Line:
    """One row that is not blank: its number, header line counted, and its cells, stripped."""

    row: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """Header and rows. decimal_comma: semicolons part the cells, so a comma may part the decimals."""

    header: Line
    lines: tuple[Line, ...]
    decimal_comma: bool


def read_grid(file: str, stem: str, data: bytes, notes: Notes) -> Grid | None:
    """The cells of a CSV, or of a spreadsheet's sheet; None and a fault where there are none.

    stem        'covers' of covers.csv: the sheet's name in a spreadsheet of several
    Valid       any bytes
    Source      house (CSV as spreadsheets write it)
    Proved by   tests/given/test_spellings.py, tests/properties/test_reader.py
    """
    if file.casefold().endswith(".xlsx"):
        cells = sheet_cells(file, stem, data, notes)
        return None if cells is None else _grid(file, cells, False, notes)
    text = decode(file, data, notes)
    if text is None:
        return None
    delimiter = _delimiter(file, text, notes)
    if delimiter is None:
        return None
    rows = _csv_rows(file, text, delimiter, notes)
    return None if rows is None else _grid(file, rows, delimiter == ";", notes)


def _delimiter(file: str, text: str, notes: Notes) -> str | None:
    """Comma or semicolon, whichever the header uses more; a line 'sep=;' before it is obeyed."""
    header = next((line for line in text.splitlines() if line.strip(" ,;")), "")
    if header.casefold().strip(' "') in {"sep=;", "sep=,"}:
        return header.strip(' "')[-1]
    if "\t" in header and "," not in header and ";" not in header:
        notes.fault(
            file,
            1,
            "",
            "cells parted by tabs",
            "cells parted by commas or semicolons",
            "Save it as CSV and put it back.",
        )
        return None
    return ";" if header.count(";") > header.count(",") else ","


def _csv_rows(file: str, text: str, delimiter: str, notes: Notes) -> list[list[str]] | None:
    rows: list[list[str]] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        for cells in reader:
            rows.append(cells)
            if len(rows) > MOST_ROWS_COUNT:
                break
    except csv.Error as problem:
        notes.fault(
            file,
            len(rows) + 1,
            "",
            f"a row that cannot be parted into cells ({problem})",
            "every quotation mark closed",
            "Look for a lone quotation mark in this row or above, or save the file as CSV again.",
        )
        return None
    if rows and "".join(rows[0]).casefold().rstrip(",;") == "sep=":
        rows[0] = []
    return rows


def _grid(file: str, rows: list[list[str]], decimal_comma: bool, notes: Notes) -> Grid | None:
    if len(rows) > MOST_ROWS_COUNT:
        notes.fault(
            file,
            MOST_ROWS_COUNT,
            "",
            f"more than {MOST_ROWS_COUNT} rows",
            f"at most {MOST_ROWS_COUNT}",
            "Part the works into several.",
        )
        return None
    lines = [Line(row, tuple(cell.strip() for cell in cells)) for row, cells in enumerate(rows, start=1)]
    lines = [line for line in lines if any(line.cells)]
    if not lines:
        notes.fault(file, 0, "", "no cells", "a header and rows", "Fill it, or take the file out of the folder.")
        return None
    header, rest = lines[0], lines[1:]
    width = len(header.cells)
    if width > MOST_COLUMNS_COUNT:
        found, expected = f"{width} cells in the header", f"at most {MOST_COLUMNS_COUNT}"
        notes.fault(file, header.row, "", found, expected, "Look for a row of commas, and save the file as CSV again.")
        return None
    kept = []
    for line in rest:
        beyond = next((cell for cell in line.cells[width:] if cell), "")
        if beyond:
            notes.fault(
                file,
                line.row,
                "",
                f"more cells than the header has, the first of them {shown(beyond)}",
                f"at most {width} cells",
                "Look for a delimiter inside a cell: put that cell in quotation marks"
                + ("." if decimal_comma else ", or write decimals with a point."),
            )
        kept.append(Line(line.row, (line.cells + ("",) * width)[:width]))
    return Grid(header, tuple(kept), decimal_comma)
