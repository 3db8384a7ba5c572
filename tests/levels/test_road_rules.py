"""The rule set's values for surveys and road fits are those that the code takes where no rule set is at hand."""

import pytest

from truebed.errors import NotDeterminedError
from truebed.levels.road_rules import RoadRules, SurveyRules, road_rules, survey_rules
from truebed.rules.load import load_rule_set
from truebed.rules.packaged import packaged_rules
from truebed.rules.ruleset import RuleSet


def test_the_packaged_set_gives_the_same_numbers_as_the_code_takes_without_one():
    rules, faults = load_rule_set("uk", {}, packaged_rules())
    assert not faults
    assert road_rules(rules) == RoadRules()
    assert survey_rules(rules) == SurveyRules()


def test_a_set_without_them_is_told_so():
    with pytest.raises(NotDeterminedError, match="reading_sd_mm"):
        survey_rules(RuleSet("bare", "bare", ()))
    with pytest.raises(NotDeterminedError, match="road_readings_least_count"):
        road_rules(RuleSet("bare", "bare", ()))
