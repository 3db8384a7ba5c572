"""One cover's sheet: beds, clocks on the safe side, mixing hours, steps."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from papers.sample_plan import sample_closure, sample_plan
from truebed.papers.cover_sheet import (
    bed_at,
    clock_words,
    corner_rows,
    cover_words,
    in_mixing_order,
    kit_words,
    mixing_step,
    step_rows,
    verdict_words,
    whole_minutes,
)

PLAN, CLOSURE, ZONE = sample_plan(), sample_closure(), ZoneInfo("Europe/London")
K11, K12, K13 = CLOSURE.designed


def test_each_corner_has_its_level_and_the_bed_of_its_name() -> None:
    rows = corner_rows(K11)
    assert [r["name"] for r in rows] == [c.name for c in K11.setting.corners]
    front_right = rows[3]
    assert (front_right["rim"], front_right["bed"]) == ("+9", "38.6")


def test_where_the_bed_was_measured_elsewhere_a_corner_s_bed_is_between_the_planes() -> None:
    corner = K11.setting.corners[0]
    measured = replace(K11, setting=replace(K11.setting, bed=(replace(K11.setting.bed[0], name="m1"),)))
    wanted = K11.setting.rim.minus(K11.setting.chamber_top).at(corner.x_mm, corner.y_mm) - 150.0
    assert bed_at(measured, corner) == pytest.approx(wanted)


def test_a_life_is_rounded_down_and_a_wait_up() -> None:
    life, ready = replace(K11.clocks[0], wait=False), K11.clocks[1]
    assert whole_minutes(replace(life, minutes_min=18.9)) == 18
    assert whole_minutes(replace(ready, minutes_min=34.1)) == 35
    assert clock_words(K11.clocks[6])["what"] == "wait: reaches 20 N/mm\u00b2"
    assert clock_words(replace(ready, wait=False))["what"].startswith("within: last levels")
    assert clock_words(ready)["what"].startswith("wait:")


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


def test_a_round_cut_is_told_by_its_diameter() -> None:
    disc = replace(K12, cut=replace(K12.cut, form="round", diameter_mm=980.0))
    assert str(cover_words(PLAN, CLOSURE, disc, ZONE)["cut"]).startswith("\u00d8980.0 mm, saw")
    assert str(cover_words(PLAN, CLOSURE, K12, ZONE)["cut"]).startswith("960.0 x 960.0 mm, saw")
