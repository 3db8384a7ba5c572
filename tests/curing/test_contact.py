"""Rigid frame, bed without tension: closed forms of rectangles, discs and rings; balance; tipping."""

import math

import numpy as np
import pytest
from shapely.affinity import rotate, translate
from shapely.geometry import MultiPolygon, Point, Polygon, box

from truebed.curing.contact import bed_of, contact, peak_n_per_mm2
from truebed.curing.contact_kernel import greatest_pressure, pressed, pressed_moments, stands_inside

SOLID = box(-400, -300, 400, 300)
RING = box(-400, -400, 400, 400).difference(box(-300, -300, 300, 300))
LOAD = 200000.0


@pytest.mark.parametrize("share", [0.0, 0.05, 0.1, 1 / 6 - 1e-9])
def test_inside_the_middle_third_the_whole_rectangle_is_pressed_by_the_closed_form(share):
    found = contact(bed_of(SOLID), LOAD, share * 800.0, 0.0)
    assert found.verdict == "whole bed pressed"
    assert found.peak_n_per_mm2 == pytest.approx(LOAD / 480000.0 * (1 + 6 * share), rel=1e-12)


@pytest.mark.parametrize("share", [1 / 6 + 1e-6, 0.2, 0.3, 0.4, 0.49, 0.4999])
def test_outside_the_middle_third_three_times_the_edge_distance_is_pressed(share):
    found = contact(bed_of(SOLID), LOAD, 0.0, -share * 600.0)
    edge = 300.0 - share * 600.0
    assert found.verdict == "part of the bed lifts"
    assert found.peak_n_per_mm2 == pytest.approx(2 * LOAD / (3 * 800.0 * edge), rel=1e-9)
    assert found.pressed_share == pytest.approx(3 * edge / 600.0, rel=1e-7)


@pytest.mark.parametrize(("ex", "ey"), [(60.0, 30.0), (20.0, -70.0)])
def test_inside_the_kern_both_eccentricities_add(ex, ey):
    found = contact(bed_of(SOLID), LOAD, ex, ey)
    assert found.peak_n_per_mm2 == pytest.approx(LOAD / 480000 * (1 + 6 * ex / 800 + 6 * abs(ey) / 600), rel=1e-12)
    assert (found.peak_x_mm, found.peak_y_mm) == (400.0, math.copysign(300.0, ey))


@pytest.mark.parametrize("near", [10.0, 50.0, 90.0])
def test_a_load_close_to_a_corner_is_borne_by_a_triangle_of_four_times_its_distances(near):
    # pressure over a corner triangle with legs a, b: middle of pressure at a/4, b/4; volume p a b / 6
    found = contact(bed_of(SOLID), LOAD, 400.0 - near, 300.0 - near)
    assert found.peak_n_per_mm2 == pytest.approx(6 * LOAD / (4 * near) ** 2, rel=1e-8)
    assert (found.peak_x_mm, found.peak_y_mm) == (400.0, 300.0)


def disc(radius, sides=720):
    turn = 2 * math.pi / sides
    own = radius * math.sqrt(turn / math.sin(turn))
    return Polygon([(own * math.cos(i * turn), own * math.sin(i * turn)) for i in range(sides)])


@pytest.mark.parametrize("share", [0.0, 0.1, 0.2, 0.2499])
def test_a_circular_base_within_a_quarter_of_its_radius_follows_navier(share):
    found = contact(bed_of(disc(400.0)), LOAD, share * 400.0, 0.0)
    assert found.verdict == "whole bed pressed"
    assert found.peak_n_per_mm2 == pytest.approx(LOAD / (math.pi * 400.0**2) * (1 + 4 * share), rel=2e-5)


@pytest.mark.parametrize("half_deg", [30.0, 60.0, 90.0, 120.0, 150.0])
def test_a_circular_base_beyond_it_follows_the_closed_form_of_a_pressed_segment(half_deg):
    # p = peak (x - R cos h) / (R - R cos h) over the segment x > R cos h: force and moment in closed form
    h, r = math.radians(half_deg), 400.0
    area = r**2 * (h - math.sin(h) * math.cos(h))
    first = 2 / 3 * r**3 * math.sin(h) ** 3
    second = r**4 / 4 * (h - math.sin(4 * h) / 4)
    force = (first - r * math.cos(h) * area) / (r - r * math.cos(h))
    moment = (second - r * math.cos(h) * first) / (r - r * math.cos(h))
    found = contact(bed_of(disc(r)), force, moment / force, 0.0)
    assert found.verdict == "part of the bed lifts"
    assert found.peak_n_per_mm2 == pytest.approx(1.0, rel=1e-4)
    assert found.pressed_share == pytest.approx(area / (math.pi * r**2), rel=1e-4)


