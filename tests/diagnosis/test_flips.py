"""What would change the answer: found by running the decision again, nearest first."""

from dataclasses import replace

import pytest

from diagnosis.cases import CASES, on_frame
from diagnosis.sample import SOUND, limits, sheet, steps
from truebed.diagnosis.decide import decide
from truebed.diagnosis.facts import facts_of
from truebed.diagnosis.flips import flips
from truebed.diagnosis.survey import Survey
from truebed.diagnosis.table import packaged_table

TABLE = packaged_table()


def run(survey, rules=None):
    rules = limits() if rules is None else rules
    decision = decide(facts_of(survey, rules), TABLE)
    return decision, flips(survey, rules, TABLE, decision)


@pytest.mark.parametrize("case", CASES, ids=lambda c: c.name)
def test_every_flip_put_in_gives_the_answer_it_names(case):
    decision, found = run(case.survey, limits(case.kind))
    for flip in found:
        if flip.fields == ("readings",):
            continue
        changed = replace(
            case.survey, condition=replace(case.survey.condition, **dict.fromkeys(flip.fields, flip.value))
        )
        again = decide(facts_of(changed, limits(case.kind)), TABLE)
        assert again.repair.key == flip.repair != decision.repair.key, flip


def test_what_nobody_looked_at_comes_first_and_then_the_reading_nearest_its_limit():
    _, found = run(
        Survey(sheet(**{k: v for k, v in SOUND.items() if k != "bed_state"} | steps("frame", -5.5, -1, -1, -1)))
    )
    assert found[0].unlooked
    looked = [f for f in found if not f.unlooked]
    assert looked[0].fields == ("frame_step_front_left_mm",)
    assert looked[0].distance_sd == pytest.approx(0.5, abs=0.05)
    assert [f.distance_sd for f in looked] == sorted(f.distance_sd for f in looked)


def test_a_lid_low_in_a_flush_frame_becomes_a_dig_only_by_evidence_below_or_in_the_road():
    _, found = run(Survey(sheet(**SOUND | steps("lid", -8) | {"seat_wear_class": 1})))
    turning = {f.fields[0] for f in found if TABLE.repairs[f.repair].dig == "frame"}
    assert turning
    assert not {f for f in turning if f.startswith(("lid", "rock", "surround", "crack", "polish"))}


def test_a_reading_on_the_frame_is_moved_where_the_sheet_has_no_steps():
    sheet_without = {k: v for k, v in SOUND.items() if not k.startswith("frame_step")}
    _, found = run(Survey(sheet(**sheet_without), on_frame(-4.0, 0.0, 0.0, 0.0)))
    moved = [f for f in found if f.fields == ("readings",)]
    assert moved[0].repair == "re-bed"
    assert moved[0].distance_sd == pytest.approx(2.0 / 2.2, abs=0.05)


def test_a_flip_reads_as_a_sentence():
    _, found = run(Survey(sheet()))
    assert found[0].sentence() == "rock: not looked at; if found 5 mm -> re-seat"
