"""Frost on a young layer."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.curing.freezing import freezing_risk
from truebed.curing.surfaces import weather_data

DATA = weather_data()


def test_a_face_that_freezes_while_weak_is_told_with_its_minutes():
    # 4 to -4 degC over 80 minutes crosses nought at 40; strength 0 to 8 reaches 5 at 50
    found = freezing_risk([0.0, 80.0], [4.0, -4.0], [0.0, 8.0], DATA)
    assert found.at_risk
    assert found.first_min == pytest.approx(40.0)
    assert found.strong_min == pytest.approx(50.0)
    assert found.weak_frost_min == pytest.approx(10.0)
    assert found.coldest_c == pytest.approx(-1.0)
    assert found.advice == "frost-cover"


def test_frost_after_five_newtons_is_no_risk():
    found = freezing_risk([0.0, 60.0, 120.0], [5.0, 1.0, -5.0], [0.0, 10.0, 20.0], DATA)
    assert (found.at_risk, found.advice, found.weak_frost_min) == (False, "frost-none", 0.0)


def test_a_layer_that_is_never_shown_strong_is_not_called_safe():
    assert freezing_risk([0.0, 60.0], [5.0, 5.0], [0.0, 4.0], DATA).advice == "frost-not-shown"
    assert freezing_risk([0.0], [-1.0], [0.0], DATA).at_risk


def test_lists_that_do_not_match_are_refused():
    with pytest.raises(ValueError, match="as many"):
        freezing_risk([0.0, 1.0], [1.0], [1.0, 2.0], DATA)
    with pytest.raises(ValueError, match="grow"):
        freezing_risk([0.0, 0.0], [1.0, 1.0], [1.0, 2.0], DATA)
    with pytest.raises(ValueError, match="fall"):
        freezing_risk([0.0, 1.0], [1.0, 1.0], [2.0, 1.0], DATA)


@given(st.lists(st.tuples(st.floats(-10, 10), st.floats(0, 3)), min_size=2, max_size=8))
def test_minutes_of_frost_agree_with_a_fine_clock(points):
    minutes = [10.0 * index for index in range(len(points))]
    temps = [temp for temp, _ in points]
    strengths = list(np.cumsum([gain for _, gain in points]))
    found = freezing_risk(minutes, temps, strengths, DATA)
    clock = np.arange(0.0, minutes[-1], 0.01) + 0.005
    weak = np.interp(clock, minutes, strengths) < 5.0
    frost = weak & (np.interp(clock, minutes, temps) < 0.0)
    assert found.weak_frost_min == pytest.approx(0.01 * frost.sum(), abs=0.1)
