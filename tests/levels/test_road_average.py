"""The chance of tolerance is averaged over every road that the readings allow."""

from dataclasses import replace

import numpy as np
import pytest

from truebed.chamber.plane import Plane
from truebed.levels.road_average import (
    allowed_roads,
    fold_reach_mm,
    mean_share_within,
    rim_share_within,
    schwarz_weights,
)
from truebed.levels.surface import OtherRoad, RoadPoint, RoadSurface
from truebed.levels.tolerance import normal_share_within

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


def test_a_drawn_fold_moves_bodily_and_no_further_than_its_reach():
    """Only the fold's place errs: the chance is a normal one in that place; a short reach gives all."""
    one = OtherRoad("two planes along", (0.0, 0.0, 0.0, -0.02), only((1e-7, 0, 0, 0, 50.0)), 20.0, 1.0)
    road = RoadSurface(one.model, one.coefficients, one.covariance, one.ridge_mm, 2.0, (), (), 1.0, 1.0)
    found = rim_share_within(road, RING, RING, Plane(-6.6, 0.0, 0.0), STILL, -7.0, 2.0)
    # departure least -6.6 (on the fold); greatest 0.02 x (330 + |ridge|) - 6.6 <= 2: |ridge| <= 100
    expected = normal_share_within(20.0, 50.0, -100.0, 100.0)
    assert found == pytest.approx(expected, abs=2e-3)
    near = tuple(RoadPoint("P", 0.0, y, 0.0, 0.0, True, 2) for y in (-180.0, 180.0))
    assert rim_share_within(replace(road, points=near), RING, RING, Plane(-6.6, 0.0, 0.0), STILL, -7.0, 2.0) == 1.0


def test_the_sides_of_the_rim_count_and_not_its_corners_alone():
    """A saddle x^2 - y^2 is level at the corners of a square and out between them."""
    saddle = RoadSurface("five terms", (0.0, 0, 0, 0, 1e-4), only((1e-7, 0, 0, 0, 0)), 0.0, 2.0, (), (), 1.0, 1.0)
    assert pytest.approx(10.89) == 1e-4 * 330.0**2
    assert rim_share_within(saddle, RING, RING, Plane(0.0, 0.0, 0.0), STILL, -10.0, 12.0) == 0.0
    assert rim_share_within(saddle, RING, (), Plane(0.0, 0.0, 0.0), STILL, -10.0, 12.0) == pytest.approx(1.0)


def test_a_fold_is_held_to_where_it_was_looked_for():
    one = OtherRoad("two planes across", (0.0, 0.0, 0.0, -0.02), (), 0.0, 1.0)
    points = tuple(RoadPoint("P", x, y, 0.0, 0.0, True, 2) for x, y in ((800.0, 0.0), (-600.0, 0.0), (0.0, 700.0)))
    assert fold_reach_mm(replace(FLAT, points=points), one) == (-300.0, 400.0)
    assert fold_reach_mm(FLAT, one) == (-np.inf, np.inf)
