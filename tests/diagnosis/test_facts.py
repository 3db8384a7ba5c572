"""From evidence to facts: chances from reading errors, and 'unknown' where nobody looked."""

import math
from dataclasses import replace

import pytest

from diagnosis.cases import on_frame
from diagnosis.sample import CORNERS, SOUND, limits, sheet, steps, uk
from truebed.diagnosis.facts import FACTS, below_probability, facts_of
from truebed.diagnosis.limits import limits_of
from truebed.diagnosis.survey import BedHeight, Survey
from truebed.errors import NotDeterminedError
from truebed.rules.ruleset import RuleSet


def facts(bed=None, departures=(), taps=(0, 0), **found):
    return facts_of(Survey(sheet(**found), departures, *taps, bed), limits())


def test_a_reading_at_its_limit_is_even_and_one_sd_past_it_is_the_normal_law():
    assert below_probability(-3.0, -3.0, 1.0) == pytest.approx(0.5)
    assert below_probability(-4.0, -3.0, 1.0) == pytest.approx(0.841344746068543, abs=1e-12)
    assert below_probability(-4.0, -3.0, 0.5) == pytest.approx(0.977249868051821, abs=1e-12)


def test_an_empty_sheet_makes_every_fact_unknown_and_none_sound():
    found = facts()
    assert set(found) == set(FACTS)
    assert {f.otherwise for f in found.values()} == {"unknown"}
    assert {f.yes_probability for f in found.values()} == {0.0}


def test_a_sound_sheet_makes_every_fact_a_likely_no():
    found = facts(bed=BedHeight(30.0, 2.0, 10.0, 60.0, "bed"), **SOUND)
    assert {f.otherwise for f in found.values()} == {"no"}
    assert max(f.yes_probability for f in found.values()) < 0.01


@pytest.mark.parametrize("word", ["unknown", "", " Unknown "])
def test_unknown_in_words_is_nobody_looked(word):
    assert facts(bed_state=word)["bed_failed"].otherwise == "unknown"
    assert facts(plan_below=word)["plan_other"].otherwise == "unknown"


def test_three_corners_that_are_in_leave_the_fourth_unknown_but_one_corner_that_is_out_is_enough():
    three = {k: v for k, v in steps("frame", -1).items() if k != "frame_step_back_left_mm"}
    assert facts(**three)["frame_off"].otherwise == "unknown"
    assert facts(frame_step_back_left_mm=-12.0)["frame_off"].yes_probability == 1.0


def test_only_the_worst_corner_counts_so_that_many_readings_raise_no_alarm_of_their_own():
    one = facts(**steps("frame", -5, 0, 0, 0))["frame_off"].yes_probability
    four = facts(**steps("frame", -5, -5, -5, -5))["frame_off"].yes_probability
    assert one == pytest.approx(four)
    assert one == pytest.approx(0.158655253931457, abs=1e-9)


def test_lid_low_and_lid_proud_are_two_facts():
    low, proud = facts(**steps("lid", -8)), facts(**steps("lid", 8))
    assert (low["lid_low"].yes_probability, low["lid_proud"].yes_probability) == (1.0, 0.0)
    assert (proud["lid_low"].yes_probability, proud["lid_proud"].yes_probability) == (0.0, 1.0)


def test_the_greatest_step_stands_in_where_corners_were_not_read_apart():
    assert facts(lid_step_mm=-8.0)["lid_low"].yes_probability == 1.0
    assert facts(lid_step_mm=0.0, **steps("lid", -8))["lid_low"].yes_probability == 1.0


def test_readings_on_the_frame_count_only_where_the_sheet_has_no_step():
    low = on_frame(-12, -12, -12, -12)
    assert facts(departures=low)["frame_off"].yes_probability > 0.99
    assert facts(departures=low, **steps("frame", 0))["frame_off"].yes_probability == 0.0
    assert facts(departures=on_frame(0, 0))["frame_off"].otherwise == "unknown"


def test_hollow_taps_count_from_four_on_and_the_worse_of_sheet_and_taps_governs():
    assert facts(taps=(3, 3))["bed_failed"].otherwise == "unknown"
    assert facts(taps=(12, 8))["bed_failed"].yes_probability > 0.99
    assert facts(taps=(12, 12), hollow_taps_pct=0.0)["bed_failed"].yes_probability == 1.0
    assert facts(taps=(12, 0), hollow_taps_pct=90.0)["bed_failed"].yes_probability == 1.0


def test_the_gully_is_judged_by_its_own_band():
    proud = Survey(sheet(**steps("frame", 4)))
    assert facts_of(proud, limits("gully"))["frame_off"].yes_probability > 0.99
    assert facts_of(proud, limits("cover"))["frame_off"].yes_probability < 0.05


def test_the_bed_height_is_unknown_without_the_error_of_the_chamber_top():
    assert facts(bed=BedHeight(90.0, None, 10.0, 60.0, "bed"))["height_outside"].otherwise == "unknown"
    assert facts(bed=BedHeight(90.0, 8.0, 10.0, 60.0, "bed"))["height_outside"].yes_probability > 0.999
    assert facts(bed=BedHeight(60.0, 8.0, 10.0, 60.0, "bed"))["height_outside"].yes_probability == pytest.approx(0.5)


def test_cracks_are_sealed_from_the_codes_width_and_renewed_from_its_other():
    thin, open_, wide = (facts(surround="cracked", crack_mm=w) for w in (1.0, 6.0, 30.0))
    assert [f["cracks_open"].yes_probability > 0.5 for f in (thin, open_, wide)] == [False, True, True]
    assert [f["surround_failed"].yes_probability > 0.5 for f in (thin, open_, wide)] == [False, False, True]


def test_every_limit_comes_from_the_rule_set_with_its_citation():
    own = tuple(replace(v, value=9.0) if v.name == "rock_most_mm" else v for v in uk().values)
    mild = limits_of(RuleSet("own", "own", own), "cover")
    assert mild.rock_most_mm == 9.0
    assert facts_of(Survey(sheet(rock_mm=5.0)), mild)["lid_moves"].yes_probability == 0.0
    assert "S2.3.1" in mild.cite("fixed_feature_low_mm")
    assert mild.cite("nothing") == ""


def test_a_rule_set_without_a_limit_is_told_by_name():
    few = RuleSet("few", "few", tuple(v for v in uk().values if v.name != "rock_most_mm"))
    with pytest.raises(NotDeterminedError, match="rock_most_mm"):
        limits_of(few, "cover")


def test_every_piece_of_evidence_names_its_row_and_its_limit():
    for fact in facts(**SOUND).values():
        for one in fact.evidence:
            assert "condition.csv row 2" in one.sentence()
            assert one.limit
            assert math.isfinite(one.fault_probability)


def test_corners_are_those_of_the_sheet():
    assert all(hasattr(sheet(), f"{what}_step_{corner}_mm") for what in ("lid", "frame") for corner in CORNERS)
