"""The round cut: its circle, and where it has no room."""

import math
from dataclasses import replace

import pytest

from truebed.chamber.cut import CutQuestion, cut_out
from truebed.chamber.cut_parts import Neighbour
from truebed.chamber.cut_round import round_radius_mm, why_no_round
from truebed.chamber.obstacles import keep_off
from truebed.chamber.shapes import polygon, rectangle_ring
from truebed.errors import NotDesignedError

ROUND = CutQuestion(800.0, 600.0, 20.0, 150.0, 60.0, "the fill", "none", None, 100.0, 180.0, 400.0, cut_form="round")


def test_the_circle_is_the_flange_s_and_the_margin():
    # a flange of 800 x 600 has a circle of radius 500
    cut = cut_out(ROUND)
    assert cut.diameter_mm == pytest.approx(1300.0)
    assert cut.saw_length_m == pytest.approx(math.pi * 1.3)
    assert cut.area_mm2 == pytest.approx(math.pi * 650.0**2)
    assert polygon(cut.ring).area == pytest.approx(math.pi * 650.0**2)
    assert (cut.form, cut.margin_mm, cut.least_beside_mm, cut.run_on_mm) == ("round", 150.0, 150.0, None)
    assert cut.corners is not None
    assert cut.corners.over_cuts == ()


def test_the_greatest_of_four_margins_rules():
    assert round_radius_mm(replace(ROUND, margins_mm=(100.0, 220.0, 90.0, 30.0))) == pytest.approx(720.0)
    assert round_radius_mm(replace(ROUND, sound_margin_mm=0.0)) == pytest.approx(560.0)


def test_a_round_flange_wants_the_smaller_circle():
    assert round_radius_mm(replace(ROUND, flange_across_mm=800.0, flange_shape="round")) == pytest.approx(550.0)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"kerb_side": "left", "kerb_mm": 600.0}, "the kerb is 600 mm"),
        ({"kerb_side": "right", "kerb_mm": 800.0, "strip_least_mm": 250.0}, "leave 150 mm of road before the kerb"),
        ({"keep_off": (keep_off("a duct", 700.0, 0.0, 100.0, 400.0, 0.0, 30.0),)}, "a duct is 620 mm"),
        (
            {
                "neighbours": (Neighbour("B", rectangle_ring(1.0, 1.0), tuple((x + 1400.0, y)
                               for x, y in rectangle_ring(1000.0, 1000.0))),),
                "strip_least_mm": 260.0,
            },
            "the cut-out of B",
        ),
    ],
)  # fmt: skip
def test_where_it_has_no_room_it_is_refused_with_the_reason_and_the_square_cut_offered(change, said):
    asked = replace(ROUND, **change)
    assert said in why_no_round(asked)
    with pytest.raises(NotDesignedError, match=said) as refused:
        cut_out(asked)
    assert "square" in refused.value.mend


def test_a_kerb_far_off_leaves_it_possible():
    assert why_no_round(replace(ROUND, kerb_side="left", kerb_mm=900.0, strip_least_mm=250.0)) == ""
