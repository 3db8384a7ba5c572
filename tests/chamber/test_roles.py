"""Roles over true shapes, curved roads, measured tops, packers, joints; layers, frame and joint fill the hole."""

import math
from dataclasses import replace

import numpy as np
import pytest

from chamber.covers import random_cover, shaped
from truebed.chamber.integral_kernel import LEAST, VOLUME
from truebed.chamber.plane import Plane
from truebed.chamber.roles import layers_of, section_of, surfaces_of
from truebed.chamber.shapes import rectangle_ring, turned
from truebed.chamber.solids import Levels, role_solids
from truebed.chamber.surface import Surface, less, triangle_facets

V10_SIZES = {
    "opening": ("round", 600.0, 600.0), "body": ("rectangle", 660.0, 660.0), "flange": ("rectangle", 800.0, 800.0),
    "wall": ("rectangle", 800.0, 800.0), "chamber": ("round", 600.0, 600.0), "cut": ("rectangle", 1000.0, 1000.0),
}  # fmt: skip
V10_LEVELS = Levels(
    rim=Plane(0.0, 0.02, 0.01), road=Plane(0.0, 0.025, 0.01), chamber_top=Plane(-130.0, 0.0, 0.0),
    floor=Plane(-140.0, 0.0, 0.0), frame_depth_mm=100.0, flange_thick_mm=15.0, over_flange_mm=10.0,
    surface_depth_mm=40.0, joint_width_mm=0.0, joint_depth_mm=0.0,
)  # fmt: skip


def test_v10_with_a_true_round_opening_is_exact():
    solids = role_solids(shaped(V10_SIZES), V10_LEVELS)
    assert solids["bed"].volume_l == pytest.approx(30 * (0.64 - 0.09 * math.pi), rel=1e-14)
    assert solids["under_flange_fill"].volume_l == pytest.approx(25.444, rel=1e-13)
    assert solids["surround_fill"].volume_l == pytest.approx(19.754, rel=1e-13)
    assert solids["running_surface"].volume_l == pytest.approx(22.576, rel=1e-13)
    assert solids["bed"].area_mm2 == pytest.approx(640000.0 - 90000.0 * math.pi, rel=1e-14)
    assert (solids["bed"].least_mm, solids["bed"].most_mm) == pytest.approx((18.0, 42.0))


def test_v11_a_bed_that_runs_out_is_more_than_its_mean_thickness_says():
    sizes = {**V10_SIZES, "opening": ("rectangle", 600.0, 600.0), "chamber": ("rectangle", 600.0, 600.0)}
    high = replace(V10_LEVELS, chamber_top=Plane(-105.0, 0.0, 0.0), rim=Plane(0.0, 0.05, 0.0))
    bed = role_solids(shaped(sizes), high)["bed"]
    # wedge over 800 x 800 from x = -100, less the wedge over 600 x 600 from x = -100
    expected = (0.5 * 25 * 500 * 800 - 0.5 * 20 * 400 * 600) / 1e6
    assert bed.volume_l == pytest.approx(expected, rel=1e-13)
    prism = 5.0 * (640000.0 - 360000.0) / 1e6
    assert (bed.volume_l, prism) == pytest.approx((2.6, 1.4))


def test_a_wall_inside_the_flange_carries_mortar_on_its_top_and_fill_outside_it():
    sizes = {**V10_SIZES, "wall": ("round", 760.0, 760.0)}
    solids = role_solids(shaped(sizes), V10_LEVELS)
    wall = math.pi * 0.38**2
    assert solids["bed"].volume_l == pytest.approx(30 * (wall - math.pi * 0.09), rel=1e-13)
    fill = 40 * (0.64 - wall) + 65 * 0.36 + 10 * (0.64 - 0.4356)
    assert solids["under_flange_fill"].volume_l == pytest.approx(fill, rel=1e-13)


def test_a_round_wall_that_passes_inside_the_flange_corners_and_outside_its_sides():
    sizes = {**V10_SIZES, "wall": ("round", 900.0, 900.0)}
    solids = role_solids(shaped(sizes), V10_LEVELS)
    half, radius = 0.4, 0.45
    angle = math.asin(half / radius) - math.acos(half / radius)
    both = 4 * half * math.sqrt(radius**2 - half**2) + 2 * radius**2 * angle
    assert solids["bed"].volume_l == pytest.approx(30 * (both - math.pi * 0.09), rel=1e-13)
    wall = math.pi * radius**2
    fill = 40 * (0.64 - both) + 55 * (wall - both) + 65 * (1.0 - 0.64 - wall + both) + 10 * (0.64 - 0.4356)
    assert solids["under_flange_fill"].volume_l == pytest.approx(fill, rel=1e-12)


