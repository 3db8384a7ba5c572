"""However people save their files, the works are the same: encodings, delimiters, header order, spreadsheets, units."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest
import xlsxwriter

from given.base_folder import TEXTS, base_folder, spoilt
from truebed.given.folder import parse_works
from truebed.given.works import Echo, Works

CSVS = [name for name in TEXTS if name.endswith(".csv")]


def _works(files: dict[str, bytes]) -> Works:
    works, faults = parse_works(files)
    assert faults == (), [f.sentence() for f in faults]
    assert works is not None
    return works


def _plain(files: dict[str, bytes]) -> Works:
    """The works but for what was told of their reading."""
    return replace(_works(files), echoes=())


BASE = _plain(base_folder())


def _rows(file: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(TEXTS[file])))


def _semicolons(file: str, decimal: str) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text, delimiter=";", lineterminator="\r\n")
    for row in _rows(file):
        writer.writerow([cell.replace(".", decimal) if _is_number(cell) else cell for cell in row])
    return text.getvalue().encode()


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


def _xlsx(sheets: dict[str, list[list[str]]], numbers: bool = True, hidden: str = "") -> bytes:
    data = io.BytesIO()
    book = xlsxwriter.Workbook(data, {"in_memory": True})
    for name, rows in sheets.items():
        sheet = book.add_worksheet(name)
        for r, row in enumerate(rows):
            for c, cell in enumerate(row):
                if numbers and _is_number(cell):
                    sheet.write_number(r, c, float(cell))
                elif cell:
                    sheet.write_string(r, c, cell)
        if name == hidden:
            sheet.hide()
    book.close()
    return data.getvalue()


def test_the_base_folder_is_read_whole() -> None:
    assert len(BASE.covers) == 2
    assert len(BASE.readings) == 20
    assert BASE.cover("G-2").chamber.across_mm == 500.0
    assert BASE.cover("G-2").kerb_side == "left"
    assert BASE.people[2].skills == ()
    assert BASE.weather[2].rain_mm is None
    assert BASE.weather[0].rain_mm == 0.0
    assert BASE.echoes == ()


@pytest.mark.parametrize("decimal", [".", ","])
def test_semicolons_with_points_or_decimal_commas_give_the_same_works(decimal: str) -> None:
    assert _plain(base_folder() | {file: _semicolons(file, decimal) for file in CSVS}) == BASE


def test_points_and_commas_in_one_semicolon_file_are_not_guessed() -> None:
    data = _semicolons("covers.csv", ",").replace(b";12,5;", b";12.5;")
    works, faults = parse_works(base_folder() | {"covers.csv": data})
    assert works is None
    assert any("one way of writing decimals" in f.expected for f in faults)


def test_marks_between_thousands_are_a_fault_not_a_guess() -> None:
    for cell in ("1.234,5", "1,234.5", "1,234,5", "1 234"):
        data = _semicolons("covers.csv", ".").replace(b";850;850;", f";{cell};850;".encode())
        _, faults = parse_works(base_folder() | {"covers.csv": data})
        assert (2, "flange_along_mm") in {(f.row, f.column) for f in faults}, cell


def test_a_byte_order_mark_and_every_line_ending_give_the_same_works() -> None:
    for ending in ("\r\n", "\r", "\n\n"):
        files = {f: b"\xef\xbb\xbf" + TEXTS[f].replace("\n", ending).encode() for f in CSVS}
        works = _plain(base_folder() | files)
        assert [c.cover for c in works.covers] == ["F-1", "G-2"]
        if ending != "\n\n":
            assert works == BASE


def test_windows_1252_gives_the_same_works_as_utf_8_and_is_told() -> None:
    old, new = "rocks under buses", "sinks – 18 ° by the café"
    utf8 = spoilt("covers.csv", old, new)
    cp1252 = utf8 | {"covers.csv": utf8["covers.csv"].decode().encode("cp1252")}
    assert cp1252["covers.csv"] != utf8["covers.csv"]
    assert _plain(cp1252) == _plain(utf8)
    assert _works(cp1252).echoes == (Echo("covers.csv", 0, "", "not UTF-8", "read as Windows-1252"),)


def test_works_toml_may_have_a_byte_order_mark_and_windows_line_endings() -> None:
    toml = b"\xef\xbb\xbf" + TEXTS["works.toml"].replace("\n", "\r\n").encode()
    assert _plain(base_folder() | {"works.toml": toml}) == BASE


@pytest.mark.parametrize("file", CSVS)
def test_header_order_is_free_and_its_cells_may_have_capitals_and_blanks(file: str) -> None:
    text = io.StringIO()
    rows = _rows(file)
    rows[0] = [f" {cell.upper().replace('_', ' ')} " for cell in rows[0]]
    csv.writer(text).writerows([list(reversed(row)) for row in rows])
    assert _plain(base_folder() | {file: text.getvalue().encode()}) == BASE


@pytest.mark.parametrize("numbers", [True, False])
@pytest.mark.parametrize("file", CSVS)
def test_a_spreadsheet_in_place_of_a_csv_gives_the_same_works(file: str, numbers: bool) -> None:
    files = base_folder()
    del files[file]
    files[file.replace(".csv", ".xlsx")] = _xlsx({"Sheet1": _rows(file)}, numbers)
    assert _plain(files) == BASE


def test_of_several_sheets_the_one_named_like_the_file_is_read() -> None:
    files = base_folder()
    del files["tools.csv"]
    files["tools.xlsx"] = _xlsx({"notes": [["call", "the", "yard"]], "Tools": _rows("tools.csv")})
    assert _plain(files) == BASE
    files["tools.xlsx"] = _xlsx({"notes": [["call"]], "sheet": _rows("tools.csv")})
    _, faults = parse_works(files)
    assert [(f.file, f.found) for f in faults] == [("tools.xlsx", "2 sheets with cells, none named 'tools'")]
    files["tools.xlsx"] = _xlsx({"sheet": _rows("tools.csv"), "notes": [["call"]]}, hidden="notes")
    assert _plain(files) == BASE


def test_faults_of_a_spreadsheet_have_its_name_and_its_row_numbers() -> None:
    rows = _rows("tools.csv")
    rows.insert(1, ["", "", "", "", "", "", ""])
    rows[3][2] = "many"
    files = base_folder()
    del files["tools.csv"]
    files["tools.xlsx"] = _xlsx({"tools": rows})
    _, faults = parse_works(files)
    assert [(f.file, f.row, f.column) for f in faults] == [("tools.xlsx", 4, "count")]


def test_both_a_csv_and_a_spreadsheet_are_a_fault() -> None:
    _, faults = parse_works(base_folder() | {"tools.xlsx": _xlsx({"tools": _rows("tools.csv")})})
    assert [f.found for f in faults] == ["both tools.csv and tools.xlsx"]


@pytest.mark.parametrize("data", [b"PK\x03\x04 and then nothing", b"not a workbook", _xlsx({"empty": []})])
def test_a_workbook_that_is_none_or_is_empty_is_a_fault(data: bytes) -> None:
    files = base_folder()
    del files["tools.csv"]
    works, faults = parse_works(files | {"tools.xlsx": data})
    assert works is None
    assert [f.file for f in faults] == ["tools.xlsx"]


def test_blank_rows_are_passed_over_and_counted() -> None:
    data = TEXTS["tools.csv"].replace("breaker,breaker", "\n,,,,,,\nbreaker,breaker").replace(",11,", ",eleven,")
    _, faults = parse_works(base_folder() | {"tools.csv": data.encode()})
    assert [(f.row, f.column) for f in faults] == [(5, "vibration_m_per_s2")]


def test_the_line_some_spreadsheets_write_before_the_header_is_obeyed() -> None:
    assert _works(base_folder() | {"tools.csv": b"sep=;\r\n" + _semicolons("tools.csv", ",")}).tools[0].count == 1


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"", "an empty file"),
        (b"\xef\xbb\xbf", "no cells"),
        (b",,,\n,,\n", "no cells"),
        (TEXTS["tools.csv"].encode("utf-16"), "UTF-16 text"),
        (b"tool,kind\x00,count\n", "zero bytes"),
        (TEXTS["tools.csv"].encode() + b"caf\x81,mixer,1,,,,\n", "the byte 0x81"),
        (TEXTS["tools.csv"].replace(",", "\t").encode(), "parted by tabs"),
        (TEXTS["tools.csv"].encode() + b'"open,mixer,1,,,,\n', "cannot be parted"),
        (TEXTS["tools.csv"].encode() + b"a" * 200_000, "cannot be parted"),
        (b"x," * 1_001 + b"\n" + TEXTS["tools.csv"].encode(), "cells in the header"),
        (b"\n" * 100_001 + TEXTS["tools.csv"].encode(), "more than 100000 rows"),
    ],
)
def test_bytes_that_are_no_table_are_a_fault(data: bytes, found: str) -> None:
    works, faults = parse_works(base_folder() | {"tools.csv": data})
    assert works is None
    assert any(found in f.found for f in faults if f.file == "tools.csv"), faults


def test_a_unit_in_the_header_is_converted_once_and_told() -> None:
    text = TEXTS["closures.csv"].replace("mix_temp_c", "mix_temp_f").replace(",12.5,30,", ",50,30,")
    text = text.replace("speed_mph", "speed_kmh").replace("tm_set_min", "tm_set_h").replace(",25,20,", ",0.5,20,")
    works = _works(base_folder() | {"closures.csv": text.encode()})
    assert works.closures[0].mix_temp_c == 10.0
    assert works.closures[0].tm_set_min == 30
    speed_mph = works.closures[0].speed_mph
    assert speed_mph is not None
    assert speed_mph == pytest.approx(30.0 / 1.609344, abs=1e-8)
    assert set(works.echoes) == {
        Echo("closures.csv", 2, "mix_temp_f", "50 f", "10 c"),
        Echo("closures.csv", 2, "speed_kmh", "30 kmh", "18.641135767 mph"),
        Echo("closures.csv", 2, "tm_set_h", "0.5 h", "30 min"),
    }


def test_inches_feet_metres_and_pounds_come_in_as_millimetres_and_kilograms() -> None:
    text = TEXTS["covers.csv"].replace("flange_along_mm", "flange_along_in").replace("690,850,850", "690,33.5,850")
    text = text.replace("490,610,590", "490,24,590").replace("frame_mass_kg", "frame_mass_lb")
    text = text.replace(",95,rect", ",200,rect").replace(",62,round", ",100,round")
    text = text.replace("chamber_depth_mm", "chamber_depth_m").replace("215,185,D4", "215,0.185,D4")
    text = text.replace("150,140,D4", "150,0.14,D4")
    works = _works(base_folder() | {"covers.csv": text.encode()})
    first = works.covers[0]
    assert first.flange.along_mm == 850.9
    assert first.frame_mass_kg == 90.718474
    assert first.chamber_depth_mm == 185.0
    assert len(works.echoes) == 6


def test_a_time_in_another_offset_than_the_place_has_is_told_in_local_time() -> None:
    text = TEXTS["closures.csv"].replace("2027-03-1", "2027-06-1")
    works = _works(base_folder() | {"closures.csv": text.encode()})
    assert works.closures[0].road_shut_from.isoformat() == "2027-06-11T20:00:00+00:00"
    now = "2027-06-11T21:00+01:00 in Europe/London"
    assert Echo("closures.csv", 2, "road_shut_from", "2027-06-11T20:00+00:00", now) in works.echoes


def test_a_round_frame_may_leave_its_across_empty_or_write_it_again() -> None:
    covers = TEXTS["covers.csv"].replace("rectangle,675,675", "round,675,675")
    old = "rectangle,600,600,690,690,850,850"
    on_the_circle = base_folder() | {"readings.csv": TEXTS["readings.csv"].replace("345", "244").encode()}
    empty = _works(on_the_circle | {"covers.csv": covers.replace(old, "round,600,,690,,850,").encode()})
    again = _works(on_the_circle | {"covers.csv": covers.replace(old, "round,600,600,690,690,850,850").encode()})
    assert empty == again
    assert empty.covers[0].flange.across_mm == 850.0


def test_choices_are_taken_in_capitals_and_with_blanks_or_hyphens() -> None:
    text = TEXTS["readings.csv"].replace("bench mark", "Bench-Mark")
    assert _plain(base_folder() | {"readings.csv": text.encode()}) == BASE
    works = _works(spoilt("closures.csv", "Weir Cross,full", "Weir Cross,Stop Go"))
    assert works.closures[0].kind == "stop-go"
