"""A wheel's whole load at a point of the opening: centred, at the edges, at the corner."""

import pytest
from shapely.geometry import Point, Polygon, box

from truebed.curing.wheel import wheel_demand

RING = box(-400, -400, 400, 400).difference(box(-300, -300, 300, 300))


def test_a_centred_wheel_presses_by_load_over_area():
    demand = wheel_demand(RING, 200.0, 300.0, 300.0, round_opening=False)
    assert demand.area_mm2 == pytest.approx(280000.0)
    assert demand.centred_n_per_mm2 == pytest.approx(200000.0 / 280000.0)


def test_the_published_load_class_example_gives_1_43():
    # Check page, section 3 (CALC): 600 x 600 opening, 100 mm flange, D400 test load 400 kN -> 1.43 N/mm2
    demand = wheel_demand(RING, 400.0, 300.0, 300.0, round_opening=False)
    assert demand.centred_n_per_mm2 == pytest.approx(1.43, abs=0.005)


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
    assert demand.peak_n_per_mm2 == pytest.approx(expected, rel=0.02)


def test_a_round_opening_has_no_corner():
    disc = Point(0, 0).buffer(415.0, quad_segs=64).difference(Point(0, 0).buffer(310.0, quad_segs=64))
    assert wheel_demand(disc, 200.0, 300.0, 300.0, round_opening=True).peak_at.startswith("edge")


def test_a_wheel_outside_the_seating_tips_the_frame():
    with pytest.raises(ValueError, match="tips"):
        wheel_demand(RING, 200.0, 500.0, 300.0, round_opening=False)


def test_a_d_is_tried_where_its_opening_is_and_not_at_corners_that_it_does_not_have():
    from truebed.chamber.shapes import d_ring

    seat = Polygon(d_ring(830.0, 830.0)).difference(Polygon(d_ring(600.0, 600.0)))
    assert wheel_demand(seat, 200.0, 300.0, 300.0, round_opening=False, d_opening=True).peak_at == "back corner"
    # the bounding rectangle's front corner lies outside the seat: there any frame would tip
    with pytest.raises(ValueError, match="no balance"):
        wheel_demand(seat, 200.0, 300.0, 300.0, round_opening=False)
    # on a square ring all round, a D's back corner asks what the square's own corner asks
    ring = box(-415, -415, 415, 415).difference(box(-300, -300, 300, 300))
    as_d = wheel_demand(ring, 200.0, 300.0, 300.0, round_opening=False, d_opening=True)
    plain = wheel_demand(ring, 200.0, 300.0, 300.0, round_opening=False)
    assert as_d.peak_n_per_mm2 == pytest.approx(plain.peak_n_per_mm2)
