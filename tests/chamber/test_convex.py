"""Convex rings clipped and met by lines: against hand figures and against a geometry library."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from truebed.chamber.convex import cleaned, clipped, common, distance_to_mm, line_meets, ring_area_mm2
from truebed.chamber.shapes import circle_ring, rectangle_ring, turned

SQUARE = rectangle_ring(200.0, 100.0)
SIZES = st.floats(50.0, 900.0)
TURNS = st.floats(-90.0, 90.0)


def test_area_of_a_rectangle_and_of_the_same_walked_backwards():
    assert ring_area_mm2(SQUARE) == pytest.approx(20_000.0)
    assert ring_area_mm2(SQUARE[::-1]) == pytest.approx(-20_000.0)


def test_a_half_plane_cuts_a_rectangle_at_its_line():
    kept = clipped(SQUARE, 1.0, 0.0, 30.0)
    assert max(x for x, _ in kept) == pytest.approx(30.0)
    assert ring_area_mm2(kept) == pytest.approx(130.0 * 100.0)
    assert clipped(SQUARE, 1.0, 0.0, 100.0) is SQUARE
    assert clipped(SQUARE, 1.0, 0.0, -100.0) == ()


def test_points_on_a_straight_side_and_points_said_twice_go():
    assert cleaned(((10.0, 0.0), (10.0, 0.0), (10.0, 5.0), (0.0, 5.0), (0.0, 0.0), (4.0, 0.0))) == (
        (0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (0.0, 5.0),
    )  # fmt: skip
    assert cleaned(((0.0, 0.0), (1.0, 0.0), (2.0, 0.0))) == ()


@given(SIZES, SIZES, TURNS, SIZES, SIZES, TURNS, st.floats(-500.0, 500.0))
def test_what_two_rectangles_have_in_common_is_what_the_library_says(a, b, turn, c, d, other_turn, shift):
    one = turned(rectangle_ring(a, b), turn)
    other = tuple((x + shift, y) for x, y in turned(rectangle_ring(c, d), other_turn))
    both = common(one, other)
    found = ring_area_mm2(both) if both else 0.0
    assert found == pytest.approx(Polygon(one).intersection(Polygon(other)).area, abs=1e-3)


@given(st.floats(-700.0, 700.0), st.floats(-700.0, 700.0), st.floats(-700.0, 700.0), st.floats(-700.0, 700.0), TURNS)
def test_a_line_meets_a_ring_where_the_library_finds_a_length_inside(x, y, u, v, turn):
    ring = turned(rectangle_ring(600.0, 300.0), turn)
    if math.dist((x, y), (u, v)) < 1.0:
        return
    inside = LineString(((x, y), (u, v))).intersection(Polygon(ring).buffer(-1e-3)).length
    if inside > 0.01:
        assert line_meets((x, y), (u, v), ring)
    if not LineString(((x, y), (u, v))).intersects(Polygon(ring)):
        assert not line_meets((x, y), (u, v), ring)


def test_a_line_along_a_side_does_not_run_inside():
    assert not line_meets((-200.0, 50.0), (200.0, 50.0), SQUARE)
    assert line_meets((-200.0, 49.0), (200.0, 49.0), SQUARE)


@given(st.floats(-700.0, 700.0), st.floats(-700.0, 700.0), TURNS)
def test_distance_to_a_ring_is_the_library_s(x, y, turn):
    ring = turned(rectangle_ring(600.0, 300.0), turn)
    assert distance_to_mm((x, y), ring) == pytest.approx(Polygon(ring).distance(Point(x, y)), abs=1e-6)


def test_a_point_said_twice_does_no_harm():
    doubled = (SQUARE[0], SQUARE[0], *SQUARE[1:])
    assert ring_area_mm2(common(doubled, SQUARE)) == pytest.approx(20_000.0)
    assert ring_area_mm2(common(SQUARE, doubled)) == pytest.approx(20_000.0)
    assert line_meets((-200.0, 0.0), (200.0, 0.0), doubled)
    assert distance_to_mm((200.0, 0.0), doubled) == pytest.approx(100.0)


def test_a_point_within_is_at_no_distance():
    assert distance_to_mm((0.0, 10.0), circle_ring(100.0)) == 0.0
