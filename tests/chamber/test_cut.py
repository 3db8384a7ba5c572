"""The cut-out: what governs its margin, the kerb, the blade's run-on."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.chamber.cut import CutQuestion, cut_out, run_on_mm, saw_length_m
from truebed.chamber.obstacles import keep_off
from truebed.chamber.shapes import polygon
from truebed.errors import NotDesignedError

PLAIN = CutQuestion(800.0, 700.0, 0.0, 150.0, 60.0, "the fill", "none", None, 100.0, 180.0, 400.0)


def test_the_cut_is_the_flange_and_the_margin_all_round():
    cut = cut_out(PLAIN)
    assert (cut.along_mm, cut.across_mm, cut.margin_mm) == pytest.approx((1100.0, 1000.0, 150.0))
    assert cut.governed_by.startswith("sound margin")
    assert cut.saw_length_m == pytest.approx(4.2)
    assert polygon(cut.ring).area == pytest.approx(1.1e6)


def test_the_fills_least_width_governs_where_the_road_is_sound_close_by():
    cut = cut_out(replace(PLAIN, sound_margin_mm=20.0))
    assert cut.margin_mm == 60.0
    assert cut.governed_by == "least width of the fill"


@pytest.mark.parametrize(
    ("blade", "depth", "expected"), [(400.0, 100.0, 173.2), (450.0, 150.0, 212.1), (350.0, 0.0, 0.0)]
)
def test_a_blade_runs_on_as_the_survey_practice_says(blade, depth, expected):
    assert run_on_mm(blade, depth) == pytest.approx(expected, abs=0.05)


@given(st.floats(200.0, 900.0), st.floats(0.0, 0.5))
def test_the_run_on_is_half_the_chord_of_the_blade_at_that_depth(blade, share):
    depth = share * blade
    radius = blade / 2.0
    # The chord's own difference of squares loses the last digits: 450^2 x 2^-52, under a root, is 7e-6 mm.
    assert run_on_mm(blade, depth) == pytest.approx(math.sqrt(max(0.0, radius**2 - (radius - depth) ** 2)), abs=2e-5)


def test_a_blade_too_small_for_the_depth_is_refused_and_the_cut_says_none():
    with pytest.raises(ValueError, match="cannot cut"):
        run_on_mm(300.0, 200.0)
    assert cut_out(replace(PLAIN, saw_depth_mm=250.0, dig_depth_mm=300.0)).run_on_mm is None
    assert cut_out(replace(PLAIN, blade_mm=None)).run_on_mm is None


def test_a_kerb_on_the_left_stops_the_cut_and_is_not_sawn():
    cut = cut_out(replace(PLAIN, kerb_side="left", kerb_mm=400.0))
    assert cut.clipped_by_kerb
    assert (cut.along_mm, cut.across_mm) == pytest.approx((1100.0, 900.0))
    assert max(y for _, y in cut.ring) == pytest.approx(400.0)
    assert min(y for _, y in cut.ring) == pytest.approx(-500.0)
    assert cut.saw_length_m == pytest.approx((1100.0 + 2 * 900.0) / 1000.0)


def test_a_kerb_on_the_right_stops_the_cut_on_the_right():
    cut = cut_out(replace(PLAIN, kerb_side="right", kerb_mm=380.0))
    assert min(y for _, y in cut.ring) == pytest.approx(-380.0)


def test_a_far_kerb_changes_nothing():
    cut = cut_out(replace(PLAIN, kerb_side="left", kerb_mm=900.0))
    assert not cut.clipped_by_kerb
    assert cut.ring == cut_out(PLAIN).ring
    assert saw_length_m(cut.ring, PLAIN) == pytest.approx(4.2)


def test_a_flange_across_the_kerb_is_refused_with_the_mend():
    with pytest.raises(NotDesignedError, match="crosses the kerb") as refused:
        cut_out(replace(PLAIN, kerb_side="left", kerb_mm=300.0))
    assert "kerb_mm" in refused.value.mend


@given(st.floats(-45.0, 45.0))
def test_a_turned_cut_keeps_its_own_sizes(turn):
    cut = cut_out(replace(PLAIN, turn_deg=turn))
    assert (cut.along_mm, cut.across_mm) == pytest.approx((1100.0, 1000.0))


@given(st.floats(-45.0, 45.0))
def test_a_turned_frame_has_its_cut_turned_with_it(turn):
    cut = cut_out(replace(PLAIN, turn_deg=turn))
    assert polygon(cut.ring).area == pytest.approx(1.1e6)
    assert cut.saw_length_m == pytest.approx(4.2)


def test_a_round_flange_turned_beside_a_kerb_is_not_taken_for_its_square():
    turned_round = replace(PLAIN, flange_along_mm=800.0, flange_across_mm=800.0, flange_shape="round", turn_deg=30.0,
                           kerb_side="left", kerb_mm=420.0)  # fmt: skip
    assert cut_out(turned_round).least_beside_mm == pytest.approx(20.0, abs=0.1)
    assert cut_out(PLAIN).least_beside_mm == pytest.approx(150.0)


def test_square_to_the_traffic_the_cut_is_the_bounding_square_of_the_turned_flange_and_the_margin():
    # 800 cos 30 + 700 sin 30 = 1042.820; 800 sin 30 + 700 cos 30 = 1006.218; and 150 to every side
    cut = cut_out(replace(PLAIN, turn_deg=30.0, cut_turn="traffic"))
    assert (cut.along_mm, cut.across_mm) == pytest.approx((1342.820, 1306.218), abs=1e-3)
    assert cut.turn_deg == 0.0
    assert cut.least_beside_mm == pytest.approx(150.0)


def test_four_margins_are_the_front_left_back_and_right():
    cut = cut_out(replace(PLAIN, margins_mm=(100.0, 200.0, 300.0, 20.0)))
    # 20 mm is less than the fill's 60 mm
    assert cut.margins_mm == pytest.approx((100.0, 200.0, 300.0, 60.0))
    assert (min(cut.ring), max(cut.ring)) == (pytest.approx((-700.0, -410.0)), pytest.approx((500.0, 550.0)))
    assert cut.margin_mm == 300.0
    assert cut.least_beside_mm == pytest.approx(60.0)


def test_turned_with_the_frame_the_front_margin_turns_too():
    cut = cut_out(replace(PLAIN, margins_mm=(500.0, 100.0, 100.0, 100.0), turn_deg=90.0))
    assert max(y for _, y in cut.ring) == pytest.approx(900.0)  # the frame's front looks left
    assert max(x for x, _ in cut.ring) == pytest.approx(450.0)


def test_a_narrow_strip_before_the_kerb_goes_with_the_cut_and_its_side_there_is_not_sawn():
    cut = cut_out(replace(PLAIN, kerb_side="left", kerb_mm=700.0, strip_least_mm=250.0))
    assert cut.snapped_to_kerb
    assert not cut.clipped_by_kerb
    assert cut.area_mm2 == pytest.approx(1100.0 * 1200.0)
    assert cut.saw_length_m == pytest.approx(1.1 + 2 * 1.2)
    assert [s.kind for s in cut.sides].count("kerb") == 1
    assert cut.strips == ()


def test_where_something_stands_in_the_strip_the_strip_stays_and_is_told():
    post = keep_off("a post", 0.0, 600.0, 60.0, 60.0, 0.0, 20.0)
    cut = cut_out(replace(PLAIN, kerb_side="left", kerb_mm=700.0, strip_least_mm=250.0, keep_off=(post,)))
    assert not cut.snapped_to_kerb
    assert [(s.what, s.width_mm) for s in cut.strips] == [("the kerb", pytest.approx(200.0))]


def test_drawn_in_from_a_duct_the_cut_says_by_how_much_and_what_is_left_to_hand_tools():
    duct = keep_off("a duct", 560.0, 0.0, 60.0, 3000.0, 0.0, 50.0)
    cut = cut_out(replace(PLAIN, keep_off=(duct,)))
    assert cut.margins_mm == pytest.approx((80.0, 150.0, 150.0, 150.0))
    assert [(p.what, p.side, p.from_mm, p.to_mm) for p in cut.pulled_back] == [("a duct", "front", 550.0, 480.0)]
    assert cut.hand_work[0] == "front: 70 mm of the margin lies in the clearance of a duct; break out by hand"
    # the blade would run on past both front corners into the duct's clearance
    assert len(cut.hand_work) == 3
    assert "run into a duct" in cut.hand_work[1]
    with pytest.raises(NotDesignedError, match="a duct: less than 100 mm"):
        cut_out(replace(PLAIN, keep_off=(duct,), least_width_mm=100.0))


def test_something_over_the_flange_is_refused():
    with pytest.raises(NotDesignedError, match=r"A duct, with its clearance, reaches over the flange\."):
        cut_out(replace(PLAIN, keep_off=(keep_off("a duct", 420.0, 0.0, 60.0, 900.0, 0.0, 0.0),)))


def test_something_behind_the_kerb_is_no_matter_but_its_clearance_on_the_road_is():
    post = keep_off("a lamp post", 0.0, 520.0, 100.0, 100.0, 0.0, 0.0)
    kerbed = replace(PLAIN, kerb_side="left", kerb_mm=470.0)
    assert cut_out(replace(kerbed, keep_off=(post,))).ring == cut_out(kerbed).ring
    wide = keep_off("a lamp post", 0.0, 520.0, 100.0, 100.0, 0.0, 50.0)
    assert max(y for _, y in cut_out(replace(kerbed, keep_off=(wide,))).ring) == pytest.approx(420.0)


def test_a_d_and_a_triangular_pair_have_their_margin_all_round():
    for shape, along, across in (("D", 900.0, 700.0), ("triangular pair", 900.0, 700.0)):
        cut = cut_out(replace(PLAIN, flange_shape=shape, flange_along_mm=along, flange_across_mm=across, turn_deg=25.0))
        assert (cut.along_mm, cut.across_mm) == pytest.approx((1200.0, 1000.0))
        assert cut.least_beside_mm == pytest.approx(150.0)


def test_the_dig_s_depth_is_the_most_that_is_sawn():
    cut = cut_out(replace(PLAIN, saw_depth_mm=150.0, dig_depth_mm=120.0, pass_depth_mm=50.0))
    assert cut.depth_mm == 120.0
    assert cut.run_on_mm == pytest.approx(math.sqrt(400.0 * 120.0 - 120.0**2))
    assert cut.saw is not None
    assert (cut.saw.pass_count, cut.saw.passes_m) == (3, pytest.approx(12.6))
