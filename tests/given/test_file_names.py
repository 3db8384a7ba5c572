"""Which file is which: misspelt, doubled and missing ones are named; notes and photographs are let be."""

from __future__ import annotations

import pytest

from given.base_folder import TEXTS, base_folder
from truebed.errors import Fault
from truebed.given.folder import parse_works

OPTIONAL = ("weather.csv", "stock.csv", "condition.csv", "obstacles.csv", "soundings.csv", "units.csv")


def _renamed(old: str, new: str) -> tuple[Fault, ...]:
    files = base_folder()
    files[new] = files.pop(old)
    return parse_works(files)[1]


def _places(faults: tuple[Fault, ...]) -> list[str]:
    return [fault.file for fault in faults]


@pytest.mark.parametrize("file", [name for name in TEXTS if name not in OPTIONAL])
def test_a_missing_file_is_named(file: str) -> None:
    files = base_folder()
    del files[file]
    works, faults = parse_works(files)
    assert works is None
    assert [(f.file, f.found) for f in faults] == [(file, "no such file")]


@pytest.mark.parametrize("file", OPTIONAL)
def test_an_optional_file_may_be_away(file: str) -> None:
    files = base_folder()
    del files[file]
    works, faults = parse_works(files)
    assert faults == ()
    assert works is not None
    assert getattr(works, file.removesuffix(".csv")) == ()


def test_an_empty_folder_is_one_fault() -> None:
    works, faults = parse_works({})
    assert works is None
    assert [f.found for f in faults] == ["an empty folder"]


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ("cover.csv", "covers.csv"),
        ("covers.csv.txt", "covers.csv"),
        ("covers.txt", "covers.csv"),
        ("covers", "covers.csv"),
        ("covers.xls", "covers.csv"),
        ("covers.ods", "covers.csv"),
        ("reading.csv", "readings.csv"),
        ("work.toml", "works.toml"),
        ("wheather.csv", "weather.csv"),
        ("journal.json", "journal.jsonl"),
    ],
)
def test_a_misspelt_file_is_named_with_the_near_one_and_not_told_missing_too(wrong: str, right: str) -> None:
    files = base_folder()
    files[wrong] = files.pop(right, b"{}")
    _, faults = parse_works(files)
    assert _places(faults) == [wrong]
    assert f"Name it '{right}'" in faults[0].mend


def test_a_near_name_beside_the_right_one_asks_to_take_it_away() -> None:
    _, faults = parse_works(base_folder() | {"cover.csv": b"old"})
    assert _places(faults) == ["cover.csv"]
    assert "'covers.csv' is there already" in faults[0].mend


def test_an_unknown_table_is_a_fault_and_not_passed_over() -> None:
    _, faults = parse_works(base_folder() | {"levels-of-tuesday.csv": b"x"})
    assert _places(faults) == ["levels-of-tuesday.csv"]


@pytest.mark.parametrize(
    "name",
    ["README", "README.md", "site.JPG", "plan.pdf", "covers.pdf", "Thumbs.db", "~$covers.xlsx", "photos/a.tif",
     "old/covers.csv", "sheets/harrow-bed.toml", "methods/five-layer.toml", "rules/own.toml", "rates.toml",
     "journal.jsonl"],
)  # fmt: skip
def test_notes_photographs_and_files_of_other_rooms_are_let_be(name: str) -> None:
    works, faults = parse_works(base_folder() | {name: b"anything"})
    assert faults == ()
    assert works is not None


def test_a_misspelt_folder_is_named() -> None:
    _, faults = parse_works(base_folder() | {"sheet/harrow-bed.toml": b"x"})
    assert [(f.file, f.expected) for f in faults] == [("sheet/harrow-bed.toml", "a folder 'sheets'")]


def test_capitals_in_a_file_name_are_taken_and_told_as_written() -> None:
    assert _renamed("covers.csv", "Covers.CSV") == ()
    files = base_folder()
    files["Tools.csv"] = files.pop("tools.csv").replace(b"saw,1,", b"saw,one,")
    assert _places(parse_works(files)[1]) == ["Tools.csv"]


def test_two_spellings_of_one_file_are_a_fault() -> None:
    _, faults = parse_works(base_folder() | {"Tools.csv": b"x"})
    assert [f.found for f in faults] == ["both Tools.csv and tools.csv"]