def test_a_square_ring_in_its_kern_follows_navier_with_the_rings_own_inertia():
    inertia = (800.0**4 - 600.0**4) / 12
    kern = inertia / (280000.0 * 400.0)
    found = contact(bed_of(RING), LOAD, 0.9 * kern, 0.0)
    assert found.verdict == "whole bed pressed"
    assert found.peak_n_per_mm2 == pytest.approx(LOAD / 280000.0 * 1.9, rel=1e-12)
    assert contact(bed_of(RING), LOAD, 1.001 * kern, 0.0).verdict == "part of the bed lifts"


@pytest.mark.parametrize("seed", range(12))
def test_force_and_both_moments_are_in_balance_when_integrated_over_the_clipped_polygon(seed):
    rng = np.random.default_rng(seed)
    at = rng.uniform(-390, 390, 2)
    bed = bed_of(rotate(RING, 17.0 * seed, origin=(0, 0)) if seed % 2 else RING)
    x, y = at * (0.7 if seed % 2 else 1.0)
    found = contact(bed, LOAD, x, y)
    seating = rotate(RING, 17.0 * seed, origin=(0, 0)) if seed % 2 else RING
    slope = np.array(found.slopes_per_mm)
    normal = slope / np.linalg.norm(slope)
    foot = -found.level_n_per_mm2 * slope / (slope @ slope)
    side = np.array([-normal[1], normal[0]])
    far = [foot + 1e4 * side, foot - 1e4 * side, foot - 1e4 * side + 1e4 * normal, foot + 1e4 * side + 1e4 * normal]
    part = seating.intersection(Polygon(far))
    total = np.zeros(3)
    for triangle in triangles_of(part):
        middles = (triangle + np.roll(triangle, 1, axis=0)) / 2  # exact for second degree
        p = found.level_n_per_mm2 + middles @ slope
        one = Polygon(triangle).area / 3 * np.array([p.sum(), (p * middles[:, 0]).sum(), (p * middles[:, 1]).sum()])
        total += one
    assert total == pytest.approx(LOAD * np.array([1.0, x, y]), rel=1e-8, abs=1e-3)


def triangles_of(region):
    from shapely import constrained_delaunay_triangles

    return [np.array(t.exterior.coords)[:3] for t in constrained_delaunay_triangles(region).geoms]


def test_turning_and_moving_the_frame_with_its_load_changes_nothing():
    plain = contact(bed_of(RING), LOAD, 250.0, 120.0).peak_n_per_mm2
    c, s = math.cos(math.radians(31.0)), math.sin(math.radians(31.0))
    moved = translate(rotate(RING, 31.0, origin=(0, 0)), 700.0, -300.0)
    found = contact(bed_of(moved), LOAD, 700.0 + 250 * c - 120 * s, -300.0 + 250 * s + 120 * c)
    assert found.peak_n_per_mm2 == pytest.approx(plain, rel=1e-9)


def test_a_seating_in_two_parts_bears_as_one_rigid_frame():
    two = MultiPolygon([box(-400, -300, -300, 300), box(300, -300, 400, 300)])
    radius2 = (800.0**3 - 600.0**3) * 600.0 / 12 / 120000.0
    found = contact(bed_of(two), LOAD, 200.0, 0.0)
    assert found.peak_n_per_mm2 == pytest.approx(LOAD / 120000.0 * (1 + 200.0 * 400.0 / radius2), rel=1e-12)
    assert peak_n_per_mm2(bed_of(two), LOAD, 0.0, 0.0) == pytest.approx(LOAD / 120000.0, rel=1e-12)


@pytest.mark.parametrize("at", [(400.0, 0.0), (400.1, 0.0), (0.0, -301.0), (500.0, 500.0)])
def test_a_load_on_the_edge_of_the_hull_or_beyond_it_tips_the_frame(at):
    assert contact(bed_of(SOLID), LOAD, *at).verdict == "tips"
    assert contact(bed_of(SOLID), LOAD, *at).peak_n_per_mm2 is None
    assert peak_n_per_mm2(bed_of(SOLID), LOAD, *at) == math.inf


def test_the_hull_bears_a_load_that_stands_over_the_opening():
    assert contact(bed_of(RING), LOAD, 0.0, 0.0).verdict == "whole bed pressed"
    hull = bed_of(RING).hull
    assert stands_inside(hull, 0.99, 0.99)
    assert not stands_inside(hull, 1.01, 0.0)


def test_no_load_presses_nothing_and_no_area_is_refused():
    assert peak_n_per_mm2(bed_of(SOLID), 0.0, 900.0, 0.0) == 0.0
    with pytest.raises(ValueError, match="without area"):
        bed_of(Point(0, 0).intersection(SOLID))


def test_the_kernels_moments_of_half_a_square_are_those_of_the_half():
    bed, m = bed_of(box(-1, -1, 1, 1)), np.zeros(6)
    pressed_moments(bed.edges, np.array([0.0, 2.0, 0.0]), m)
    assert m == pytest.approx([2.0, 1.0, 0.0, 2 / 3, 0.0, 2 / 3], abs=1e-15)
    v = np.zeros(3)
    assert pressed(bed.edges, bed.hull, np.array([4.0, 0.0, 0.0]), v) == 0
    assert greatest_pressure(bed.hull, v) == pytest.approx(1.0)
