"""Faults of the optional values, and temperatures that only make sense in Fahrenheit: each named with its mend."""

from __future__ import annotations

import re

import pytest

from sheets.test_extra_values import BED, DOSES, MORE, SEAL, TOP
from truebed.errors import Fault
from truebed.sheets.load import load_sheets


def faults_of(text: str, key: str) -> tuple[Fault, ...]:
    sheets, faults = load_sheets({f"sheets/{key}.toml": text.encode()})
    assert sheets == {}
    return faults


@pytest.mark.parametrize(
    ("was", "now", "column", "words"),
    [
        ("heat_kj_per_kg = 62.0", "", "heat", "neither value"),
        ("heat_kj_per_kg = 62.0", "heat_kj_per_kg = 62.0\nheat_kj_per_l = 120.0", "heat", "two values"),
        ("store_kj_per_kg_k = 0.9", "store_kj_per_kg_k = 0.9\nstore_kj_per_l_k = 2.0", "thermal", "found both"),
        ("conduct_w_per_m_k = 1.1\nstore_kj_per_kg_k = 0.9\n", "", "thermal", "no value"),
        ("least_mm = 240.0", "least_mm = 280.0", "spread.least_mm", "least 280 mm over most 270 mm"),
        ("damp = true\nwet = true", "damp = false\nwet = false", "base", "no state allowed"),
        ("months = 9", "months = 0", "shelf.months", "more than 0"),
        ("dry = false", 'dry = "no"', "base.dry", "true or false"),
        ('wet = true\nplace = "page 1, note c"', "wet = true", "base.place", "the key 'place'"),
    ],
)
def test_a_slip_in_what_a_mortar_says_besides_is_named(was: str, now: str, column: str, words: str) -> None:
    text = BED + MORE.replace(was, now, 1)
    assert text != BED + MORE
    (fault,) = faults_of(text, "harrow-bed")
    assert fault.column == column
    assert words in fault.sentence()
    assert fault.row > 0


@pytest.mark.parametrize(
    ("was", "now", "column", "words"),
    [
        ("most_pct = 2.0", "most_pct = 0.5", "dose[1].least_pct", "least 1 % over most 0.5 %"),
        ("least_pct = 1.0", "least_pct = -1.0", "dose[1].least_pct", "more than 0"),
        ("most_pct = 4.0", "most_pct = 140.0", "dose[2].most_pct", "at most 100"),
        ("temp_c = 5.0", "temp_c = 20.0", "dose[2].temp_c", "a second dose at 20 °C"),
        ("dose_pct = 2.0", "dose_pct = 5.0", "gel[1].dose_pct", "own table, 1 to 4 %"),
        (
            "after_min = 11.0",
            "after_min = 19.0",
            "gel[1].after_min",
            "grows neither with temperature nor with hardener",
        ),
        ("dose_pct = 2.0", "dose_pct = 1.0", "gel[2].after_min", "a second gel at 20 °C and 1 %"),
    ],
)
def test_a_slip_in_a_resins_doses_is_named(was: str, now: str, column: str, words: str) -> None:
    faults = faults_of(TOP + DOSES.replace(was, now, 1), "slate-top")
    assert [fault.column for fault in faults] == [column]
    assert words in faults[0].sentence()


def test_a_dose_that_grows_with_temperature_is_refused() -> None:
    (fault,) = faults_of(TOP + DOSES.replace("temp_c = 5.0", "temp_c = 30.0", 1), "slate-top")
    assert fault.found == "1 to 2 % at 20 °C and 2 to 4 % at 30 °C"


def test_a_hardener_of_a_mortar_is_refused() -> None:
    assert {fault.column for fault in faults_of(BED + DOSES, "harrow-bed")} == {"dose", "gel"}


def test_what_is_a_resins_or_a_sealants_is_refused_elsewhere() -> None:
    moving = '\n[movement]\nclass = "20"\nplace = "page 1"\n'
    (fault,) = faults_of(TOP + moving, "slate-top")
    assert (fault.column, fault.found) == ("movement", "[movement] of a resin")
    (fault,) = faults_of(SEAL.replace("mix_min = 2.5", "mix_min = 2.5\nresin_kg = 1.0"), "bead-seal")
    assert (fault.column, fault.found) == ("kit.resin_kg", "resin of a sealant")


def test_a_class_of_movement_that_there_is_not_is_refused() -> None:
    (fault,) = faults_of(SEAL + '\n[movement]\nclass = "50"\nplace = "page 1"\n', "bead-seal")
    assert fault.column == "movement.class"
    assert "12.5" in fault.sentence()


def test_more_resin_than_the_kit_weighs_is_refused() -> None:
    (fault,) = faults_of(re.sub("resin_kg = .*", "resin_kg = 19.0", TOP), "slate-top")
    assert (fault.column, fault.expected) == ("kit.resin_kg", "at most 18.93 kg, which the whole kit weighs")


def test_a_hottest_layer_no_hotter_than_the_allowed_air_is_refused() -> None:
    (fault,) = faults_of(TOP + '\n[heat]\nheat_kj_per_l = 105.0\nmost_c = 30.0\nplace = "page 3"\n', "slate-top")
    assert (fault.column, fault.expected) == ("heat.most_c", "more than the 30 °C of [limits]")


def test_limits_written_in_fahrenheit_are_told_in_both() -> None:
    text = BED.replace("temp_least_c = 5.0", "temp_least_c = 41.0").replace("temp_most_c = 30.0", "temp_most_c = 86.0")
    (fault,) = faults_of(text, "harrow-bed")
    assert fault.column == "limits.temp_least_c"
    assert fault.mend == "It looks like Fahrenheit: that range in °F is 5 to 30 °C. Write °C."


def test_a_limit_past_any_sheets_range_is_told_as_fahrenheit_too() -> None:
    (fault,) = faults_of(BED.replace("temp_most_c = 30.0", "temp_most_c = 95.0"), "harrow-bed")
    assert (fault.column, fault.expected) == ("limits.temp_most_c", "at most 90")
    assert fault.mend == "It looks like Fahrenheit: 95 °F is 35 °C. Write °C."


def test_a_test_temperature_in_fahrenheit_is_told() -> None:
    text = BED.replace("temp_c = 20.0\nage_min = 45.0", "temp_c = 68.0\nage_min = 45.0")
    (fault,) = faults_of(text, "harrow-bed")
    assert fault.column == "strength[5].temp_c"
    assert "68 °F is 20 °C" in fault.mend


def test_a_warm_climate_sheet_in_celsius_is_taken() -> None:
    text = BED.replace("temp_least_c = 5.0", "temp_least_c = 10.0").replace("temp_most_c = 30.0", "temp_most_c = 45.0")
    sheets, faults = load_sheets({"sheets/harrow-bed.toml": text.encode()})
    assert faults == ()
    assert sheets["harrow-bed"].limits.temp_most_c == 45.0
