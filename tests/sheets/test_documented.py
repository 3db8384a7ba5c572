"""The page that tells how to write a sheet, a method and a rule set is true: its examples load, no key is missing."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from truebed.rules.load import load_rule_set
from truebed.rules.packaged import packaged_rules, rule_names
from truebed.rules.schema import RulesFile, SourceTable, ValueTable
from truebed.rules.shape import Table
from truebed.sheets.chain_checks import FIXED_DRIVERS
from truebed.sheets.extra_shape import (
    BaseTable,
    BinderTable,
    DosedTimeTable,
    DoseTable,
    HeatTable,
    MovementTable,
    ShelfTable,
    ShrinkageTable,
    SpreadTable,
    ThermalTable,
)
from truebed.sheets.load import load_sheets
from truebed.sheets.load_method import load_methods
from truebed.sheets.method_shape import ClockTable, LayersTable, LinkTable, MethodFile, RoleTable, StepTable
from truebed.sheets.sheet_shape import KitTable, LimitsTable, SheetFile, StrengthTable, TimeTable, TrafficTable

PAGE = (Path(__file__).parents[2] / "docs" / "sheets-and-methods.md").read_text("utf-8")
EXAMPLES = {
    file: text.encode() for file, text in re.findall(r"<!-- loads: (\S+) -->\n```toml\n(.*?)```", PAGE, re.DOTALL)
}
TABLES: tuple[type[Table], ...] = (
    SheetFile,
    KitTable,
    LimitsTable,
    TrafficTable,
    TimeTable,
    StrengthTable,
    BinderTable,
    BaseTable,
    HeatTable,
    ThermalTable,
    SpreadTable,
    ShrinkageTable,
    ShelfTable,
    MovementTable,
    DoseTable,
    DosedTimeTable,
    MethodFile,
    LayersTable,
    RoleTable,
    StepTable,
    LinkTable,
    ClockTable,
    RulesFile,
    ValueTable,
    SourceTable,
)


def test_the_examples_load_without_a_fault() -> None:
    sheets, sheet_faults = load_sheets(EXAMPLES)
    methods, method_faults = load_methods(EXAMPLES, sheets)
    rules, rule_faults = load_rule_set("borough", EXAMPLES, packaged_rules())
    assert [fault.sentence() for fault in (*sheet_faults, *method_faults, *rule_faults)] == []
    assert (list(sheets), list(methods)) == (["brook-bed"], ["plain"])
    assert rules is not None
    assert rules.number("opening_strength_n_per_mm2", "carriageway") == 15.0


@pytest.mark.parametrize("table", TABLES, ids=lambda table: str(table.__name__))
def test_every_key_stands_on_the_page(table: type[Table]) -> None:
    keys = {field.alias or name for name, field in table.model_fields.items()}
    told = set(re.findall(r"`\[?\[?([A-Za-z0-9_]+)\]?\]?`", PAGE))
    assert keys - told == set()


def test_every_driver_and_every_rule_name_stands_on_the_page() -> None:
    assert {driver for driver in FIXED_DRIVERS if f"`{driver}`" not in PAGE} == set()
    assert {name for name in rule_names() if f"`{name}`" not in PAGE} == set()
