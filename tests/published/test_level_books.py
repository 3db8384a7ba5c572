"""Worked level books of two teaching texts: sums, misclosure against 5 sqrt(n) mm, the full check of collimation.

The first text (start 10.000 m, closing on 9.090 m) prints the sums of back and fore sights, the heights of collimation
11.546, 11.402 and 11.092 m with one, four and one sight, and both sides of the full check, 68.246. The split between
some of its readings is not printed: two of them are parameters here, and every split gives the printed figures. It
writes the sums the other way round (fore less back). The second closes on 48.710 m with 48.704. [levelling-texts]
"""

import pytest

from truebed.errors import NotDesignedError
from truebed.given.reading import Reading
from truebed.levels.levelling import Stand, allowed_misclosure_mm, book, checks, spread_mm
from truebed.levels.runs import runs_of


def printed_book(second_back, between):
    """Stands with the printed sums: three between-readings adding up to 251, heights 11546, 11402 and 11092."""
    third_back = 3975.0 - 1546.0 - second_back
    last = 251.0 - sum(between)
    return (
        Stand("1", (1546.0, second_back + 144.0)),
        Stand("2", (second_back, *between, last, third_back + 310.0)),
        Stand("3", (third_back, 2009.0)),
    )


@pytest.mark.parametrize("second_back", [700.0, 1200.0, 1650.0])
@pytest.mark.parametrize("between", [(100.0, 100.0), (-400.0, 320.0)])
def test_the_printed_sums_heights_and_full_check_come_out(second_back, between):
    run = book(10000.0, printed_book(second_back, between))
    assert run.collimation_mm == pytest.approx((11546.0, 11402.0, 11092.0))
    assert [len(levels) for levels in run.levels_mm] == [1, 4, 1]
    assert run.last_mm == pytest.approx(9083.0)
    back_fore, rise_fall, agree, full = checks(run)
    assert (back_fore.left_mm, back_fore.right_mm) == pytest.approx((-917.0, -917.0))
    assert (rise_fall.left_mm, agree.left_mm) == pytest.approx((-917.0, 9083.0))
    assert sum(sum(levels) for levels in run.levels_mm) == pytest.approx(63103.0)
    assert (full.left_mm, full.right_mm) == pytest.approx((68246.0, 68246.0))
    assert all(c.holds for c in (back_fore, rise_fall, agree, full))


def test_seven_millimetres_over_three_set_ups_are_accepted():
    assert allowed_misclosure_mm(5.0, 3) == pytest.approx(8.66, abs=0.005)
    assert abs(9083.0 - 9090.0) <= allowed_misclosure_mm(5.0, 3)


def test_six_millimetres_over_three_set_ups_add_two_a_set_up():
    assert abs(48704.0 - 48710.0) <= allowed_misclosure_mm(5.0, 3)
    assert spread_mm(48704.0 - 48710.0, 3) == pytest.approx((2.0, 4.0, 6.0))


def as_rows(stands, closes_at):
    rows = [
        Reading("C", "BM1", 0, 0, "level", 10000.0, "bench mark"),
        Reading("C", "BM2", 0, 0, "level", closes_at, "bench mark"),
    ]
    ends = ["BM1", "CP1", "CP2", "BM2"]
    for k, stand in enumerate(stands):
        names = [ends[k], *(f"P{k}{i}" for i in range(len(stand.staff_mm) - 2)), ends[k + 1]]
        for name, value in zip(names, stand.staff_mm, strict=True):
            where = {"B": "bench mark", "C": "change point", "P": "road"}[name[0]]
            rows.append(Reading("C", name, 0.0, 0.0, "staff", value, where, stand.name))
    return tuple(rows)


def test_the_same_book_as_rows_of_readings_is_accepted_and_corrected_to_the_closing_level():
    (run,) = runs_of(as_rows(printed_book(1200.0, (100.0, 100.0)), 9090.0), 5.0)
    assert run.misclosure_mm == pytest.approx(-7.0)
    assert run.allowed_mm == pytest.approx(8.66, abs=0.005)
    assert run.booked.last_mm + run.corrections_mm[-1] == pytest.approx(9090.0)


def test_ten_millimetres_over_three_set_ups_are_refused():
    with pytest.raises(NotDesignedError, match=r"-10.0 mm out on 'BM2'; 8.7 mm is allowed over 3"):
        runs_of(as_rows(printed_book(1200.0, (100.0, 100.0)), 9093.0), 5.0)
