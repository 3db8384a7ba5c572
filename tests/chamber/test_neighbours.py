"""Covers placed in one another's axes."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.chamber.cut_parts import KeepOff
from truebed.chamber.neighbours import Place, Placed, moved, neighbours_of, relative
from truebed.chamber.shapes import rectangle_ring, turned_point

FLANGE, CUT = rectangle_ring(800.0, 800.0), rectangle_ring(1100.0, 1100.0)


def grid(place, point):
    """A local point in the works' system, from the definition of bearing: clockwise from north, y to the left."""
    bearing = math.radians(place.bearing_deg)
    along, left = (math.sin(bearing), math.cos(bearing)), (-math.cos(bearing), math.sin(bearing))
    return tuple(1000.0 * at + point[0] * along[i] + point[1] * left[i] for i, at in enumerate((place.x_m, place.y_m)))


def test_with_the_traffic_going_east_the_axes_are_the_grid_s():
    assert relative(Place(100.0, 50.0, 90.0), Place(102.0, 51.0, 90.0)) == pytest.approx((2000.0, 1000.0, 0.0))


def test_with_the_traffic_going_north_what_lies_west_lies_to_the_left():
    x, y, turn = relative(Place(0.0, 0.0, 0.0), Place(-1.5, 0.0, 270.0))
    assert (x, y) == pytest.approx((0.0, 1500.0))
    assert turn == pytest.approx(90.0)  # the other's traffic goes west: to this one's left


@given(
    st.floats(-5e5, 5e5), st.floats(-5e5, 5e5), st.floats(0.0, 360.0), st.floats(-5.0, 5.0), st.floats(-5.0, 5.0),
    st.floats(0.0, 360.0), st.floats(-900.0, 900.0), st.floats(-900.0, 900.0),
)  # fmt: skip
def test_a_point_stands_in_the_same_place_of_the_grid_from_either_cover(east, north, bearing, dx, dy, other, x, y):
    this, that = Place(east, north, bearing), Place(east + dx, north + dy, other)
    (here,) = moved(((x, y),), *relative(this, that))
    assert grid(this, here) == pytest.approx(grid(that, (x, y)), abs=1e-3)
    (back,) = moved((here,), *relative(that, this))
    assert back == pytest.approx((x, y), abs=1e-3)


def test_a_ring_is_turned_first_and_then_moved():
    assert moved(((10.0, 0.0),), 100.0, 0.0, 90.0)[0] == pytest.approx((100.0, 10.0))
    assert turned_point((10.0, 0.0), 90.0) == pytest.approx((0.0, 10.0))


def test_covers_within_reach_are_found_by_name_and_a_row_is_taken_whole():
    def at(name, x_m, cut=CUT):
        return Placed(name, Place(x_m, 0.0, 90.0), FLANGE, cut, (KeepOff("a duct", rectangle_ring(10.0, 10.0)),))

    row = [at("D", 30.0), at("C", 2.8), at("B", 1.4), at("A", 0.0)]
    found = neighbours_of(row[3], row, 250.0)
    assert [n.name for n in found] == ["B", "C"]
    assert found[1].flange[0] == pytest.approx((2400.0, -400.0))
    assert found[0].keep_off[0].ring[0] == pytest.approx((1395.0, -5.0))
    # one that is not dug tonight carries no row on
    row[2] = at("B", 1.4, ())
    assert [n.name for n in neighbours_of(row[3], row, 250.0)] == ["B"]
