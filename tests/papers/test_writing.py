"""How numbers and honesty are written."""

from __future__ import annotations

from dataclasses import replace

import pytest

from papers.sample_plan import findings, sample_closure
from truebed.papers.writing import (
    finding_words,
    honesty,
    litres,
    percent,
    plain_name,
    plus_minus,
    span,
    value_with_unit,
)

SOLUTION = sample_closure().solution


def test_litres_spans_and_half_widths() -> None:
    assert litres(7.44) == "7.4 l"
    assert (plus_minus(1.9), plus_minus(0.0)) == (" \u00b1 1.9", "")
    assert (span(21.0, 39.0), span(32.0, 32.04)) == ("21.0 to 39.0", "32.0")


@pytest.mark.parametrize(
    ("probability", "text"),
    [
        (None, "not determined"),
        (0.999, "more than 99 %"),
        (0.987, "98 %"),
        (0.004, "less than 1 %"),
        (1.0, "more than 99 %"),
        (0.99, "99 %"),
    ],
)
def test_a_probability_is_never_rounded_up_to_certainty(probability: float | None, text: str) -> None:
    assert percent(probability) == text


def test_a_value_keeps_its_sign_and_unit() -> None:
    assert value_with_unit(-2.5, "C") == "\u22122.5 C"
    assert value_with_unit(None, "mm") == ""


def test_best_is_said_only_where_it_was_proven() -> None:
    half = honesty(SOLUTION, "03:01", "02:49")
    assert half[0].startswith("Covers: proven best")
    assert half[1] == "Opening: best found, 03:01; before 02:49 is impossible."
    neither = honesty(replace(SOLUTION, weight_proven=False, weight_bound=30), "03:01", "02:49")
    assert neither[0] == "Covers: best found, weight 20; more than 30 is impossible."
    assert len(neither) == 2
    guarded = honesty(replace(SOLUTION, guard_hit=True, open_proven=True), "03:01", "02:49")
    assert "proven best" in guarded[1]
    assert "wall clock" in guarded[2]


def test_keys_become_words_and_findings_rows() -> None:
    assert plain_name("measure-chamber-top") == "Measure chamber top"
    assert finding_words(findings()[1])["value"] == "14 mm"
