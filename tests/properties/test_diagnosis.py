"""Properties of the diagnosis: no bedding without evidence against the frame, no soundness without evidence."""

from hypothesis import given, settings
from hypothesis import strategies as st

from diagnosis.sample import CORNERS, SOUND, limits, sheet, steps
from truebed.diagnosis.decide import decide
from truebed.diagnosis.facts import facts_of
from truebed.diagnosis.interfaces import interfaces_of
from truebed.diagnosis.survey import BedHeight, Survey
from truebed.diagnosis.table import packaged_table

LID = st.fixed_dictionaries(
    {}, optional={
        **{f"lid_step_{c}_mm": st.floats(-30, 30) for c in CORNERS},
        "rock_mm": st.floats(0, 20), "seat_wear_class": st.integers(0, 2), "polish": st.sampled_from(["", "no", "yes"]),
        "surround": st.sampled_from(["", "sound", "cracked", "potholed", "missing"]), "crack_mm": st.floats(0, 60),
        "plan_below": st.sampled_from(["", "as frame", "other"]),
    },
)  # fmt: skip
FRAME_SOUND = st.fixed_dictionaries(
    {}, optional={
        **{f"frame_step_{c}_mm": st.floats(-3, 3) for c in CORNERS},
        "hollow_taps_pct": st.just(0.0), "bed_state": st.sampled_from(["", "sound", "unknown"]),
        "courses_class": st.integers(0, 2), "courses_soft_to_mm": st.just(0.0),
        "frame_state": st.sampled_from(["", "sound"]),
        "slab_state": st.sampled_from(["", "sound"]),
    },
)  # fmt: skip
BED = st.none() | st.builds(
    BedHeight, st.floats(-50, 150), st.none() | st.floats(1, 20), st.just(10.0), st.just(60.0), st.just("b")
)
ANY = st.fixed_dictionaries(
    {}, optional={
        **{f"{w}_step_{c}_mm": st.floats(-40, 40) for w in ("lid", "frame") for c in CORNERS},
        "rock_mm": st.floats(0, 20), "hollow_taps_pct": st.floats(0, 100), "courses_class": st.integers(0, 4),
        "bed_state": st.sampled_from(["", "sound", "thin", "crumbled", "missing", "unknown"]),
    },
)  # fmt: skip


def answer(found, bed=None):
    facts = facts_of(Survey(sheet(**found), bed=bed), limits())
    return facts, decide(facts, packaged_table())


@settings(deadline=None, max_examples=150)
@given(LID, FRAME_SOUND, BED)
def test_a_frame_without_evidence_against_it_is_never_bedded_nor_lifted(lid, frame, bed):
    _, found = answer(lid | frame, bed)
    assert found.repair.dig in ("no", "surround")
    assert found.repair.key != "re-bed"


@settings(deadline=None, max_examples=150)
@given(ANY, BED)
def test_nothing_to_do_is_said_only_where_all_three_interfaces_were_looked_at(found, bed):
    facts, decision = answer(found, bed)
    if decision.repair.key == "nothing":
        assert all(not one.missing for one in interfaces_of(facts, 0.9))
    assert 0.0 < decision.probability <= 1.0


@settings(deadline=None, max_examples=100)
@given(st.floats(-60, -5.1), st.floats(0, 20), st.integers(0, 2))
def test_a_lid_low_in_a_flush_frame_is_never_dug(low_mm, rock_mm, grade):
    _, found = answer(SOUND | steps("lid", low_mm) | {"rock_mm": rock_mm, "seat_wear_class": grade})
    assert found.repair.dig == "no"
    assert found.repair.key == "replace cover"


@settings(deadline=None, max_examples=100)
@given(ANY, st.floats(0.1, 20))
def test_a_frame_that_is_lower_is_never_less_likely_off(found, more_mm):
    low = dict.fromkeys(steps("frame", 0), -7.0)
    lower = {k: v - more_mm for k, v in low.items()}
    assert answer(found | lower)[0]["frame_off"].yes_probability >= answer(found | low)[0]["frame_off"].yes_probability
