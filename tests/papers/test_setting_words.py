"""What the crew sets a frame with: staff readings, packers, strings, joints, kerbs, and what is sure."""

from __future__ import annotations

from dataclasses import replace

import pytest

from papers.sample_aids import FORECAST, aids_of, full, in_parts, stacks
from papers.sample_plan import sample_closure
from truebed.papers.setting_words import (
    again_words,
    bed_at,
    corner_rows,
    forecast_words,
    joint_words,
    kerb_words,
    pieces_words,
    stand_heads,
    string_rows,
)
from truebed.plan.result import CoverDesign

K11, K12, _ = sample_closure().designed
FULL = full(K11)


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


def test_each_set_point_has_the_staff_reading_of_every_stand_its_packer_and_the_pieces() -> None:
    assert stand_heads(FULL) == ["staff S1 (mark 1500)", "staff S2 (mark 1722)"]
    for row, corner in zip(corner_rows(FULL), FULL.setting.corners, strict=True):
        assert row["staff"] == [f"{1500.0 - corner.rim_mm:.0f}", f"{1722.0 - corner.rim_mm:.0f}"]
        assert (row["packer"], row["pieces"]) == ("35.4", "20 + 10 + 5, 0.4 short")


def test_without_a_yard_a_packer_is_a_height_and_without_aids_there_is_no_column() -> None:
    bare = replace(FULL, aids=aids_of(K11, ()))
    assert {(r["packer"], r["pieces"]) for r in corner_rows(bare)} == {("35.4", "")}
    assert {(r["packer"], str(r["staff"])) for r in corner_rows(K11)} == {("", "[]")}
    assert (stand_heads(K11), string_rows(K11), kerb_words(K11)) == ([], [], [])
    assert (joint_words(K11), again_words(K11), forecast_words(K11)) == ("", "", "")


def test_a_stack_says_what_it_lacks_what_it_has_too_much_and_that_nothing_is_left() -> None:
    assert pieces_words(stacks(K11, (30.0, 10.0))[0]) == "30 + 10, 4.6 too high"
    assert pieces_words(stacks(K11, (35.4,))[0]) == "35.4"
    assert pieces_words(stacks(K11, ())[0]) == "no pieces left"


def test_a_string_says_where_it_is_held_its_blocks_and_how_far_down_at_each_mark() -> None:
    first, second = string_rows(FULL)
    assert (first["from"], first["to"], first["block"]) == ("x \u2212600, y +325", "x +600, y +325", "25")
    assert first["marks"] == [
        {"name": "rear-left", "along": "275", "down": "21.8"},
        {"name": "front-left", "along": "925", "down": "23.4"},
    ]
    assert (first["beyond"], second["beyond"]) == ("", "x \u2212245, y +458")


def test_the_readings_to_take_again_are_those_that_move_a_corner_most() -> None:
    assert again_words(FULL) == "P3 and P7: 10 mm wrong there moves a corner by 2.0 to 3.3 mm"
    still = replace(aids_of(K11), pulls=tuple(replace(p, most_ratio=0.001) for p in aids_of(K11).pulls))
    assert again_words(replace(K11, aids=still)) == ""


def with_room(higher_mm: float | None, lower_mm: float | None) -> CoverDesign:
    """The sample with another room for its chamber top."""
    forecast = replace(FORECAST, higher_most_mm=higher_mm, lower_most_mm=lower_mm)
    return replace(FULL, aids=replace(aids_of(K11), forecast=forecast))


def test_the_bed_before_break_out_has_its_span_and_the_room_of_the_chamber_top_rounded_down() -> None:
    assert forecast_words(FULL) == (
        "nine times in ten 12 to 43 mm with the frame at these levels. The chamber top may lie 13 mm higher or "
        "16 mm lower than estimated. A place for the frame, set anew, is found with 93 %."
    )


@pytest.mark.parametrize(
    ("higher_mm", "lower_mm", "said"),
    [
        (-2.5, 9.9, "The chamber top must lie 3 to 9 mm lower than estimated."),
        (9.9, -2.5, "The chamber top must lie 3 to 9 mm higher than estimated."),
        (None, None, "No even change of the chamber top helps."),
    ],
)
def test_where_the_estimate_itself_does_not_do_the_room_says_which_way(
    higher_mm: float | None, lower_mm: float | None, said: str
) -> None:
    assert said in forecast_words(with_room(higher_mm, lower_mm))


def test_the_greatest_step_at_a_joint_keeps_its_sign_and_names_its_place() -> None:
    parts = in_parts(K11)
    assert joint_words(parts) == (
        "Greatest step at a joint: \u22121.3 mm from part 1 to part 2, at x +300, y +325; "
        "allowed 2 mm ([house] step (assumption))"
    )
    assert len(corner_rows(parts)) == 8
    assert corner_rows(parts)[4]["name"] == "part 2 front-left"


def test_a_kerb_is_told_over_rim_and_road() -> None:
    assert kerb_words(FULL) == ["Kerb at K1: 105 mm over the set rim, 106 mm over the road"]
