"""The exact polygon of contact against two other ways: a grid of points, and a root finder on the same balance."""

import numpy as np
import pytest
from scipy.optimize import root
from shapely.affinity import rotate
from shapely.geometry import Point, box

from oracles.contact_grid import grid_points, grid_pressure
from truebed.curing.contact import bed_of, contact

SEATINGS = {
    "square ring": box(-415, -415, 415, 415).difference(box(-310, -310, 310, 310)),
    "narrow ring": box(-380, -300, 380, 300).difference(box(-330, -250, 330, 250)),
    "round ring": Point(0, 0).buffer(415, quad_segs=60).difference(Point(0, 0).buffer(310, quad_segs=60)),
    "turned ring": rotate(box(-415, -315, 415, 315).difference(box(-310, -210, 310, 210)), 23.0, origin=(0, 0)),
    "three sides": box(-415, -415, 415, 415).difference(box(-310, -310, 500, 310)),
}
LOAD = 200000.0


def hull_peak(seating, v):
    corners = np.array(seating.convex_hull.exterior.coords)
    return float(np.max(v[0] + corners @ v[1:]))


@pytest.mark.parametrize("name", SEATINGS)
@pytest.mark.parametrize("at", [(0.0, 0.0), (150.0, 0.0), (200.0, 110.0), (-250.0, 180.0)])
def test_a_grid_of_points_finds_the_same_greatest_pressure(name, at):
    seating = SEATINGS[name]
    v = grid_pressure(seating, LOAD, *at, spacing_mm=3.0)
    found = contact(bed_of(seating), LOAD, *at)
    assert v is not None
    assert found.peak_n_per_mm2 == pytest.approx(hull_peak(seating, v), rel=0.02)


@pytest.mark.parametrize("name", SEATINGS)
def test_a_finer_grid_comes_closer(name):
    seating, at = SEATINGS[name], (220.0, 120.0)
    exact = contact(bed_of(seating), LOAD, *at).peak_n_per_mm2
    off = [abs(hull_peak(seating, grid_pressure(seating, LOAD, *at, spacing_mm=s)) / exact - 1) for s in (12.0, 2.0)]
    assert off[1] < max(off[0], 2e-3)
    assert off[1] < 0.005


def test_a_root_finder_on_the_grids_balance_finds_the_same():
    seating = SEATINGS["square ring"]
    x, y = grid_points(seating, 3.0)
    cell, table = seating.area / len(x), np.column_stack([np.ones_like(x), x / 400, y / 400])
    wanted = np.array([1.0, 250.0 / 400, 120.0 / 400])
    answer = root(
        lambda v: cell / LOAD * table.T @ np.maximum(0.0, table @ v) - wanted, np.array([0.7, 1.0, 0.5]), tol=1e-12
    )
    assert answer.success
    found = contact(bed_of(seating), LOAD, 250.0, 120.0)
    assert found.peak_n_per_mm2 == pytest.approx(answer.x[0] + 415 / 400 * (answer.x[1] + answer.x[2]), rel=0.01)


@pytest.mark.parametrize("name", SEATINGS)
def test_thousands_of_places_all_come_to_a_balance_or_tip(name):
    bed, rng, seen = bed_of(SEATINGS[name]), np.random.default_rng(5), set()
    for at in rng.uniform(-430, 430, (1500, 2)):
        found = contact(bed, LOAD, *at)
        seen.add(found.verdict)
        if found.peak_n_per_mm2 is not None:
            assert found.peak_n_per_mm2 >= LOAD / bed.area_mm2 * (1 - 1e-9)
    assert seen == {"whole bed pressed", "part of the bed lifts", "tips"}
