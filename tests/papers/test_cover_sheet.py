"""One cover's sheet: beds, mixing hours, steps."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

from papers.sample_plan import sample_closure, sample_plan
from truebed.findings import Finding, Severity
from truebed.papers.cover_sheet import (
    cover_words,
    in_mixing_order,
    kit_words,
    mixing_step,
    step_rows,
    verdict_words,
)

PLAN, CLOSURE, ZONE = sample_plan(), sample_closure(), ZoneInfo("Europe/London")
K11, K12, K13 = CLOSURE.designed


def test_a_verdict_that_fails_says_so_in_capitals() -> None:
    assert verdict_words(replace(K11.setting.clause, passes=False))["result"] == "BREAKS"


def test_kits_stand_in_mixing_order_with_hours_to_mix_and_to_place() -> None:
    assert [k.pour for k in in_mixing_order(CLOSURE, K11)] == ["bed", "fill", "backfill", "surface", "seal"]
    fill = kit_words(CLOSURE, K11, K11.kits[1], ZONE)
    assert fill["batches"] == [
        {"number": "1", "kits": "2 kits", "litres": "20.0 l", "begin": "22:09", "by": "22:31"},
        {"number": "2", "kits": "1 kit", "litres": "10.0 l", "begin": "22:13", "by": "22:35"},
    ]


def test_the_mixing_step_is_found_by_its_pour_and_else_by_its_name() -> None:
    step = mixing_step(CLOSURE, "K11", "fill")
    assert step is not None
    assert step.step == "mix-fill"
    unsaid = replace(CLOSURE, steps=tuple(replace(s, pour="") for s in CLOSURE.steps))
    again = mixing_step(unsaid, "K11", "fill")
    assert again == step
    assert mixing_step(unsaid, "K11", "grout") is None


def test_a_cover_left_out_has_steps_without_hours_and_its_reason() -> None:
    rows = step_rows(CLOSURE, K13, ZONE)
    assert len(rows) == 15
    assert {r["from"] for r in rows} == {"\u2013"}
    words = cover_words(PLAN, CLOSURE, K13, ZONE)
    assert (words["tonight"], words["why_not"]) == (False, "its noisy steps cannot end by 23:00")


def test_hold_points_name_the_step_by_its_number_on_the_night_s_picture() -> None:
    holds = cover_words(PLAN, CLOSURE, K11, ZONE)["holds"]
    assert isinstance(holds, list)
    assert [h["after"] for h in holds] == ["step 4", "step 6", "step 7", "step 10", "step 13", "step 15"]
    assert [r["number"] for r in step_rows(CLOSURE, K11, ZONE)][:4] == ["1", "2", "3", "4"]


def test_spare_kits_that_are_not_determined_are_never_a_zero() -> None:
    assert kit_words(CLOSURE, K11, K11.kits[2], ZONE)["spare"] == "spare not determined"


def test_what_the_sheets_tell_in_other_words_is_named_by_its_code_only() -> None:
    close = Finding("BD-002", Severity.CLOSE, "K11", "the chamber top is an estimate")
    breaks = replace(close, severity=Severity.BREAKS)
    for finding, beside, full in ((close, "BD-002", False), (breaks, "", True)):
        words = cover_words(replace(PLAN, findings=(finding,)), CLOSURE, K11, ZONE)
        assert words["told_beside"] == beside
        assert bool(words["findings"]) is full
