"""The chance of tolerance is averaged over every road that the readings allow."""

from dataclasses import replace

import numpy as np
import pytest

from truebed.chamber.plane import Plane
from truebed.levels.road_average import (
    allowed_roads,
    drawn_road_errors,
    fold_reach_mm,
    mean_share_within,
    rim_share_within,
    schwarz_weights,
)
from truebed.levels.surface import OtherRoad, RoadPoint, RoadSurface

RING = ((330.0, 330.0), (330.0, -330.0), (-330.0, -330.0), (-330.0, 330.0))
SURE = tuple(tuple(1e-12 if i == j == 0 else 0.0 for j in range(3)) for i in range(3))
FLAT = RoadSurface("plane", (0.0, 0.0, 0.0), SURE, 0.0, 2.0, (), (), 1.0, 1.0)
STILL = np.diag([1e-12, 1e-18, 1e-18])


def test_weights_add_up_and_two_units_of_cost_are_worth_a_factor_e():
    weights = schwarz_weights((10.0, 12.0, 400.0))
    assert sum(weights) == pytest.approx(1.0)
    assert weights[0] / weights[1] == pytest.approx(np.e)
    assert weights[2] < 1e-80


def test_a_sure_road_and_a_sure_other_one_out_of_tolerance_leave_the_first_ones_weight():
    other = OtherRoad("plane", (9.0, 0.0, 0.0), SURE, 0.0, 0.3)
    road = replace(FLAT, weight_share=0.7, others=(other,))
    assert [r.weight_share for r in allowed_roads(road)] == [0.7, 0.3]
    assert rim_share_within(road, RING, RING, Plane(0.0, 0.0, 0.0), STILL, -6.0, 6.0) == pytest.approx(0.7)
    assert mean_share_within(road, RING, 0.0, 0.001, -6.0, 6.0) == pytest.approx(0.7)


def test_the_fold_of_another_road_is_looked_at_where_it_crosses_the_rim():
    sure = tuple(tuple(1e-12 if i == j == 0 else 0.0 for j in range(5)) for i in range(5))
    other = OtherRoad("two planes along", (1.0, 0.0, 0.0, -0.02), sure, 0.0, 0.5)
    road = replace(FLAT, weight_share=0.5, others=(other,))
    found = rim_share_within(road, RING, RING, Plane(-2.5, 0.0, 0.0), STILL, -3.2, 6.0)
    assert found == pytest.approx(0.5)


def only(sizes):
    return tuple(tuple(v**2 if i == j else 0.0 for j in range(len(sizes))) for i, v in enumerate(sizes))


def test_a_drawn_fold_is_the_road_with_its_fold_moved_and_no_further_than_the_span():
    x, y = np.array([330.0, -330.0, 0.0]), np.array([330.0, 10.0, -200.0])
    draws = np.array([[0.5, -1.0, 2.0, 1.0, 0.6], [-1.5, 0.3, 0.0, -2.0, -3.0]])
    one = OtherRoad("two planes along", (1.0, 0.0, 0.01, -0.02), only((0, 0, 0, 0, 50)), 20.0, 1.0)
    found = drawn_road_errors(one, x, y, (-60.0, 60.0), draws)
    places = {float(20.0 + row[0] / 0.02) for row in found}
    assert len(places) == 2
    for row in found:
        ridge = 20.0 + row[0] / 0.02
        assert -60.0 - 1e-6 <= ridge <= 60.0 + 1e-6
        assert row == pytest.approx(-0.02 * (np.abs(y - ridge) - np.abs(y - 20.0)))


def test_a_fold_that_stands_still_errs_as_its_terms_do():
    x, y = np.array([330.0, -330.0, 0.0]), np.array([330.0, 10.0, -200.0])
    draws = np.random.default_rng(1).normal(0, 1, (4000, 5))
    one = OtherRoad("two planes along", (1.0, 0.0, 0.01, -0.02), only((1, 1e-3, 2e-3, 3e-3, 0)), 20.0, 1.0)
    found = drawn_road_errors(one, x, y, (-375.0, 375.0), draws)
    terms = np.column_stack([np.ones(3), x, y, np.abs(y - 20.0)])
    expected = np.sqrt(np.sum((terms * np.array([1, 1e-3, 2e-3, 3e-3])) ** 2, axis=1))
    assert np.std(found, axis=0) == pytest.approx(expected, rel=0.05)


def test_a_fold_is_held_to_where_it_was_looked_for():
    one = OtherRoad("two planes across", (0.0, 0.0, 0.0, -0.02), (), 0.0, 1.0)
    points = tuple(RoadPoint("P", x, y, 0.0, 0.0, True, 2) for x, y in ((800.0, 0.0), (-600.0, 0.0), (0.0, 700.0)))
    assert fold_reach_mm(replace(FLAT, points=points), one) == (-300.0, 400.0)
    assert fold_reach_mm(FLAT, one) == (-np.inf, np.inf)
