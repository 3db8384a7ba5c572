"""The findings' table reads back, and nothing in it can be taken for a formula."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from papers.sample_plan import sample_plan
from truebed.papers.findings_csv import HEAD, findings_csv, safe

PLAN = sample_plan()


def test_every_finding_is_a_row_with_its_closure_and_cover() -> None:
    data = findings_csv(PLAN)
    assert data.startswith(b"\xef\xbb\xbf")
    rows = list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    assert tuple(rows[0]) == HEAD
    assert [(r["closure"], r["cover"], r["code"]) for r in rows][:2] == [
        ("Tenter-1", "K14", "LV"),
        ("Tenter-1", "K11", "LV"),
    ]
    assert (rows[1]["value"], rows[1]["unit"], rows[1]["limit"]) == ("14", "mm", "6.6 mm")
    assert rows[3]["what"] == "'=SUM(A1) is only a word here"
    assert rows[3]["value"] == "-2.5"


@pytest.mark.parametrize("words", ["=1", "+1", "-1", "@x", "\t=1", "  =1", "\r=1"])
def test_words_that_could_start_a_formula_get_an_apostrophe(words: str) -> None:
    assert safe(words) == "'" + words


@given(st.text(max_size=20))
def test_plain_words_are_left_as_they_are(words: str) -> None:
    assert safe(words) in (words, "'" + words)
    assert not safe(words).startswith(("=", "+", "-", "@", "\t", "\r"))


def test_twice_gives_the_same_bytes() -> None:
    assert findings_csv(PLAN) == findings_csv(PLAN)
