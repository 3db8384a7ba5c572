"""From weather to what meets the top face."""

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from truebed.curing.boundary import (
    Place,
    boundary_of,
    boundary_of_air_probe,
    boundary_of_face_probe,
    damping_mm,
    ground_c,
    meets,
    wave_lag_min,
)
from truebed.curing.dew import vapour_kpa, wet_bulb_c
from truebed.curing.sky import BOLTZMANN, sky_emissivity_share, sky_temp_c
from truebed.curing.stack import steady_boundary
from truebed.curing.surfaces import weather_data
from truebed.errors import FaultsError
from truebed.given.night import WeatherHour

DATA = weather_data()
ASPHALT = DATA.surfaces["asphalt"]
PLACE = Place(53.0, -1.5, 1.0, "iso-6946")
START = datetime(2026, 1, 10, 22, tzinfo=UTC)
HOUR = WeatherHour(START, 2.0, 1.0, 85.0, 2.0, 0.0, 0.0)


def hours(count, first=HOUR, **change):
    return [replace(first, at=first.at + timedelta(hours=n), row=n + 2, **change) for n in range(count)]


def test_a_clear_night_is_wind_and_sky_and_nothing_else():
    met = meets(HOUR, START, PLACE, ASPHALT, DATA, wet=False, about_face_c=1.0)
    sky_c = sky_temp_c(2.0, sky_emissivity_share(2.0, 85.0, 0.0, DATA))
    exact = 12.0 * (2.0 - 1.0) + 0.93 * BOLTZMANN * ((sky_c + 273.15) ** 4 - (1.0 + 273.15) ** 4)
    assert met.film_w_per_m2_k * (met.air_c - 1.0) + met.flux_w_per_m2 == pytest.approx(exact, rel=1e-9)
    assert met.flux_w_per_m2 < -60.0


def test_a_wet_face_at_the_wet_bulb_takes_nothing_but_sky_and_gives_vapour_when_warmer():
    wet_hour = replace(HOUR, humidity_pct=60.0, rain_mm=1.0)
    bulb_c = wet_bulb_c(2.0, 60.0, DATA)
    dry = meets(wet_hour, START, PLACE, ASPHALT, DATA, wet=False, about_face_c=bulb_c)
    wet = meets(wet_hour, START, PLACE, ASPHALT, DATA, wet=True, about_face_c=bulb_c)

    def into(met, face_c):
        return met.film_w_per_m2_k * (met.air_c - face_c) + met.flux_w_per_m2

    assert into(dry, bulb_c) - into(wet, bulb_c) == pytest.approx(12.0 * (2.0 - bulb_c), rel=1e-9)
    # a degree above the wet bulb: heat, vapour by the film's own share, and a millimetre of rain
    face_c, vapour = bulb_c + 1.0, vapour_kpa(2.0, DATA) * 0.6
    exact = 12.0 * (2.0 - face_c) + 12.0 / 0.0665 * (vapour - vapour_kpa(face_c, DATA)) + 1.163 * (bulb_c - face_c)
    sky = into(dry, face_c) - 12.0 * (2.0 - face_c)
    assert into(wet, face_c) - sky == pytest.approx(exact, abs=0.6)


def test_a_night_gives_one_boundary_from_its_hours():
    made = boundary_of(hours(7), START + timedelta(minutes=30), 240.0, PLACE, ASPHALT, DATA, "weather.csv")
    b = made.boundary
    assert b.minutes_min[0] == 0.0
    assert b.minutes_min[-1] == 240.0
    assert np.all(np.diff(b.minutes_min) > 0.0)
    assert np.allclose(b.air_c, 2.0)
    assert np.ptp(b.flux_w_per_m2) < 1e-9
    assert made.notes == ()


def test_air_is_straight_between_the_middles_of_hours():
    two = [HOUR, replace(HOUR, at=START + timedelta(hours=1), air_temp_c=6.0)]
    b = boundary_of(two, START, 120.0, PLACE, ASPHALT, DATA, "weather.csv").boundary
    assert np.interp([0.0, 30.0, 60.0, 90.0, 120.0], b.minutes_min, b.air_c) == pytest.approx([2.0, 2.0, 4.0, 6.0, 6.0])


def test_a_summer_noon_heats_and_cloud_shades():
    noon = replace(HOUR, at=datetime(2026, 6, 21, 11, tzinfo=UTC), air_temp_c=22.0, road_temp_c=40.0)
    clear = boundary_of(hours(2, noon), noon.at, 60.0, PLACE, ASPHALT, DATA, "w").boundary.flux_w_per_m2
    grey = boundary_of(hours(2, noon, cloud_share=1.0), noon.at, 60.0, PLACE, ASPHALT, DATA, "w").boundary.flux_w_per_m2
    assert 550.0 < clear.min() < clear.max() < 850.0
    assert grey.max() < 0.5 * clear.min()


