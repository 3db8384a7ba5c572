"""The chamber top: estimate before the lift, measured points after."""

import numpy as np
import pytest

from plan.sample import case, ring_readings, shelf
from truebed.chamber.shapes import rectangle_ring
from truebed.errors import NotDesignedError
from truebed.levels.booking import reduce_readings
from truebed.levels.road_fit import fit_road
from truebed.plan.chamber_top import MeasuredTop, chamber_top, seat_samples
from truebed.rules.load import load_rule_set
from truebed.rules.packaged import packaged_rules

POINTS = tuple((400 * np.cos(a), 400 * np.sin(a), -120.0 + 0.01 * 400 * np.cos(a)) for a in np.arange(8) * np.pi / 4)


def road():
    spots = reduce_readings(ring_readings(lambda x, _y: 5.0 + 0.01 * x))
    return fit_road(tuple(s for s in spots if s.where == "road"), 2.0, 0.05)


def test_the_estimate_is_level_and_its_depth_is_below_the_road_at_the_centre():
    top = chamber_top(case().cover, road(), shelf().rules, None)
    assert (top.known, top.sd_mm) == ("estimate", 8.0)
    assert top.plane.at(300.0, -200.0) == pytest.approx(5.0 - 130.0)


def test_without_a_stated_error_the_estimates_error_is_unknown_not_nought():
    uk, _ = load_rule_set("uk", {}, packaged_rules())
    assert chamber_top(case().cover, road(), uk, None).sd_mm is None


def test_measured_points_give_their_plane_and_a_small_error():
    top = chamber_top(case().cover, road(), shelf().rules, MeasuredTop(POINTS, "RK", "t", "e"))
    assert top.known == "measured"
    assert top.plane.level_mm == pytest.approx(-120.0)
    assert top.plane.slope_x_ratio == pytest.approx(0.01)
    assert top.rough_mm == pytest.approx(0.0, abs=1e-9)
    far = 1 / 8 * (1 + 2 * (415.0**2 + 415.0**2) / 400.0**2)
    assert top.sd_mm == pytest.approx(2.0 * far**0.5)


def test_points_over_the_hole_off_the_wall_or_on_one_side_are_refused():
    patch = tuple((30 * np.cos(a), 30 * np.sin(a), -120.0) for a in np.arange(8) * np.pi / 4)
    with pytest.raises(NotDesignedError, match="do not lie on the chamber's wall top"):
        chamber_top(case().cover, road(), shelf().rules, MeasuredTop(patch, "RK", "t", "e"))
    metres = tuple((x / 1000.0, y / 1000.0, z) for x, y, z in POINTS)
    with pytest.raises(NotDesignedError) as refused:
        chamber_top(case().cover, road(), shelf().rules, MeasuredTop(metres, "RK", "t", "e"))
    assert "in mm" in refused.value.mend
    side = tuple((400.0 + 30.0 * (i % 2), 40.0 * i, -120.0) for i in range(8))
    with pytest.raises(NotDesignedError, match="gap of"):
        chamber_top(case().cover, road(), shelf().rules, MeasuredTop(side, "RK", "t", "e"))


def test_points_in_line_are_refused():
    line = tuple((400.0, 100.0 * i - 350.0, -120.0) for i in range(8))
    with pytest.raises(NotDesignedError, match="lie in line"):
        chamber_top(case().cover, road(), shelf().rules, MeasuredTop(line, "RK", "t", "e"))


def test_the_beds_limits_hold_at_measured_points_under_the_flange_too():
    top = chamber_top(case().cover, road(), shelf().rules, MeasuredTop((*POINTS, (470.0, 0.0, -111.0)), "RK", "t", "e"))
    seats = seat_samples(top, rectangle_ring(820, 820), rectangle_ring(830, 830))
    assert [s.name for s in seats[:4]] == ["seat 1", "seat 2", "seat 3", "seat 4"]
    assert len(seats) == 4 + 8
    assert seats[4].chamber_top_mm == POINTS[0][2]
