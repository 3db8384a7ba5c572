"""Make-up of a chamber: courses, rings, another frame; least work first; the nearest miss where nothing fits."""

import math

import pytest

from truebed.diagnosis.makeup import MakeupQuestion, makeup, whole
from truebed.errors import NotDesignedError
from truebed.given.survey import YardUnit

COURSE = YardUnit("brick course", "course", 75.0, 4, work_min=30.0, row=2)
RING = YardUnit("ring 30", "ring", 30.0, 3, work_min=10.0, row=3)
DEEP = YardUnit("frame 150", "frame", 150.0, 1, work_min=5.0, row=4)


def question(*gaps, units=(COURSE, RING), **more):
    return MakeupQuestion(gaps, 100.0, 10.0, 60.0, units, **more)


def test_a_bed_within_its_limits_asks_for_nothing():
    best = makeup(question(20.0, 35.0)).choices[0]
    assert (best.units, best.pieces, best.work_min, best.change_mm) == ((), 0, 0.0, 0.0)


def test_an_85_mm_bed_takes_one_ring_as_the_least_work_and_the_other_ways_follow():
    choices = makeup(question(85.0)).choices
    assert [(c.units, c.bed_least_mm) for c in choices] == [
        ((("ring 30", 1),), 55.0), ((("ring 30", 2),), 25.0), ((("brick course", 1),), 10.0),
    ]  # fmt: skip
    assert [c.work_min for c in choices] == sorted(c.work_min for c in choices)


def test_the_limits_are_held_at_every_point_of_an_uneven_top():
    best = makeup(question(80.0, 100.0, 95.0, 120.0)).choices[0]
    assert best.units == (("ring 30", 2),)
    assert (best.bed_least_mm, best.bed_most_mm) == (20.0, 60.0)


def test_a_deeper_frame_in_the_yard_is_taken_where_it_is_less_work():
    best = makeup(question(85.0, units=(COURSE, RING, DEEP))).choices[0]
    assert (best.frame, best.units, best.bed_least_mm) == ("frame 150", (), 35.0)


def test_a_chamber_that_stands_too_high_loses_a_course_and_is_made_up_again():
    answer = makeup(question(-20.0, courses_off_most=2, course_off_mm=75.0, off_work_min=20.0))
    best = answer.choices[0]
    assert (best.courses_off, best.units, best.bed_least_mm, best.work_min) == (1, (), 55.0, 20.0)


def test_where_nothing_fits_the_nearest_choice_and_its_miss_are_told():
    answer = makeup(question(85.0, units=()))
    assert answer.choices == ()
    assert (answer.miss_mm, answer.nearest.units, answer.uneven_mm) == (25.0, (), 0.0)
    high = makeup(question(5.0, units=(RING,)))
    assert (high.miss_mm, high.nearest.units) == (5.0, ())


def test_a_top_that_varies_by_more_than_the_limits_cannot_be_mended_evenly_and_says_by_how_much():
    answer = makeup(question(10.0, 80.0, units=(YardUnit("shim", "ring", 2.5, 20, row=2),)))
    assert answer.choices == ()
    assert answer.uneven_mm == 20.0
    assert answer.miss_mm == 10.0
    assert (answer.nearest.bed_least_mm, answer.nearest.bed_most_mm) == (0.0, 70.0)


def test_of_equal_work_the_fewer_pieces_win_and_then_the_least_change():
    free = (YardUnit("20", "ring", 20.0, 4, row=2), YardUnit("40", "ring", 40.0, 2, row=3))
    best = makeup(question(70.0, units=free)).choices[0]
    assert (best.units, best.pieces) == ((("20", 1),), 1)


def test_a_choice_reads_as_a_sentence():
    taken = makeup(question(-20.0, courses_off_most=1, course_off_mm=75.0, off_work_min=20.0)).choices[0]
    assert taken.sentence() == "1 course off: bed 55.0 to 55.0 mm, 20 min"
    assert makeup(question(85.0)).choices[0].sentence() == "1 x ring 30: bed 55.0 to 55.0 mm, 10 min"
    assert makeup(question(20.0)).choices[0].sentence().startswith("nothing to add")


@pytest.mark.parametrize("bad", [
    MakeupQuestion((), 100.0, 10.0, 60.0, ()),
    MakeupQuestion((math.nan,), 100.0, 10.0, 60.0, ()),
    MakeupQuestion((20.0,), 100.0, 60.0, 10.0, ()),
    MakeupQuestion((20.0,), 100.0, 10.0, 60.0, (YardUnit("flat", "ring", 0.0, 2, row=7),)),
    MakeupQuestion((20.0,), 100.0, 10.0, 60.0, (YardUnit("owed", "ring", 5.0, -1, row=7),)),
])  # fmt: skip
def test_what_cannot_be_is_refused_with_a_sentence(bad):
    with pytest.raises(NotDesignedError) as refused:
        makeup(bad)
    assert refused.value.mend
    assert "row 7" in str(refused.value) or not bad.units


def test_heights_are_counted_in_thousandths():
    assert whole(0.1) + whole(0.2) == whole(0.3) == 300
