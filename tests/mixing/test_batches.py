"""Whole kits and mixer loads."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.errors import NotDesignedError
from truebed.mixing.batches import batches, pour_kits, whole_kits
from truebed.mixing.kits import RoleVolume
from truebed.sheets.sheet import Kit, Limits, Sheet

KIT = Kit(24.0, "water", 2.8, 3.2, 12.5, 2.19, 3.0)
SHEET = Sheet("s", "S", "cement", "1", KIT, Limits(10, 50, 5, 30), (), (), (), (), None, ())


@given(st.floats(0.01, 500.0), st.floats(1.0, 40.0))
def test_whole_kits_are_enough_and_one_fewer_is_not(litres, one):
    kits = whole_kits(litres, one)
    assert kits * one >= litres - 1e-6
    assert (kits - 1) * one < litres


def test_a_sum_that_is_exactly_two_kits_takes_two():
    assert whole_kits(0.1 + 0.2 + 24.7, 12.5) == 2
    assert whole_kits(0.0, 12.5) == 0


@given(st.integers(1, 60), st.floats(2.0, 20.0), st.floats(20.0, 120.0))
def test_loads_are_whole_kits_within_the_mixer_and_as_few_as_can_be(kits, one, mixer):
    found = batches(kits, one, mixer)
    assert sum(b.kits for b in found) == kits
    assert all(b.kits * one <= mixer + 1e-6 for b in found)
    at_once = int(mixer / one + 1e-9)
    assert len(found) == -(-kits // at_once)
    assert max(b.kits for b in found) - min(b.kits for b in found) <= 1
    assert [b.number for b in found] == list(range(1, len(found) + 1))


def test_a_mixer_smaller_than_a_kit_is_refused_because_a_kit_is_never_split():
    with pytest.raises(NotDesignedError, match="never split") as refused:
        batches(3, 16.0, 12.0)
    assert "capacity_l" in refused.value.mend


def test_what_is_not_mixed_is_one_load_and_nothing_is_none():
    assert len(batches(7, 0.6, None)) == 1
    assert batches(0, 12.5, 40.0) == ()


def volume(litres, band):
    return RoleVolume("bed", "s", "bed", litres, band, 20.0, 30.0)


def test_allowance_and_upper_end_decide_kits_and_spare():
    found = pour_kits(
        "bed", SHEET, (volume(20.0, 5.0), RoleVolume("x", "t", "other", 99.0, 9.0, 1, 1)), 0.1, 40.0, spare=True
    )
    assert (found.net_l, found.needed_l) == (20.0, pytest.approx(22.0))
    assert (found.kits, found.spare_kits) == (2, 1)
    assert found.left_over_l == pytest.approx(3.0)


def test_spare_is_not_determined_where_the_chamber_top_error_is_unknown():
    assert pour_kits("bed", SHEET, (volume(20.0, 0.5),), 0.1, 40.0, spare=False).spare_kits is None


def test_the_liquid_rule_is_said_in_the_crews_words():
    from dataclasses import replace

    from truebed.mixing.batches import liquid_words

    assert liquid_words(replace(SHEET, hold_back_l=0.25)) == (
        "water 2.8 to 3.2 l a kit, measured; hold 0.25 l back until the mix is judged; never more"
    )
    own = replace(SHEET, kit=replace(KIT, liquid_part="own", liquid_least_l=4.0, liquid_most_l=4.0))
    assert liquid_words(own) == "all of its own liquid, 4 l a kit; no water"
    assert "add nothing" in liquid_words(replace(SHEET, kit=replace(KIT, liquid_least_l=0.0, liquid_most_l=0.0)))
