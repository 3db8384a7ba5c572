"""What releases a road: the rule set's strength, else the sheet's traffic strength, else nothing; the wheel on top."""

from __future__ import annotations

import pytest

from curing.sample_sheet import sheet
from truebed.curing.opening_strength import opening_strength
from truebed.errors import NotDeterminedError
from truebed.rules.ruleset import RuleSet, RuleValue
from truebed.sheets.sheet import Sheet

WORDS = ("cover", "carriageway", "D400")
NAME = "opening_strength_n_per_mm2"


def rules(*values: tuple[str, float | str, tuple[str, ...]]) -> RuleSet:
    made = (RuleValue(n, v, "n_per_mm2", applies, "demo", "1", "invented", "invented") for n, v, applies in values)
    return RuleSet("town", "A town", tuple(made))


RULED = rules((NAME, 12.0, ("carriageway",)))
SILENT = rules()
TRAFFIC = sheet(traffic_strength_n_per_mm2=13.0)
MUTE = sheet(traffic_strength_n_per_mm2=None)


@pytest.mark.parametrize(
    ("rule_set", "own", "demand", "wanted", "governs"),
    [
        (RULED, TRAFFIC, None, 12.0, "opening strength of the rule set"),
        (RULED, MUTE, 1.4, 12.0, "opening strength of the rule set"),
        (RULED, MUTE, 12.5, 12.5, "what the wheel asks of the bed"),
        (SILENT, TRAFFIC, 1.4, 13.0, "traffic strength of the sheet"),
        (SILENT, TRAFFIC, 14.0, 14.0, "what the wheel asks of the bed"),
    ],
)
def test_the_greater_limit_governs(
    rule_set: RuleSet, own: Sheet, demand: float | None, wanted: float, governs: str
) -> None:
    value_n_per_mm2, why = opening_strength(rule_set, WORDS, own, demand)
    assert value_n_per_mm2 == why.value == wanted
    assert why.governed_by == governs


@pytest.mark.parametrize("demand", [None, 1.4, 30.0])
def test_with_neither_rule_nor_sheet_it_is_not_determined_whatever_the_wheel_asks(demand: float | None) -> None:
    value_n_per_mm2, why = opening_strength(SILENT, WORDS, MUTE, demand)
    assert value_n_per_mm2 is None
    assert why.value == "not determined"
    assert "there is no default" in why.relation


def test_a_qualification_strength_never_releases_a_road() -> None:
    qualified = rules(("bed_strength_n_per_mm2", 30.0, ()), ("qualification_strength_n_per_mm2", 30.0, ()))
    assert opening_strength(qualified, WORDS, MUTE, 1.4)[0] is None


def test_a_rule_for_another_place_does_not_apply() -> None:
    assert opening_strength(RULED, ("cover", "footway"), MUTE, None)[0] is None


def test_the_margin_over_the_wheel_is_told_with_its_sign() -> None:
    assert opening_strength(RULED, WORDS, MUTE, 1.5)[1].margin == 10.5
    assert opening_strength(RULED, WORDS, MUTE, 12.5)[1].margin == -0.5
    assert opening_strength(RULED, WORDS, MUTE, None)[1].margin is None


def test_the_why_shows_all_three_with_their_sources() -> None:
    why = opening_strength(RULED, WORDS, TRAFFIC, 1.4)[1]
    assert [(child.value, child.source) for child in why.inputs] == [
        (12.0, "[demo] 1 (invented)"),
        (13.0, "sheets/sample.toml: note b"),
        (1.4, "algebra"),
    ]


def test_a_word_where_a_strength_should_stand_is_refused() -> None:
    with pytest.raises(NotDeterminedError, match="is 'high', which is no number"):
        opening_strength(rules((NAME, "high", ())), WORDS, TRAFFIC, None)