def test_a_round_frame_in_a_square_cut_and_a_square_frame_in_a_round_cut():
    rounds = {n: ("round", a, a) for n, (_, a, _) in V10_SIZES.items() if n != "cut"}
    flat = replace(V10_LEVELS, rim=Plane(0.0, 0.0, 0.0), road=Plane(0.0, 0.0, 0.0))
    solids = role_solids(shaped({**rounds, "cut": ("rectangle", 1000.0, 1000.0)}), flat)
    assert solids["running_surface"].volume_l == pytest.approx(40 * (1.0 - math.pi * 0.33**2), rel=1e-13)
    solids = role_solids(shaped({**V10_SIZES, "cut": ("round", 1200.0, 1200.0)}), flat)
    assert solids["running_surface"].volume_l == pytest.approx(40 * (math.pi * 0.36 - 0.4356), rel=1e-13)


def test_a_road_surface_that_is_a_plane_changes_nothing():
    rng = np.random.default_rng(11)
    for _ in range(20):
        sizes, turn, levels = random_cover(rng)
        road = levels.road
        as_surface = replace(levels, road_surface=Surface(road.level_mm, road.slope_x_ratio, road.slope_y_ratio))
        plain, curved = (role_solids(shaped(sizes, turn), v) for v in (levels, as_surface))
        for role, solid in plain.items():
            assert curved[role].volume_l == pytest.approx(solid.volume_l, abs=1e-11)


def test_a_crown_over_the_frame_adds_its_wedges():
    crown = Surface(10.0, 0.0, 0.0, fold_ratio=-0.025)
    flat = replace(V10_LEVELS, rim=Plane(0.0, 0.0, 0.0), road_surface=crown)
    solids = role_solids(shaped(V10_SIZES), flat)
    wedge = 10 * (1.0 - 0.4356) - 0.025 * (1000.0**3 - 660.0**3) / 4 / 1e6
    assert solids["surround_fill"].volume_l == pytest.approx(35 * 0.5644 + wedge, rel=1e-12)
    assert solids["running_surface"].volume_l == pytest.approx(40 * 0.5644, rel=1e-12)


def test_a_twisted_road_keeps_the_litres_of_its_mean_and_shows_its_extremes():
    twisted = replace(V10_LEVELS, rim=Plane(0.0, 0.0, 0.0), road_surface=Surface(0.0, 0.0, 0.0, 4e-5, 1e-5))
    solids = role_solids(shaped(V10_SIZES), twisted)
    assert solids["surround_fill"].volume_l == pytest.approx(35 * 0.5644, rel=1e-13)
    assert solids["surround_fill"].least_mm == pytest.approx(35 - 10.0)
    assert solids["surround_fill"].most_mm == pytest.approx(35 + 10.0)


def grid_litres(heights, inside, size=1000.0, count=1000):
    place = (np.arange(count) + 0.5) / count * size - size / 2
    x, y = np.meshgrid(place, place)
    return float(np.sum(np.maximum(heights(x, y), 0.0) * inside(x, y))) * (size / count) ** 2 / 1e6


def test_a_measured_top_is_filled_between_its_points():
    angle = np.arange(8) * np.pi / 4 + 0.1
    points = tuple((390 * math.cos(a), 390 * math.sin(a), -130.0 + 6.0 * math.cos(3 * a)) for a in angle)
    levels = replace(V10_LEVELS, top_points=points)
    solid = role_solids(shaped(V10_SIZES), levels)["bed"]
    facets = triangle_facets(points, levels.chamber_top)

    def bed(x, y):
        top = np.full_like(x, np.nan)
        for f in facets:
            (ax, ay), (bx, by), (cx, cy) = f.within[0]
            inside = ((bx - ax) * (y - ay) >= (by - ay) * (x - ax)) & ((cx - bx) * (y - by) >= (cy - by) * (x - bx))
            inside &= (ax - cx) * (y - cy) >= (ay - cy) * (x - cx)
            top[inside] = f.height[0] + f.height[1] * x[inside] + f.height[2] * y[inside]
        return -100.0 + 0.02 * x + 0.01 * y - top

    expected = grid_litres(bed, lambda x, y: (np.abs(x) < 400) & (np.abs(y) < 400) & (x * x + y * y > 90000.0))
    assert solid.volume_l == pytest.approx(expected, abs=2e-3)
    level = replace(levels, top_points=tuple((x, y, -130.0) for x, y, _ in points))
    flat = role_solids(shaped(V10_SIZES), level)["bed"]
    assert flat.volume_l == pytest.approx(role_solids(shaped(V10_SIZES), V10_LEVELS)["bed"].volume_l, rel=1e-12)


