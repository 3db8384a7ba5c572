"""Where the sun stands, by time and place."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, datetime

#: Noon of 1 January 2000 in universal time, from which the formulas count.
EPOCH = datetime(2000, 1, 1, 12, tzinfo=UTC)
DAYS_A_CENTURY = 36525.0


@dataclass(frozen=True, slots=True)
class Sun:
    """Place of the sun's middle in the sky.

    elevation_deg  above the true horizon, without refraction; apparent_deg with it
    azimuth_deg    from north through east
    """

    elevation_deg: float
    apparent_deg: float
    azimuth_deg: float

    @property
    def zenith_deg(self) -> float:
        """Apparent distance from straight overhead, as a person sees it."""
        return 90.0 - self.apparent_deg


def sun_place(at: datetime, latitude_deg: float, longitude_deg: float) -> Sun:
    """Where the sun stands at a moment.

    at          with its offset; the clock's zone does not matter, the moment does
    longitude_deg  east positive
    Valid       1950 to 2050, within 0.02 degrees of a full algorithm where the sun is 3 degrees or more from overhead;
                refraction is of ordinary air and rough near the horizon
    Source      [noaa-solar] formulas (from memory)
    Raises      ValueError for a time without offset, or a place that is none
    Proved by   tests/published/test_sun.py, tests/curing/test_sun.py
    """
    if at.tzinfo is None:
        raise ValueError("a time without its offset does not say where the sun stands")
    if not (-90.0 <= latitude_deg <= 90.0 and -180.0 <= longitude_deg <= 180.0):
        raise ValueError(f"latitude {latitude_deg:g}, longitude {longitude_deg:g} is no place on earth")
    days_count = (at - EPOCH).total_seconds() / 86400.0
    right_ascension, declination = _direction(days_count / DAYS_A_CENTURY)
    sidereal_deg = 280.46061837 + 360.98564736629 * days_count
    hour_angle = math.radians(sidereal_deg + longitude_deg) - right_ascension
    latitude = math.radians(latitude_deg)
    up = math.sin(latitude) * math.sin(declination) + math.cos(latitude) * math.cos(declination) * math.cos(hour_angle)
    east = -math.cos(declination) * math.sin(hour_angle)
    north = math.cos(latitude) * math.sin(declination) - math.sin(latitude) * math.cos(declination) * math.cos(
        hour_angle
    )
    elevation_deg = math.degrees(math.atan2(up, math.hypot(east, north)))
    azimuth_deg = math.degrees(math.atan2(east, north)) % 360.0
    return Sun(elevation_deg, elevation_deg + _refraction_deg(elevation_deg), azimuth_deg)


def _direction(century_count: float) -> tuple[float, float]:
    """Right ascension and declination of the apparent sun [rad]."""
    mean_deg = 280.46646 + century_count * (36000.76983 + 0.0003032 * century_count)
    anomaly = math.radians(357.52911 + century_count * (35999.05029 - 0.0001537 * century_count))
    middle_deg = (
        (1.914602 - century_count * (0.004817 + 0.000014 * century_count)) * math.sin(anomaly)
        + (0.019993 - 0.000101 * century_count) * math.sin(2.0 * anomaly)
        + 0.000289 * math.sin(3.0 * anomaly)
    )
    node = math.radians(125.04 - 1934.136 * century_count)
    longitude = math.radians(mean_deg + middle_deg - 0.00569 - 0.00478 * math.sin(node))
    tilt_deg = 23.0 + (26.0 + (21.448 - century_count * 46.815) / 60.0) / 60.0 + 0.00256 * math.cos(node)
    tilt = math.radians(tilt_deg)
    right_ascension = math.atan2(math.cos(tilt) * math.sin(longitude), math.cos(longitude))
    return right_ascension, math.asin(math.sin(tilt) * math.sin(longitude))


def _refraction_deg(elevation_deg: float) -> float:
    """How much air lifts the sun, by pieces of its true elevation."""
    if elevation_deg > 85.0:
        return 0.0
    slope = math.tan(math.radians(elevation_deg))
    if elevation_deg > 5.0:
        seconds = 58.1 / slope - 0.07 / slope**3 + 0.000086 / slope**5
    elif elevation_deg > -0.575:
        e = elevation_deg
        seconds = 1735.0 + e * (-518.2 + e * (103.4 + e * (-12.79 + 0.711 * e)))
    else:
        seconds = -20.772 / slope
    return seconds / 3600.0
