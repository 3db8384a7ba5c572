"""The chance of tolerance is averaged over every road that the readings allow."""

from dataclasses import replace

import numpy as np
import pytest

from truebed.chamber.plane import Plane
from truebed.levels.road_average import allowed_roads, mean_share_within, rim_share_within, schwarz_weights
from truebed.levels.surface import OtherRoad, RoadSurface

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
