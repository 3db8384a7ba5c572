"""Rule sets: what the packaged ones say, how one extends another, and what is refused."""

from __future__ import annotations

from itertools import product

import pytest

from truebed.errors import Fault, NotDeterminedError
from truebed.rules.load import load_rule_set
from truebed.rules.packaged import packaged_rules, rule_names
from truebed.rules.ruleset import RuleSet
from truebed.sources import READ_AS, known_sources

VALUE = """
[[value]]
name = "setting_sd_mm"
value = 1.5
unit = "mm"
source = "house"
clause = "measured"
edition = "2"
read_as = "assumption"
"""


def packaged(key: str) -> RuleSet:
    rules, faults = load_rule_set(key, {}, packaged_rules())
    assert faults == ()
    assert rules is not None
    return rules


def own(**texts: str) -> dict[str, bytes]:
    return {f"rules/{name.replace('_', '-')}.toml": text.encode() for name, text in texts.items()}


def faults_of(key: str, files: dict[str, bytes]) -> tuple[Fault, ...]:
    rules, faults = load_rule_set(key, files, packaged_rules())
    assert rules is None
    assert faults
    return faults


def town(extra: str, extends: str = 'extends = "uk"') -> dict[str, bytes]:
    return own(town=f'key = "town"\nname = "A town"\n{extends}\n{extra}')


# SROH 4th edition: each row is a departure as measured and whether the clause lets it pass.
@pytest.mark.parametrize(
    ("what", "words", "departure_mm", "passes"),
    [
        ("fixed_feature", ("cover", "carriageway"), 6.0, True),
        ("fixed_feature", ("cover", "carriageway"), 6.1, False),
        ("fixed_feature", ("cover", "carriageway"), -6.0, True),
        ("fixed_feature", ("cover", "carriageway"), -6.1, False),
        ("fixed_feature", ("box", "footway"), 5.9, True),
        ("fixed_feature", ("gully", "kerbside"), 0.0, True),
        ("fixed_feature", ("gully", "kerbside"), 0.1, False),
        ("fixed_feature", ("gully", "kerbside"), -6.0, True),
        ("fixed_feature", ("gully", "kerbside"), -6.1, False),
        ("reinstatement_edge", ("carriageway",), 6.0, True),
        ("reinstatement_edge", ("carriageway",), 6.1, False),
        ("reinstatement_edge", ("carriageway",), -6.0, True),
        ("reinstatement_edge", ("carriageway",), -6.1, False),
    ],
)
def test_the_english_set_judges_as_the_clause_does(
    what: str, words: tuple[str, ...], departure_mm: float, passes: bool
) -> None:
    rules = packaged("uk")
    low_mm = rules.number(f"{what}_low_mm", *words)
    high_mm = rules.number(f"{what}_high_mm", *words)
    assert (low_mm <= departure_mm <= high_mm) is passes


@pytest.mark.parametrize("name", ["fixed_feature_low_mm", "fixed_feature_high_mm"])
def test_the_level_clause_is_cited_as_read(name: str) -> None:
    found = packaged("uk").find(name, "cover")
    assert found is not None
    assert found.verified
    assert found.cite() == "[sroh-4] S2.3.1 (seen)"


@pytest.mark.parametrize(
    ("departure_mm", "england", "scotland"), [(-4.0, True, False), (-3.0, True, True), (6.0, True, True)]
)
def test_the_scottish_edge_is_stricter_below_and_is_shown_as_second_hand(
    departure_mm: float, england: bool, scotland: bool
) -> None:
    for key, passes in (("uk", england), ("uk-scotland", scotland)):
        rules = packaged(key)
        low_mm, high_mm = rules.number("reinstatement_edge_low_mm"), rules.number("reinstatement_edge_high_mm")
        assert (low_mm <= departure_mm <= high_mm) is passes
    edge = packaged("uk-scotland").find("reinstatement_edge_low_mm")
    assert edge is not None
    assert not edge.verified


def test_the_scottish_set_takes_over_all_other_english_values() -> None:
    english, scottish = packaged("uk"), packaged("uk-scotland")
    changed = {
        "reinstatement_edge_low_mm",
        "reinstatement_edge_high_mm",
        "shade_air_coldest_c",
        "shade_air_hottest_c",
    }
    assert [v for v in english.values if v.name not in changed] == [v for v in scottish.values if v.name not in changed]


