"""Volumes by the boundary alone: closed forms V1 to V8 of the methods study, draws, and what must not change them."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chamber.covers import random_cover, shaped
from truebed.chamber.curved import ring_pieces, shape_pieces
from truebed.chamber.integral_kernel import (
    AREA,
    LEAST,
    MOST,
    VOLUME,
    WET,
    WET_SADDLE,
    WET_X,
    WET_XY,
    WET_Y,
    wet_integrals,
)  # fmt: skip
from truebed.chamber.outline_shapes import OutlineShape
from truebed.chamber.roles import section_of, surfaces_of, terms_of
from truebed.chamber.shapes import rectangle_ring, turned
from truebed.chamber.surface import less


def under(pieces, height, signs=None):
    signs = np.ones(len(pieces)) if signs is None else signs
    return wet_integrals(pieces, signs, np.array(height, dtype=float))


def disc(radius, x=0.0, y=0.0):
    return shape_pieces(OutlineShape("round", 2 * radius, 2 * radius, 0.0, x, y))


def test_v1_a_battered_pit_is_a_middle_and_four_wedges_and_four_corners():
    """A pit 1000 square at the top, 800 at the bottom, 300 deep: the lower of its floor and its four sloping sides."""
    whole = under(ring_pieces(rectangle_ring(800.0, 800.0)), (300.0, 0.0, 0.0, 0.0, 0.0))[VOLUME]
    # one quarter: the mitred strip along the front side, 300 deep at x = 400, nothing at x = 500
    strip = ring_pieces(((400.0, -400.0), (500.0, -500.0), (500.0, 500.0), (400.0, 400.0)))
    side = under(strip, (1500.0, -3.0, 0.0, 0.0, 0.0))[VOLUME]
    frustum = 300.0 / 3.0 * (1000.0**2 + 1000.0 * 800.0 + 800.0**2)
    assert (whole + 4 * side) / 1e6 == pytest.approx(244.0, rel=1e-14)
    assert whole + 4 * side == pytest.approx(frustum, rel=1e-14)


def test_v1b_a_round_pit_is_a_stack_of_discs():
    nodes, weights = np.polynomial.legendre.leggauss(4)
    discs = sum(w * under(disc(450.0 + 50.0 * t), (150.0, 0.0, 0.0, 0.0, 0.0))[VOLUME]
                for t, w in zip(nodes, weights, strict=True))  # fmt: skip
    assert discs / 1e6 == pytest.approx(191.6371519, abs=1e-7)
    assert discs == pytest.approx(math.pi * 100.0 * (500.0**2 + 500.0 * 400.0 + 400.0**2), rel=1e-13)


def test_v2_a_wedge_and_a_prismatoid():
    wedge = under(ring_pieces(rectangle_ring(1000.0, 1000.0)), (10.0, 0.04, 0.0, 0.0, 0.0))
    assert wedge[VOLUME] / 1e6 == pytest.approx(11.25, rel=1e-14)
    assert wedge[WET] == pytest.approx(750_000.0)
    assert (wedge[LEAST], wedge[MOST]) == pytest.approx((-10.0, 30.0))
    tetrahedron = under(ring_pieces(((0.0, 0.0), (600.0, 0.0), (0.0, 300.0))), (90.0, -0.15, -0.3, 0.0, 0.0))
    assert tetrahedron[VOLUME] == pytest.approx(600.0 * 300.0 / 2 * 90.0 / 3)


def test_an_annulus_under_a_tilted_plane_has_its_area_times_the_height_at_its_middle():
    ring = np.vstack([disc(450.0, 20.0, 30.0), disc(300.0, 20.0, 30.0)])
    found = under(ring, (40.0, 0.02, -0.03, 0.0, 0.0), np.array([1.0, -1.0]))
    assert found[VOLUME] == pytest.approx(math.pi * (450.0**2 - 300.0**2) * (40.0 + 0.4 - 0.9), rel=1e-13)
    assert found[AREA] == pytest.approx(math.pi * (450.0**2 - 300.0**2), rel=1e-14)


@settings(max_examples=100, deadline=None)
@given(st.floats(-30, 30), st.floats(-0.05, 0.05), st.floats(-0.05, 0.05), st.floats(-1e-4, 1e-4),
       st.floats(-1e-4, 1e-4), st.sampled_from(["rectangle", "round", "D"]), st.floats(-180, 180))  # fmt: skip
def test_what_is_above_less_what_is_below_is_the_whole(h, gx, gy, kxy, ks, kind, turn):
    pieces = shape_pieces(OutlineShape(kind, 900.0, 700.0 if kind != "round" else 900.0, turn, 40.0, -70.0))
    height = np.array([h, gx, gy, kxy, ks])
    above, below, flat = under(pieces, height), under(pieces, -height), under(pieces, (1e4, 0.0, 0.0, 0.0, 0.0))
    moments = flat[[WET, WET_X, WET_Y, WET_XY, WET_SADDLE]]
    assert above[VOLUME] - below[VOLUME] == pytest.approx(float(height @ moments), rel=1e-9, abs=1e-5)
    if above[MOST] - above[LEAST] > 1e-9:  # nothing everywhere is neither above nor below
        assert above[WET] + below[WET] == pytest.approx(flat[AREA], rel=1e-8)
    assert (above[LEAST], above[MOST]) == pytest.approx((-below[MOST], -below[LEAST]))
    # Euler: the volume is the height times the wet part's own moments
    wet = above[[WET, WET_X, WET_Y, WET_XY, WET_SADDLE]]
    assert float(height @ wet) == pytest.approx(above[VOLUME], rel=1e-8, abs=1e-2)


@settings(max_examples=60, deadline=None)
@given(st.floats(-180, 180), st.floats(-3000, 3000), st.floats(-3000, 3000), st.integers(0, 10**6))
def test_turning_and_moving_the_road_with_the_region_changes_nothing(turn, x, y, seed):
    rng = np.random.default_rng(seed)
    h, gx, gy = rng.normal(0, 10), *rng.normal(0, 0.03, 2)
    kxy, ks = rng.normal(0, 5e-5, 2)
    here = under(shape_pieces(OutlineShape("D", 800.0, 600.0)), (h, gx, gy, kxy, ks))
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    # the same height in axes turned by `turn`, then moved by x, y
    tx, ty = cos * gx - sin * gy, sin * gx + cos * gy
    cc, ss = cos * cos - sin * sin, 2 * cos * sin
    k, s = cc * kxy + 2 * ss * ks, cc * ks - 0.5 * ss * kxy
    moved_h = h - tx * x - ty * y + k * x * y + s * (x * x - y * y)
    there = under(shape_pieces(OutlineShape("D", 800.0, 600.0, turn, x, y)),
                  (moved_h, tx - k * y - 2 * s * x, ty - k * x + 2 * s * y, k, s))  # fmt: skip
    assert there[VOLUME] == pytest.approx(here[VOLUME], rel=1e-8, abs=1.0)
    assert there[MOST] == pytest.approx(here[MOST], abs=1e-8)


def test_ten_kilometres_away_the_volume_stays():
    """Coordinates of a works' own grid cost digits of the height at the place, no more."""
    near = under(ring_pieces(rectangle_ring(1000.0, 1000.0)), (10.0, 0.04, 0.01, 0.0, 0.0))
    ring = tuple((x + 1e7, y - 1e7) for x, y in rectangle_ring(1000.0, 1000.0))
    far = under(ring_pieces(ring), (10.0 - 0.04e7 + 0.01e7, 0.04, 0.01, 0.0, 0.0))
    assert far[VOLUME] == pytest.approx(near[VOLUME], rel=1e-9)
    assert far[AREA] == near[AREA]


