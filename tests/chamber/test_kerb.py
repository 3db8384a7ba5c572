"""The kerb: the road's side of it, and narrow strips carried out to it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.chamber.convex import ring_area_mm2
from truebed.chamber.kerb import behind_kerb, kerb_side_ratio, snapped, within_kerb
from truebed.chamber.shapes import polygon, rectangle_ring, turned

CUT = rectangle_ring(1100.0, 1000.0)


def test_left_is_up_and_right_is_down():
    assert (kerb_side_ratio("left"), kerb_side_ratio("right")) == (1.0, -1.0)
    assert min(y for _, y in behind_kerb("left", 400.0)) == 400.0
    assert max(y for _, y in behind_kerb("right", 400.0)) == -400.0


def test_only_the_road_s_side_is_kept():
    assert max(y for _, y in within_kerb(CUT, "left", 420.0)) == pytest.approx(420.0)
    assert min(y for _, y in within_kerb(CUT, "right", 420.0)) == pytest.approx(-420.0)
    assert within_kerb(CUT, "none", 420.0) is CUT
    assert within_kerb(CUT, "left", None) is CUT


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_strip_of_200_mm_goes_where_250_are_asked_and_one_of_300_stays(side):
    grown = snapped(CUT, side, 700.0, 250.0)
    assert ring_area_mm2(grown) == pytest.approx(1100.0 * 1200.0)
    assert len(grown) == 4
    assert snapped(CUT, side, 800.0, 250.0) is CUT
    assert snapped(CUT, side, 750.0, 250.0) is CUT  # a strip as wide as is asked may stay


def test_a_cut_at_the_kerb_already_is_left_as_it_is():
    at_kerb = within_kerb(CUT, "left", 420.0)
    assert snapped(at_kerb, "left", 420.0, 250.0) == at_kerb


@given(st.floats(-44.0, 44.0), st.floats(450.0, 900.0), st.floats(50.0, 300.0), st.sampled_from(["left", "right"]))
def test_what_is_added_is_the_shadow_toward_the_kerb_of_what_is_too_near_to_it(turn, kerb, strip, side):
    cut = within_kerb(turned(CUT, turn), side, kerb)
    grown = snapped(cut, side, kerb, strip)
    sign = kerb_side_ratio(side)
    # by a second way: the hull of what is too near and of its own foot on the kerb
    near = polygon(cut).intersection(polygon(within_kerb(behind_kerb(side, kerb - strip), side, kerb)))
    if near.area < 1e-6:
        assert grown is cut
        return
    x_low, _, x_high, _ = near.bounds
    top = [(x_low, sign * kerb), (x_high, sign * kerb)]
    shadow = polygon(cut).union(polygon((*near.convex_hull.exterior.coords[:-1], *top)).convex_hull)
    assert polygon(grown).is_valid
    assert polygon(grown).symmetric_difference(shadow).area < 0.5
    assert polygon(grown).buffer(1e-6).covers(polygon(cut))
    assert max(sign * y for _, y in grown) <= kerb + 1e-6
