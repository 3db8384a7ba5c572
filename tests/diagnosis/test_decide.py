"""The most likely answer, with its probability."""

import pytest

from diagnosis.sample import SOUND, limits, sheet, steps
from truebed.diagnosis.decide import decide, likely_states
from truebed.diagnosis.facts import FACTS, facts_of
from truebed.diagnosis.survey import BedHeight, Survey
from truebed.diagnosis.table import packaged_table


def decision(bed=None, **found):
    return decide(facts_of(Survey(sheet(**found), bed=bed), limits()), packaged_table())


def test_the_probabilities_of_all_answers_add_up_to_one():
    found = decision(
        BedHeight(58.0, 8.0, 10.0, 60.0, "b"), **SOUND | steps("lid", -2.5) | steps("frame", -5.5) | {"rock_mm": 0.9}
    )
    assert len(found.others) >= 3
    assert found.probability + sum(o.probability for o in found.others) == pytest.approx(1.0)
    assert all(a.probability >= b.probability for a, b in zip(found.others, found.others[1:], strict=False))
    assert found.probability >= found.others[0].probability


def test_one_doubtful_fact_gives_its_own_probability_to_the_answer():
    sure = SOUND | {"rock_mm": 0.0, "hollow_taps_pct": 0.0, "crack_mm": 0.0} | steps("frame", -1)
    found = decision(**sure | steps("lid", 0.0, 0.0, 0.0, 0.0) | {"rock_mm": 1.3})
    moves = facts_of(Survey(sheet(rock_mm=1.3)), limits())["lid_moves"].yes_probability
    assert moves == pytest.approx(0.841344746, abs=1e-6)
    assert found.repair.key == "re-seat"
    assert found.probability == pytest.approx(moves, abs=0.002)


def test_combinations_of_facts_cover_every_chance_once():
    facts = facts_of(Survey(sheet(**SOUND | steps("frame", -5.5))), limits())
    combos = list(likely_states(facts))
    assert sum(chance for _, chance in combos) == pytest.approx(1.0)
    assert len({tuple(s[f] for f in FACTS) for s, _ in combos}) == len(combos)


def test_what_nobody_looked_at_stays_unknown_and_is_no_no():
    found = decision(**{k: v for k, v in SOUND.items() if not k.startswith(("hollow", "bed", "courses"))})
    assert found.states["bed_failed"] == "unknown"
    assert found.repair.key == "measure first"


def test_the_same_evidence_gives_the_same_answer_twice():
    assert decision(**SOUND | steps("frame", -6)) == decision(**SOUND | steps("frame", -6))
