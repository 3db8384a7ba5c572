"""Former, dam, packers and strip, by closed forms and by summing small steps."""

import math
from dataclasses import replace

import numpy as np
import pytest

from chamber.covers import shaped
from chamber.test_roles import V10_LEVELS, V10_SIZES
from truebed.chamber.extras import arc_face_mm2, extras_of, inner_edge, side_face_mm2
from truebed.chamber.plane import Plane
from truebed.chamber.roles import section_of
from truebed.chamber.surface import plane_facets


def test_a_round_former_is_as_long_as_its_opening_and_as_high_as_the_bed():
    extras = extras_of(shaped(V10_SIZES), V10_LEVELS)
    assert extras.former_length_mm == pytest.approx(600.0 * math.pi)
    assert extras.former_face_mm2 == pytest.approx(600.0 * math.pi * 30.0)
    assert extras.former_most_mm == pytest.approx(30.0 + 300.0 * math.hypot(0.02, 0.01))
    assert extras.held_back_l == pytest.approx(30.0 * math.pi * 0.09)
    assert extras.dam_mm2 == pytest.approx(math.pi * 300.0**2)
    assert extras.packers_l == 0.0
    assert extras.strip_mm2 == 0.0


def test_a_square_opening_over_a_round_chamber_has_a_former_of_sides_and_arcs():
    sizes = {**V10_SIZES, "opening": ("rectangle", 500.0, 500.0), "chamber": ("round", 600.0, 600.0)}
    extras = extras_of(shaped(sizes), V10_LEVELS)
    corner = 250.0 - math.sqrt(300.0**2 - 250.0**2)
    # the square's corners stick out of the round, two ends of sides each; beyond its sides run the round's arcs
    arcs = 4 * 300.0 * 2 * math.acos(250.0 / 300.0)
    assert extras.former_length_mm == pytest.approx(8 * corner + arcs)
    assert extras.dam_mm2 == pytest.approx(math.pi * 300.0**2)


def test_faces_by_closed_form_and_by_small_steps():
    height = np.array([2.0, 0.03, -0.02])
    share = (np.arange(200000) + 0.5) / 200000
    x, y = -200.0 + 500.0 * share, 100.0 + 150.0 * share
    stepped = np.mean(np.maximum(2.0 + 0.03 * x - 0.02 * y, 0.0)) * math.hypot(500.0, 150.0)
    assert side_face_mm2((-200.0, 100.0), (300.0, 250.0), height) == pytest.approx(stepped, rel=1e-8)
    assert side_face_mm2((-900.0, 0.0), (-800.0, 0.0), height) == 0.0
    for first, last in ((-math.pi, math.pi), (-1.0, 2.5), (2.0, 4.5)):
        angle = first + (last - first) * share
        lifted = 2.0 + 0.03 * (20.0 + 350.0 * np.cos(angle)) - 0.02 * 350.0 * np.sin(angle)
        stepped = np.mean(np.maximum(lifted, 0.0)) * 350.0 * (last - first)
        piece = np.array([0.0, 1.0, 20.0, 0.0, 350.0, first, last])
        assert arc_face_mm2(piece, height) == pytest.approx(stepped, rel=1e-7)


def test_packers_are_told_in_litres_and_leave_the_former_alone():
    packer = ((340.0, -20.0), (390.0, -20.0), (390.0, 20.0), (340.0, 20.0))
    # one packer reaches in to the opening's edge: the former still runs all round
    near = ((290.0, -20.0), (330.0, -20.0), (330.0, 20.0), (290.0, 20.0))
    extras = extras_of(shaped(V10_SIZES), replace(V10_LEVELS, packers=(packer,)))
    assert extras.packers_l == pytest.approx(2000.0 * (30.0 + 0.02 * 365.0) / 1e6, rel=1e-9)
    reaching = extras_of(shaped(V10_SIZES), replace(V10_LEVELS, packers=(near,)))
    assert reaching.former_length_mm == pytest.approx(600.0 * math.pi)


def test_under_a_measured_top_the_former_follows_it_without_counting_the_triangles():
    angle = np.arange(8) * np.pi / 4
    points = tuple((390 * math.cos(a), 390 * math.sin(a), -130.0 + 0.01 * 390 * math.cos(a)) for a in angle)
    tilted = replace(V10_LEVELS, chamber_top=Plane(-130.0, 0.01, 0.0))
    plane = extras_of(shaped(V10_SIZES), tilted)
    measured = extras_of(shaped(V10_SIZES), replace(tilted, top_points=points))
    assert measured.former_length_mm == pytest.approx(plane.former_length_mm, rel=1e-10)
    assert measured.former_face_mm2 == pytest.approx(plane.former_face_mm2, rel=1e-10)
    assert measured.held_back_l == pytest.approx(plane.held_back_l, rel=1e-10)


def test_the_strip_counts_its_corners_once_and_the_edge_is_the_opening_s():
    jointed = replace(V10_LEVELS, joint_width_mm=20.0, joint_depth_mm=25.0)
    assert extras_of(shaped(V10_SIZES), jointed).strip_mm2 == pytest.approx(1000.0**2 - 960.0**2)
    edge = inner_edge(section_of(shaped(V10_SIZES), V10_LEVELS), plane_facets(Plane(0.0, 0.0, 0.0))[0])
    assert edge[:, 4] == pytest.approx(300.0)
