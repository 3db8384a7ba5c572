"""Outlines of sides and arcs cut at each other: areas of every region, touching and coinciding boundaries included."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from truebed.chamber.curved import REGIONS, drawn, ring_pieces, shape_pieces
from truebed.chamber.outline_shapes import OutlineShape
from truebed.chamber.polynomial_kernel import roots_within, square_over_mm2
from truebed.chamber.shapes import outline_ring, rectangle_ring, turned


def boundary(shapes, inside):
    drawing = drawn(shapes)
    flags = [np.array([bool(inside(int(m))) for m in side]) for side in (drawing.left, drawing.right)]
    signs = flags[0].astype(float) - flags[1]
    return drawing.parts[signs != 0], signs[signs != 0]


def area(shapes, inside):
    from truebed.chamber.integral_kernel import AREA, wet_integrals

    return float(wet_integrals(*boundary(shapes, inside), np.array([1.0, 0.0, 0.0, 0.0, 0.0]))[AREA])


def both(mask):
    return mask & 3 == 3


def either(mask):
    return mask & 3 != 0


def square(size, turn=0.0, x=0.0, y=0.0):
    return shape_pieces(OutlineShape("rectangle", size, size, turn, x, y))


def disc(diameter, x=0.0, y=0.0):
    return shape_pieces(OutlineShape("round", diameter, diameter, 0.0, x, y))


def lens(r, s, apart):
    """Area common to two discs, by the two circular segments."""
    a = (apart**2 + r**2 - s**2) / (2 * apart)
    b = apart - a
    return r**2 * math.acos(a / r) - a * math.sqrt(r**2 - a**2) + s**2 * math.acos(b / s) - b * math.sqrt(s**2 - b**2)


def test_a_square_in_a_round_that_cuts_its_corners_off():
    half, radius = 400.0, 450.0
    side = math.sqrt(radius**2 - half**2)
    angle = math.asin(half / radius) - math.acos(half / radius)
    expected = 4 * half * side + 2 * radius**2 * angle
    for turn in (0.0, 13.0, 45.0):
        assert area([square(800.0, turn), disc(900.0)], both) == pytest.approx(expected, rel=1e-14)
        joined = area([square(800.0, turn), disc(900.0)], either)
        assert joined == pytest.approx(640000.0 + math.pi * radius**2 - expected, rel=1e-14)


def test_two_rounds_that_cross_share_a_lens():
    assert area([disc(800.0), disc(600.0, 250.0, 100.0)], both) == pytest.approx(
        lens(400.0, 300.0, math.hypot(250.0, 100.0)), rel=1e-13
    )


@pytest.mark.parametrize("turn", [0.0, 7.0, 30.0, 45.0, 90.0])
def test_a_round_that_just_touches_a_square_from_within_or_at_its_corners(turn):
    assert area([square(800.0, turn), disc(800.0)], both) == pytest.approx(math.pi * 400.0**2, rel=1e-12)
    around = 800.0 * math.sqrt(2.0)
    assert area([square(800.0, turn), disc(around)], both) == pytest.approx(640000.0, rel=1e-12)


@pytest.mark.parametrize("turn", [0.0, 7.0, 30.0])
def test_outlines_that_are_the_same_count_once(turn):
    assert area([square(800.0, turn), square(800.0, turn)], both) == pytest.approx(640000.0, rel=1e-14)
    assert area([square(800.0, turn), square(800.0, turn)], either) == pytest.approx(640000.0, rel=1e-14)
    assert area([disc(700.0), disc(700.0)], both) == pytest.approx(math.pi * 350.0**2, rel=1e-14)
    assert area([square(800.0), square(800.0)], lambda m: m & 3 == 1) == 0.0


def test_outlines_that_share_part_of_a_side_and_those_that_stand_side_by_side():
    tall = shape_pieces(OutlineShape("rectangle", 800.0, 1200.0))
    assert area([square(800.0), tall], both) == pytest.approx(640000.0, rel=1e-14)
    assert area([square(800.0), square(800.0, 0.0, 800.0)], both) == pytest.approx(0.0, abs=1e-9)
    assert area([square(800.0), square(800.0, 0.0, 800.0)], either) == pytest.approx(1280000.0, rel=1e-14)
    assert area([square(800.0), square(800.0, 0.0, 800.0, 300.0)], either) == pytest.approx(1280000.0, rel=1e-14)


def test_a_d_is_a_rectangle_and_half_a_round_and_the_same_turned_round():
    expected = 400.0 * 700.0 + math.pi * 350.0**2 / 2
    for turn in (0.0, 33.0, 180.0):
        shape = shape_pieces(OutlineShape("D", 750.0, 700.0, turn))
        assert area([shape], lambda m: m == 1) == pytest.approx(expected, rel=1e-14)
        assert area([shape, disc(2000.0)], both) == pytest.approx(expected, rel=1e-14)
    half = shape_pieces(OutlineShape("D", 350.0, 700.0))
    assert area([half], lambda m: m == 1) == pytest.approx(math.pi * 350.0**2 / 2, rel=1e-14)


def test_a_ring_is_taken_either_way_round_and_without_doubled_points():
    ring = ((0.0, 0.0), (0.0, 100.0), (0.0, 100.0), (100.0, 100.0), (100.0, 0.0))
    assert area([ring_pieces(ring)], lambda m: m == 1) == pytest.approx(10000.0)
    assert len(ring_pieces(ring)) == 4


def thousandths(low, high):
    """Lengths as a survey may give them: nothing finer than a thousandth of a millimetre."""
    return st.floats(low, high).map(lambda value: round(value, 3))


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(["rectangle", "round", "D"]), st.sampled_from(["rectangle", "round", "D"]),
    thousandths(300, 900), thousandths(300, 900), st.floats(-180, 180), st.floats(-180, 180),
    thousandths(-500, 500), thousandths(-500, 500),
)  # fmt: skip
def test_any_two_shapes_agree_with_polygons_of_many_sides(kind, other, size, more, turn, turn_more, x, y):
    first = shape_pieces(OutlineShape(kind, size, size, turn))
    second = shape_pieces(OutlineShape(other, more, more, turn_more, x, y))
    a = Polygon(outline_ring(kind, size, size, turn))
    b = Polygon([(px + x, py + y) for px, py in outline_ring(other, more, more, turn_more)])
    assert area([first, second], both) == pytest.approx(a.intersection(b).area, rel=1e-4, abs=60.0)
    assert area([first, second], both) + area([first, second], either) == pytest.approx(
        area([first], lambda m: m == 1) + area([second], lambda m: m == 1), rel=1e-12
    )
    swapped = area([second, first], both)
    assert area([first, second], both) == pytest.approx(swapped, rel=1e-11, abs=1e-6)


def test_arcs_a_hair_apart_are_off_by_less_than_a_tenth_of_a_square_millimetre():
    """Two arcs 6e-8 mm apart cross where no digit is left to say; the area is then off by some hundredths."""
    first = shape_pieces(OutlineShape("round", 300.0, 300.0, 0.0))
    second = shape_pieces(OutlineShape("D", 300.0, 300.0, 1.0, -5.960464477539063e-08, 0.0))
    alone = area([first], lambda m: m == 1) + area([second], lambda m: m == 1)
    assert area([first, second], both) + area([first, second], either) == pytest.approx(alone, abs=0.1)


def test_a_cut_of_more_than_one_bay_may_have_inner_corners():
    ring = ((0.0, 0.0), (900.0, 0.0), (900.0, 400.0), (400.0, 400.0), (400.0, 900.0), (0.0, 900.0))
    region = Polygon(ring)
    moved = Polygon([(x + 500, y + 450) for x, y in turned(rectangle_ring(600.0, 600.0), 20.0)])
    round_solid = Point(400, 400).buffer(250.0, quad_segs=2000)
    for shape, solid in ((disc(500.0, 400.0, 400.0), round_solid), (square(600.0, 20.0, 500.0, 450.0), moved)):
        assert area([ring_pieces(ring), shape], both) == pytest.approx(region.intersection(solid).area, rel=1e-6)


def test_outlines_that_cross_without_end_are_refused():
    many = [ring_pieces(outline_ring("rectangle", 900.0 - i % 7, 300.0 + i, 3.0 * i)) for i in range(40)]
    with pytest.raises(ValueError, match="too often"):
        drawn(many)


def test_every_region_leaves_the_hollow_free_that_takes_fill():
    for name in ("seat", "flange off the wall", "trench on the wall", "trench off the wall"):
        chamber = (np.arange(len(REGIONS[name])) >> 4) & 1 == 1
        assert not np.any(REGIONS[name] & chamber)


@given(st.lists(st.floats(-0.99, 0.99), min_size=4, max_size=4), st.floats(0.1, 5.0))
def test_all_places_where_a_quartic_changes_sign_are_found(roots, scale):
    terms = np.polynomial.polynomial.polyfromroots(roots) * scale
    found = np.empty(4)
    count = roots_within(terms, -1.0, 1.0, found)
    gaps = np.diff(sorted(roots))
    if np.all(gaps > 1e-3):
        assert count == 4
        assert found == pytest.approx(np.array(sorted(roots)), abs=1e-10)
    assert np.all(np.abs(np.polynomial.polynomial.polyval(found[:count], terms)) < 1e-12 * scale)


@given(st.floats(-2, 2), st.floats(-2, 2), st.floats(0.5, 3), st.floats(-0.49, 3))
def test_the_integral_of_a_square_over_a_line_is_that_of_many_gauss_points(p, q, r, s):
    nodes, weights = np.polynomial.legendre.leggauss(60)
    y = 0.5 * (nodes + 1.0)
    expected = float(np.sum(0.5 * weights * (p + q * y) ** 2 / (2.0 * (r + s * y))))
    assert square_over_mm2((p, q), (r, s), (0.0, 1.0)) == pytest.approx(expected, rel=1e-12, abs=1e-14)
