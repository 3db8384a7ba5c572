"""Bytes of an .xlsx -> text cells of one sheet, row numbers kept."""

from __future__ import annotations

import datetime as dt
import io
import re
import zipfile
import zlib

from truebed.given.notes import Notes

_MOST_UNPACKED_BYTES_COUNT = 128 * 1024 * 1024
_MOST_PARTS_COUNT = 1_000
_MOST_CELLS_COUNT = 2_000_000
_PLACE = re.compile(rb"""(?<![\w:.\-])r\s*=\s*(?:"([^"]*)"|'([^']*)')""")
_CELL = re.compile(rb"([A-Za-z]{0,3})([0-9]{1,7})")

Cell = int | float | str | bool | dt.time | dt.date | dt.datetime | dt.timedelta
_EXPECTED = "an .xlsx workbook with one sheet of cells"
_AGAIN = "Open it in a spreadsheet program and save it again as .xlsx, or as .csv."


def sheet_cells(file: str, stem: str, data: bytes, notes: Notes) -> list[list[str]] | None:
    """The cells of the workbook's only sheet, or of the sheet named like the file; None and a fault otherwise.

    Valid       any bytes
    Source      house (a spreadsheet in place of a CSV)
    Proved by   tests/given/test_spellings.py, tests/given/test_spreadsheet.py, tests/properties/test_reader.py
    """
    unfit = _unfit(data)
    if unfit:
        notes.fault(file, 0, "", unfit, _EXPECTED, _AGAIN)
        return None
    try:
        sheets = _sheets(data)
    except BaseException as problem:
        # the reader is native code: what it raises on a damaged workbook may stand outside Exception
        if isinstance(problem, KeyboardInterrupt | SystemExit | GeneratorExit | MemoryError):
            raise
        notes.fault(file, 0, "", f"a workbook that cannot be read ({type(problem).__name__})", _EXPECTED, _AGAIN)
        return None
    filled = {name: rows for name, rows in sheets.items() if any(any(row) for row in rows)}
    named = next((rows for name, rows in filled.items() if name.strip().casefold() == stem), None)
    if named is not None:
        return named
    if len(filled) == 1:
        return next(iter(filled.values()))
    found = f"{len(filled)} sheets with cells, none named '{stem}'" if filled else "a workbook without cells"
    notes.fault(file, 0, "", found, _EXPECTED, f"Name the right sheet '{stem}', or keep only that sheet.")
    return None


def _unfit(data: bytes) -> str:
    """Why the native reader must not see these bytes, '' if it may.

    It lays a sheet out as a full rectangle up to its farthest cell: one stray cell in the last corner would take more
    memory than any machine has and end the process, past any exception.
    """
    if not data.startswith(b"PK"):
        return "bytes that are no workbook"
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            parts = packed.infolist()
            names = {part.filename.casefold() for part in parts}
            if len(parts) > _MOST_PARTS_COUNT or sum(p.file_size for p in parts) > _MOST_UNPACKED_BYTES_COUNT:
                return "a workbook that unpacks to too much"
            if (
                "xl/workbook.xml" not in names
                or "content.xml" in names
                or any(n.endswith("workbook.bin") for n in names)
            ):
                return "a packed file that is no .xlsx workbook"
            for part in parts:
                far = _far_out(packed.read(part)) if part.filename.casefold().endswith(".xml") else ""
                if far:
                    return far
    except (zipfile.BadZipFile, zlib.error, ValueError, OSError, NotImplementedError, RuntimeError, EOFError):
        return "a damaged workbook"
    return ""


def _far_out(xml: bytes) -> str:
    """Says so if a part places a cell too far out, or hides where it places it."""
    if b"\x00" in xml or b"<!ENTITY" in xml:
        return "a workbook in an encoding that is not read"
    if b"sheetData" not in xml:
        return ""
    rows, columns = 0, 0
    for match in _PLACE.finditer(xml):
        place = match[1] if match[1] is not None else match[2]
        cell = _CELL.fullmatch(place)
        if cell is None:
            return "a workbook with a cell that is nowhere"
        columns = max(columns, _column_number(cell[1]))
        rows = max(rows, int(cell[2]))
        if rows * max(columns, 1) > _MOST_CELLS_COUNT:
            return f"a cell far out, so that the sheet spans {rows} rows and {columns} columns"
    return ""


def _column_number(letters: bytes) -> int:
    """1 for A, 27 for AA."""
    number = 0
    for letter in letters.upper():
        number = number * 26 + letter - 64
    return number


def _sheets(data: bytes) -> dict[str, list[list[str]]]:
    """Visible sheets with cells, by name."""
    from python_calamine import CalamineWorkbook, SheetVisibleEnum

    book = CalamineWorkbook.from_filelike(io.BytesIO(data))
    sheets: dict[str, list[list[str]]] = {}
    for told in book.sheets_metadata:
        if told.visible == SheetVisibleEnum.Visible:
            rows = book.get_sheet_by_name(told.name).to_python(skip_empty_area=False)
            sheets[told.name] = [[_text(cell) for cell in row] for row in rows]
    return sheets


def _text(cell: Cell) -> str:
    """A cell as it would stand in a CSV."""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)
    if isinstance(cell, dt.datetime):
        return cell.date().isoformat() if cell.time() == dt.time() else cell.isoformat()
    if isinstance(cell, dt.date | dt.time):
        return cell.isoformat()
    return str(cell)