@pytest.mark.parametrize(("place", "load_class"), [("carriageway", "D400"), ("kerbside", "C250"), ("footway", "B125")])
def test_the_least_load_class_goes_by_place(place: str, load_class: str) -> None:
    found = packaged("uk").find("load_class_least", "cover", place)
    assert found is not None
    assert found.value == load_class


def test_vibration_points_are_those_of_the_ready_reckoner() -> None:
    rules = packaged("uk")
    five_m_per_s2_for_three_hours_points = 150.0  # checks the published example: above action, below limit
    assert rules.number("vibration_action_points") < five_m_per_s2_for_three_hours_points
    assert five_m_per_s2_for_three_hours_points < rules.number("vibration_limit_points")


def test_every_packaged_value_has_a_source_that_resolves_a_known_tag_and_a_registered_name() -> None:
    for file in packaged_rules():
        rules = packaged(file.removeprefix("rules/").removesuffix(".toml"))
        assert rules.values
        for value in rules.values:
            assert value.source in known_sources()
            assert value.read_as in READ_AS
            assert value.name in rule_names()
            assert value.unit == rule_names()[value.name].unit


def test_no_packaged_look_up_is_ambiguous() -> None:
    rules = packaged("uk")
    kinds, places = ("cover", "gully", "box"), ("carriageway", "kerbside", "footway")
    classes = ("A15", "B125", "C250", "D400", "E600", "F900")
    for name in sorted({value.name for value in rules.values}):
        for words in product(kinds, places, classes):
            rules.find(name, *words)


def test_no_packaged_set_gives_an_opening_strength() -> None:
    with pytest.raises(NotDeterminedError, match="gives no number 'opening_strength_n_per_mm2'"):
        packaged("uk").number("opening_strength_n_per_mm2", "carriageway")


def test_the_most_particular_value_wins() -> None:
    extra = VALUE + VALUE.replace("1.5", "2.5").replace('unit = "mm"', 'unit = "mm"\napplies = ["gully", "kerbside"]')
    rules, faults = load_rule_set("town", town(extra), packaged_rules())
    assert rules is not None
    assert faults == ()
    assert rules.number("setting_sd_mm", "gully", "kerbside") == 2.5
    assert rules.number("setting_sd_mm", "gully", "footway") == 1.5


def test_two_equally_particular_values_that_disagree_are_not_chosen_between() -> None:
    gully = VALUE.replace('unit = "mm"', 'unit = "mm"\napplies = ["gully"]')
    kerbside = VALUE.replace("1.5", "2.5").replace('unit = "mm"', 'unit = "mm"\napplies = ["kerbside"]')
    rules, _ = load_rule_set("town", town(gully + kerbside), packaged_rules())
    assert rules is not None
    with pytest.raises(NotDeterminedError, match=r"1\.5 for gully and 2\.5 for kerbside"):
        rules.find("setting_sd_mm", "gully", "kerbside")


def test_an_own_value_replaces_the_parents_value_of_the_same_name_and_applies() -> None:
    rules, _ = load_rule_set("town", town(VALUE), packaged_rules())
    assert rules is not None
    assert rules.number("setting_sd_mm") == 1.5
    assert len([v for v in rules.values if v.name == "setting_sd_mm"]) == 1
    assert rules.number("reading_sd_mm") == packaged("uk").number("reading_sd_mm")


def test_a_chain_of_own_sets_ends_at_the_packaged_one() -> None:
    files = town(VALUE, 'extends = "county"') | own(county='key = "county"\nname = "A county"\nextends = "uk"')
    rules, faults = load_rule_set("town", files, packaged_rules())
    assert faults == ()
    assert rules is not None
    assert rules.number("fixed_feature_high_mm") == 6.0


def test_an_own_document_may_be_a_source_and_is_kept() -> None:
    document = '[[source]]\nkey = "spec"\ndocument = "The town\'s own specification"\nedition = "3"\n'
    rules, faults = load_rule_set("town", town(document + VALUE.replace('"house"', '"spec"')), packaged_rules())
    assert faults == ()
    assert rules is not None
    assert [s.document for s in rules.own_sources] == ["The town's own specification"]


