"""A sheet as a user writes it becomes a sheet, or every fault in it is named with its line."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.errors import Fault
from truebed.sheets.load import load_sheets
from truebed.sheets.sheet import StrengthAt, TimeAt

DEMO = Path(__file__).parents[2] / "src" / "truebed" / "demo" / "folder"

#: Values of common practice (no source), and around them only what a sheet must also say to be one. Used nowhere else.
COMMON_PRACTICE = """key = "common"
name = "Bedding mortar of common practice"
kind = "cement"
edition = "common practice, no source"

[kit]
solids_kg = 25.0
liquid_part = "water"
liquid_least_l = 2.8
liquid_most_l = 3.2
hold_back_l = 0.2
yield_l = 12.8
fresh_density_kg_per_l = 2.19
mix_min = 3.0
place = "common practice"

[limits]
thickness_least_mm = 10.0
thickness_most_mm = 50.0
temp_least_c = 5.0
temp_most_c = 30.0
place = "common practice"

[[life]]
temp_c = 20.0
after_min = 15.0
place = "common practice"

[[set]]
temp_c = 20.0
after_min = 25.0
place = "common practice"

[[ready]]
temp_c = 20.0
after_min = 60.0
place = "common practice"
"""

SEAL = """key = "seal"
name = "A cartridge of joint seal"
kind = "sealant"
edition = "1"

[kit]
solids_kg = 0.8
liquid_part = "own"
liquid_least_l = 0.0
liquid_most_l = 0.0
yield_l = 0.6
fresh_density_kg_per_l = 1.33
mix_min = 0.0
place = "page 1"

[limits]
thickness_least_mm = 8.0
thickness_most_mm = 40.0
temp_least_c = 2.0
temp_most_c = 35.0
place = "page 1"

