"""Findings of a diagnosis and of a sound margin: what planning must know."""

from diagnosis.cases import FITTING, all_but
from diagnosis.sample import SOUND, cover, sheet, steps, tap, uk
from diagnosis.test_margin import RING, margin
from truebed.diagnosis.diagnose import diagnose
from truebed.diagnosis.found import diagnosis_findings, margin_findings
from truebed.findings import Severity


def told(**found):
    return diagnosis_findings(diagnose(cover(), sheet(**found), (), (), None, uk(), FITTING))


def codes(findings):
    return [one.code for one in findings]


def test_do_not_dig_expose_first_and_dig_have_each_their_code():
    assert codes(told(**SOUND | steps("lid", -8))) == ["DG-001"]
    assert codes(told(**SOUND | steps("frame", -14) | {"plan_below": "other"})) == ["DG-002"]
    assert codes(told(**SOUND | steps("frame", -14))) == ["DG-003"]


def test_the_governing_finding_says_what_to_do_instead_with_source_and_probability():
    first = told(**SOUND | steps("lid", -8))[0]
    assert first.severity is Severity.CLOSE
    assert first.what.startswith("do not dig")
    assert first.mend.startswith("Clean the seats")
    assert "common-practice" in first.source
    assert first.value == 1.0


def test_what_goes_with_the_repair_is_named():
    found = told(**SOUND | steps("frame", -14) | {"courses_class": 4, "rock_mm": 4.0})[0]
    assert found.mend.endswith("Then: re-seat, re-bed.")


def test_an_answer_in_doubt_names_the_other_one_and_what_to_read_again():
    found = told(**SOUND | steps("frame", -6.2, 0, 0, 0))
    assert codes(found) == ["DG-003", "DG-004"]
    assert "nothing" in found[1].what
    assert "read again" in found[1].mend


def test_an_interface_that_nobody_looked_at_and_evidence_at_odds_are_told():
    assert codes(told(**all_but("hollow", "bed", "courses"))) == ["DG-001", "DG-005"]
    assert "DG-006" in codes(told(**SOUND | {"hollow_taps_pct": 60.0}))


def test_a_frame_lifted_against_the_diagnosis_is_stated_with_the_reason_given():
    found = told(**SOUND | steps("lid", -8), dig_anyway="new frame is on the van")
    assert "DG-010" in codes(found)
    assert "new frame is on the van" in next(one.what for one in found if one.code == "DG-010")
    assert "DG-010" not in codes(told(**SOUND | steps("frame", -14), dig_anyway="new frame is on the van"))


def test_a_given_margin_that_leaves_a_hollow_tap_standing_breaks_a_limit_with_its_row():
    found = margin_findings(cover(sound_margin_mm=90.0), margin(*RING, tap(530, 40, "hollow", row=9), gap_mm=400.0))
    assert (found[0].code, found[0].severity, found[0].subject) == ("DG-007", Severity.BREAKS, "C1, front")
    assert "soundings.csv row 9" in found[0].source


def test_a_given_margin_short_of_half_way_is_close_and_one_beyond_it_is_silent():
    some = margin(*RING, tap(530, 40, "hollow", row=9), gap_mm=400.0)
    close = margin_findings(cover(sound_margin_mm=170.0), some)
    assert [(one.code, one.severity) for one in close] == [("DG-007", Severity.CLOSE)]
    assert margin_findings(cover(sound_margin_mm=200.0), some) == ()
    assert margin_findings(cover(sound_margin_mm=None), some) == ()


def test_where_to_tap_next_and_sound_inside_unsound_are_told():
    unknown = margin_findings(cover(sound_margin_mm=None), margin(*RING[1:], gap_mm=400.0))
    assert [(one.code, one.severity) for one in unknown] == [("DG-008", Severity.CLOSE)]
    assert "x 580, y 0 mm" in unknown[0].what
    wide = margin_findings(cover(sound_margin_mm=None), margin(*RING, gap_mm=100.0))
    assert {(one.code, one.severity) for one in wide} == {("DG-008", Severity.ADVICE)}
    odd = margin_findings(
        cover(sound_margin_mm=None), margin(*RING, tap(480, 0, row=8), tap(630, 0, "hollow", row=9), gap_mm=400.0)
    )
    assert "DG-009" in codes(odd)
