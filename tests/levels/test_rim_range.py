"""The true extremes of the departure round a whole rim, against a scan of it."""

import numpy as np
import pytest

from truebed.chamber.plane import Plane
from truebed.chamber.shapes import circle_ring, d_ring, rectangle_ring, turned
from truebed.levels.rim_range import (
    departure_range_mm,
    inside_points,
    quadratic_range_many,
    straight_sides,
    stretches,
    whole_rim,
)
from truebed.levels.road_terms import road_levels_mm
from truebed.levels.seat_question import edge_points
from truebed.levels.surface import RoadSurface
from truebed.levels.tolerance_kernel import span

RINGS = {
    "rectangle": rectangle_ring(800.0, 600.0),
    "turned": turned(rectangle_ring(800.0, 600.0), 23.0),
    "triangle": ((-400.0, -300.0), (400.0, -300.0), (400.0, 300.0)),
    "round": circle_ring(700.0),
    "D": d_ring(700.0, 600.0),
}
SIZES = {
    "plane": (3.0, 0.01, 0.01),
    "plane and twist": (3.0, 0.01, 0.01, 4e-5),
    "five terms": (3.0, 0.01, 0.01, 4e-5, 4e-5),
    "two planes along": (3.0, 0.01, 0.01, 0.02),
    "two planes across": (3.0, 0.01, 0.01, 0.02),
}


def road(model, seed):
    rng = np.random.default_rng(seed)
    terms = tuple(float(v) for v in rng.normal(0, SIZES[model]))
    return RoadSurface(model, terms, ((0.0,),), float(rng.uniform(-200, 200)), 2.0, (), (), 1.0, 1.0)


def scanned(surface, ring, rim, spacing=1.0):
    x, y = np.array(edge_points(ring, spacing)).T
    off = rim.level_mm + rim.slope_x_ratio * x + rim.slope_y_ratio * y - road_levels_mm(surface, x, y)
    return float(np.min(off)), float(np.max(off))


@pytest.mark.parametrize("ring", sorted(RINGS))
@pytest.mark.parametrize("model", sorted(SIZES))
def test_the_range_is_that_of_a_scan_every_millimetre_and_never_less(ring, model):
    for seed in range(20):
        surface, rim = road(model, seed), Plane(0.5, 0.002, -0.003)
        own, seen = departure_range_mm(surface, RINGS[ring], rim), scanned(surface, RINGS[ring], rim)
        assert own[0] <= seen[0] + 1e-9
        assert own[1] >= seen[1] - 1e-9
        # beside a fold the scan itself misses up to what the fold falls in a millimetre
        assert own == pytest.approx(seen, abs=0.06 if "planes" in model else 1e-3)


@pytest.mark.parametrize("ring", ["round", "D"])
def test_an_arc_in_stretches_is_within_2e_3_of_what_the_road_varies_by(ring):
    for seed in range(20):
        points, table = stretches(RINGS[ring])
        surface, out = road("five terms", seed), np.zeros(2)
        span(road_levels_mm(surface, points[:, 0], points[:, 1]), table, out)
        seen = scanned(surface, RINGS[ring], Plane(0.0, 0.0, 0.0))
        assert -out[::-1] == pytest.approx(seen, abs=2e-3 * (seen[1] - seen[0]))


def test_straight_sides_are_one_stretch_and_arcs_are_taken_in_short_ones():
    assert len(stretches(RINGS["rectangle"])[1]) == 4
    assert len(stretches(RINGS["round"])[1]) <= 30
    points, table = stretches(RINGS["round"])
    on_ring = {tuple(p) for p in np.array(RINGS["round"]).tolist()}
    assert all(tuple(p) in on_ring for p in points.tolist())
    for a, middle, b in table.tolist():
        first, last = np.linalg.norm(points[middle] - points[a]), np.linalg.norm(points[b] - points[middle])
        assert first == pytest.approx(last, rel=1e-6)
    back = [p for p in stretches(RINGS["D"])[0].tolist() if p[0] == pytest.approx(-350.0)]
    assert len(back) == 3


JOINT = tuple((400.0 * s, -300.0 * s) for s in (-0.5, 0.0, 0.5))


def test_points_inside_the_ring_are_looked_at_and_samples_of_its_sides_are_not_looked_at_twice():
    ring = RINGS["rectangle"]
    given_points = (*edge_points(ring, 50.0), *JOINT)
    assert [tuple(p) for p in inside_points(given_points, ring).tolist()] == list(JOINT)
    at, table = whole_rim(ring, given_points)
    assert len(at) == 8 + 3
    assert table[-1].tolist() == [10, 10, 10]
    corners, sides = straight_sides(ring, given_points, 12.0)
    assert len(corners) == 4 + 3
    assert sides.tolist()[-3:] == [[4, 5], [5, 6], [6, 6]]
    dome = RoadSurface("two planes along", (0.0, 0.0, 0.0, -0.05), ((0.0,),), 0.0, 2.0, (), (), 1.0, 1.0)
    rim = Plane(-8.0, 0.0, 0.0)
    assert departure_range_mm(dome, ring, rim) == pytest.approx((-8.0, 7.0))
    hollow = RoadSurface("full quadratic", (0.0, 0.0, 0.0, 0.0, 0.0, 1e-4), ((0.0,),), 0.0, 2.0, (), (), 1.0, 1.0)
    assert departure_range_mm(hollow, ring, rim)[1] == pytest.approx(-8.0 - 9.0)
    assert departure_range_mm(hollow, ring, rim, given_points)[1] == pytest.approx(-8.0)


def test_many_roads_at_once_have_the_range_of_each_by_itself():
    rng = np.random.default_rng(2)
    terms, planes = rng.normal(0, 1, (30, 6)) * [1, 0.01, 0.01, 3e-5, 3e-5, 3e-5], rng.normal(0, 1, (30, 3)) * 0.01
    low, high = quadratic_range_many(RINGS["turned"], terms, planes)
    for i in range(30):
        one = terms[i]
        full = (*one[:4], (one[4] - one[5]) / 2, (one[4] + one[5]) / 2)
        surface = RoadSurface("full quadratic", tuple(full), ((0.0,),), 0.0, 2.0, (), (), 1.0, 1.0)
        expected = departure_range_mm(surface, RINGS["turned"], Plane(*planes[i]))
        assert (low[i], high[i]) == pytest.approx(expected, abs=1e-9)