@pytest.mark.parametrize(
    ("extra", "row", "column", "words"),
    [
        (VALUE.replace('source = "house"\n', ""), 0, "value[1].source", "expected the key 'source'"),
        (VALUE.replace('"house"', '"hous"'), 9, "value[1].source", "Did you mean 'house'?"),
        (VALUE.replace('"house"', '"quite unknown"'), 9, "value[1].source", "add a [[source]] with key, document"),
        (VALUE.replace('"assumption"', '"believed"'), 12, "value[1].read_as", "one of 'seen', 'second-hand'"),
        (VALUE.replace("clause =", 'clauze = ""\nclause ='), 10, "value[1].clauze", "Did you mean 'clause'?"),
        (VALUE.replace("1.5", "true"), 7, "value[1].value", "a number or a text in quotes"),
        (VALUE.replace("1.5", "nan"), 7, "value[1].value", "a finite number"),
        (VALUE.replace("1.5", '"1.5"'), 7, "value[1].value", "expected a number"),
        (VALUE.replace('"mm"', '"N/mm2"'), 8, "value[1].unit", "one of Truebed's units"),
        (VALUE.replace('unit = "mm"', 'unit = "m"'), 8, "value[1].unit", "the unit that ends the name"),
        (VALUE.replace('"setting_sd_mm"', '"seting_sd_mm"'), 6, "value[1].name", "Did you mean 'setting_sd_mm'?"),
        (VALUE + VALUE, 15, "value[2].name", "a second 'setting_sd_mm' for everything"),
    ],
)
def test_what_is_wrong_with_a_value_is_named_with_its_line(extra: str, row: int, column: str, words: str) -> None:
    (fault,) = faults_of("town", town(extra))
    assert fault.file == "rules/town.toml"
    assert fault.row == (row or 5)
    assert fault.column == column
    assert words in fault.sentence()


def test_all_faults_come_at_once() -> None:
    extra = VALUE.replace('"house"', '"hous"') + VALUE.replace("clause =", "clauze =").replace("1.5", "true")
    assert {fault.column for fault in faults_of("town", town(extra))} == {
        "value[2].clauze",
        "value[2].value",
        "value[2].clause",
    }
    extra = VALUE.replace('"house"', '"hous"') + VALUE.replace('unit = "mm"', 'unit = "kg"')
    assert {fault.column for fault in faults_of("town", town(extra))} == {
        "value[1].source",
        "value[2].name",
        "value[2].unit",
    }


def test_a_circle_of_sets_is_named_link_by_link() -> None:
    files = town("", 'extends = "county"') | own(county='key = "county"\nname = "A county"\nextends = "town"')
    (fault,) = faults_of("town", files)
    assert fault.found == "a circle: town -> county -> town"
    assert fault.file == "rules/county.toml"
    assert fault.row == 3


def test_an_unknown_parent_is_named_with_the_chain_and_the_nearest_key() -> None:
    (fault,) = faults_of("town", town("", 'extends = "uk-scotlund"'))
    assert fault.found == "an unknown set: town -> uk-scotlund"
    assert "Did you mean 'uk-scotland'?" in fault.mend


def test_an_unknown_rule_set_is_a_fault_of_the_works_file() -> None:
    (fault,) = faults_of("twon", town(""))
    assert (fault.file, fault.column) == ("works.toml", "rule_set")
    assert "Did you mean 'town'?" in fault.mend


def test_an_own_set_may_not_hide_a_packaged_one() -> None:
    (fault,) = faults_of("uk", own(uk='key = "uk"\nname = "Mine"'))
    assert "comes with Truebed" in fault.found
    assert 'extends = "uk"' in fault.mend


def test_the_key_must_be_the_files_own_name() -> None:
    (fault,) = faults_of("town", own(town='key = "city"\nname = "A town"'))
    assert (fault.row, fault.found) == (1, "'city'")


def one(name: str, value: float | str, *applies: str) -> str:
    """One value of an own set; its line is the second of five and its figure stands on the third."""
    unit = rule_names()[name].unit
    shown = f'"{value}"' if isinstance(value, str) else f"{value}"
    words = ", ".join(f'"{word}"' for word in applies)
    return (
        f'[[value]]\nname = "{name}"\nvalue = {shown}\nunit = "{unit}"\napplies = [{words}]\n'
        'source = "house"\nclause = "own"\nedition = "1"\nread_as = "assumption"\n'
    )


