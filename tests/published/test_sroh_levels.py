"""SROH 4th edition (England, May 2020), S2.3.1 as pass or fail. [sroh-4]

A fixed feature lies within 6 mm of the mean level of the immediately adjacent surface; a drainage feature lies 0 to
6 mm below it, never proud.
"""

import pytest

from truebed.rules.load import load_rule_set
from truebed.rules.packaged import packaged_rules


@pytest.fixture(scope="module")
def uk():
    rules, faults = load_rule_set("uk", {}, packaged_rules())
    assert faults == ()
    return rules


def inside(rules, kind, level_mm):
    low = rules.number("fixed_feature_low_mm", kind, "carriageway", "D400")
    high = rules.number("fixed_feature_high_mm", kind, "carriageway", "D400")
    return low <= level_mm <= high


@pytest.mark.parametrize(
    ("kind", "level_mm", "passes"),
    [
        ("cover", 0.0, True), ("cover", 6.0, True), ("cover", -6.0, True), ("cover", 6.1, False),
        ("cover", -6.1, False),
        ("box", 6.0, True), ("gully", 0.0, True), ("gully", -6.0, True), ("gully", 0.1, False), ("gully", -6.1, False),
    ],
)  # fmt: skip
def test_a_level_passes_or_fails_as_the_clause_says(uk, kind, level_mm, passes):
    assert inside(uk, kind, level_mm) is passes


def test_the_clause_is_cited_as_read(uk):
    assert uk.find("fixed_feature_low_mm", "cover").cite() == "[sroh-4] S2.3.1 (seen)"
