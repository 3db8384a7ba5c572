"""Workbooks that would harm the reader are refused before it sees them, with what to do about it."""

from __future__ import annotations

import io
import zipfile
from datetime import date, datetime

import pytest
import xlsxwriter

from truebed.given.notes import Notes
from truebed.given.spreadsheet import sheet_cells


def _book(cells: dict[tuple[int, int], object]) -> bytes:
    data = io.BytesIO()
    book = xlsxwriter.Workbook(data, {"in_memory": True, "default_date_format": "yyyy-mm-dd hh:mm"})
    sheet = book.add_worksheet("tools")
    for (row, column), value in cells.items():
        sheet.write(row, column, value)
    book.close()
    return data.getvalue()


def _read(data: bytes) -> tuple[list[list[str]] | None, list[str]]:
    notes = Notes()
    cells = sheet_cells("tools.xlsx", "tools", data, notes)
    return cells, [fault.found for fault in notes.faults]


def _edited(data: bytes, part: str, old: bytes, new: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(out, "w") as target:
        for name in source.namelist():
            content = source.read(name)
            if name == part:
                assert old in content
                content = content.replace(old, new)
            target.writestr(name, content)
    return out.getvalue()


SMALL = _book({(0, 0): "tool", (0, 1): "kind"})
SHEET = "xl/worksheets/sheet1.xml"


def test_cells_come_as_they_would_stand_in_a_csv() -> None:
    cells, faults = _read(
        _book({
            (0, 0): "text", (0, 1): 3, (0, 2): 0.1, (0, 3): True, (0, 4): date(2027, 9, 30),
            (1, 0): -14.0, (1, 1): datetime(2027, 3, 11, 20, 0), (1, 4): "2027-03-11T20:00+00:00",  # noqa: DTZ001
        })
    )  # fmt: skip
    assert faults == []
    assert cells == [
        ["text", "3", "0.1", "true", "2027-09-30"],
        ["-14", "2027-03-11T20:00:00", "", "", "2027-03-11T20:00+00:00"],
    ]


@pytest.mark.parametrize("place", [(1_048_575, 16_383), (1_048_575, 9), (9, 16_383), (99_999, 199)])
def test_a_stray_cell_far_out_is_a_fault_or_is_read_within_bounds(place: tuple[int, int]) -> None:
    cells, faults = _read(_book({(0, 0): "tool", place: "x"}))
    if (place[0] + 1) * (place[1] + 1) > 2_000_000:
        assert cells is None
        assert faults == [f"a cell far out, so that the sheet spans {place[0] + 1} rows and {place[1] + 1} columns"]
    else:
        assert cells is not None
        assert len(cells) == place[0] + 1
        assert faults == []


@pytest.mark.parametrize("place", [b"'XFD1048576'", b'"xfd1048576"', b'"&#88;FD1048576"', b'"ZZZZZZ1"', b'"A12345678"'])
def test_no_way_of_writing_a_far_place_gets_past(place: bytes) -> None:
    cells, faults = _read(_edited(SMALL, SHEET, b'r="B1"', b"r=" + place))
    assert "a cell" in faults[0]
    assert cells is None


def test_a_workbook_that_says_it_is_large_but_is_not_is_read() -> None:
    cells, faults = _read(_edited(SMALL, SHEET, b'<dimension ref="A1:B1"/>', b'<dimension ref="A1:XFD1048576"/>'))
    assert faults == []
    assert cells == [["tool", "kind"]]


def test_a_workbook_that_unpacks_to_too_much_is_refused_by_its_own_list() -> None:
    out = io.BytesIO(SMALL)
    with zipfile.ZipFile(out, "a", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/more.xml", b" " * (129 * 1024 * 1024))
    assert len(out.getvalue()) < 200_000
    assert _read(out.getvalue()) == (None, ["a workbook that unpacks to too much"])


def test_other_packed_files_are_no_workbook() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        packed.writestr("content.xml", "<x/>")
    assert _read(out.getvalue()) == (None, ["a packed file that is no .xlsx workbook"])
    assert _read(_edited(SMALL, SHEET, b"<?xml", b"\x00<?xml"))[1] == ["a workbook in an encoding that is not read"]
    assert _read(b"prefix" + SMALL) == (None, ["bytes that are no workbook"])


def test_a_byte_changed_inside_a_packed_part_is_a_fault() -> None:
    with zipfile.ZipFile(io.BytesIO(SMALL)) as packed:
        at = packed.getinfo(SHEET).header_offset + 60
    damaged = SMALL[:at] + bytes([SMALL[at] ^ 0xFF]) + SMALL[at + 1 :]
    assert _read(damaged) == (None, ["a damaged workbook"])
