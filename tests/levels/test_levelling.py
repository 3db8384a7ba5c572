"""A level book reduced by height of collimation and by rise and fall."""

from truebed.levels.levelling import (
    Check,
    Stand,
    allowed_misclosure_mm,
    book,
    by_collimation,
    by_rise_and_fall,
    checks,
    spread_mm,
)

#: From a bench mark at 100: 1500 back, 1620 and 1480 between, 1300 fore (change point), then 1700 back, 1750 fore.
STANDS = (Stand("A", (1500.0, 1620.0, 1480.0, 1300.0)), Stand("B", (1700.0, 1750.0)))


def test_levels_by_collimation_are_the_line_of_sight_less_the_staff():
    collimation, levels = by_collimation(100.0, STANDS)
    assert collimation == (1600.0, 2000.0)
    assert levels == ((-20.0, 120.0, 300.0), (250.0,))


def test_rises_and_falls_are_the_differences_of_neighbouring_readings():
    rises, falls, levels = by_rise_and_fall(100.0, STANDS)
    assert rises == (0.0, 140.0, 180.0, 0.0)
    assert falls == (120.0, 0.0, 0.0, 50.0)
    assert levels == ((-20.0, 120.0, 300.0), (250.0,))


def test_all_four_checks_hold_on_a_sound_book_and_give_both_sides():
    found = checks(book(100.0, STANDS))
    assert [c.holds for c in found] == [True] * 4
    assert (found[0].left_mm, found[1].left_mm, found[2].left_mm) == (150.0, 150.0, 250.0)
    assert found[3].left_mm == 1620 + 1480 + 1300 + 1750 + (-20 + 120 + 300 + 250) == 3 * 1600 + 2000


def test_a_check_fails_where_its_sides_differ_by_a_tenth_of_a_millimetre_or_by_no_number():
    assert not Check("x", 10.0, 10.1).holds
    assert not Check("x", float("nan"), 10.0).holds
    assert Check("x", 0.1 + 0.2, 0.3).holds


def test_the_misclosure_is_spread_in_equal_steps_that_add_up():
    assert spread_mm(-6.0, 3) == (2.0, 4.0, 6.0)
    assert allowed_misclosure_mm(5.0, 4) == 10.0
