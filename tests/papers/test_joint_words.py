"""The movement joint in words: width, depth, rod, movement, hours; a plain verdict, and what is not known."""

from __future__ import annotations

from dataclasses import replace

from plan.sample import shelf
from plan.test_joint import planned
from plan.weathered import hour
from truebed.papers.joint_words import (
    backer_words,
    depth_words,
    joint_rows,
    moves_words,
    seal_words,
    sealant_words,
    width_words,
)
from truebed.plan.joint import JointPlan


def joint(name: str | None = "25", **changes: object) -> JointPlan:
    made = planned(name, **changes)[1]
    assert made is not None
    return made


def test_a_joint_that_will_do_is_told_in_six_rows_and_what_was_taken() -> None:
    rows = {row["name"]: row["text"] for row in joint_rows(joint())}
    assert list(rows) == ["sealant", "width", "depth", "backer", "moves", "seal when", "taken"]
    assert rows["sealant"] == "Bead joint sealant, class 25 (p1)"
    assert rows["width"] == "30.0 mm; least 26.0 mm (opening in the cold): enough"
    assert rows["depth"] == "25.0 mm; about 15.0 mm suits that width"
    assert rows["backer"].startswith("rod of 40 mm")
    assert rows["moves"].startswith("7.30 mm from −10 to 36 °C of the piece, 5.00 mm of it shrinkage; 5000 mm move")
    assert rows["moves"].endswith("sealed at 20 °C (20:00, the worst hour) it opens 6.50 and closes 0.80 mm")
    assert rows["seal when"] == "with the piece at −10 to 36 °C (any of the year): every hour of the closure"
    assert "from memory" in rows["taken"]


def test_a_width_that_will_not_do_stands_out() -> None:
    weak = joint("20")
    assert width_words(weak).endswith("least 32.5 mm (opening in the cold): NOT ENOUGH at the worst hour")
    assert "NO hour of the closure: seal in a later visit" in seal_words(weak)
    assert seal_words(joint("12.5")).startswith("at no temperature")


def test_barred_hours_are_told_with_what_to_do() -> None:
    text = seal_words(joint(hours=[hour(0), hour(1, road_c=11.0)]))
    assert text.endswith("20:00 to 21:00 only. Too near the dew point: warm and dry the face, measure again, or wait.")


def test_depths_that_are_not_allowed_say_so_and_a_wide_joint_has_no_rod() -> None:
    assert depth_words(joint(depth_mm=13.0)).endswith("NOT ALLOWED: the sheet takes 14 to 45 mm")
    assert depth_words(joint(depth_mm=31.0)).endswith("NOT ALLOWED: deeper than wide")
    assert backer_words(joint(width_mm=60.0)).startswith("no usual rod is wide enough")


def test_the_sheets_own_least_width_is_named() -> None:
    wide = replace(shelf().sheets["bead-seal"].limits, least_width_mm=28.0)
    assert width_words(joint(limits=wide)) == "30.0 mm; least 28.0 mm (the sheet's least width): enough"


def test_what_is_not_determined_is_told_and_nothing_else() -> None:
    rows = {row["name"]: row["text"] for row in joint_rows(joint(None))}
    assert rows["width"] == "30.0 mm; least width not determined"
    assert "seal when" not in rows
    assert "class of movement" in rows["not known"]
    assert sealant_words(joint(None)).endswith("not given")
    assert moves_words(joint(None)).endswith("the kerb opposite holds it)")
    assert joint_rows(None) == []
