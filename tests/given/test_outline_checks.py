"""The two small pieces of geometry that the reader's checks stand on, against the polygon library as a second way."""

from __future__ import annotations

import math

import pytest
from shapely import Point, affinity, box

from truebed.given.check_covers import reach_across_mm
from truebed.given.check_readings import inside_plan
from truebed.given.cover import Plan2D

PLAN = Plan2D("rectangle", 700.0, 400.0)


@pytest.mark.parametrize("turn_deg", [0.0, 9.0, -30.0, 90.0, 135.0, 180.0])
def test_inside_and_reach_of_a_turned_rectangle_agree_with_the_polygon(turn_deg: float) -> None:
    ring = affinity.rotate(box(-350.0, -200.0, 350.0, 200.0), turn_deg, origin=(0.0, 0.0))
    assert reach_across_mm(PLAN, turn_deg) == pytest.approx(ring.bounds[3], abs=1e-6)
    for x in range(-421, 422, 60):
        for y in range(-421, 422, 60):
            assert inside_plan(PLAN, turn_deg, float(x), float(y)) == ring.contains(Point(x, y)), (x, y)


def test_a_circle_is_the_same_at_every_turn() -> None:
    circle = Plan2D("round", 600.0, 600.0)
    assert reach_across_mm(circle, 33.0) == 300.0
    edge = 300.0 / math.sqrt(2.0)
    assert inside_plan(circle, 33.0, edge - 0.01, edge - 0.01)
    assert not inside_plan(circle, 33.0, edge + 0.01, edge + 0.01)
