"""Outlines: areas, turning, orientation."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from truebed.chamber.shapes import (
    circle_ring,
    common_region,
    d_ring,
    hull_ring,
    joint_region,
    outline_ring,
    polygon,
    rectangle_ring,
    ring_of,
    turned,
    turned_point,
)


@given(st.floats(50.0, 2000.0))
def test_a_circles_ring_has_the_circles_area_and_its_centroid(diameter):
    shape = polygon(circle_ring(diameter))
    assert shape.area == pytest.approx(math.pi * diameter**2 / 4.0, rel=1e-12)
    assert (shape.centroid.x, shape.centroid.y) == pytest.approx((0.0, 0.0), abs=1e-9)


def test_a_rectangle_runs_anticlockwise_from_the_back_right():
    assert rectangle_ring(800.0, 600.0) == ((-400.0, -300.0), (400.0, -300.0), (400.0, 300.0), (-400.0, 300.0))


def test_turning_by_90_degrees_swaps_the_axes():
    assert turned_point((1.0, 0.0), 90.0) == pytest.approx((0.0, 1.0))
    assert polygon(turned(rectangle_ring(800.0, 600.0), 90.0)).bounds == pytest.approx((-300.0, -400.0, 300.0, 400.0))


@given(st.floats(-180.0, 180.0))
def test_turning_keeps_area_and_size(turn):
    shape = polygon(outline_ring("rectangle", 800.0, 600.0, turn))
    assert shape.area == pytest.approx(480000.0)
    assert shape.length == pytest.approx(2800.0)


def test_a_ring_comes_back_anticlockwise_from_its_least_point():
    ring = ring_of(Polygon([(1, 1), (1, 0), (0, 0), (0, 1)]))
    assert ring == ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))


def test_the_hull_of_a_ring_region_is_its_outside():
    region = polygon(rectangle_ring(4.0, 4.0)).difference(polygon(rectangle_ring(2.0, 2.0)))
    assert polygon(hull_ring(region)).area == pytest.approx(16.0)


def test_a_region_without_area_has_no_hull():
    with pytest.raises(ValueError, match="area"):
        hull_ring(Polygon([(0, 0), (1, 0), (2, 0)]))


def test_a_d_has_the_area_of_its_rectangle_and_half_circle() -> None:
    ring = d_ring(700.0, 600.0)
    expected_mm2 = 400.0 * 600.0 + math.pi * 300.0**2 / 2.0
    assert polygon(ring).area == pytest.approx(expected_mm2, rel=1e-12)
    assert polygon(ring).is_valid
    assert max(x for x, _ in ring) == pytest.approx(350.0, abs=0.1)
    assert min(x for x, _ in ring) == -350.0


def test_a_d_shorter_than_its_half_circle_is_refused() -> None:
    with pytest.raises(ValueError, match="at least 300 mm long"):
        d_ring(200.0, 600.0)


def test_regions_of_two_outlines_are_those_of_their_polygons_within_each_other_or_crossing():
    small, large, long = (
        outline_ring("round", 500.0, 500.0, 0.0),
        rectangle_ring(600.0, 600.0),
        rectangle_ring(900.0, 80.0),
    )
    for one, other in ((small, large), (large, small), (small, long), (long, large)):
        assert common_region(one, other).equals(polygon(one).intersection(polygon(other)))
        assert joint_region(one, other).equals(polygon(one).union(polygon(other)))