@pytest.mark.parametrize(
    ("name", "value", "expected"),
    [
        ("opening_strength_n_per_mm2", -14.0, "more than 0 and at most 150 n_per_mm2"),
        ("opening_strength_n_per_mm2", 0.0, "more than 0 and at most 150 n_per_mm2"),
        ("opening_strength_n_per_mm2", 14000.0, "more than 0 and at most 150 n_per_mm2"),
        ("reading_sd_mm", 0.0, "more than 0 and at most 50 mm"),
        ("setting_sd_mm", -1.0, "more than 0 and at most 50 mm"),
        ("sheet_time_band_share", -1.0, "from 0 to 1 share"),
        ("false_alarm_share", 2.0, "more than 0 and at most 0.5 share"),
        ("cure_temp_band_c", -0.1, "from 0 to 20 c"),
        ("fixed_feature_low_mm", 6.0, "from -100 to 0 mm"),
        ("wheel_load_kn", 200000.0, "more than 0 and at most 1000 kn"),
        ("seat_width_least_mm", 501.0, "from 0 to 500 mm"),
        ("load_class_least", "heavy", "one of A15, B125, C250, D400, E600, F900"),
        ("load_class_least", "d400", "one of A15, B125, C250, D400, E600, F900"),
    ],
)
def test_a_value_outside_what_its_name_takes_is_refused_with_the_range(
    name: str, value: float | str, expected: str
) -> None:
    (fault,) = faults_of("town", town(one(name, value)))
    assert (fault.file, fault.row, fault.column) == ("rules/town.toml", 6, "value[1].value")
    assert (fault.expected, bool(fault.mend)) == (expected, True)
    assert (f"{value:g}" if isinstance(value, float) else value) in fault.found


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("sheet_time_band_share", 0.0),
        ("cure_temp_band_c", 20.0),
        ("false_alarm_share", 0.5),
        ("seat_width_least_mm", 0.0),
    ],
)
def test_a_value_on_the_edge_of_its_range_is_taken(name: str, value: float) -> None:
    rules, faults = load_rule_set("town", town(one(name, value)), packaged_rules())
    assert faults == ()
    assert rules is not None
    assert rules.number(name) == value


def test_every_name_of_a_number_has_a_range_and_every_name_of_a_word_its_words() -> None:
    for name in rule_names().values():
        assert (name.words == ()) is (name.unit != "")
        assert not name.unit or -1e9 < name.least < name.most < 1e9
        assert name.not_above == "" or rule_names()[name.not_above].unit == name.unit


@pytest.mark.parametrize(
    ("extra", "row", "found"),
    [
        (
            one("fixed_feature_low_mm", -3.0) + one("fixed_feature_high_mm", -4.0),
            6,
            "'fixed_feature_low_mm' -3 above 'fixed_feature_high_mm' -4 for everything",
        ),
        (
            one("reinstatement_edge_high_mm", -7.0, "footway"),
            6,
            "'reinstatement_edge_low_mm' -6 above 'reinstatement_edge_high_mm' -7 for footway",
        ),
        (
            one("vibration_limit_points", 90.0),
            6,
            "'vibration_action_points' 100 above 'vibration_limit_points' 90 for everything",
        ),
    ],
)
def test_a_low_limit_above_its_high_one_is_told_in_the_users_own_file(extra: str, row: int, found: str) -> None:
    faults = faults_of("town", town(extra))
    assert found in {fault.found for fault in faults}
    assert {(fault.file, fault.column.split(".")[1]) for fault in faults} == {("rules/town.toml", "value")}
    assert min(fault.row for fault in faults) == row


def test_a_low_limit_on_its_high_one_is_taken() -> None:
    extra = one("reinstatement_edge_low_mm", -2.0) + one("reinstatement_edge_high_mm", -2.0)
    rules, faults = load_rule_set("town", town(extra), packaged_rules())
    assert faults == ()
    assert rules is not None
    assert rules.number("reinstatement_edge_high_mm") == -2.0


@pytest.mark.parametrize("load_class", ["D400", "E600", "F900"])
def test_the_least_frame_depth_holds_for_all_classes_of_its_clause(load_class: str) -> None:
    assert packaged("uk").number("frame_depth_least_mm", "cover", "carriageway", load_class) == 100.0


def test_the_least_seat_width_is_shown_as_an_assumption() -> None:
    seat = packaged("uk").find("seat_width_least_mm", "cover")
    assert seat is not None
    assert (seat.value, seat.read_as, seat.source) == (25.0, "assumption", "house")