def test_no_region_has_no_volume():
    found = under(np.zeros((0, 7)), (10.0, 0.0, 0.0, 0.0, 0.0))
    assert (found[VOLUME], found[AREA]) == (0.0, 0.0)


def test_least_and_greatest_of_a_twist_are_found_on_the_rim_between_its_ends():
    angle = np.linspace(-math.pi, math.pi, 400_001)
    x, y = 60.0 + 400.0 * np.cos(angle), -30.0 + 400.0 * np.sin(angle)
    for height in ((3.0, 0.01, 0.02, 9e-5, -4e-5), (0.0, 0.0, 0.0, 1e-4, 0.0), (-5.0, 0.03, 0.0, 0.0, 1e-4)):
        rim = height[0] + height[1] * x + height[2] * y + height[3] * x * y + height[4] * (x * x - y * y)
        found = under(disc(400.0, 60.0, -30.0), height)
        assert (found[LEAST], found[MOST]) == pytest.approx((rim.min(), rim.max()), abs=1e-7)


def test_two_million_draws_agree_with_every_layer_of_a_cover():
    """Monte Carlo, stratified by a lattice of cells, one draw a cell: within five of its own standard errors."""
    rng = np.random.default_rng(66)
    sizes, turn, levels = random_cover(rng)
    outlines = shaped(sizes, turn)
    section = section_of(outlines, levels)
    reach, cells = 800.0, 1414
    step = 2 * reach / cells
    corner = -reach + step * np.arange(cells)
    x = (corner[:, None] + step * rng.random((cells, cells))).ravel()
    y = (corner[None, :] + step * rng.random((cells, cells))).ravel()
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    u, v = cos * x + sin * y, cos * y - sin * x
    inside = {
        name: u * u + v * v < a * a / 4 if kind == "round" else (np.abs(u) < a / 2) & (np.abs(v) < b / 2)
        for name, (kind, a, b) in sizes.items()
    }
    hollow = inside["opening"] | inside["chamber"]
    f, w, e, b = (inside[n] for n in ("flange", "wall", "cut", "body"))
    regions = {
        "seat": f & w & ~hollow, "flange off the wall": f & ~w & ~hollow, "flange beside the body": f & ~b,
        "trench on the wall": e & ~f & w & ~inside["chamber"], "trench off the wall": e & ~f & ~w & ~inside["chamber"],
        "round the body": e & ~b,
    }  # fmt: skip
    for terms in terms_of(levels, surfaces_of(levels)).values():
        for term in terms:
            thickness = less(term.upper, term.lower)
            h, gx, gy, _, _ = thickness[0].height
            drawn = np.maximum(h + gx * x + gy * y, 0.0) * regions[term.region]
            expected = float(drawn.mean()) * (2 * reach) ** 2
            error = float(drawn.std()) * (2 * reach) ** 2 / math.sqrt(x.size)
            found = float(section.integrals(term.region, thickness)[0][1][VOLUME])
            assert abs(found - expected) <= 5 * error + 1e-6, term.region


def test_a_level_that_is_no_number_is_refused():
    sizes, turn, levels = random_cover(np.random.default_rng(67))
    section, surfaces = section_of(shaped(sizes, turn), levels), surfaces_of(levels)
    broken = tuple(type(f)(f.within, (math.nan, *f.height[1:])) for f in surfaces.top)
    with pytest.raises(ValueError, match="seat is no number"):
        section.integrals("seat", less(surfaces.under, broken))


def test_sides_and_arcs_may_be_taken_in_any_order():
    pieces = np.vstack([ring_pieces(turned(rectangle_ring(900.0, 700.0), 17.0)), disc(250.0)])
    signs = np.array([1.0, 1.0, 1.0, 1.0, -1.0])
    height = (1.0, 0.02, -0.03, 3e-5, 2e-5)
    order = np.array([3, 0, 4, 2, 1])
    a, b = under(pieces, height, signs), under(pieces[order], height, signs[order])
    assert a == pytest.approx(b, rel=1e-12)
