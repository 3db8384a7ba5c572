"""The whole diagnosis of one cover: answer, what to test next, evidence that does not go together, why."""

import pytest

from diagnosis.cases import FITTING, all_but
from diagnosis.sample import SOUND, cover, sheet, steps, tap, uk
from diagnosis.test_survey import spots
from truebed.diagnosis.diagnose import diagnose
from truebed.levels.road_fit import fit_road


def diagnosed(condition, soundings=(), given=(), road=None, bed=FITTING):
    return diagnose(cover(), condition, soundings, given, road, uk(), bed)


def test_a_lid_8_mm_low_in_a_flush_frame_is_not_dug_and_the_why_says_the_row():
    found = diagnosed(sheet(**SOUND | steps("lid", -8)))
    assert (found.decision.repair.key, found.digs, found.settled) == ("replace cover", "no", True)
    assert "re-bed" in found.decision.repair.avoids
    assert found.why.value == "replace cover"
    assert "'lid-low'" in found.why.governed_by
    assert [part.what for part in found.why.inputs] == ["cover to frame", "frame to road", "frame to chamber"]
    assert any("lid against frame" in node.what and node.value == -8.0 for _, node in found.why.walk())


def test_no_sheet_at_all_asks_for_measurements_and_is_not_settled():
    found = diagnosed(None)
    assert (found.decision.repair.key, found.digs, found.settled) == ("measure first", "no", False)
    assert [line.split(":")[0] for line in found.test_next[:5]] == [
        "rock",
        "lid steps",
        "frame steps",
        "hollow taps",
        "courses",
    ]


def test_readings_on_the_frame_show_it_low_without_any_step_on_the_sheet():
    given = spots(frame_low_mm=14.0)
    road = fit_road(tuple(s for s in given if s.where == "road"), 2.0, 0.05)
    found = diagnosed(sheet(**all_but("frame_step")), given=given, road=road)
    assert (found.decision.repair.key, found.interfaces[1].state) == ("re-bed", "faulty")
    assert "readings.csv row 20" in found.interfaces[1].evidence[0].source


def test_a_step_and_a_reading_that_disagree_are_both_named_with_their_rows():
    given = spots(frame_low_mm=14.0)
    road = fit_road(tuple(s for s in given if s.where == "road"), 2.0, 0.05)
    found = diagnosed(sheet(**SOUND), given=given, road=road)
    assert len(found.disagreements) == 4
    assert not found.settled
    assert (
        "-1.0 mm on the sheet (condition.csv row 2), -14.0 mm by reading f0 (readings.csv row 20)"
        in found.disagreements[0]
    )
    near = diagnosed(sheet(**SOUND | steps("frame", -12)), given=given, road=road)
    assert near.disagreements == ()


def test_a_bed_that_looks_sound_but_rings_hollow_is_named_and_taken_for_the_worse():
    found = diagnosed(sheet(**SOUND | {"hollow_taps_pct": 60.0}))
    assert "60 % of the taps rang hollow" in found.disagreements[0]
    assert found.decision.repair.key == "re-bed"
    taps = tuple(tap(-420 + 60 * i, 370, "hollow", row=i + 2) for i in range(12))
    apart = diagnosed(sheet(**SOUND), taps)
    assert "100 % of 12 taps on the flange" in apart.disagreements[0]
    assert (apart.decision.repair.key, apart.settled) == ("re-bed", False)
    soft = diagnosed(sheet(**SOUND | {"courses_soft_to_mm": 150.0}))
    assert "soft to 150 mm" in soft.disagreements[0]
    assert soft.decision.repair.key == "rebuild courses"


def test_courses_told_in_words_are_shown_and_not_judged():
    found = diagnosed(sheet(**all_but("courses"), courses="two courses, upper one soft"))
    assert found.test_next[0].startswith("courses: the sheet says 'two courses, upper one soft' in words")
    assert found.decision.repair.key == "measure first"


def test_a_step_next_to_its_limit_is_to_be_read_again_and_leaves_the_answer_unsettled():
    found = diagnosed(sheet(**SOUND | steps("frame", -5.5, 0, 0, 0)))
    assert not found.settled
    assert any("frame step front left: read again" in line and "'re-bed'" in line for line in found.test_next)


def test_taps_on_the_flange_stand_in_for_the_sheets_share_and_far_ones_do_not():
    hollow = tuple(tap(-420 + 60 * i, 370, "hollow", row=i + 2) for i in range(12))
    assert diagnosed(sheet(**all_but("hollow", "bed")), hollow).decision.repair.key == "re-bed"
    outside = tuple(tap(-420 + 60 * i, 500, "hollow", row=i + 2) for i in range(12))
    assert diagnosed(sheet(**all_but("hollow", "bed")), outside).decision.repair.key == "measure first"


@pytest.mark.parametrize(
    ("found", "held"),
    [
        (steps("lid", -8), True),
        (steps("frame", -14), False),
        ({"courses_class": 4}, False),
        ({"surround": "potholed"}, True),
        ({"resurfacing": "planned"}, True),
        (steps("frame", -14) | {"plan_below": "other"}, True),
        (steps("lid", -8) | {"dig_anyway": "the client wants a new frame"}, False),
        ({}, True),
    ],
)
def test_a_night_of_lifting_and_bedding_is_held_back_unless_the_repair_or_the_user_asks_for_it(found, held):
    assert diagnosed(sheet(**SOUND | found)).held_back is held


@pytest.mark.parametrize("low_mm", [-40.0, -8.0, -6.5])
def test_however_low_the_lid_a_flush_frame_over_a_sound_bed_stays_where_it_is(low_mm):
    assert diagnosed(sheet(**SOUND | steps("lid", low_mm))).digs == "no"
