"""The cut-out: what governs its margin, the kerb, the blade's run-on."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.chamber.cut import CutQuestion, cut_out, run_on_mm, saw_length_m
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
    assert run_on_mm(blade, depth) == pytest.approx(math.sqrt(max(0.0, radius**2 - (radius - depth) ** 2)), abs=1e-6)


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
