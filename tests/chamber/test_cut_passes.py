"""How deep the saw goes, its passes, and what it leaves."""

import pytest

from truebed.chamber.passes import saw_depth


def test_bound_layers_are_sawn_through_in_passes_and_the_rest_is_dug():
    saw = saw_depth(120.0, 200.0, 400.0, None, 50.0, 4.2)
    assert (saw.wanted_mm, saw.sawn_mm, saw.left_mm, saw.below_mm) == (120.0, 120.0, 0.0, 80.0)
    assert saw.pass_count == 3
    assert saw.passes_m == pytest.approx(12.6)


def test_no_deeper_than_the_dig():
    saw = saw_depth(250.0, 180.0, 450.0, None, 60.0, 4.0)
    assert (saw.wanted_mm, saw.sawn_mm, saw.below_mm, saw.pass_count) == (180.0, 180.0, 0.0, 3)


@pytest.mark.parametrize(("blade", "reach", "sawn"), [(300.0, None, 150.0), (450.0, 140.0, 140.0), (None, None, 0.0)])
def test_what_the_blade_does_not_reach_is_left_to_break(blade, reach, sawn):
    saw = saw_depth(180.0, 200.0, blade, reach, None, 4.0)
    assert (saw.sawn_mm, saw.left_mm) == (sawn, 180.0 - sawn)
    assert saw.pass_count is None
    assert saw.passes_m is None


def test_a_depth_of_whole_passes_takes_no_pass_more():
    assert saw_depth(150.0, 200.0, 400.0, None, 50.0, 1.0).pass_count == 3
    assert saw_depth(151.0, 200.0, 400.0, None, 50.0, 1.0).pass_count == 4
