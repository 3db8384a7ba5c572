"""Water round a set grating: pools of known shape, mirrored scenes, finer cells."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from truebed.chamber.plane import Plane
from truebed.chamber.shapes import outline_ring, rectangle_ring
from truebed.levels.ponding import ponding
from truebed.levels.surface import RoadPoint, RoadSurface


def road_of(coefficients, model="plane", reach=700.0):
    points = tuple(
        RoadPoint(f"P{i}", sx * reach, sy * reach, 0.0, 0.0, used=True, row=i)
        for i, (sx, sy) in enumerate(((-1, -1), (1, -1), (1, 1), (-1, 1)))
    )
    return RoadSurface(model, coefficients, (), 0.0, 2.0, points, (), 1.0, 1.0)


GRATING = rectangle_ring(440.0, 440.0)


def test_a_sloping_road_without_a_kerb_holds_no_water():
    found = ponding(road_of((0.0, 0.01, 0.025)), GRATING, Plane(-3.0, 0.01, 0.025))
    assert (found.depth_mm, found.area_m2, found.volume_l) == (0.0, 0.0, 0.0)
    assert 0.1 < found.to_grating_share < 0.6


def test_between_a_proud_grating_and_the_kerb_and_above_it_stand_the_pools_of_algebra():
    # z = 0.02 |x| + 0.03 y, kerb at y = -300, rim 4 proud. Below the grating the way out is over its right
    # edge, y = -220, at the rim's level there; above it the rim dams the
    # valley at y = 220 and spills at the rim's level there
    road = road_of((0.0, 0.0, 0.03, 0.02), "two planes across")
    found = ponding(road, GRATING, Plane(4.0, 0.0, 0.03), "right", 300.0, 5.0)
    x, y = np.meshgrid(np.arange(-699.5, 700.0, 1.0), np.arange(-299.5, 700.0, 1.0))
    spill = np.where(y > 0.0, 0.03 * 220.0 + 4.0, 0.03 * -220.0 + 4.0)
    depth = spill - (0.02 * np.abs(x) + 0.03 * y)
    depth[np.abs(y) < 220.0] = 0.0
    pool = depth > 0.5
    assert found.depth_mm == pytest.approx(0.03 * 80.0 + 4.0, abs=0.03 * 5.0 + 0.02 * 5.0)
    assert found.area_m2 == pytest.approx(np.sum(pool) * 1e-6, rel=0.03)
    assert found.volume_l == pytest.approx(np.sum(depth[pool]) * 1e-6, rel=0.03)
    assert found.at == (pytest.approx(0.0, abs=5.0), pytest.approx(-300.0, abs=5.0))
    assert found.low_below_mm == pytest.approx(0.03 * 80.0 + 4.0, abs=0.3)


def test_a_grating_set_below_its_channel_at_the_kerb_drains_it():
    # the grating reaches to the kerb: nothing is lower than its rim
    road = road_of((0.0, 0.0, 0.03, 0.02), "two planes across")
    found = ponding(road, GRATING, Plane(-3.0, 0.0, 0.03), "right", 220.0)
    assert found.depth_mm == pytest.approx(0.0, abs=0.02 * 20.0)
    assert found.to_grating_share > 0.5
    assert found.low_below_mm < 0.0


def test_a_kerb_on_the_left_mirrors_one_on_the_right():
    right = ponding(
        road_of((0.0, 0.0, 0.03, 0.02), "two planes across"), GRATING, Plane(4.0, 0.0, 0.03), "right", 300.0
    )
    left = ponding(
        road_of((0.0, 0.0, -0.03, 0.02), "two planes across"), GRATING, Plane(4.0, 0.0, -0.03), "left", 300.0
    )
    assert (left.depth_mm, left.area_m2, left.volume_l) == pytest.approx(
        (right.depth_mm, right.area_m2, right.volume_l)
    )


def test_channel_readings_a_hand_off_the_kerb_still_let_the_kerb_hold_the_water():
    # a valley at x = 500 beside the grating falls to the kerb at y = 700; the readings' reach ends at y = 640
    def found(kerb_mm):
        points = tuple(
            RoadPoint(f"P{i}", x, y, 0.0, 0.0, used=True, row=i)
            for i, (x, y) in enumerate(((-700.0, -700.0), (800.0, -700.0), (800.0, 640.0), (-700.0, 640.0)))
        )
        road = RoadSurface("two planes across", (0.0, 0.0, -0.02, 0.02), (), 500.0, 2.0, points, (), 1.0, 1.0)
        return ponding(road, GRATING, Plane(0.0, 0.0, -0.02), "left", kerb_mm, 10.0)

    held = found(700.0)
    # it spills beyond the readings at x = 800 along the kerb: 0.02 x 300 mm over the valley
    assert held.depth_mm == pytest.approx(0.02 * 300.0, abs=0.02 * 20.0)
    assert held.at == (pytest.approx(500.0, abs=10.0), pytest.approx(700.0, abs=10.0))
    # with the kerb out of the readings' sight the road beyond is not known to hold anything
    assert found(900.0).depth_mm == pytest.approx(0.0, abs=1e-9)


@settings(max_examples=15, deadline=None)
@given(
    proud=st.floats(-6.0, 6.0),
    twist=st.floats(-3e-5, 3e-5),
    fall=st.tuples(st.floats(-0.03, 0.03), st.floats(0.01, 0.04)),
)
def test_water_never_stands_above_the_way_out_and_mirrors_end_to_end(proud, twist, fall):
    road = road_of((0.0, *fall, twist), "plane and twist")
    found = ponding(road, GRATING, Plane(proud, *fall), "right", 300.0)
    mirrored = ponding(
        road_of((0.0, -fall[0], fall[1], -twist), "plane and twist"), GRATING, Plane(proud, -fall[0], fall[1]),
        "right", 300.0,
    )  # fmt: skip
    assert mirrored.depth_mm == pytest.approx(found.depth_mm, abs=1e-9)
    assert mirrored.area_m2 == pytest.approx(found.area_m2)
    assert 0.0 <= found.to_grating_share <= 1.0
    highest_rim = max(Plane(proud, *fall).at(x, y) for x, y in GRATING)
    highest_road = max(
        fall[0] * x + fall[1] * y + twist * x * y for x, y in outline_ring("rectangle", 1400.0, 1400.0, 0.0)
    )
    assert found.depth_mm <= max(highest_rim, highest_road) - found.low_mm + 1e-9


def test_readings_that_span_no_area_are_refused():
    road = RoadSurface("plane", (0.0, 0.0, 0.0), (), 0.0, 2.0, (), (), 1.0, 1.0)
    with pytest.raises(ValueError, match="span no area"):
        ponding(road, GRATING, Plane(0.0, 0.0, 0.0))
