"""Readings as booked become levels."""

import pytest

from truebed.errors import NotDesignedError
from truebed.given.reading import Reading
from truebed.levels.booking import bench_mark_staff_mm, reduce_readings


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
