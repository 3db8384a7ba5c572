"""Whatever bytes stand in a works folder, the reader answers with faults or works and never raises."""

from __future__ import annotations

import csv
import io
import math
import zipfile

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from given.base_folder import TEXTS, base_folder
from truebed.errors import Fault
from truebed.given.columns import FILES
from truebed.given.conversion import convert, units_for
from truebed.given.folder import parse_works
from truebed.given.works import Works

FILE_NAMES = [*TEXTS, "covers.xlsx", "readings.xlsx", "cover.csv", "sheets/x.toml", "notes.md"]
PARTS = [
    "[Content_Types].xml",
    "xl/workbook.xml",
    "xl/_rels/workbook.xml.rels",
    "xl/worksheets/sheet1.xml",
    "content.xml",
    "mimetype",
]
NUMBERS = ["0", "-1", "1e9", "nan", "850", "9" * 30]
TIMES = ["2027-03-11T20:00+00:00", "2099-12-31T23:59-23:59", "2000-01-01T00:00+23:59"]
LINES = ["straightedge gap", "string-line offset", "level", "change point", "line end", "bench mark", "A", "L1"]
SURVEY = ["tap", "crack", "probe", "hollow", "cracked", "sound", "ring", "D", "triangular pair", "core", "traffic"]
WORDS = [
    "",
    " ",
    *NUMBERS,
    *TIMES,
    *LINES,
    *SURVEY,
    "F-1",
    "Tallow Row",
    "round",
    "staff",
    "road",
    "=1",
    "a|b",
    "|",
    "\u202e",
    "é",
]


def _sane(works: Works | None, faults: tuple[Fault, ...]) -> None:
    assert (works is None) == bool(faults)
    assert list(faults) == sorted(set(faults))
    for fault in faults:
        assert fault.file
        assert fault.found
        assert fault.expected
        assert fault.mend
        assert fault.row >= 0
        assert "\n" not in fault.sentence()


@given(st.dictionaries(st.sampled_from(FILE_NAMES), st.binary(max_size=300), max_size=6))
@settings(max_examples=150, deadline=None)
def test_any_bytes_in_any_file_give_faults_and_never_raise(files: dict[str, bytes]) -> None:
    _sane(*parse_works(base_folder() | files))
    _sane(*parse_works(files))


@given(
    st.sampled_from(["obstacles", "soundings", "units", "condition"]),
    st.sampled_from([".csv", ".xlsx"]),
    st.binary(max_size=400),
)
@settings(max_examples=150, deadline=None)
def test_any_bytes_in_a_file_of_the_survey_give_faults_and_never_raise(file: str, ending: str, data: bytes) -> None:
    files = base_folder()
    del files[f"{file}.csv"]
    _sane(*parse_works(files | {file + ending: data}))


@given(st.dictionaries(st.text(max_size=20), st.binary(max_size=40), max_size=4))
@settings(max_examples=100, deadline=None)
def test_any_file_names_give_faults_and_never_raise(files: dict[str, bytes]) -> None:
    _sane(*parse_works(files))


@given(st.sampled_from(list(TEXTS)), st.integers(0, 3000), st.integers(0, 40), st.binary(max_size=12))
@settings(max_examples=200, deadline=None)
def test_any_bytes_spliced_into_a_right_file_never_raise(file: str, start: int, cut: int, put: bytes) -> None:
    data = base_folder()[file]
    at = start % (len(data) + 1)
    _sane(*parse_works(base_folder() | {file: data[:at] + put + data[at + cut :]}))


@given(st.data())
@settings(max_examples=200, deadline=None)
def test_any_words_in_the_cells_of_a_right_header_never_raise(data: st.DataObject) -> None:
    columns = data.draw(st.sampled_from(FILES))
    cell = st.sampled_from(WORDS) | st.text(max_size=8) | st.floats().map(str)
    rows = data.draw(st.lists(st.lists(cell, min_size=0, max_size=len(columns.columns) + 1), max_size=4))
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow([column.name for column in columns.columns])
    writer.writerows(rows)
    _sane(*parse_works(base_folder() | {columns.name: text.getvalue().encode("utf-8", "surrogatepass")}))


@given(st.data())
@settings(max_examples=100, deadline=None)
def test_one_cell_of_a_right_row_changed_to_any_word_never_raises(data: st.DataObject) -> None:
    file = data.draw(st.sampled_from([name for name in TEXTS if name.endswith(".csv")]))
    rows = list(csv.reader(io.StringIO(TEXTS[file])))
    row = data.draw(st.integers(1, len(rows) - 1))
    column = data.draw(st.integers(0, len(rows[0]) - 1))
    rows[row][column] = data.draw(st.sampled_from(WORDS) | st.text(max_size=8) | st.floats().map(str))
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    _sane(*parse_works(base_folder() | {file: text.getvalue().encode("utf-8", "surrogatepass")}))


@given(st.dictionaries(st.sampled_from(PARTS), st.binary(max_size=60), max_size=4), st.integers(0, 200))
@settings(max_examples=100, deadline=None)
def test_a_damaged_workbook_gives_a_fault_and_never_raises(parts: dict[str, bytes], cut: int) -> None:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as packed:
        for name, content in parts.items():
            packed.writestr(name, content)
    files = base_folder()
    del files["covers.csv"]
    for damaged in (data.getvalue(), data.getvalue()[:-cut]):
        works, faults = parse_works(files | {"covers.xlsx": damaged})
        _sane(works, faults)
        assert "covers.xlsx" in {fault.file for fault in faults}


def test_brackets_without_end_in_works_toml_are_a_fault() -> None:
    works, faults = parse_works(base_folder() | {"works.toml": b"name = " + b"[" * 100_000})
    _sane(works, faults)
    assert {fault.file for fault in faults} == {"works.toml"}


PAIRS = sorted({(unit, c.unit) for f in FILES for c in f.columns if c.unit for unit in units_for(c.unit)})


@pytest.mark.parametrize(("unit", "target"), PAIRS)
@given(value=st.floats(-1e5, 1e5))
@settings(max_examples=30, deadline=None)
def test_a_value_brought_into_another_unit_and_back_is_the_value(unit: str, target: str, value: float) -> None:
    there = convert(value, unit, target)
    # the way back by the two points that fix a straight line
    zero, one = convert(0.0, unit, target), convert(1000.0, unit, target)
    back = (there - zero) / (one - zero) * 1000.0
    assert math.isclose(back, value, rel_tol=1e-6, abs_tol=1e-5)


@given(value=st.floats(1.0, 140.0))
@settings(max_examples=50, deadline=None)
def test_inches_are_25_4_mm_to_nine_decimals(value: float) -> None:
    assert abs(convert(value, "in", "mm") - value * 25.4) <= 1e-9
