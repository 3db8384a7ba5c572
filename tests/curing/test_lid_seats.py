"""A rigid lid on its seats: statics of three, equal springs of four, and when it tips."""

import pytest

from truebed.curing.lid_seats import lid_seats, seat_forces
from truebed.given.cover import Plan2D

SQUARE = ((-300.0, -300.0), (300.0, -300.0), (300.0, 300.0), (-300.0, 300.0))


def balance(seats, found):
    total = sum(found.forces_n)
    return (total, *(sum(f * s[k] for f, s in zip(found.forces_n, seats, strict=True)) / total for k in (0, 1)))


def test_three_seats_share_by_statics():
    found = seat_forces(SQUARE[:3], 900.0, 100.0, -100.0)
    assert found.forces_n == pytest.approx((300.0, 300.0, 300.0))


def test_four_seats_share_a_centred_load_alike():
    assert seat_forces(SQUARE, 1000.0, 0.0, 0.0).forces_n == pytest.approx((250.0,) * 4)


@pytest.mark.parametrize("at", [(0.0, 0.0), (150.0, 20.0), (250.0, 250.0), (-290.0, 280.0), (0.0, -299.0)])
def test_force_and_moments_balance_and_no_seat_pulls(at):
    found = seat_forces(SQUARE, 1000.0, *at)
    assert not found.tips
    assert min(found.forces_n) >= 0.0
    assert balance(SQUARE, found) == pytest.approx((1000.0, *at), abs=1e-3)


def test_a_load_near_a_corner_lets_the_far_seat_go():
    found = seat_forces(SQUARE, 1000.0, 200.0, 200.0)
    assert found.forces_n[0] == 0.0
    assert found.forces_n == pytest.approx((0.0, 500.0 / 3, 2000.0 / 3, 500.0 / 3))


def test_a_lid_that_has_lost_a_seat_tips_over_the_missing_corner():
    left = SQUARE[:3]
    assert seat_forces(left, 1000.0, -100.0, 100.0 + 1.0).tips
    assert not seat_forces(left, 1000.0, -99.0, -100.0).tips


def test_shapes_have_the_seats_that_the_model_says():
    assert len(lid_seats(Plan2D("rectangle", 600.0, 400.0))[0]) == 4
    pair = lid_seats(Plan2D("triangular pair", 600.0, 600.0))
    assert [len(lid) for lid in pair] == [3, 3]
    assert set(pair[0]) & set(pair[1]) == {(-300.0, -300.0), (300.0, 300.0)}
    assert lid_seats(Plan2D("round", 600.0, 600.0)) == ()
