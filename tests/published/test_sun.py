"""Sun position: worked example of I. Reda, A. Andreas, Solar position algorithm (Solar Energy 76, 2004), and values of
the same algorithm from open test suites; clear-sky sunlight: Haurwitz's formula.

The published values use the full algorithm (0.0003 degrees); ours is a low-precision set and is held to 0.02.
"""

import math
from datetime import UTC, datetime, timedelta, timezone

import pytest

from truebed.curing.sky import clear_sky_w_per_m2
from truebed.curing.sun import sun_place
from truebed.curing.surfaces import weather_data

CASES = [
    # when, latitude, longitude, apparent zenith, azimuth
    (
        datetime(2003, 10, 17, 12, 30, 30, tzinfo=timezone(timedelta(hours=-7))),
        39.742476,
        -105.1786,
        50.11162,
        194.34024,
    ),
    (datetime(2015, 6, 12, 9, 34, 11, tzinfo=timezone(timedelta(hours=-4))), -3.107, -60.025, 44.1425, 51.608),
    (datetime(2012, 12, 22, 12, tzinfo=UTC), -41.0, 0.0, 17.5658, 359.08592),
    (datetime(2012, 12, 22, 12, tzinfo=UTC), -3.0, 0.0, 20.4285, 180.790356),
]


@pytest.mark.parametrize(("at", "latitude_deg", "longitude_deg", "zenith_deg", "azimuth_deg"), CASES)
def test_the_sun_stands_where_the_published_algorithm_puts_it(at, latitude_deg, longitude_deg, zenith_deg, azimuth_deg):
    sun = sun_place(at, latitude_deg, longitude_deg)
    assert sun.zenith_deg == pytest.approx(zenith_deg, abs=0.02)
    assert sun.azimuth_deg == pytest.approx(azimuth_deg, abs=0.02)


def test_the_published_example_without_refraction():
    at, latitude_deg, longitude_deg = CASES[0][:3]
    assert sun_place(at, latitude_deg, longitude_deg).elevation_deg == pytest.approx(39.872046, abs=0.005)


RISE_AND_SET = [
    # 0.8333 degrees below the true horizon; times of the full algorithm
    (datetime(2015, 10, 25, 6, 49, 2, tzinfo=timezone(timedelta(hours=1))), 52.33, 13.3),
    (datetime(2015, 10, 25, 16, 51, 59, tzinfo=timezone(timedelta(hours=1))), 52.33, 13.3),
    (datetime(2016, 3, 27, 6, 52, 19, tzinfo=timezone(timedelta(hours=2))), 52.33, 13.3),
    (datetime(2016, 3, 27, 19, 32, 49, tzinfo=timezone(timedelta(hours=2))), 52.33, 13.3),
    (datetime(2016, 4, 3, 18, 11, 55, tzinfo=timezone(timedelta(hours=12))), -36.84, 174.74),
    (datetime(2015, 9, 27, 7, 4, 14, tzinfo=timezone(timedelta(hours=13))), -36.84, 174.74),
]


@pytest.mark.parametrize(("at", "latitude_deg", "longitude_deg"), RISE_AND_SET)
def test_it_rises_and_sets_at_the_published_minute(at, latitude_deg, longitude_deg):
    assert sun_place(at, latitude_deg, longitude_deg).elevation_deg == pytest.approx(-0.8333, abs=0.02)


def test_the_arctic_sun_of_june_stays_up_and_that_of_january_down():
    june = [sun_place(datetime(2015, 6, 20, h, tzinfo=UTC), 78.2222, 15.6316).elevation_deg for h in range(24)]
    january = [sun_place(datetime(2015, 1, 20, h, tzinfo=UTC), 78.2222, 15.6316).elevation_deg for h in range(24)]
    assert min(june) > 0.0
    assert max(january) < -0.8333


@pytest.mark.parametrize("zenith_deg", [0.0, 30.0, 60.0, 80.0, 89.0])
def test_clear_sunlight_is_haurwitz(zenith_deg):
    up = math.cos(math.radians(zenith_deg))
    assert clear_sky_w_per_m2(zenith_deg, weather_data()) == pytest.approx(
        1098.0 * up * math.exp(-0.057 / up), rel=1e-12
    )


def test_clear_sunlight_ends_with_the_day():
    assert clear_sky_w_per_m2(90.0, weather_data()) == 0.0
    assert clear_sky_w_per_m2(120.0, weather_data()) == 0.0
