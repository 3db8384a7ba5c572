"""Cover to frame, frame to road, frame to chamber: three states, each from its own evidence."""

import pytest

from diagnosis.cases import all_but
from diagnosis.sample import SOUND, limits, sheet, steps
from truebed.diagnosis.facts import facts_of
from truebed.diagnosis.interfaces import interfaces_of
from truebed.diagnosis.survey import Survey


def states(**found):
    some = interfaces_of(facts_of(Survey(sheet(**found)), limits()), limits().sure_probability)
    return tuple(one.state for one in some)


@pytest.mark.parametrize(
    ("found", "expected"),
    [
        (SOUND, ("sound", "sound", "sound")),
        ({}, ("not known", "not known", "not known")),
        (SOUND | steps("lid", -8), ("faulty", "sound", "sound")),
        (SOUND | steps("frame", -14), ("sound", "faulty", "sound")),
        (SOUND | {"bed_state": "crumbled"}, ("sound", "sound", "faulty")),
        (SOUND | {"slab_state": "cracked"}, ("sound", "sound", "faulty")),
        (SOUND | {"seat_wear_class": 4}, ("faulty", "sound", "sound")),
        (SOUND | steps("frame", -5.5), ("sound", "in doubt", "sound")),
        (all_but("hollow", "bed"), ("sound", "sound", "not known")),
        (all_but("courses"), ("sound", "sound", "not known")),
        (all_but("rock"), ("not known", "sound", "sound")),
        (all_but("frame_step_front_left"), ("sound", "not known", "sound")),
        (all_but("courses", bed_state="missing"), ("sound", "sound", "faulty")),
        (all_but("rock", **steps("lid", -8)), ("faulty", "sound", "sound")),
    ],
)
def test_each_interface_is_judged_from_its_own_evidence(found, expected):
    assert states(**found) == expected


def test_what_is_missing_is_named_by_the_test_that_would_show_it():
    empty = interfaces_of(facts_of(Survey(sheet()), limits()), 0.9)
    assert [one.missing for one in empty] == [("rock", "lid steps"), ("frame steps",), ("hollow taps", "courses")]
    assert [one.fault_probability for one in empty] == [None, None, None]
