"""Bytes of an .xlsx -> text cells of one sheet, row numbers kept."""

from __future__ import annotations

import datetime as dt
import io
import zipfile

from truebed.given.notes import Notes

_MOST_UNPACKED_BYTES_COUNT = 256 * 1024 * 1024
_MOST_ROWS_COUNT = 200_000
_MOST_COLUMNS_COUNT = 1_000

Cell = int | float | str | bool | dt.time | dt.date | dt.datetime | dt.timedelta
_EXPECTED = "an .xlsx workbook with one sheet of cells"


def sheet_cells(file: str, stem: str, data: bytes, notes: Notes) -> list[list[str]] | None:
    """The cells of the workbook's only sheet, or of the sheet named like the file; None and a fault otherwise.

    Valid       any bytes
    Source      house (a spreadsheet in place of a CSV)
    Proved by   tests/given/test_spellings.py, tests/properties/test_reader.py
    """
    mend = "Open it in a spreadsheet program and save it again as .xlsx, or as .csv."
    if not _unpacks(data):
        notes.fault(file, 0, "", "no workbook, or one that unpacks to too much", _EXPECTED, mend)
        return None
    try:
        sheets = _sheets(data)
    except BaseException as problem:
        # the reader is native code: what it raises on a damaged workbook may stand outside Exception
        if isinstance(problem, KeyboardInterrupt | SystemExit | GeneratorExit | MemoryError):
            raise
        notes.fault(file, 0, "", f"a workbook that cannot be read ({type(problem).__name__})", _EXPECTED, mend)
        return None
    filled = {name: rows for name, rows in sheets.items() if rows}
    named = next((rows for name, rows in filled.items() if name.strip().casefold() == stem), None)
    if named is not None:
        return named
    if len(filled) == 1:
        return next(iter(filled.values()))
    found = f"{len(filled)} sheets with cells, none named '{stem}'" if filled else "a workbook without cells"
    notes.fault(file, 0, "", found, _EXPECTED, f"Name the right sheet '{stem}', or keep only that sheet.")
    return None


def _unpacks(data: bytes) -> bool:
    """True for a zip whose parts are together small enough to unpack."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            return sum(part.file_size for part in packed.infolist()) <= _MOST_UNPACKED_BYTES_COUNT
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError, EOFError, UnicodeError):
        return False


def _sheets(data: bytes) -> dict[str, list[list[str]]]:
    """Visible sheets with cells, by name."""
    from python_calamine import CalamineWorkbook, SheetVisibleEnum

    book = CalamineWorkbook.from_filelike(io.BytesIO(data))
    sheets: dict[str, list[list[str]]] = {}
    for told in book.sheets_metadata:
        if told.visible != SheetVisibleEnum.Visible:
            continue
        sheet = book.get_sheet_by_name(told.name)
        end = sheet.end
        if end is None:
            continue
        if end[0] >= _MOST_ROWS_COUNT or end[1] >= _MOST_COLUMNS_COUNT:
            raise ValueError("a cell far out")
        sheets[told.name] = [[_text(cell) for cell in row] for row in sheet.to_python(skip_empty_area=False)]
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
