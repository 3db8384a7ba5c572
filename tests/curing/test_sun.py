"""Where the sun stands: what must hold at any place and time."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.curing.sun import sun_place

TIMES = st.integers(0, 36525 * 1440).map(lambda m: datetime(1950, 1, 1, tzinfo=UTC) + timedelta(minutes=m))


def test_the_clock_of_the_zone_does_not_matter():
    at = datetime(2026, 6, 1, 3, 0, tzinfo=UTC)
    summer = at.astimezone(timezone(timedelta(hours=1)))
    assert sun_place(at, 53.0, -1.5) == sun_place(summer, 53.0, -1.5)


@pytest.mark.parametrize(("latitude_deg", "longitude_deg"), [(91.0, 0.0), (0.0, 181.0), (float("nan"), 0.0)])
def test_a_place_off_the_earth_is_refused(latitude_deg, longitude_deg):
    with pytest.raises(ValueError, match="no place"):
        sun_place(datetime(2026, 1, 1, tzinfo=UTC), latitude_deg, longitude_deg)


def test_a_time_without_offset_is_refused():
    with pytest.raises(ValueError, match="offset"):
        sun_place(datetime(2026, 1, 1), 50.0, 0.0)  # noqa: DTZ001


@given(TIMES, st.floats(-90, 90), st.floats(-180, 180))
def test_angles_keep_to_the_sky_and_air_lifts_the_sun(at, latitude_deg, longitude_deg):
    sun = sun_place(at, latitude_deg, longitude_deg)
    assert -90.0 <= sun.elevation_deg <= 90.0
    assert 0.0 <= sun.azimuth_deg <= 360.0
    assert 0.0 <= sun.apparent_deg - sun.elevation_deg < 0.7


@given(TIMES, st.floats(-66, 66))
def test_the_sun_goes_through_the_whole_sky_in_opposite_places(at, latitude_deg):
    here = sun_place(at, latitude_deg, 0.0).elevation_deg
    assert sun_place(at, -latitude_deg, 180.0).elevation_deg == pytest.approx(-here, abs=1e-6)