[[ready]]
temp_c = 5.0
after_min = 50.0
place = "page 2"
"""


def faults_of(text: str | bytes, file: str = "sheets/common.toml") -> tuple[Fault, ...]:
    content = text if isinstance(text, bytes) else text.encode()
    sheets, faults = load_sheets({file: content})
    assert sheets == {}
    assert faults
    return faults


def test_a_sheet_of_common_practice_loads_with_its_values_as_written() -> None:
    sheets, faults = load_sheets({"sheets/common.toml": COMMON_PRACTICE.encode()})
    assert faults == ()
    sheet = sheets["common"]
    assert sheet.life == (TimeAt(20.0, 15.0, "common practice"),)
    assert sheet.ready == (TimeAt(20.0, 60.0, "common practice"),)
    assert (sheet.kit.liquid_least_l, sheet.hold_back_l) == (2.8, 0.2)
    assert sheet.traffic_strength_n_per_mm2 is None
    assert sheet.file == "sheets/common.toml"


def test_a_cartridge_is_a_kit_without_liquid() -> None:
    sheets, faults = load_sheets({"sheets/seal.toml": SEAL.encode()})
    assert faults == ()
    assert sheets["seal"].kit.liquid_most_l == 0.0
    assert sheets["seal"].life == ()


def test_every_sheet_of_the_demo_loads() -> None:
    files = {f"sheets/{path.name}": path.read_bytes() for path in (DEMO / "sheets").glob("*.toml")}
    sheets, faults = load_sheets(files)
    assert [fault.sentence() for fault in faults] == []
    assert sorted(sheets) == sorted(Path(file).stem for file in files)
    bed = sheets["harrow-bed"]
    assert bed.strength[0] == StrengthAt(5.0, 90.0, 4.5, "page 2, table 4")
    assert (bed.traffic_strength_n_per_mm2, bed.traffic_place) == (13.0, "page 2, note b")
    assert [point.temp_c for point in bed.life] == [5.0, 20.0, 30.0]


def test_points_are_sorted_by_temperature_whatever_their_order_in_the_file() -> None:
    warm_first = COMMON_PRACTICE + '\n[[life]]\ntemp_c = 5.0\nafter_min = 30.0\nplace = "x"\n'
    sheets, faults = load_sheets({"sheets/common.toml": warm_first.encode()})
    assert faults == ()
    assert [point.temp_c for point in sheets["common"].life] == [5.0, 20.0]


def test_files_of_other_folders_are_passed_over() -> None:
    assert load_sheets({"methods/a.toml": b"=", "sheets/notes.txt": b"=", "covers.csv": b"\xff"}) == ({}, ())


def test_a_bom_and_windows_line_ends_are_read() -> None:
    content = b"\xef\xbb\xbf" + COMMON_PRACTICE.replace("\n", "\r\n").encode()
    sheets, faults = load_sheets({"sheets/common.toml": content})
    assert faults == ()
    assert sheets["common"].kit.solids_kg == 25.0


def test_text_that_is_not_utf_8_is_named_with_its_line() -> None:
    (fault,) = faults_of(COMMON_PRACTICE.encode().replace(b"Bedding", b"Bedd\xefng"))
    assert (fault.row, fault.found) == (2, "a byte that is not UTF-8 (0xef)")


def test_a_slip_of_syntax_is_named_with_its_line() -> None:
    (fault,) = faults_of(COMMON_PRACTICE.replace("solids_kg = 25.0", "solids_kg = 25,0"))
    assert fault.row == 7
    assert "no TOML" in fault.found


def test_an_unknown_key_is_met_with_the_nearest_known_one() -> None:
    (fault,) = faults_of(COMMON_PRACTICE.replace("mix_min = 3.0", "mix_min = 3.0\nyeild_l = 12.8"))
    assert (fault.row, fault.column) == (15, "kit.yeild_l")
    assert fault.mend == "Did you mean 'yield_l'?"


def test_an_unknown_table_is_met_with_the_nearest_known_one() -> None:
    (fault,) = faults_of(COMMON_PRACTICE + '\n[trafic]\nstrength_n_per_mm2 = 13.0\nplace = "x"\n')
    assert fault.column == "trafic"
    assert fault.mend == "Did you mean 'traffic'?"


@pytest.mark.parametrize("table", ["kit", "limits", "life", "set", "ready"])
def test_a_value_without_its_place_on_the_sheet_is_refused(table: str) -> None:
    before, header, after = COMMON_PRACTICE.partition(f"[{table}]")
    (fault,) = faults_of(before + header + after.replace('place = "common practice"\n', "", 1))
    assert fault.expected == "the key 'place'"
    assert fault.column.split("[")[0].split(".")[0] == table


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("true", "a number"),
        ('"25"', "a number"),
        ("nan", "a finite number"),
        ("inf", "a finite number"),
        ("-25.0", "more than 0"),
        ("0", "more than 0"),
        ("1e400", "a finite number"),
    ],
)
def test_what_is_not_a_sound_number_is_refused_with_its_line(written: str, expected: str) -> None:
    (fault,) = faults_of(COMMON_PRACTICE.replace("solids_kg = 25.0", f"solids_kg = {written}"))
    assert (fault.row, fault.column, fault.expected) == (7, "kit.solids_kg", expected)


def test_a_kind_that_is_none_is_met_with_the_nearest() -> None:
    (fault,) = faults_of(COMMON_PRACTICE.replace('"cement"', '"cemnt"'))
    assert fault.mend == "Did you mean 'cement'?"


def test_the_key_must_be_the_files_own_name() -> None:
    (fault,) = faults_of(COMMON_PRACTICE, "sheets/other.toml")
    assert (fault.row, fault.column, fault.found) == (1, "key", "'common'")


def test_faults_of_several_files_come_at_once_and_sound_sheets_are_kept() -> None:
    files = {
        "sheets/common.toml": COMMON_PRACTICE.replace("solids_kg = 25.0", "solids_kg = true")
        .replace("temp_most_c = 30.0\n", "")
        .encode(),
        "sheets/seal.toml": SEAL.encode(),
        "sheets/third.toml": b"key = ",
    }
    sheets, faults = load_sheets(files)
    assert list(sheets) == ["seal"]
    assert [(fault.file, fault.column) for fault in faults] == [
        ("sheets/common.toml", "kit.solids_kg"),
        ("sheets/common.toml", "limits.temp_most_c"),
        ("sheets/third.toml", ""),
    ]


def test_the_number_of_a_point_is_counted_from_one_and_its_line_is_its_own() -> None:
    text = COMMON_PRACTICE + '\n[[life]]\ntemp_c = 5.0\nafter_min = "30"\nplace = "x"\n'
    (fault,) = faults_of(text)
    assert fault.column == "life[2].after_min"
    assert text.split("\n")[fault.row - 1] == 'after_min = "30"'


@given(st.binary(max_size=200))
def test_no_bytes_whatever_give_a_traceback(content: bytes) -> None:
    sheets, faults = load_sheets({"sheets/common.toml": content})
    assert sheets == {}
    assert faults


@given(st.integers(0, len(COMMON_PRACTICE) - 1), st.sampled_from('"=[].\n#{0x'))
def test_one_wrong_character_gives_a_sheet_or_a_fault_never_a_traceback(at: int, character: str) -> None:
    text = COMMON_PRACTICE[:at] + character + COMMON_PRACTICE[at + 1 :]
    sheets, faults = load_sheets({"sheets/common.toml": text.encode()})
    assert bool(sheets) != bool(faults)
