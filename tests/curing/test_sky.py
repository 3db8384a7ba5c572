"""Sun, sky and wind on a level face."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.curing.sky import (
    BOLTZMANN,
    absorbed_w_per_m2,
    clear_sky_w_per_m2,
    film_w_per_m2_k,
    long_wave,
    sky_emissivity_share,
    sky_temp_c,
    sunlight_w_per_m2,
)
from truebed.curing.surfaces import weather_data

DATA = weather_data()
ASPHALT = DATA.surfaces["asphalt"]


def test_cloud_takes_three_quarters_at_most():
    clear = clear_sky_w_per_m2(30.0, DATA)
    assert sunlight_w_per_m2(30.0, 0.0, DATA) == clear
    assert sunlight_w_per_m2(30.0, 1.0, DATA) == pytest.approx(clear / 4.0)


def test_a_darker_face_takes_more_and_houses_shade():
    concrete = DATA.surfaces["concrete"]
    assert absorbed_w_per_m2(800.0, ASPHALT, 1.0) == pytest.approx(720.0)
    assert absorbed_w_per_m2(800.0, concrete, 1.0) < 720.0
    assert absorbed_w_per_m2(800.0, ASPHALT, 0.5) == pytest.approx(360.0)


def test_a_clear_sky_is_far_colder_than_the_air_and_an_overcast_one_near_it():
    clear = sky_temp_c(2.0, sky_emissivity_share(2.0, 85.0, 0.0, DATA))
    grey = sky_temp_c(2.0, sky_emissivity_share(2.0, 85.0, 1.0, DATA))
    assert -25.0 < clear < -15.0
    assert -5.0 < grey < 2.0


def test_a_clear_sky_at_a_dew_point_of_ten_degrees_by_hand():
    # 100 % at 10 degC: dew point 10, so 0.711 + 0.056 + 0.0073
    assert sky_emissivity_share(10.0, 100.0, 0.0, DATA) == pytest.approx(0.7743)


def test_without_humidity_the_sky_goes_by_the_air():
    assert sky_emissivity_share(10.0, None, 0.0, DATA) == pytest.approx(9.365e-6 * 283.15**2)


@given(st.floats(-30, 35), st.floats(1, 100), st.floats(0, 1))
def test_the_sky_is_never_warmer_than_the_air(air_c, humidity_pct, cloud_share):
    for humidity in (None, humidity_pct):
        share = sky_emissivity_share(air_c, humidity, cloud_share, DATA)
        assert 0.0 < share <= 1.0
        assert sky_temp_c(air_c, share) <= air_c + 1e-9


@given(st.floats(-40, 20), st.floats(-20, 60))
def test_straightened_long_wave_is_the_fourth_power_at_its_own_temperature(sky_c, face_c):
    waves = long_wave(sky_c, face_c, ASPHALT, 1.0)
    exact = ASPHALT.emissivity_share * BOLTZMANN * ((sky_c + 273.15) ** 4 - (face_c + 273.15) ** 4)
    assert waves.film_w_per_m2_k * (sky_c - face_c) == pytest.approx(exact, rel=1e-9, abs=1e-7)


def test_ten_kelvin_off_the_straight_line_is_within_six_percent():
    near, far = (long_wave(-20.0, face_c, ASPHALT, 1.0).film_w_per_m2_k for face_c in (0.0, 10.0))
    assert far / near == pytest.approx(1.05, abs=0.012)


def test_both_formulas_of_the_wind():
    assert film_w_per_m2_k(2.0, "iso-6946", DATA) == 12.0
    assert film_w_per_m2_k(2.0, "flat-plate", DATA) == pytest.approx(13.6)
    assert film_w_per_m2_k(10.0, "flat-plate", DATA) == pytest.approx(7.2 * 10.0**0.78)


def test_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="cannot be"):
        film_w_per_m2_k(-1.0, "iso-6946", DATA)
    with pytest.raises(ValueError, match="known: flat-plate, iso-6946"):
        film_w_per_m2_k(1.0, "guess", DATA)
    with pytest.raises(ValueError, match="cloud 8"):
        sunlight_w_per_m2(30.0, 8.0, DATA)
    with pytest.raises(ValueError, match="sky view"):
        absorbed_w_per_m2(1.0, ASPHALT, -0.1)
