"""Findings of the cut: depth, corners, what stands beside it."""

import math
from dataclasses import replace

import pytest

from plan.sample import case
from plan.surveyed import beside_each_other, flat
from truebed.findings import Severity
from truebed.given.survey import Obstacle
from truebed.plan.design import design_cover
from truebed.plan.ground import ground_of
from truebed.plan.saw_findings import beside_findings, corner_findings, cut_findings, depth_findings

#: Blade past the corner at the surface, for 100 mm of depth with a blade of 450 mm.
RUN_ON_MM = math.sqrt(450.0 * 100.0 - 100.0**2)


def cut_of(**changes):
    return ground_of(case(flat, **changes)).cut


def post(x, y, clear=30.0):
    return (Obstacle("X1", "post", x, y, 100.0, 100.0, 0.0, clear, 2),)


def codes(found):
    return [f.code for f in found]


def test_a_blade_that_reaches_says_nothing_and_one_that_does_not_says_what_is_left():
    assert depth_findings("X1", cut_of()) == []
    short = depth_findings("X1", cut_of(blade_mm=150.0))
    assert (codes(short), short[0].value) == (["CT-002"], 100.0 - 150.0 / 2.0)
    none = depth_findings("X1", cut_of(blade_mm=None))
    assert (codes(none), none[0].value) == (["CT-002"], 100.0)


def test_each_corner_rule_has_its_own_finding_with_its_length():
    run_on = corner_findings("X1", cut_of())
    assert (codes(run_on), run_on[0].value) == (["CT-001"], pytest.approx(RUN_ON_MM))
    core = corner_findings("X1", cut_of(corner_rule="core"))
    assert (codes(core), core[0].value) == (["CT-004"], pytest.approx(RUN_ON_MM))
    assert core[0].what.startswith("4 corners")
    short = corner_findings("X1", cut_of(corner_rule="stop short"))
    assert (codes(short), short[0].value) == (["CT-005"], 100.0)
    assert f"8 side ends and leaves {RUN_ON_MM:.0f} mm" in short[0].what


def test_a_round_cut_has_no_corners():
    assert corner_findings("X1", cut_of(cut_shape="round")) == []


def test_a_core_that_would_go_into_a_post_is_told_and_not_counted():
    # the core at (565, 565) is 187 mm wide; the post with its clearance begins at (620, 620), 78 mm off
    cut = ground_of(replace(case(flat, corner_rule="core"), obstacles=post(700.0, 700.0))).cut
    found = corner_findings("X1", cut)
    assert codes(found) == ["CT-004", "CT-006"]
    assert found[0].what.startswith("3 corners")
    assert (found[1].severity, "post" in found[1].what) == (Severity.BREAKS, True)


def test_a_side_drawn_in_is_told_with_both_places():
    made = replace(case(flat), obstacles=post(600.0, 0.0, 50.0))
    found = beside_findings(made, ground_of(made).cut)
    assert codes(found)[0] == "CT-007"
    assert (found[0].subject, found[0].value, found[0].limit) == ("X1, front", 500.0, "wanted 565 mm")


def test_a_narrow_strip_beside_a_frame_that_stays_is_told_against_the_rule():
    made, _ = beside_each_other(apart_mm=300.0, lifted=(True, False))
    found = [f for f in beside_findings(made, ground_of(made).cut) if f.code == "CT-008"]
    assert [(f.value, f.limit) for f in found] == [(200.0, "at least 250 mm")]


def test_a_joined_cut_names_its_neighbour_and_the_metres_of_both():
    made, _ = beside_each_other()
    found = [f for f in beside_findings(made, ground_of(made).cut) if f.code == "CT-010"]
    assert len(found) == 1
    assert "with X2" in found[0].what
    assert (found[0].value, found[0].limit) == (pytest.approx(3.19), "6.38 m in all")


def test_a_cut_carried_to_the_kerb_and_its_hand_work_are_told():
    design = design_cover(case(flat, kind="gully", kerb_side="left", kerb_mm=700.0)).design
    found = cut_findings(case(flat, kind="gully", kerb_side="left", kerb_mm=700.0), design)
    assert codes(found) == ["CT-001", "CT-006", "CT-009", "CT-011", "CT-011"]
    assert "into the kerb" in found[1].what


def test_a_kerb_too_near_for_the_fill_breaks_its_width():
    made = case(flat, kerb_side="left", kerb_mm=440.0)
    found = cut_findings(made, design_cover(made).design)
    assert (found[0].code, found[0].value) == ("CT-003", pytest.approx(25.0))
