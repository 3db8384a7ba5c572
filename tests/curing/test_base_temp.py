"""The base under a layer is taken from both sides: colder for a wait, warmer for a life."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.curing.base_temp import base_of, sunned_road_c
from truebed.curing.boundary import Place, ground_c
from truebed.curing.surfaces import weather_data
from truebed.given.night import WeatherHour

DATA = weather_data()
JANUARY = datetime(2028, 1, 18, 23, tzinfo=UTC)
JULY = datetime(2027, 7, 14, 21, tzinfo=UTC)
GROUND = DATA.materials["ground-sand-gravel"]


def deep_c(depth_mm, road_c, at):
    return ground_c((depth_mm,), road_c, at, GROUND.conduct_w_per_m_k, GROUND.store_kj_per_l_k, DATA)[0]


def test_on_a_clear_winter_night_the_road_rules_the_cold_and_the_ground_the_warm():
    base = base_of(400.0, WeatherHour(JANUARY, 1.0, -2.0), DATA)
    assert (base.cold_c, base.cold_from) == (-2.0, "road")
    assert base.warm_c == pytest.approx(deep_c(400.0, -2.0, JANUARY))
    assert base.warm_from == "ground at 400 mm"
    assert base.warm_c > 2.0


def test_after_a_hot_day_the_road_rules_the_warm_and_the_ground_the_cold():
    base = base_of(300.0, WeatherHour(JULY, 24.0, 38.0), DATA)
    assert (base.warm_c, base.warm_from) == (38.0, "road")
    assert base.cold_c == pytest.approx(deep_c(300.0, 38.0, JULY))
    assert base.cold_c < 24.0


def test_air_below_a_road_that_is_still_warm_rules_the_cold_since_an_opened_base_goes_towards_it():
    base = base_of(150.0, WeatherHour(JANUARY, -3.0, 4.0), DATA)
    assert (base.cold_c, base.cold_from) == (-3.0, "air")


def test_at_no_depth_the_ground_is_the_road():
    base = base_of(0.0, WeatherHour(JANUARY, 5.0, 5.0), DATA)
    assert (base.cold_c, base.warm_c) == (5.0, 5.0)


def test_for_a_road_not_given_the_day_before_stands_in_with_its_extremes():
    hour = WeatherHour(JULY, 20.0)
    day = [WeatherHour(JULY - timedelta(hours=7), 31.0), WeatherHour(JULY - timedelta(hours=17), 12.0)]
    base = base_of(50.0, hour, DATA, day_before=day)
    assert (base.warm_c, base.warm_from) == (31.0, "air of 14:00, for a road not given")
    assert (base.cold_c, base.cold_from) == (12.0, "air of 04:00, for a road not given")
    alone = base_of(50.0, hour, DATA)
    assert alone.warm_from == "air of 21:00, for a road not given"
    assert alone.warm_c == 20.0
    given_road = base_of(50.0, replace(hour, road_temp_c=22.0), DATA, day_before=day)
    assert given_road.warm_c == 22.0


def test_the_note_says_every_temperature_and_what_was_assumed():
    note = base_of(120.0, WeatherHour(JANUARY, 1.0, -2.0), DATA).note
    assert "road -2.0 °C" in note
    assert "air 1.0 °C" in note
    assert f"ground at 120 mm {deep_c(120.0, -2.0, JANUARY):.1f} °C" in note
    assert "assumed" in note


@pytest.mark.parametrize("depth_mm", [-1.0, float("nan"), float("inf")])
def test_a_depth_that_cannot_be_is_refused(depth_mm):
    with pytest.raises(ValueError, match="below the road cannot be"):
        base_of(depth_mm, WeatherHour(JANUARY, 1.0), DATA)


@given(st.floats(0.0, 2000.0), st.floats(-30.0, 45.0), st.floats(-30.0, 70.0))
def test_the_base_never_leaves_what_air_and_road_say_to_the_inside(depth_mm, air_c, road_c):
    base = base_of(depth_mm, WeatherHour(JULY, air_c, road_c), DATA)
    assert base.cold_c <= min(air_c, road_c)
    assert base.warm_c >= max(air_c, road_c)


HERE = Place(52.4, -1.1, 1.0, "iso-6946")


def test_a_road_not_given_may_be_as_warm_as_the_sun_of_the_hour_makes_it_and_by_night_as_before():
    noon = WeatherHour(JULY.replace(hour=12), 28.0, cloud_share=0.0, wind_m_per_s=1.0)
    sunned_c = sunned_road_c(noon, HERE, DATA)
    assert 45.0 < sunned_c < 95.0
    assert sunned_road_c(replace(noon, cloud_share=1.0), HERE, DATA) < sunned_c - 10.0
    assert sunned_road_c(replace(noon, wind_m_per_s=8.0), HERE, DATA) < sunned_c - 10.0
    base = base_of(100.0, noon, DATA, sunned_c=sunned_c)
    assert (base.warm_c, base.warm_from) == (sunned_c, "sun of 12:00 on a road not given")
    assert base.cold_c == base_of(100.0, noon, DATA).cold_c
    given_road = replace(noon, road_temp_c=35.0)
    assert base_of(100.0, given_road, DATA, sunned_c=sunned_c).warm_c == 35.0
    night = WeatherHour(JULY.replace(hour=23), 15.0, cloud_share=0.0, wind_m_per_s=1.0)
    cool_c = sunned_road_c(night, HERE, DATA)
    assert cool_c < 15.0
    assert base_of(100.0, night, DATA, sunned_c=cool_c) == base_of(100.0, night, DATA)
