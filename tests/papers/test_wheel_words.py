"""What wheels ask of the bed, as a supervisor reads it."""

from dataclasses import replace

import pytest

from plan.sample import case
from truebed.given.cover import Plan2D
from truebed.papers.wheel_words import (
    crossing_note,
    crossing_rows,
    pressure_sentence,
    strength_text,
    void_sentence,
)
from truebed.plan.wheel import bed_wheel


@pytest.fixture(scope="module")
def wheel():
    return bed_wheel(case(), 30.0)


def test_a_strength_to_wait_for_is_never_rounded_down():
    assert [strength_text(s) for s in (0.0716, 0.18, 0.991, 1.0, 1.41, 19.99)] == [
        "0.08", "0.18", "1.00", "1.0", "1.5", "20.0",
    ]  # fmt: skip


def test_the_pressure_sentence_says_which_wheel_where_and_what_carries(wheel):
    said = pressure_sentence(wheel)
    assert "at most 1.5 N/mm\u00b2 (load model 2, national contact, " in said
    assert "ahead of and" in said
    assert said.endswith("96.5 % of the bed carries then.")
    assert pressure_sentence(None) == ""
    assert "; all of the bed carries then" in pressure_sentence(replace(wheel, pressed_share=1.0))


def test_a_bed_that_all_but_carries_is_not_called_whole(wheel):
    assert "99.9 % of the bed" in pressure_sentence(replace(wheel, pressed_share=0.99999))


def test_the_void_sentence_tells_the_worst_side_how_many_times_and_how_far_a_corner_moves(wheel):
    said = void_sentence(wheel, 20.0)
    assert said == (
        "Air left under the whole of any one side: the bed is pressed 2.5 times as much (3.7 N/mm\u00b2), a corner "
        "moves less than 0.1 mm."
    )
    assert "more than it is strong when the road opens" in void_sentence(wheel, 3.0)
    assert "more than" not in void_sentence(wheel, None)
    felt = tuple(replace(v, rock_mm=0.34) for v in wheel.voids)
    assert "a corner moves 0.3 mm." in void_sentence(replace(wheel, voids=felt), None)


def test_a_void_that_tips_or_crushes_is_told_without_a_rock(wheel):
    tipping = (replace(wheel.voids[1], outcome="tips", peak_n_per_mm2=None, times_ratio=None, rock_mm=None),)
    assert void_sentence(replace(wheel, voids=wheel.voids[:1] + tipping + wheel.voids[2:]), 20.0) == (
        "Air left under the whole of the right side: the frame tips under a wheel."
    )
    oblong = bed_wheel(case(opening=Plan2D("rectangle", 500.0, 350.0), body=Plan2D("rectangle", 540.0, 390.0),
                            flange=Plan2D("rectangle", 640.0, 490.0), chamber=Plan2D("rectangle", 500.0, 350.0)),
                       30.0)  # fmt: skip
    assert void_sentence(oblong, 20.0).startswith("Air left under the whole of the front or the back side: the rest")
    assert "crushes and the frame rocks loose" in void_sentence(oblong, 20.0)


def test_without_a_known_tyre_nothing_is_said_of_voids(wheel):
    assert void_sentence(replace(wheel, voids=()), 20.0) == ""
    assert void_sentence(None, 20.0) == ""


def test_rows_carry_the_leads_times_and_a_vehicle_that_tips_the_frame_has_none(wheel):
    rows = crossing_rows(wheel.crossing_rows())
    assert len(rows) == 5
    assert rows[0]["strength"].endswith("N/mm\u00b2")
    assert {row["when"] for row in rows} == {""}
    two = (("a car", 0.182), ("a lorry", None))
    assert crossing_rows(two, ("25 min", "never")) == [
        {"vehicle": "a car", "strength": "0.19 N/mm\u00b2", "when": "25 min"},
        {"vehicle": "a lorry", "strength": "may not cross: the frame would tip", "when": ""},
    ]
    with pytest.raises(ValueError, match="zip"):
        crossing_rows(two, ("25 min",))


def test_the_note_says_that_an_opened_road_is_open_to_all_and_which_pours_count():
    assert crossing_note(("bed", "fill under the flange")) == (
        "Only while traffic management controls who crosses; an opened road is open to all. Bed and fill under the "
        "flange must each have the strength."
    )
    assert crossing_note(("bed",)).endswith("Bed must have the strength.")
