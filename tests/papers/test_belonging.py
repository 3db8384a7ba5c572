"""Findings find their cover and closure by their subject."""

from __future__ import annotations

from dataclasses import replace

import pytest

from papers.sample_plan import sample_closure, sample_plan
from truebed.findings import Finding, Severity
from truebed.papers.belonging import closures_of, cover_of, covers_of, findings_of, speaks_of

PLAN = sample_plan()


@pytest.mark.parametrize(
    ("subject", "name", "yes"),
    [
        ("C04, corner", "C04", True),
        ("C04", "C04", True),
        ("C041", "C04", False),
        ("C04-b", "C04", False),
        ("x", "", False),
    ],
)
def test_a_subject_speaks_of_a_name_only_as_a_whole(subject: str, name: str, yes: bool) -> None:
    assert speaks_of(subject, name) is yes


def test_covers_are_the_designed_and_the_not_designed() -> None:
    assert covers_of(PLAN.closures[0]) == ("K11", "K12", "K13", "K14")


def test_findings_belong_to_cover_and_closure() -> None:
    assert [cover_of(f, PLAN) for f in PLAN.findings] == ["K14", "K11", "K12", ""]
    assert all(closures_of(f, PLAN) == ("Tenter-1",) for f in PLAN.findings)


def test_a_closure_is_given_its_own_findings_and_those_of_the_works_heaviest_first() -> None:
    other = replace(sample_closure(), closure="Bobbin-2", designed=(), not_designed=())
    whole = Finding("IN", Severity.CLOSE, "works.toml", "no forecast")
    plan = replace(PLAN, closures=(*PLAN.closures, other), findings=(whole, *PLAN.findings))
    assert findings_of(plan, other) == (whole,)
    ranks = [f.severity for f in findings_of(plan, plan.closures[0])]
    assert ranks == [Severity.BREAKS, Severity.CLOSE, Severity.CLOSE, Severity.ADVICE, Severity.STATED]
