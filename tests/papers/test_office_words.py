"""The office's part: the diagnosis put together, options side by side, ride and water."""

from __future__ import annotations

from dataclasses import replace

from papers.sample_aids import DRY, EXTRAS, RIDE, ROUND_OPTION, SQUARE_RUN, WET, full, in_parts
from papers.sample_plan import sample_closure
from truebed.papers.office_words import (
    held_back_words,
    office_words,
    option_words,
    parts_words,
    ride_lines,
    together,
    water_words,
)

K11 = sample_closure().designed[0]
FULL = full(K11)


def test_the_repair_heads_the_diagnosis_and_lines_of_one_name_are_put_together() -> None:
    words = office_words(FULL)
    assert words["repair"] == "re-bed - the frame comes out"
    assert words["diagnosis"] == [
        {"name": "do", "text": "lift the frame"},
        {"name": "how sure", "text": "0.97"},
        {"name": "would change the answer", "text": "courses: not looked at; slab: cracked"},
    ]


def test_margins_say_each_side_what_to_tap_next_and_what_was_assumed() -> None:
    assert together(FULL.margin) == [
        {"name": "sound margin", "text": "front 85 mm (between 60 and 110 mm); left NOT KNOWN"},
        {"name": "tap next", "text": "left x 0, y 560 mm (beyond the last tap)"},
        {"name": "", "text": "taps tell the top 150 mm only"},
    ]


def test_a_cover_of_which_nothing_is_known_has_empty_parts() -> None:
    words = office_words(K11)
    assert {k: v for k, v in words.items() if k not in ("cover", "levels")} == {
        "repair": "", "diagnosis": [], "margin": [], "options": [], "ride": [], "water": "", "parts": "",
        "held_back": "",
    }  # fmt: skip
    assert "([sroh-4] S2.3.1 (seen))" in str(words["levels"])


def test_options_stand_side_by_side_with_what_speaks_against_them() -> None:
    assert option_words(SQUARE_RUN) == {
        "way": "square, run on", "state": "chosen", "saw": "3.80", "over": "1.22", "cores": "", "left": "",
        "waste": "0.0", "surround": "0.0",
    }  # fmt: skip
    disc = option_words(ROUND_OPTION)
    assert (disc["way"], disc["state"], disc["waste"], disc["surround"]) == (
        "round", "the kerb is in its way", "+62.2", "",
    )  # fmt: skip
    cored = option_words(replace(SQUARE_RUN, way="core", core_count=4, core_mm=152.97))
    assert cored["cores"] == "4 of \u00d8153 mm"


def test_ride_tells_the_worst_step_and_the_worst_gap_with_their_verdicts() -> None:
    step, gap, unjudged = ride_lines(RIDE)
    assert step == (
        "worst step under a wheel +3.2 mm onto the frame, wheel line y \u2212232: keeps the level band "
        "([house] band (assumption))"
    )
    assert gap == (
        "BREAKS: worst gap under the straightedge 4.6 mm, across the traffic at x \u2212325, as far as the readings "
        "reach (1500 mm); allowed 3 mm ([house] gap)"
    )
    assert "2 lines" in unjudged
    assert len(ride_lines(replace(RIDE, worst_gap=None, lines_unjudged=0))) == 1


def test_water_is_told_with_depth_and_place_or_as_none() -> None:
    assert water_words(DRY) == "none stands deeper than 0.5 mm; 57 % of the road read drains to the grating"
    assert water_words(WET).startswith("6.4 mm deep at x \u2212530, y +330; 0.31 m\u00b2, 1.2 l;")


def test_parts_have_bounds_on_their_chance() -> None:
    assert parts_words(in_parts(K11)) == (
        "greatest departure 3.4 mm, part 2; all parts in the band: likely 81 % to 93 %"
    )


def test_what_a_former_holds_back_is_told_in_litres() -> None:
    assert held_back_words(EXTRAS) == "without it 12.3 l of fill would run into the chamber"
    assert held_back_words(replace(EXTRAS, held_back_l=0.0)) == ""