def test_rain_keeps_the_face_wet_for_an_hour_after_it():
    wet = hours(4)
    wet[0] = replace(wet[0], rain_mm=2.0)
    b = boundary_of(wet, START, 240.0, PLACE, ASPHALT, DATA, "w").boundary
    in_rain, after, dry = np.interp([30.0, 90.0, 150.0], b.minutes_min, b.film_w_per_m2_k)
    assert in_rain - after == pytest.approx(2.0 * 1.163)
    assert after > dry + 5.0


def test_what_is_not_given_is_said():
    bare = hours(3, humidity_pct=None, wind_m_per_s=None, cloud_share=None, rain_mm=None)
    notes = boundary_of(bare, START, 60.0, PLACE, ASPHALT, DATA, "w").notes
    assert [word for word in ("wind", "cloud", "humidity", "rain") if any(word in note for note in notes)] == [
        "wind",
        "cloud",
        "humidity",
        "rain",
    ]


def test_a_faulty_or_short_forecast_makes_no_boundary():
    with pytest.raises(FaultsError):
        boundary_of(hours(3), START, 600.0, PLACE, ASPHALT, DATA, "w")
    with pytest.raises(FaultsError):
        boundary_of(hours(3, air_temp_c=60.0), START, 60.0, PLACE, ASPHALT, DATA, "w")


def test_a_probe_on_the_face_holds_it():
    b = boundary_of_face_probe([0.0, 20.0], [5.0, 3.0], DATA)
    assert list(b.air_c) == [5.0, 3.0]
    # a flow of 100 W/m2 through that film moves the face by a twentieth of a degree
    assert 100.0 / b.film_w_per_m2_k.min() <= 0.05
    with pytest.raises(ValueError, match="grow"):
        boundary_of_face_probe([0.0, 0.0], [5.0, 3.0], DATA)
    with pytest.raises(ValueError, match="at least one"):
        boundary_of_face_probe([], [], DATA)


def test_a_probe_in_the_air_goes_before_the_forecast_and_moves_what_follows():
    forecast = steady_boundary(4.0, 12.0, -60.0)
    longer = replace(
        forecast,
        minutes_min=np.array([0.0, 100.0]),
        air_c=np.array([4.0, 2.0]),
        film_w_per_m2_k=np.array([12.0, 12.0]),
        flux_w_per_m2=np.array([-60.0, -60.0]),
    )
    b = boundary_of_air_probe(longer, [10.0, 30.0], [5.0, 6.0])
    assert np.interp([0.0, 10.0, 20.0, 30.0], b.minutes_min, b.air_c) == pytest.approx([4.0, 5.0, 5.5, 6.0])
    off = 6.0 - np.interp(30.0, [0.0, 100.0], [4.0, 2.0])
    assert np.interp(100.0, b.minutes_min, b.air_c) == pytest.approx(2.0 + off)


def test_the_days_wave_in_asphalt():
    depth = damping_mm(0.9, 1.932, 1440.0)
    assert depth == pytest.approx(113.1878, abs=1e-3)
    assert math.exp(-100.0 / depth) == pytest.approx(0.4133389, abs=1e-6)
    assert wave_lag_min(100.0, depth, 1440.0) / 60.0 == pytest.approx(3.37467, abs=1e-4)


def test_the_ground_begins_at_the_road_and_ends_in_the_year():
    profile = ground_c([0.0, 100.0, 1000.0, 30000.0], -2.0, START, 0.9, 1.932, DATA)
    assert profile[0] == pytest.approx(-2.0)
    assert list(profile) == sorted(profile)
    assert profile[-1] == pytest.approx(10.5, abs=0.01)


def test_every_point_is_straight_between_what_its_two_hours_meet_at_that_moment():
    """The hours differ in everything; the last is dry after rain and still wet."""
    four = [
        WeatherHour(START, 4.0, 2.0, 80.0, 2.0, 0.2, 0.0, 2),
        WeatherHour(START + timedelta(hours=1), 3.0, None, 95.0, 5.0, 0.9, 1.5, 3),
        WeatherHour(START + timedelta(hours=2), 2.0, 1.0, None, None, 0.4, None, 4),
        WeatherHour(START + timedelta(hours=3), 1.0, -1.0, 70.0, 1.0, None, 0.0, 5),
    ]
    day = [replace(hour, at=hour.at + timedelta(hours=12)) for hour in four]
    wet, about = (False, True, True, False), (2.0, 3.0, 1.0, -1.0)
    b = boundary_of(day, day[0].at, 240.0, PLACE, ASPHALT, DATA, "weather.csv").boundary
    for n, minute in enumerate(b.minutes_min):
        at = day[0].at + timedelta(minutes=float(minute))
        ends = [
            meets(hour, at, PLACE, ASPHALT, DATA, wet=w, about_face_c=a)
            for hour, w, a in zip(day, wet, about, strict=True)
        ]
        middles = [30.0, 90.0, 150.0, 210.0]
        for value, name in (
            (b.air_c[n], "air_c"),
            (b.film_w_per_m2_k[n], "film_w_per_m2_k"),
            (b.flux_w_per_m2[n], "flux_w_per_m2"),
        ):
            assert value == pytest.approx(np.interp(minute, middles, [getattr(e, name) for e in ends]), rel=1e-12)