def test_packers_that_stay_take_the_bed_s_place_at_their_own_thickness():
    packers = tuple(
        tuple((x + dx, y + dy) for dx, dy in turned(rectangle_ring(50.0, 40.0), 20.0))
        for x, y in ((350.0, 350.0), (-350.0, -350.0), (350.0, -350.0))
    )
    for outlines in (shaped(V10_SIZES), replace(shaped(V10_SIZES), shapes=None)):
        whole = role_solids(outlines, V10_LEVELS)["bed"]
        packed = role_solids(outlines, replace(V10_LEVELS, packers=packers))["bed"]
        taken = 2000.0 * (3 * 30.0 + 0.02 * 350.0 - 0.01 * 350.0) / 1e6
        assert whole.volume_l - packed.volume_l == pytest.approx(taken, rel=1e-10)
        assert whole.area_mm2 - packed.area_mm2 == pytest.approx(6000.0, rel=1e-9)


def test_a_joint_follows_the_sawn_sides_and_counts_its_corners_once():
    jointed = replace(V10_LEVELS, joint_width_mm=20.0, joint_depth_mm=25.0)
    sides = {None: 1000.0**2 - 960.0**2, (0, 1, 2): 20.0 * (2 * 1000.0 + 1000.0 - 2 * 20.0), (1, 3): 2 * 20.0 * 1000.0}
    for chosen, plan in sides.items():
        levels = replace(jointed, joint_sides=chosen, joint_length_mm=None if chosen is None else 1.0)
        for outlines in (shaped(V10_SIZES), replace(shaped(V10_SIZES), shapes=None)):
            solids = role_solids(outlines, levels)
            assert solids["edge_seal"].volume_l == pytest.approx(plan * 25.0 / 1e6, rel=1e-12)
            assert solids["edge_seal"].area_mm2 == pytest.approx(plan, rel=1e-12)
            both = solids["edge_seal"].volume_l + solids["running_surface"].volume_l
            assert both == pytest.approx(22.576, rel=1e-12)
    ring = role_solids(shaped({**V10_SIZES, "cut": ("round", 1200.0, 1200.0)}), jointed)["edge_seal"]
    assert ring.volume_l == pytest.approx(math.pi * (600.0**2 - 580.0**2) * 25.0 / 1e6, rel=1e-12)


def test_a_joint_is_no_deeper_than_what_there_is_to_fill():
    thin = replace(V10_LEVELS, rim=Plane(0.0, 0.0, 0.0), road=Plane(-70.0, 0.0, 0.0), joint_width_mm=20.0,
                   joint_depth_mm=25.0)  # fmt: skip
    solids = role_solids(shaped(V10_SIZES), thin)
    assert solids["edge_seal"].volume_l == pytest.approx((1000.0**2 - 960.0**2) * 5.0 / 1e6, rel=1e-12)
    assert solids["edge_seal"].most_mm == pytest.approx(5.0)


def test_layers_frame_and_joint_fill_the_hole_on_random_covers():
    """Hole: from road to floor beside the wall, to the wall's top on it, to the frame's underside over the chamber.

    Frame: body up to the road, flange beside it. An opening wider than the chamber keeps its own column free of mortar.
    """
    rng = np.random.default_rng(12)
    seen = 0
    while seen < 60:
        sizes, turn, levels = random_cover(rng)
        bend = rng.normal(0, 1e-5, 2)
        road = Surface(levels.road.level_mm, levels.road.slope_x_ratio, levels.road.slope_y_ratio, *bend, -0.01, 30.0)
        levels = replace(levels, road_surface=road, surface_depth_mm=35.0, over_flange_mm=10.0)
        outlines = shaped(sizes, turn)
        solids = role_solids(outlines, levels)
        section, s = section_of(outlines, levels), surfaces_of(levels)
        columns = (
            ("cut off the wall", s.road, s.floor), ("cut on the wall", s.road, s.top), ("chamber", s.road, s.under),
            ("body", s.road, s.under), ("flange beside the body", s.flange_top, s.under),
            ("opening beyond the chamber", s.under, s.top),
        )  # fmt: skip
        found = [w for region, upper, lower in columns for _, w in section.integrals(region, less(upper, lower))]
        crossing = min(x.least_mm for x in solids.values() if x.area_mm2 > 0) < 0.0
        if crossing or min(float(w[LEAST]) for w in found) < 0.0:
            continue
        seen += 1
        off_wall, on_wall, over_chamber, body, flange, free = (
            sum(float(w[VOLUME]) for _, w in section.integrals(region, less(upper, lower))) / 1e6
            for region, upper, lower in columns
        )
        hole, frame = off_wall + on_wall + over_chamber, body + flange
        assert sum(x.volume_l for x in solids.values()) == pytest.approx(hole - frame - free, abs=1e-9)


def test_the_named_layers_are_those_of_the_roles():
    layers = layers_of(shaped(V10_SIZES), V10_LEVELS)
    solids = role_solids(shaped(V10_SIZES), V10_LEVELS)
    assert layers["bed"] == solids["bed"]
    assert layers["to road"].volume_l == pytest.approx(
        solids["surround_fill"].volume_l + solids["running_surface"].volume_l
    )
