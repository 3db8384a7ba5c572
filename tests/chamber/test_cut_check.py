"""The checker finds a cut that is wrong: each fault made by hand, on a cut that is right."""

from dataclasses import replace

import pytest

from truebed.chamber.cut import CutQuestion, cut_out
from truebed.chamber.cut_check import Surroundings, faults_of_cut
from truebed.chamber.cut_parts import Core, OverCut
from truebed.chamber.shapes import circle_ring, rectangle_ring

PLAIN = CutQuestion(800.0, 700.0, 0.0, 150.0, 60.0, "the fill", "none", None, 100.0, 180.0, 400.0)
CUT = cut_out(PLAIN)
AROUND = Surroundings(PLAIN.flange_ring(), 60.0)


def moved(ring, x, y):
    """A ring moved."""
    return tuple((px + x, py + y) for px, py in ring)


def test_a_right_cut_has_no_faults():
    assert faults_of_cut(CUT, AROUND) == ()
    assert faults_of_cut(cut_out(replace(PLAIN, cut_form="round")), AROUND) == ()


@pytest.mark.parametrize(
    ("ring", "said"),
    [
        (rectangle_ring(790.0, 1000.0), "does not hold the flange"),
        (rectangle_ring(900.0, 1000.0), "less than the least width"),
        (((0.0, 0.0), (900.0, 900.0), (900.0, 0.0), (0.0, 900.0)), "crosses itself"),
    ],
)
def test_a_cut_too_small_or_crossed_is_found(ring, said):
    assert any(said in fault for fault in faults_of_cut(replace(CUT, ring=ring), AROUND))


def test_a_cut_over_the_kerb_is_found_on_either_side():
    for side in ("left", "right"):
        assert "the cut goes into the kerb" in faults_of_cut(CUT, replace(AROUND, kerb_side=side, kerb_mm=480.0))
        assert "the cut goes into the kerb" not in faults_of_cut(CUT, replace(AROUND, kerb_side=side, kerb_mm=500.0))


def test_a_cut_into_something_kept_off_is_found_and_one_beside_it_is_not():
    inside, beside = moved(rectangle_ring(100.0, 100.0), 590.0, 0.0), moved(rectangle_ring(100.0, 100.0), 600.0, 0.0)
    assert "the cut goes into something to keep off" in faults_of_cut(CUT, replace(AROUND, keep_off=(inside,)))
    assert faults_of_cut(CUT, replace(AROUND, keep_off=(beside,))) == ()


def test_a_cut_into_a_neighbour_s_frame_is_found_where_it_is_not_joined():
    frame = moved(rectangle_ring(200.0, 200.0), 640.0, 0.0)
    assert "the cut goes into a neighbour's frame" in faults_of_cut(CUT, replace(AROUND, frames=(frame,)))


def test_a_run_of_the_blade_into_a_frame_is_found_unless_it_is_stopped():
    frame = moved(circle_ring(300.0), 740.0, 480.0)
    faults = faults_of_cut(CUT, replace(AROUND, frames=(frame,)))
    assert any("runs into something at 550, 500" in f for f in faults)
    assert CUT.corners is not None
    stopped = tuple(
        replace(o, enters=("x",)) if o.end[0] > 720 and o.start[1] > 0 else o for o in CUT.corners.over_cuts
    )
    marked = replace(CUT, corners=replace(CUT.corners, over_cuts=stopped))
    assert faults_of_cut(marked, replace(AROUND, frames=(frame,))) == ()
    assert any("for nothing" in f for f in faults_of_cut(marked, AROUND))


def test_an_over_cut_that_begins_elsewhere_or_runs_inside_is_found():
    assert CUT.corners is not None
    adrift = replace(CUT, corners=replace(CUT.corners, over_cuts=(OverCut((600.0, 0.0), (700.0, 0.0), 100.0, ()),)))
    assert "an over-cut does not begin at the cut's edge" in faults_of_cut(adrift, AROUND)
    inward = replace(CUT, corners=replace(CUT.corners, over_cuts=(OverCut((550.0, 0.0), (450.0, 0.0), 100.0, ()),)))
    assert "an over-cut runs inside the cut" in faults_of_cut(inward, AROUND)


def test_a_core_into_something_kept_off_is_found():
    assert CUT.corners is not None
    cored = replace(CUT, corners=replace(CUT.corners, over_cuts=(), cores=(Core(550.0, 500.0, 170.0, ()),)))
    post = moved(rectangle_ring(50.0, 50.0), 640.0, 500.0)
    assert any("a core at 550, 500" in f for f in faults_of_cut(cored, replace(AROUND, keep_off=(post,))))


def test_metres_that_are_not_the_outline_s_are_found():
    assert any("metres sawn" in f for f in faults_of_cut(replace(CUT, saw_length_m=4.21), AROUND))
    kerbed = cut_out(replace(PLAIN, kerb_side="left", kerb_mm=450.0))
    around = replace(AROUND, kerb_side="left", kerb_mm=450.0)
    assert faults_of_cut(kerbed, around) == ()
    assert any("metres sawn" in f for f in faults_of_cut(replace(kerbed, saw_length_m=4.1), around))
