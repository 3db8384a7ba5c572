"""A diagnosis in words: answer, reason, what would change it, what to test next; long lists are counted."""

from diagnosis.cases import FITTING, all_but
from diagnosis.sample import SOUND, cover, sheet, steps, tap, uk
from diagnosis.test_margin import RING, margin
from truebed.diagnosis.diagnose import diagnose
from truebed.diagnosis.telling import MOST_TOLD, diagnosis_lines, margin_lines


def lines(some=None, **found):
    return diagnosis_lines(diagnose(cover(), sheet(**found), (), (), None, uk(), FITTING), some)


def test_do_not_dig_stands_in_the_first_line_and_the_wrong_repair_is_named():
    told = lines(**SOUND | steps("lid", -8))
    assert told[0] == "C1: replace cover - DO NOT DIG"
    assert any(line.startswith("   not: re-bedding the frame") for line in told)
    assert any(line.startswith("   because: the cover lies low in its frame") for line in told)


def test_the_three_interfaces_stand_apart_each_with_its_worst_evidence():
    told = lines(**SOUND | steps("lid", -8) | steps("frame", -14))
    assert any(line.startswith("   cover to frame: faulty, fault 1.00; lid against frame") for line in told)
    assert any(line.startswith("   frame to road: faulty, fault 1.00; frame against road") for line in told)
    assert any(line.startswith("   frame to chamber: sound") for line in told)


def test_what_nobody_looked_at_is_said_with_the_confidence():
    told = next(line for line in lines(**all_but("hollow", "bed", "courses", **steps("lid", -8))) if "how sure" in line)
    assert "what nobody looked at could make it re-bed, rebuild courses" in told


def test_long_lists_are_cut_and_counted():
    told = [line for line in lines() if line.startswith("   test next")]
    assert len(told) == MOST_TOLD + 1
    assert told[-1].endswith("more")


def test_what_goes_with_the_repair_and_evidence_at_odds_are_lines_of_their_own():
    told = lines(**SOUND | {"courses_class": 4, "hollow_taps_pct": 60.0, "rock_mm": 4.0})
    assert "   then: re-seat (the cover moves on its seats as well); re-bed" in told
    assert any("does not go together" in line for line in told)


def test_a_margin_that_is_not_known_gives_no_number_and_the_next_tap():
    told = margin_lines(margin(*RING[1:], tap(530, 120, "hollow", row=9)))
    assert (
        told[0]
        == "   sound margin, front: NOT KNOWN, more than 100 mm, tap S9 (hollow) (row 9) is the last unsound one"
    )
    assert any(line.startswith("   tap next, front: x 680, y 120 mm") for line in told)
    assert not any("all round" in line for line in told)
    assert "monotone" in told[-1]


def test_known_margins_kerb_and_all_round_are_told():
    told = lines(margin(*RING, on=cover(kerb_side="left", kerb_mm=500.0)), **SOUND)
    assert "   sound margin, front: 150 mm (between 0 and 300 mm)" in told
    assert "   sound margin, left: 120 mm, up to the kerb" in told
    assert "   sound margin all round: 150 mm" in told
