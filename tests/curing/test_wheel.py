"""Bed pressure under a wheel: closed forms of rectangles and rings, with and without lost contact."""

import numpy as np
import pytest
from shapely.geometry import Point, box

from truebed.curing.wheel import contact_peak, grid_points, wheel_demand

RING = box(-400, -400, 400, 400).difference(box(-300, -300, 300, 300))
SOLID = box(-400, -300, 400, 300)


def peak(region, at_x, at_y, load=200000.0):
    x, y = grid_points(region)
    return contact_peak(x, y, region.area, load, at_x, at_y)


def test_the_grid_stands_for_the_area_with_its_centre():
    x, y = grid_points(RING)
    assert (np.mean(x), np.mean(y)) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert np.mean(x**2) == pytest.approx((800**4 - 600**4) / 12.0 / 280000.0, rel=0.01)


def test_a_centred_wheel_presses_by_load_over_area():
    demand = wheel_demand(RING, 200.0, 300.0, 300.0, round_opening=False)
    assert demand.area_mm2 == pytest.approx(280000.0)
    assert demand.centred_n_per_mm2 == pytest.approx(200000.0 / 280000.0)
    assert peak(RING, 0.0, 0.0)[0] == pytest.approx(200000.0 / 280000.0)


def test_the_published_load_class_example_gives_1_43():
    # Check page, section 3 (CALC): 600 x 600 opening, 100 mm flange, D400 test load 400 kN -> 1.43 N/mm2
    assert peak(RING, 0.0, 0.0, 400000.0)[0] == pytest.approx(1.43, abs=0.005)


def test_inside_the_middle_third_the_closed_form_of_a_rectangle_holds():
    value, whole = peak(SOLID, 100.0, 0.0)
    assert whole
    assert value == pytest.approx(200000.0 / 480000.0 * (1 + 6 * 100.0 / 800.0), rel=0.01)


def test_outside_the_middle_third_the_closed_form_of_a_lifted_rectangle_holds():
    value, whole = peak(SOLID, 250.0, 0.0)
    assert not whole
    assert value == pytest.approx(2 * 200000.0 / (3 * 600.0 * (400.0 - 250.0)), rel=0.02)


def test_a_circular_base_within_its_kern_follows_navier():
    disc = Point(0, 0).buffer(400.0, quad_segs=64)
    value, whole = peak(disc, 80.0, 0.0)
    assert whole
    assert value == pytest.approx(200000.0 / (np.pi * 400.0**2) * (1 + 4 * 80.0 / 400.0), rel=0.015)


@pytest.mark.parametrize(
    ("outer", "inner", "expected"), [(830.0, 620.0, 5.7), (760.0, 700.0, 18.2), (700.0, 650.0, 38.7)]
)
def test_a_wheel_at_the_openings_corner_asks_what_an_independent_solve_found(outer, inner, expected):
    # values of a separate no-tension solve made while reviewing, with a 600 opening and a 200 kN wheel
    ring = box(-outer / 2, -outer / 2, outer / 2, outer / 2).difference(
        box(-inner / 2, -inner / 2, inner / 2, inner / 2)
    )
    demand = wheel_demand(ring, 200.0, 300.0, 300.0, round_opening=False)
    assert demand.peak_at == "corner"
    assert not demand.full_contact
    assert demand.peak_n_per_mm2 == pytest.approx(expected, rel=0.15)


def test_force_and_moments_are_in_balance():
    x, y = grid_points(RING)
    cell = RING.area / len(x)
    table = np.column_stack([np.ones_like(x), x, y])
    value, _ = contact_peak(x, y, RING.area, 200000.0, 250.0, 120.0)
    # rebuild the pressures by a bounded fit of the same balance and compare the peak
    from scipy.optimize import root

    def missing(v):
        p = np.maximum(0.0, table @ (v / np.array([1.0, 400.0, 400.0])))
        return (cell * table.T @ p - 200000.0 * np.array([1.0, 250.0, 120.0])) / np.array([1e5, 1e7, 1e7])

    found = root(missing, np.array([0.7, 1.0, 0.5]), tol=1e-12)
    assert found.success
    again = np.max(np.maximum(0.0, table @ (found.x / np.array([1.0, 400.0, 400.0]))))
    assert value == pytest.approx(again, rel=1e-6)


def test_a_round_opening_has_no_corner():
    disc = Point(0, 0).buffer(415.0, quad_segs=64).difference(Point(0, 0).buffer(310.0, quad_segs=64))
    assert wheel_demand(disc, 200.0, 300.0, 300.0, round_opening=True).peak_at.startswith("edge")


def test_a_load_outside_the_seating_has_no_balance():
    x, y = grid_points(RING)
    with pytest.raises(ValueError, match="no balance"):
        contact_peak(x, y, RING.area, 200000.0, 500.0, 0.0)


def test_a_d_is_tried_where_its_opening_is_and_not_at_corners_that_it_does_not_have():
    from shapely.geometry import Polygon

    from truebed.chamber.shapes import d_ring

    seat = Polygon(d_ring(830.0, 830.0)).difference(Polygon(d_ring(600.0, 600.0)))
    found = wheel_demand(seat, 200.0, 300.0, 300.0, round_opening=False, d_opening=True)
    x, y = grid_points(seat)
    area = float(seat.area)
    # a balance by hand at the place that it names, and none of the others presses more
    tried = {
        "nose": (300.0, 0.0), "side": (0.0, 300.0), "back": (-300.0, 0.0), "back corner": (-300.0, 300.0),
    }  # fmt: skip
    peaks = {name: contact_peak(x, y, area, 200000.0, *at)[0] for name, at in tried.items()}
    assert found.peak_at == max(peaks, key=peaks.get)
    assert found.peak_n_per_mm2 == pytest.approx(max(peaks.values()))
    # the bounding rectangle's front corner lies on no part of the iron's opening: there the frame would tip
    with pytest.raises(ValueError, match="no balance"):
        contact_peak(x, y, area, 200000.0, 300.0, 300.0)
