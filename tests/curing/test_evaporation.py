"""Drying of a fresh face and its protection."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.curing.evaporation import drying, evaporation_kg_per_m2_h
from truebed.curing.surfaces import weather_data

DATA = weather_data()


def test_a_hot_windy_face_is_to_be_covered_and_a_still_one_not():
    assert drying(31.0, 27.0, 50.0, 19.0 / 3.6, DATA, fume=False).advice == "drying-cover"
    assert drying(10.0, 10.0, 80.0, 1.0, DATA, fume=False).advice == "drying-none"


def test_silica_fume_halves_the_limit():
    plain = drying(25.0, 22.0, 50.0, 4.0, DATA, fume=False)
    fume = drying(25.0, 22.0, 50.0, 4.0, DATA, fume=True)
    assert plain.rate_kg_per_m2_h == fume.rate_kg_per_m2_h
    assert (plain.limit_kg_per_m2_h, fume.limit_kg_per_m2_h) == (1.0, 0.5)
    assert (plain.advice, fume.advice) == ("drying-watch", "drying-cover")


@given(st.floats(-10, 45), st.floats(-10, 45), st.floats(0, 100), st.floats(0, 20))
def test_more_wind_or_drier_air_never_dries_less(face_c, air_c, humidity_pct, wind):
    rate = evaporation_kg_per_m2_h(face_c, air_c, humidity_pct, wind)
    assert rate >= 0.0
    assert evaporation_kg_per_m2_h(face_c, air_c, humidity_pct, wind + 1.0) >= rate
    assert evaporation_kg_per_m2_h(face_c, air_c, humidity_pct / 2.0, wind) >= rate


def test_a_face_colder_than_full_air_gives_no_water():
    assert evaporation_kg_per_m2_h(5.0, 20.0, 100.0, 3.0) == 0.0


def test_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="-18"):
        evaporation_kg_per_m2_h(-18.0, 5.0, 50.0, 1.0)
    with pytest.raises(ValueError, match="cannot be"):
        evaporation_kg_per_m2_h(5.0, 5.0, 120.0, 1.0)
