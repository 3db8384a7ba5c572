"""Volumes between planes: closed forms V2 and V10 of the methods study, roles, clipping."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Plane
from truebed.chamber.shapes import circle_ring, polygon, rectangle_ring
from truebed.chamber.solids import EMPTY, Levels, between, role_solids, seating, together


def square(size):
    return rectangle_ring(size, size)


def test_v2_a_wedge_is_clipped_where_it_runs_out():
    found = between(polygon(square(1000.0)), Plane(10.0, 0.04, 0.0))
    assert found.volume_l == pytest.approx(0.5 * 30 * 750 * 1000 / 1e6)
    assert (found.least_mm, found.most_mm) == pytest.approx((-10.0, 30.0))


def test_v5_a_hoof_over_a_disc_is_two_thirds_g_r_cubed():
    found = between(polygon(circle_ring(800.0)), Plane(0.0, 0.05, 0.0))
    assert found.volume_l == pytest.approx(2.0 / 3.0 * 0.05 * 400.0**3 / 1e6, rel=2e-4)


def test_a_whole_disc_under_a_tilted_plane_is_exact():
    found = between(polygon(circle_ring(800.0)), Plane(30.0, 0.02, 0.01))
    assert found.volume_l == pytest.approx(math.pi * 400.0**2 * 30.0 / 1e6, rel=1e-12)


def test_nothing_is_left_of_a_negative_thickness():
    found = between(polygon(square(500.0)), Plane(-1.0, 0.0, 0.0))
    assert found.volume_l == 0.0
    assert found.most_mm == -1.0
    assert between(polygon(square(500.0)).difference(polygon(square(600.0))), Plane(1.0, 0.0, 0.0)) == EMPTY


def test_a_hole_is_taken_off_where_a_thickness_runs_out():
    found = between(polygon(square(1000.0)).difference(polygon(square(200.0))), Plane(0.0, 0.04, 0.0))
    assert found.volume_l == pytest.approx((0.5 * 20 * 500 * 1000 - 0.5 * 4 * 100 * 200) / 1e6, rel=1e-13)


@given(st.floats(-60, 60), st.floats(-0.1, 0.1), st.floats(-0.1, 0.1))
def test_positive_part_less_negative_part_is_the_whole(level, slope_x, slope_y):
    thickness = Plane(level, slope_x, slope_y)
    region = polygon(rectangle_ring(900.0, 700.0))
    above = between(region, thickness).volume_l
    below = between(region, Plane(-level, -slope_x, -slope_y)).volume_l
    assert above - below == pytest.approx(level * 630000.0 / 1e6, abs=1e-9)


V10 = Outlines(
    opening=circle_ring(600.0), body=square(660.0), flange=square(800.0), wall=square(800.0),
    chamber=circle_ring(600.0), cut=square(1000.0),
)  # fmt: skip
V10_LEVELS = Levels(
    rim=Plane(0.0, 0.02, 0.01), road=Plane(0.0, 0.025, 0.01), chamber_top=Plane(-130.0, 0.0, 0.0),
    floor=Plane(-140.0, 0.0, 0.0), frame_depth_mm=100.0, flange_thick_mm=15.0, over_flange_mm=10.0,
    surface_depth_mm=40.0, joint_width_mm=0.0, joint_depth_mm=0.0,
)  # fmt: skip


def test_v10_the_whole_cover_by_roles():
    solids = role_solids(V10, V10_LEVELS)
    assert solids["bed"].volume_l == pytest.approx(10.717700, rel=1e-6)
    assert solids["under_flange_fill"].volume_l == pytest.approx(25.444, rel=1e-9)
    assert solids["surround_fill"].volume_l == pytest.approx(19.754, rel=1e-9)
    assert solids["running_surface"].volume_l == pytest.approx(22.576, rel=1e-9)
    assert solids["edge_seal"] == EMPTY


def test_under_a_flange_wider_than_the_wall_the_fill_stands_on_the_floor():
    narrow = Outlines(V10.opening, V10.body, V10.flange, square(700.0), V10.chamber, V10.cut)
    solids = role_solids(narrow, V10_LEVELS)
    ring = 0.64 - 0.49
    bed = 30 * (0.49 - 0.09 * math.pi)
    fill = 40 * ring + 65 * 0.36 + 10 * (0.64 - 0.4356)
    assert solids["bed"].volume_l == pytest.approx(bed, rel=1e-6)
    assert solids["under_flange_fill"].volume_l == pytest.approx(fill, rel=1e-9)


def test_over_a_wall_wider_than_the_flange_the_fill_stands_on_the_wall_top():
    wide = Outlines(V10.opening, V10.body, V10.flange, square(900.0), V10.chamber, V10.cut)
    solids = role_solids(wide, V10_LEVELS)
    fill = 55 * (0.81 - 0.64) + 65 * (1.0 - 0.81) + 10 * (0.64 - 0.4356)
    assert solids["under_flange_fill"].volume_l == pytest.approx(fill, rel=1e-9)


def test_the_hollow_of_the_chamber_takes_no_bed():
    hollow = Outlines(circle_ring(500.0), V10.body, V10.flange, V10.wall, square(640.0), V10.cut)
    assert seating(hollow).area == pytest.approx(640000.0 - 640.0**2)


def test_the_joint_is_taken_out_of_the_running_surface():
    jointed = Levels(**{**{f: getattr(V10_LEVELS, f) for f in V10_LEVELS.__slots__}, "joint_width_mm": 30.0,
                        "joint_depth_mm": 25.0})  # fmt: skip
    solids = role_solids(V10, jointed)
    joint = (1000.0**2 - 940.0**2) * 25 / 1e6
    assert solids["edge_seal"].volume_l == pytest.approx(joint)
    assert solids["running_surface"].volume_l == pytest.approx(22.576 - joint)


def test_a_joint_of_which_only_the_length_is_known_is_length_times_width_times_depth():
    known = {f: getattr(V10_LEVELS, f) for f in V10_LEVELS.__slots__}
    jointed = Levels(**{**known, "joint_width_mm": 30.0, "joint_depth_mm": 25.0, "joint_length_mm": 3000.0})
    assert role_solids(V10, jointed)["edge_seal"].volume_l == pytest.approx(3.0 * 30 * 25 / 1000)


def test_solids_together_add_up_and_keep_the_extremes():
    a = between(polygon(square(100.0)), Plane(5.0, 0.0, 0.0))
    b = between(polygon(square(200.0)), Plane(7.0, 0.0, 0.0))
    both = together((a, b, EMPTY))
    assert both.volume_l == pytest.approx(0.05 + 0.28)
    assert (both.least_mm, both.most_mm) == (5.0, 7.0)
    assert together((EMPTY,)) == EMPTY
