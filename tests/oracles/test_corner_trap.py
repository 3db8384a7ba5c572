"""The corner trap: no frame passes that a scan of its rim would fail (methods study, case F2c and 1.4)."""

import numpy as np
import pytest

from truebed.chamber.shapes import circle_ring, d_ring, rectangle_ring, turned
from truebed.levels.rim_range import quadratic_range_many
from truebed.levels.seat_many import set_many
from truebed.levels.seat_question import edge_points

COUNT, BAND = 2000, 6.0
SEAT = np.array([[-300.0, -200], [300, -200], [300, 200], [-300, 200]])
RINGS = {
    "rectangle": rectangle_ring(800.0, 600.0),
    "turned": turned(rectangle_ring(800.0, 600.0), 31.0),
    "round": circle_ring(700.0),
    "D": d_ring(700.0, 600.0),
}


def terms(points):
    x, y = points.T
    return np.column_stack([np.ones_like(x), x, y, x * y, x * x, y * y])


def worn(seed):
    rng = np.random.default_rng(seed)
    return rng.normal(0, 1, (COUNT, 6)) * np.array([3.0, 0.02, 0.02, 2.5e-5, 2.5e-5, 2.5e-5])


def set_on(points, roads):
    many = set_many(points, roads @ terms(points).T, SEAT, np.zeros((COUNT, 4)), -1e4, 1e4, BAND)
    return many.plane, many.greatest


def scanned(ring, roads, planes):
    table, own = terms(np.array(edge_points(ring, 1.0))), roads.copy()
    own[:, :3] -= planes
    return np.abs(own @ table.T).max(axis=1)


@pytest.mark.parametrize("name", sorted(RINGS))
def test_no_worn_road_passes_that_a_scan_every_millimetre_would_fail(name):
    ring, roads = RINGS[name], worn(4)
    planes, at_samples = set_on(np.array(edge_points(ring, 50.0)), roads)
    low, high = quadratic_range_many(ring, roads, planes)
    whole, seen = np.maximum(high, -low), scanned(ring, roads, planes)
    passes = whole <= BAND
    assert 0.5 < np.mean(passes) < 1.0
    assert not np.any(passes & (seen > BAND))
    assert np.all(seen <= whole + 1e-9)
    # what samples every 50 mm can miss: bend x spacing^2 / 4 for the second derivative 2 x bend along a side
    bend = np.abs(roads[:, 3]) + np.abs(roads[:, 4]) + np.abs(roads[:, 5])
    assert np.all(whole <= at_samples + bend * 50.0**2 / 4 + 1e-9)


def test_four_corners_alone_would_let_a_sixth_of_worn_roads_pass_falsely():
    ring, roads = RINGS["rectangle"], worn(5)
    planes, at_corners = set_on(np.array(ring), roads)
    false = np.mean((at_corners <= BAND) & (scanned(ring, roads, planes) > BAND))
    assert false == pytest.approx(0.155, abs=0.03)


def test_the_share_that_passes_is_the_studys():
    ring, roads = RINGS["rectangle"], worn(6)
    planes, _ = set_on(np.array(edge_points(ring, 50.0)), roads)
    low, high = quadratic_range_many(ring, roads, planes)
    assert np.mean(np.maximum(high, -low) <= BAND) == pytest.approx(0.920, abs=0.02)
