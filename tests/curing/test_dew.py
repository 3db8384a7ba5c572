"""Vapour, dew point and wet bulb."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.curing.dew import base_advice, dew_check, dew_point_c, vapour_kpa, wet_bulb_c
from truebed.curing.surfaces import weather_data
from truebed.sheets.sheet import BaseState

DATA = weather_data()


@given(st.floats(-30, 45), st.floats(1, 100))
def test_air_at_its_dew_point_holds_just_the_vapour_it_had(air_c, humidity_pct):
    held = vapour_kpa(air_c, DATA) * humidity_pct / 100.0
    assert vapour_kpa(dew_point_c(air_c, humidity_pct, DATA), DATA) == pytest.approx(held, rel=1e-9)


@given(st.floats(-20, 45), st.floats(1, 100))
def test_the_wet_bulb_lies_between_dew_point_and_air_and_balances(air_c, humidity_pct):
    bulb = wet_bulb_c(air_c, humidity_pct, DATA)
    assert dew_point_c(air_c, humidity_pct, DATA) - 1e-9 <= bulb <= air_c + 1e-9
    balance = vapour_kpa(bulb, DATA) - DATA["psychrometer_kpa_per_k"] * (air_c - bulb)
    assert balance == pytest.approx(vapour_kpa(air_c, DATA) * humidity_pct / 100.0, abs=1e-9)


def test_full_air_is_at_its_dew_point():
    assert dew_point_c(7.0, 100.0, DATA) == pytest.approx(7.0)
    assert wet_bulb_c(7.0, 100.0, DATA) == pytest.approx(7.0)


@pytest.mark.parametrize("humidity_pct", [0.0, -1.0, 101.0, math.nan])
def test_a_humidity_that_cannot_be_is_refused(humidity_pct):
    with pytest.raises(ValueError, match="dew point"):
        dew_check(10.0, 10.0, humidity_pct, DATA)


def test_a_base_is_let_by_the_sheet_and_by_the_dew():
    dry_only = BaseState(True, False, False, "page 2")
    clear, dewy = (dew_check(face_c, 20.0, 50.0, DATA) for face_c in (15.0, 10.0))
    assert base_advice("dry", dry_only, clear) == ()
    assert base_advice("damp", dry_only, clear) == ("base-too-wet",)
    assert base_advice("wet", dry_only, dewy) == ("base-too-wet", "dew-warm-the-face")
    assert base_advice("dry", None, clear) == ("base-not-on-the-sheet",)
