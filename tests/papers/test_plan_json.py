"""plan.json: there and back, rounded, stable, and as its schema says."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from papers.sample_plan import sample_plan
from truebed.papers.plan_json import plan_adapter, plan_from_json, plan_json, rounded
from truebed.papers.plan_schema import plan_schema, plan_schema_text
from truebed.papers.why_table import tabled, untabled
from truebed.plan.result import Plan

PLAN = sample_plan()


def test_a_plan_goes_there_and_back_and_keeps_its_bytes() -> None:
    data = plan_json(PLAN)
    again = plan_from_json(data)
    assert isinstance(again, Plan)
    assert plan_json(again) == data
    assert again.closures[0].shut == PLAN.closures[0].shut
    assert again.closures[0].shut.utcoffset() == PLAN.closures[0].shut.utcoffset()
    assert again.closures[0].problem == PLAN.closures[0].problem
    assert again.figures == PLAN.figures
    assert again.findings == PLAN.findings


@given(st.floats(-1e9, 1e9, allow_nan=False))
def test_a_number_keeps_six_digits_that_count_and_a_millionth(value: float) -> None:
    near = rounded(value)
    assert abs(near - value) <= max(5.1e-7, 5.1e-7 * abs(value)) if abs(value) >= 1 else True
    assert near == pytest.approx(value, rel=5.1e-6, abs=0)
    assert math.copysign(1.0, near) == 1.0 or near != 0.0
    assert rounded(near) == near


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_a_number_that_is_not_finite_is_never_written(bad: float) -> None:
    design = PLAN.closures[0].designed[0]
    broken = replace(PLAN.closures[0], designed=(replace(design, dig_l=bad),))
    with pytest.raises(ValueError, match=r"not finite|Out of range"):
        plan_json(replace(PLAN, closures=(broken,)))


def test_fields_stand_in_the_order_of_the_type() -> None:
    assert list(json.loads(plan_json(PLAN)))[:4] == ["works", "reference", "rule_set", "time_zone"]


def test_the_plan_is_as_the_schema_says() -> None:
    schema = plan_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(json.loads(plan_json(PLAN)), schema)
    broken = json.loads(plan_json(PLAN))
    broken["closures"][0]["designed"][0]["dig_l"] = "much"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(broken, schema)


def test_the_schema_s_text_is_tidy_and_names_every_type_and_field() -> None:
    text = plan_schema_text()
    made = json.loads(text)
    assert made["$schema"].endswith("2020-12/schema")
    assert "title" in made["$defs"]["Caution"]["properties"]  # a field of that name is kept
    assert "title" not in made["$defs"]["Figure"]["properties"]["unit"]
    assert {"CoverDesign", "Schedule", "Why", "Finding"} <= set(made["$defs"])
    assert text == plan_schema_text()


def test_a_why_is_written_once_and_named_by_its_place() -> None:
    tree = json.loads(plan_json(PLAN))
    rows = [json.dumps(row, sort_keys=True) for row in tree["whys"]]
    assert len(rows) == len(set(rows))
    assert all(place < i for i, row in enumerate(tree["whys"]) for place in row["inputs"])
    assert untabled(tabled(untabled(tree))) == untabled(tree)


@pytest.mark.parametrize("place", [10**6, -1, "w", None])
def test_a_why_that_is_not_there_is_refused(place: object) -> None:
    tree = json.loads(plan_json(PLAN))
    tree["figures"][0][1]["why"] = place
    with pytest.raises(ValueError, match="why"):
        plan_from_json(json.dumps(tree).encode())


@pytest.mark.parametrize("data", [b"{}", b"[]", b"3", b"not json", b'{"figures": [[1]]}', b'{"figures": []}'])
def test_what_is_not_a_plan_is_refused(data: bytes) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        plan_from_json(data)
    assert plan_adapter() is plan_adapter()
