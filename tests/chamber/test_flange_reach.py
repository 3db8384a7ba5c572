"""How far a flange reaches: against the outline's own points."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.chamber.flange_reach import around_radius_mm, reach_mm
from truebed.chamber.shapes import outline_ring

SHAPES = st.sampled_from(["rectangle", "round", "D", "triangular pair"])


@given(SHAPES, st.floats(500.0, 1200.0), st.floats(300.0, 900.0), st.floats(-180.0, 180.0), st.floats(0.0, 360.0))
def test_the_reach_is_that_of_the_outline_s_farthest_point(shape, along, across, turn, toward):
    across = along if shape == "round" else across
    nx, ny = math.cos(math.radians(toward)), math.sin(math.radians(toward))
    farthest = max(nx * x + ny * y for x, y in outline_ring(shape, along, across, turn))
    # a circle's ring has the circle's area and stands off it by a few parts in 10,000
    assert reach_mm(shape, along, across, turn, nx, ny) == pytest.approx(farthest, abs=5e-4 * along)


@given(SHAPES, st.floats(500.0, 1200.0), st.floats(300.0, 900.0))
def test_the_circle_round_a_flange_holds_its_points_and_touches_one(shape, along, across):
    across = along if shape == "round" else across
    farthest = max(math.hypot(*p) for p in outline_ring(shape, along, across, 0.0))
    assert around_radius_mm(shape, along, across) == pytest.approx(farthest, rel=3e-4)


def test_a_d_reaches_half_its_length_in_front_and_behind_and_its_corner_behind():
    assert reach_mm("D", 900.0, 600.0, 0.0, 1.0, 0.0) == pytest.approx(450.0)
    assert reach_mm("D", 900.0, 600.0, 0.0, -1.0, 0.0) == pytest.approx(450.0)
    corner = math.hypot(450.0, 300.0)
    assert reach_mm("D", 900.0, 600.0, 0.0, -450.0 / corner, 300.0 / corner) == pytest.approx(corner)
