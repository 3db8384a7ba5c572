"""What must hold between the values of one sheet: each broken in turn, and named."""

from __future__ import annotations

from pathlib import Path

import pytest

from truebed.errors import Fault
from truebed.sheets.load import load_sheets

BED = (Path(__file__).parents[2] / "src/truebed/demo/folder/sheets/harrow-bed.toml").read_text("utf-8")


def faults_of(text: str) -> tuple[Fault, ...]:
    assert text != BED, "the slip must change the sheet"
    sheets, faults = load_sheets({"sheets/harrow-bed.toml": text.encode()})
    assert bool(sheets) != bool(faults)
    return faults


def without(table: str) -> str:
    """The sheet without any of the tables of that name."""
    parts = BED.split("\n\n")
    return "\n\n".join(part for part in parts if not part.startswith(f"[[{table}]]"))


@pytest.mark.parametrize(
    ("was", "now", "column", "words"),
    [
        ("liquid_least_l = 2.8", "liquid_least_l = 3.3", "kit.liquid_least_l", "least 3.3 l over most 3.2 l"),
        ("hold_back_l = 0.25", "hold_back_l = 2.8", "kit.hold_back_l", "2.8 l held back of 2.8 l"),
        ("mix_min = 3.0", "mix_min = 0.0", "kit.mix_min", "the sheet's mixing time"),
        ("thickness_least_mm = 12.0", "thickness_least_mm = 56.0", "limits.thickness_least_mm", "56 mm over most 55"),
        ("temp_least_c = 5.0", "temp_least_c = 30.0", "limits.temp_least_c", "least below most"),
        ("after_min = 22.0", "after_min = 36.5", "life[2].after_min", "36 min at 5 °C and 36.5 min at 20 °C"),
        ("after_min = 23.0", "after_min = 34.5", "set[3].after_min", "does not grow with temperature"),
        ("temp_c = 20.0\nafter_min = 22.0", "temp_c = 5.0\nafter_min = 22.0", "life[2].temp_c", "a second life at 5"),
        ("age_min = 180.0", "age_min = 90.0", "strength[2].age_min", "a second strength at 5 °C and 90 min"),
    ],
)
def test_a_slip_between_two_values_is_named(was: str, now: str, column: str, words: str) -> None:
    (fault,) = faults_of(BED.replace(was, now, 1))
    assert fault.column == column
    assert words in fault.sentence()


def test_a_strength_that_falls_with_age_names_both_points() -> None:
    (fault,) = faults_of(BED.replace("strength_n_per_mm2 = 13.5", "strength_n_per_mm2 = 4.4"))
    assert fault.column == "strength[2].strength_n_per_mm2"
    assert fault.found == "4.5 N/mm² at 90 min (strength[1]) and 4.4 N/mm² at 180 min, both at 5 °C"


def test_a_strength_that_stands_still_with_age_is_allowed() -> None:
    assert faults_of(BED.replace("strength_n_per_mm2 = 13.5", "strength_n_per_mm2 = 4.5")) == ()


@pytest.mark.parametrize("table", ["life", "set"])
def test_a_mortar_without_life_or_set_is_refused(table: str) -> None:
    (fault,) = faults_of(without(table))
    assert (fault.column, fault.expected) == (table, f"at least one [[{table}]] for a cement")


def test_a_sheet_with_no_cure_point_is_refused() -> None:
    (fault,) = faults_of(without("strength"))
    assert fault.found == "no cure point"


# (24 + 2.8) / 2.19 = 12.237 l to (24 + 3.2) / 2.19 = 12.420 l; 5 % outside: 11.626 and 13.041 l
@pytest.mark.parametrize(("yield_l", "sound"), [(11.62, False), (11.63, True), (13.04, True), (13.05, False)])
def test_the_yield_must_agree_with_mass_over_density(yield_l: float, sound: bool) -> None:
    faults = faults_of(BED.replace("yield_l = 12.4", f"yield_l = {yield_l}"))
    assert (faults == ()) is sound
    if faults:
        assert "mass over density gives 12.24 to 12.42 l" in faults[0].found


def test_a_two_part_kit_has_one_amount_of_liquid_and_holds_nothing_back() -> None:
    faults = faults_of(BED.replace('"water"', '"own"'))
    assert {fault.column for fault in faults} == {"kit.liquid_most_l", "kit.hold_back_l"}
