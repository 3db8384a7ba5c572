"""Readings as booked become levels, with the errors that they share."""

import numpy as np
import pytest

from truebed.errors import NotDesignedError
from truebed.given.reading import Reading
from truebed.levels.booking import bench_mark_staff_mm, reduce_readings, reduce_survey
from truebed.levels.road_rules import SurveyRules


def staff(point, value, where="road", set_up="A"):
    return Reading("C1", point, 0.0, 0.0, "staff", value, where, set_up, 5)


def test_levels_are_taken_as_they_are():
    spots = reduce_readings((Reading("C1", "P1", 10.0, 20.0, "level", -7.0, "road", "", 3),))
    assert (spots[0].level_mm, spots[0].row, spots[0].x_mm) == (-7.0, 3, 10.0)


def test_a_bigger_staff_reading_is_a_lower_point():
    spots = reduce_readings((staff("BM", 1250.0, "bench mark"), staff("P1", 1262.0), staff("P2", 1240.0)))
    assert [s.level_mm for s in spots] == [-12.0, 10.0]


def test_each_set_up_is_reduced_by_its_own_bench_mark_reading():
    readings = (
        staff("BM", 1000.0, "bench mark", "A"), staff("P1", 1005.0, "road", "A"),
        staff("BM", 1500.0, "bench mark", "B"), staff("P2", 1505.0, "road", "B"),
    )  # fmt: skip
    assert [s.level_mm for s in reduce_readings(readings)] == [-5.0, -5.0]


def test_a_set_up_without_bench_mark_is_refused_by_name():
    with pytest.raises(NotDesignedError, match="set-up 'B'"):
        bench_mark_staff_mm((staff("BM", 1000.0, "bench mark", "A"),), "B")


def carried():
    """Two stands joined by a change point, closed on the bench mark 4 mm out."""
    return (
        staff("BM", 1500.0, "bench mark"), staff("P1", 1620.0), staff("CP", 1300.0, "change point"),
        staff("CP", 1700.0, "change point", "B"), staff("P2", 1750.0, set_up="B"),
        staff("BM", 1904.0, "bench mark", "B"),
    )  # fmt: skip


def test_levels_over_a_change_point_are_corrected_by_their_stands_share():
    assert [(s.point, s.level_mm) for s in reduce_readings(carried())] == [("P1", -118.0), ("P2", 154.0)]


def test_a_misclosure_beyond_the_rules_is_refused_and_a_wider_rule_takes_it():
    with pytest.raises(NotDesignedError, match=r"closes -4\.0 mm out"):
        reduce_readings(carried(), SurveyRules(misclosure_per_root_mm=2.0))


def test_the_covariance_of_a_closed_run_is_that_of_many_noisy_runs():
    rng, rows, loose = np.random.default_rng(1), carried(), SurveyRules(misclosure_per_root_mm=1e6)
    levels = []
    for _ in range(4000):
        slips = rng.normal(0, 2, 6)
        noisy = tuple(staff(r.point, r.value_mm + e, r.where, r.set_up) for r, e in zip(rows, slips, strict=True))
        miss = slips[0] - slips[2] + slips[3] - slips[5]
        levels.append([s.level_mm - (slips[0] - miss / 2) for s in reduce_survey(noisy, loose).spots])
    expected = np.array(reduce_survey(rows, SurveyRules()).errors.covariance)
    assert np.cov(np.array(levels).T) == pytest.approx(expected, abs=0.5)


def test_points_of_the_first_stand_of_a_closed_run_err_on_their_own():
    rows = (carried()[0], staff("P0", 1610.0), *carried()[1:])
    covariance = np.array(reduce_survey(rows, SurveyRules(reading_sd_mm=2.0)).errors.covariance)
    assert covariance[:2, :2] == pytest.approx(np.diag([4.0, 4.0]))
    assert covariance[2, 2] == pytest.approx(8.0)


def test_points_of_a_later_stand_share_the_error_of_what_it_hangs_on():
    rows = (*carried()[:-1], staff("P3", 1800.0, set_up="B"))
    covariance = np.array(reduce_survey(rows, SurveyRules(reading_sd_mm=1.0)).errors.covariance)
    assert covariance == pytest.approx(np.array([[1.0, 0.0, 0.0], [0.0, 3.0, 2.0], [0.0, 2.0, 3.0]]))


def test_the_spots_of_one_kind_come_with_their_own_part_of_the_covariance():
    rows = (*carried()[:-1], staff("F1", 1800.0, "frame", "B"))
    survey = reduce_survey(rows, SurveyRules(reading_sd_mm=1.0))
    spots, errors = survey.on("frame")
    assert [s.point for s in spots] == ["F1"]
    assert errors.covariance == ((pytest.approx(3.0),),)
    assert len(survey.runs) == 1
