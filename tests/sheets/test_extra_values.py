"""What a sheet may say besides is read as written, brought into the tool's own units, and may be left out."""

from __future__ import annotations

from pathlib import Path

import pytest

from truebed.curing.joint import joint_data
from truebed.sheets.load import load_sheets
from truebed.sheets.sheet import BaseState, DoseAt, DosedTimeAt, Movement, Sheet, Shelf, Shrinkage, Spread

FOLDER = Path(__file__).parents[2] / "src/truebed/demo/folder/sheets"
BED = (FOLDER / "harrow-bed.toml").read_text("utf-8")
#: The resin's sheet as far as its times, without what it says besides.
TOP = (FOLDER / "slate-top.toml").read_text("utf-8").split("\n[base]")[0]
SEAL = (FOLDER / "bead-seal.toml").read_text("utf-8").split("\n[base]")[0]

MORE = """
[binder]
text = "a fast binder"
place = "page 1"

[base]
dry = false
damp = true
wet = true
place = "page 1, note c"

[heat]
heat_kj_per_kg = 62.0
place = "page 3"

[thermal]
conduct_w_per_m_k = 1.1
store_kj_per_kg_k = 0.9
place = "page 3"

[spread]
least_mm = 240.0
most_mm = 270.0
place = "page 2"

[shrinkage]
shrinkage_mm_per_m = 0.6
place = "page 2"

[shelf]
months = 9
place = "page 4"
"""

DOSES = """
[[dose]]
temp_c = 20.0
least_pct = 1.0
most_pct = 2.0
place = "table 5"

[[dose]]
temp_c = 5.0
least_pct = 2.0
most_pct = 4.0
place = "table 5"

[[gel]]
temp_c = 20.0
dose_pct = 2.0
after_min = 11.0
place = "table 6"

[[gel]]
temp_c = 20.0
dose_pct = 1.0
after_min = 17.0
place = "table 6"
"""


def loaded(text: str, key: str) -> Sheet:
    sheets, faults = load_sheets({f"sheets/{key}.toml": text.encode()})
    assert [fault.sentence() for fault in faults] == []
    return sheets[key]


def test_a_sheet_that_says_nothing_more_has_nothing_more() -> None:
    sheet = loaded(BED, "harrow-bed")
    assert (sheet.binder, sheet.base_state, sheet.heat, sheet.thermal, sheet.spread) == ("", None, None, None, None)
    assert (sheet.shrinkage, sheet.shelf, sheet.dose, sheet.gel, sheet.cure) == (None, None, (), (), ())


def test_every_further_value_keeps_its_place() -> None:
    sheet = loaded(BED + MORE, "harrow-bed")
    assert (sheet.binder, sheet.binder_place) == ("a fast binder", "page 1")
    assert sheet.base_state == BaseState(False, True, True, "page 1, note c")
    assert sheet.spread == Spread(240.0, 270.0, "page 2")
    assert sheet.shrinkage == Shrinkage(0.6, "page 2")
    assert sheet.shelf == Shelf(9.0, "page 4")


def test_heat_by_the_kilogram_of_solids_becomes_heat_by_the_litre_of_mix() -> None:
    heat = loaded(BED + MORE, "harrow-bed").heat
    assert heat is not None
    assert heat.heat_kj_per_l == pytest.approx(62.0 * 24.0 / 12.4)
    assert heat.written == "62 kJ/kg"


def test_heat_capacity_by_the_kilogram_becomes_that_of_a_litre() -> None:
    thermal = loaded(BED + MORE, "harrow-bed").thermal
    assert thermal is not None
    assert thermal.store_kj_per_l_k == pytest.approx(0.9 * 2.19)
    assert thermal.conduct_w_per_m_k == 1.1


def test_doses_and_dosed_times_are_sorted() -> None:
    sheet = loaded(TOP + DOSES, "slate-top")
    assert [dose.temp_c for dose in sheet.dose] == [5.0, 20.0]
    assert sheet.dose[1] == DoseAt(20.0, 1.0, 2.0, "table 5")
    assert sheet.gel == (DosedTimeAt(20.0, 1.0, 17.0, "table 6"), DosedTimeAt(20.0, 2.0, 11.0, "table 6"))


def test_a_resin_may_say_what_its_dose_is_counted_on_and_how_hot_a_layer_may_get() -> None:
    assert loaded(TOP, "slate-top").kit.resin_kg is not None
    bare = loaded("\n".join(line for line in TOP.splitlines() if not line.startswith("resin_kg")), "slate-top")
    assert (bare.kit.resin_kg, bare.heat) == (None, None)
    heat = loaded(TOP + '\n[heat]\nheat_kj_per_l = 105.0\nmost_c = 75.0\nplace = "page 3"\n', "slate-top").heat
    assert heat is not None
    assert (heat.heat_kj_per_l, heat.most_c, heat.place) == (105.0, 75.0, "page 3")


@pytest.mark.parametrize("name", joint_data().movement_share)
def test_a_sealant_may_be_of_any_class_that_joints_are_reckoned_with(name: str) -> None:
    sheet = loaded(SEAL + f'\n[movement]\nclass = "{name}"\nplace = "page 1"\n', "bead-seal")
    assert sheet.movement == Movement(name, "page 1")
    assert loaded(SEAL, "bead-seal").movement is None
