"""Spare kits of a night: chances of whole-kit counts, against plain draws."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.mixing.batches import whole_kits
from truebed.mixing.spare import KitNeed, chances, normal_share_below, spare_for


def test_a_sure_need_has_one_number_of_kits_and_no_spare():
    assert chances(KitNeed(20.0, 0.0, 12.0)) == {2: 1.0}
    assert spare_for((KitNeed(20.0, 0.0, 12.0),)) == 0


@given(st.floats(1.0, 80.0), st.floats(0.1, 20.0), st.floats(5.0, 30.0))
def test_chances_add_up_to_one_and_agree_with_the_normal_law(needed, band, one):
    found = chances(KitNeed(needed, band, one))
    assert sum(found.values()) == pytest.approx(1.0)
    kits = sorted(found)[0]
    assert (
        found[kits] == pytest.approx(normal_share_below((kits * one - needed) / (band / 1.6448536)), abs=1e-6)
        or len(found) == 1
    )


@pytest.mark.parametrize("count", [1, 4, 7])
def test_the_spare_is_enough_in_95_of_100_nights_and_one_fewer_is_not(count):
    needs = tuple(KitNeed(10.5 + 0.3 * i, 3.5, 12.0) for i in range(count))
    spare, planned = spare_for(needs), sum(whole_kits(n.needed_l, 12.0) for n in needs)
    rng = np.random.default_rng(3)
    drawn = rng.normal([n.needed_l for n in needs], 3.5 / 1.6448536, (200_000, count))
    taken = np.ceil(np.maximum(drawn, 0) / 12.0).sum(axis=1)
    enough = np.mean(taken <= planned + spare)
    assert enough >= 0.948
    if spare:
        assert np.mean(taken <= planned + spare - 1) < 0.952


def test_pooling_litres_would_have_said_too_few():
    # four covers of one kit each, each a third likely to take a second one: one pooled spare kit is short 4 times in 10
    needs = tuple(KitNeed(11.0, 3.8, 12.0) for _ in range(4))
    assert spare_for(needs) >= 3
