"""Surfaces of facets: folds, triangles, differences, and what lies beyond measured points."""

import numpy as np
import pytest
from shapely.geometry import Point, Polygon

from truebed.chamber.plane import Plane
from truebed.chamber.surface import Surface, less, plane_facets, raised, surface_facets, triangle_facets


def at(facets, x, y):
    heights = [
        f.height[0] + f.height[1] * x + f.height[2] * y + f.height[3] * x * y + f.height[4] * (x * x - y * y)
        for f in facets if all(Polygon(r).covers(Point(x, y)) for r in f.within)
    ]  # fmt: skip
    assert heights, "no facet there"
    assert max(heights) - min(heights) < 1e-7
    return heights[0]


PLACES = [(0.0, 0.0), (310.0, -250.0), (-410.0, 75.0), (120.0, 400.0), (-90.0, -600.0)]


@pytest.mark.parametrize("along", [True, False])
@pytest.mark.parametrize(("x", "y"), PLACES)
def test_the_facets_of_a_folded_twisted_surface_are_that_surface(along, x, y):
    surface = Surface(3.0, 0.01, -0.02, 2e-5, -1e-5, -0.025, 75.0, along)
    assert at(surface_facets(surface), x, y) == pytest.approx(surface.at(x, y), abs=1e-9)


def test_a_surface_without_a_fold_is_one_facet_without_bounds():
    facets = surface_facets(Surface(1.0, 0.01, 0.02, 1e-5))
    assert [f.within for f in facets] == [()]
    assert at(facets, 100.0, 200.0) == pytest.approx(1.0 + 1.0 + 4.0 + 0.2)


@pytest.mark.parametrize(("x", "y"), PLACES)
def test_a_thickness_is_upper_less_lower_also_where_both_have_facets(x, y):
    upper = Surface(3.0, 0.01, -0.02, 2e-5, -1e-5, -0.025, 60.0)
    lower = Surface(-100.0, -0.01, 0.0, 0.0, 0.0, 0.01, 20.0, False)
    thickness = less(raised(surface_facets(upper), 7.0), surface_facets(lower))
    assert len(thickness) == 4
    assert at(thickness, x, y) == pytest.approx(upper.at(x, y) + 7.0 - lower.at(x, y), abs=1e-9)
    assert at(plane_facets(Plane(1.0, 0.01, 0.02)), x, y) == pytest.approx(1.0 + 0.01 * x + 0.02 * y)


def ring_of_points(lift):
    angle = np.arange(8) * np.pi / 4
    return tuple(
        (420 * np.cos(a), 420 * np.sin(a), -130 + 0.01 * 420 * np.cos(a) + lift(i)) for i, a in enumerate(angle)
    )


def test_triangles_meet_the_measured_points_and_carry_their_departure_outward():
    points = ring_of_points(lambda i: 3.0 * (-1) ** i)
    facets = triangle_facets(points, Plane(-130.0, 0.01, 0.0))
    for x, y, z in points:
        assert at(facets, x, y) == pytest.approx(z, abs=1e-9)
        further = z - (-130.0 + 0.01 * x) + (-130.0 + 0.01 * 1.7 * x)
        assert at(facets, 1.7 * x, 1.7 * y) == pytest.approx(further, abs=1e-9)


def test_triangles_of_points_on_a_plane_are_that_plane_everywhere():
    facets = triangle_facets(ring_of_points(lambda _: 0.0), Plane(-130.0, 0.01, 0.0))
    for x, y in PLACES:
        assert at(facets, x, y) == pytest.approx(-130.0 + 0.01 * x, abs=1e-9)
