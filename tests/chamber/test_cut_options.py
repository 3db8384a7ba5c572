"""All ways to make a cut side by side.

By hand, flange 800 x 700, margin 150, blade 400, 100 mm deep, dig 180, surround 80: square 1.1 x 1.0 = 1.1 m2,
sawn 4.2 m, over-cuts 8 x 0.173205 = 1.38564 m. Cores 173.205 mm: 4 x 3/4 x pi/4 x 0.173205^2 = 0.0706858 m2 more,
7.06858 l at 100 mm, 5.65487 l of surround at 80 mm. Round: sqrt(400^2 + 350^2) = 531.5073, and 150: 681.5073 mm; area
1.459120 m2, 4.282037 m; 0.359120 m2 more: 64.642 l over the dig, 28.730 l of surround.
"""

from dataclasses import replace

import pytest

from truebed.chamber.cut import CutQuestion, cut_out
from truebed.chamber.cut_options import all_kept_off
from truebed.chamber.cut_parts import Neighbour
from truebed.chamber.obstacles import keep_off
from truebed.chamber.shapes import rectangle_ring

PLAIN = CutQuestion(
    800.0, 700.0, 0.0, 150.0, 60.0, "the fill", "none", None, 100.0, 180.0, 400.0, surround_depth_mm=80.0
)


def by_way(question):
    """The options by form and way."""
    return {(o.form, o.way): o for o in cut_out(question).options}


def test_the_worked_example():
    found = by_way(PLAIN)
    assert list(found) == [("square", "run on"), ("square", "core"), ("square", "stop short"), ("round", "none")]
    run, core, stop, disc = found.values()
    assert (run.area_mm2, run.saw_length_m) == pytest.approx((1.1e6, 4.2))
    assert run.over_cut_m == pytest.approx(1.38564, abs=1e-5)
    assert (run.more_waste_l, run.more_surround_l) == (0.0, 0.0)
    assert (core.core_count, core.core_mm, core.over_cut_m) == pytest.approx((4, 173.205, 0.0), abs=1e-3)
    assert (core.more_waste_l, core.more_surround_l) == pytest.approx((7.06858, 5.65487), abs=1e-4)
    assert (stop.left_depth_mm, stop.left_length_mm, stop.over_cut_m) == pytest.approx((100.0, 173.205, 0.0), abs=1e-3)
    assert (disc.area_mm2, disc.saw_length_m) == pytest.approx((1.459120e6, 4.282037), rel=1e-6)
    assert (disc.more_waste_l, disc.more_surround_l) == pytest.approx((64.642, 28.730), abs=0.01)


@pytest.mark.parametrize("way", ["run on", "core", "stop short"])
def test_the_chosen_way_is_marked_and_is_the_one_in_the_cut(way):
    cut = cut_out(replace(PLAIN, corner_way=way))
    assert [o.way for o in cut.options if o.chosen] == [way]
    assert cut.corners is not None
    assert cut.corners.way == way


def test_beside_a_chosen_round_cut_the_square_ones_are_told():
    found = by_way(replace(PLAIN, cut_form="round"))
    assert [k for k, o in found.items() if o.chosen] == [("round", "none")]
    assert found["square", "run on"].area_mm2 == pytest.approx(1.1e6)
    assert found["round", "none"].more_waste_l == pytest.approx(64.641, abs=0.01)


def test_a_round_cut_without_room_is_told_with_its_reason():
    assert "the kerb" in by_way(replace(PLAIN, kerb_side="left", kerb_mm=450.0))["round", "none"].why_not


def test_where_only_the_round_cut_can_be_made_it_stands_alone():
    # a post off the corner of the square, clear of the circle, with no width to spare on either side of it
    asked = replace(PLAIN, cut_form="round", flange_shape="round", flange_across_mm=800.0, least_width_mm=150.0,
                    keep_off=(keep_off("a post", 500.0, 500.0, 100.0, 100.0, 0.0, 0.0),))  # fmt: skip
    assert [(o.form, o.chosen, o.why_not) for o in cut_out(asked).options] == [("round", True, "")]


def test_without_a_blade_the_square_cut_is_told_without_its_corners():
    found = by_way(replace(PLAIN, blade_mm=None))
    assert list(found) == [("square", "none"), ("round", "none")]
    assert found["square", "none"].why_not == "no blade among the tools"


def test_without_a_surround_no_litres_of_it_are_told():
    assert {o.more_surround_l for o in cut_out(replace(PLAIN, surround_depth_mm=None)).options} == {None}


def test_neighbours_frames_the_kerb_and_obstacles_are_kept_off():
    duct = keep_off("a duct", 900.0, 0.0, 9.0, 9.0, 0.0, 0.0)
    asked = replace(PLAIN, kerb_side="left", kerb_mm=900.0, keep_off=(duct,),
                    neighbours=(Neighbour("B", rectangle_ring(9.0, 9.0), rectangle_ring(20.0, 20.0)),
                                Neighbour("C", rectangle_ring(9.0, 9.0))))  # fmt: skip
    assert [k.what for k in all_kept_off(asked)] == ["the kerb", "a duct", "the frame of C", "the frame of B"]
