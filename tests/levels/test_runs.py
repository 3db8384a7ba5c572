"""Stands joined by change points, closed on a bench mark, accepted and spread or refused."""

import pytest

from truebed.errors import NotDesignedError
from truebed.given.reading import Reading
from truebed.levels.runs import back_sight, chains, in_order, known_levels, reduced_run, runs_of, stands_of


def staff(point, value, where="road", set_up="A", row=5):
    return Reading("C1", point, 0.0, 0.0, "staff", value, where, set_up, row)


def round_trip(close):
    return (
        staff("BM", 1500.0, "bench mark"), staff("P1", 1620.0), staff("CP1", 1300.0, "change point"),
        staff("CP1", 1700.0, "change point", "B"), staff("P2", 1750.0, set_up="B"),
        staff("BM", 1900.0 + close, "bench mark", "B"),
    )  # fmt: skip


def test_a_change_point_carries_the_level_to_the_next_stand():
    (run,) = runs_of(round_trip(0.0), 5.0)
    assert [s.name for s in run.booked.stands] == ["A", "B"]
    assert run.booked.levels_mm == ((-120.0, 200.0), (150.0, 0.0))
    assert run.misclosure_mm == pytest.approx(0.0)


def test_an_accepted_misclosure_is_spread_over_the_set_ups():
    (run,) = runs_of(round_trip(4.0), 5.0)
    assert run.misclosure_mm == pytest.approx(-4.0)
    assert run.allowed_mm == pytest.approx(5.0 * 2**0.5)
    assert run.corrections_mm == pytest.approx((2.0, 4.0))


def test_a_rejected_misclosure_is_refused_with_what_to_do():
    with pytest.raises(NotDesignedError, match=r"closes -8.0 mm out on 'BM'; 7.1 mm is allowed") as refused:
        runs_of(round_trip(8.0), 5.0)
    assert "Read the whole run again" in refused.value.mend
    assert runs_of(round_trip(8.0), 6.0)[0].corrections_mm == pytest.approx((4.0, 8.0))


def test_a_bench_mark_with_a_level_of_its_own_closes_on_that_level():
    other = Reading("C1", "BM2", 0.0, 0.0, "level", 152.0, "bench mark", "", 2)
    readings = (*round_trip(0.0)[:4], staff("BM2", 1750.0, "bench mark", "B"), other)
    assert known_levels(readings) == {"BM": 0.0, "BM2": 152.0}
    (run,) = runs_of(readings, 5.0)
    assert run.misclosure_mm == pytest.approx(-2.0)


def test_closing_far_out_on_a_mark_of_another_name_asks_for_that_marks_level():
    readings = (*round_trip(0.0)[:5], staff("BM2", 1750.0, "bench mark", "B"))
    with pytest.raises(NotDesignedError, match=r"closes \+150.0 mm out on 'BM2'") as refused:
        runs_of(readings, 5.0)
    assert "give its level in a row of kind level" in refused.value.mend


def test_a_stand_with_its_own_bench_mark_is_a_run_of_its_own_and_does_not_close():
    readings = (staff("BM", 1000.0, "bench mark"), staff("P1", 1005.0), staff("BM", 1500.0, "bench mark", "B"),
                staff("P2", 1505.0, set_up="B"))  # fmt: skip
    runs = runs_of(readings, 5.0)
    assert [r.misclosure_mm for r in runs] == [None, None]
    assert list(stands_of(readings)) == ["A", "B"]


def test_a_stand_that_hangs_on_nothing_is_refused_by_name():
    with pytest.raises(NotDesignedError, match="set-up 'B'") as refused:
        chains((staff("BM", 1000.0, "bench mark"), staff("P1", 1005.0), staff("P2", 1505.0, set_up="B")))
    assert "change point" in refused.value.mend


def test_a_change_point_that_the_stand_before_did_not_read_last_does_not_carry():
    readings = (staff("BM", 1000.0, "bench mark"), staff("P1", 1005.0),
                staff("CP9", 1505.0, "change point", "B"), staff("P2", 1505.0, set_up="B"))  # fmt: skip
    with pytest.raises(NotDesignedError, match="set-up 'B'"):
        chains(readings)


def test_a_bench_mark_between_other_points_is_refused_because_its_check_would_be_lost():
    stand = (staff("CP1", 900.0, "change point"), staff("BM", 1000.0, "bench mark", row=7), staff("P1", 1005.0))
    with pytest.raises(NotDesignedError, match=r"'BM' \(row 7\) between"):
        in_order(stand, back_sight(stand, frozenset({"CP1"})))


def test_a_stand_that_read_one_point_only_is_refused():
    with pytest.raises(NotDesignedError, match="and nothing else"):
        runs_of((staff("BM", 1000.0, "bench mark"),), 5.0)


def test_a_reading_that_is_no_number_fails_the_arithmetic_checks():
    chain = ((staff("BM", 1000.0, "bench mark"), staff("P1", float("nan"))),)
    with pytest.raises(NotDesignedError, match="does not add up"):
        reduced_run(chain, {"BM": 0.0}, 5.0)
