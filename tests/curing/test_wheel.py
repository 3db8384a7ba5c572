"""Bed pressure under a wheel: closed forms of a square ring."""

import pytest
from shapely.geometry import box

from truebed.curing.wheel import second_moments_mm4, wheel_demand

RING = box(-400, -400, 400, 400).difference(box(-300, -300, 300, 300))


def test_second_moments_are_those_of_the_closed_form():
    expected = (800**4 - 600**4) / 12.0
    assert second_moments_mm4(RING) == pytest.approx((expected, expected))
    assert second_moments_mm4(box(-200, -100, 200, 100)) == pytest.approx((400**3 * 200 / 12, 200**3 * 400 / 12))


def test_a_centred_wheel_presses_by_load_over_area():
    demand = wheel_demand(RING, 200.0, 300.0, 300.0)
    assert demand.area_mm2 == pytest.approx(280000.0)
    assert demand.centred_n_per_mm2 == pytest.approx(200000.0 / 280000.0)


def test_the_published_load_class_example_gives_1_43():
    # Check page, section 3 (CALC): 600 x 600 opening, 100 mm flange, D400 test load 400 kN -> 1.43 N/mm2
    assert wheel_demand(RING, 400.0, 0.0, 0.0).centred_n_per_mm2 == pytest.approx(1.43, abs=0.005)


def test_a_wheel_at_the_openings_edge_follows_navier_and_says_when_contact_is_lost():
    demand = wheel_demand(RING, 200.0, 300.0, 300.0)
    second = (800**4 - 600**4) / 12.0
    share = 300.0 * 400.0 * 280000.0 / second
    assert demand.edge_n_per_mm2 == pytest.approx(demand.centred_n_per_mm2 * (1 + share))
    assert demand.full_contact is (share <= 1.0)
    assert not wheel_demand(RING, 200.0, 300.0, 300.0).full_contact
    assert wheel_demand(RING, 200.0, 100.0, 100.0).full_contact
