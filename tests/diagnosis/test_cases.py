"""Labelled survey cases from the repair ladder: right answers, the confusion table and the noise study of the docs."""

import re
from pathlib import Path

import pytest

from diagnosis.cases import CASES
from diagnosis.study import answer, confusion, confusion_page, digs, noise, noise_means

PAGE = (Path(__file__).parents[2] / "docs" / "theory" / "diagnosis.md").read_text("utf-8")


@pytest.mark.parametrize("case", [c for c in CASES if not c.read_wrong], ids=lambda c: c.name)
def test_a_case_clear_of_the_limits_gets_the_ladders_repair(case):
    found = answer(case.survey, case.kind)
    assert found.repair.key == case.label
    assert found.probability > 0.9


@pytest.mark.parametrize("case", [c for c in CASES if c.read_wrong], ids=lambda c: c.name)
def test_a_case_near_a_limit_says_that_it_is_in_doubt(case):
    found = answer(case.survey, case.kind)
    assert found.probability < 0.95
    assert case.label in {found.repair.key, *(o.repair.key for o in found.others)}


def test_there_are_cases_enough_and_every_repair_is_among_the_labels():
    assert len(CASES) >= 24
    assert len({c.name for c in CASES}) == len(CASES)
    assert {c.label for c in CASES} == {r for _, r in confusion()} | {c.label for c in CASES}
    assert len({c.label for c in CASES}) == 13


def test_a_lid_low_in_a_flush_frame_is_never_dug():
    low = [c for c in CASES if "flush frame" in c.name and c.name.startswith("lid")]
    assert len(low) == 2
    assert [digs(answer(c.survey).repair.key) for c in low] == [False, False]


def test_the_docs_hold_the_confusion_table_as_it_comes_out():
    assert confusion_page() in PAGE


def test_the_docs_hold_the_noise_study_within_a_hundredth():
    told = re.search(
        r"all cases ([\d.]+), clear of the limits ([\d.]+), near a limit ([\d.]+), digging turned ([\d.]+)", PAGE
    )
    assert told is not None
    for said, found in zip(map(float, told.groups()), noise_means(), strict=True):
        assert found == pytest.approx(said, abs=0.01)


def test_an_error_of_1_mm_seldom_changes_an_answer_that_is_clear_of_the_limits():
    clear = {name: share for name, (share, _) in noise().items() if name in {c.name for c in CASES if not c.read_wrong}}
    assert max(clear.values()) < 0.1
    assert sum(clear.values()) / len(clear) < 0.03
