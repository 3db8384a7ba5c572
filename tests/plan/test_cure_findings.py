"""What is told of a cover's clocks: what they rest on, which are read by the simple rule, and frost with its share."""

from dataclasses import replace

import pytest

from plan.night_case import case_with, plain_clocks
from plan.sample import case
from truebed.findings import Severity
from truebed.plan.clocks import read_clocks
from truebed.plan.cure_findings import cure_findings

READINGS = tuple(k.reading for k in plain_clocks())


def told(made, readings):
    return {f.code: f for f in cure_findings(made, readings)}


def frosty(share):
    first = READINGS[0]
    hours = (*first.hours[:-1], replace(first.hours[-1], frost_share=share))
    return (replace(first, hours=hours), *READINGS[1:])


def points():
    made = case()
    targets = {"bed": 12.0, "fill": 12.0, "backfill": None, "surface": None, "seal": None}
    return made, tuple(k.reading for k in read_clocks(made.method, made.sheets, targets, made.temps, made.rules))


def test_clocks_that_follow_the_heat_say_so_and_between_which_temperatures():
    found = told(case_with(), READINGS)
    assert set(found) == {"CU-001"}
    assert found["CU-001"].severity is Severity.STATED
    assert found["CU-001"].value == min(r.temp_c for r in READINGS)
    assert f"held at {min(r.temp_c for r in READINGS):.1f} to" in found["CU-001"].what


def test_clocks_by_the_simple_rule_are_named_at_their_coldest():
    made, readings = points()
    found = told(made, readings)
    assert set(found) == {"CU-003"}
    assert found["CU-003"].value == made.temps.coldest_c
    assert "bed life" in found["CU-003"].what
    assert "seal ready" in found["CU-003"].what


@pytest.mark.parametrize(
    ("share", "severity"), [(0.01, Severity.ADVICE), (0.02, Severity.CLOSE), (0.3, Severity.CLOSE)]
)
def test_frost_is_told_with_its_share_and_is_close_to_a_limit_from_a_fiftieth_on(share, severity):
    finding = told(case_with(), frosty(share))["CU-002"]
    assert finding.severity is severity
    assert f"in up to {share:.0%} of the believable nights" in finding.what
    assert "before it has 5 N/mm2" in finding.what


def test_a_freezing_night_is_close_to_a_limit_where_a_clock_does_not_follow_the_heat():
    made, readings = points()
    cold = replace(made, temps=replace(made.temps, coldest_c=-0.5))
    assert told(cold, readings)["CU-002"].severity is Severity.CLOSE
    assert "CU-002" not in told(replace(case_with(), temps=cold.temps), READINGS)
