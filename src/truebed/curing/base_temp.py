"""What the base under a layer is believed to be at the hour at which the layer is placed on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from truebed.curing.boundary import Place, ground_c, meets
from truebed.curing.surfaces import WeatherData
from truebed.given.night import WeatherHour

#: What lies round a base that a depth is given for.
GROUND = "ground-sand-gravel"
#: What a road's own face is taken to be, and when in its hour the sun is looked at.
ROAD, LOOKED_AT_MIN = "asphalt", (0.0, 30.0, 60.0)


@dataclass(frozen=True, slots=True)
class BaseTemp:
    """The base's temperature, from both sides: the colder for a wait, the warmer for a working life.

    *_from    which of the temperatures rules: 'road', 'air', 'ground at 120 mm', 'air of 14:00, for a road not given',
              'sun of 14:00 on a road not given'
    note      all of them in one sentence, with what was assumed
    """

    cold_c: float
    cold_from: str
    warm_c: float
    warm_from: str
    note: str


def base_of(
    depth_mm: float,
    hour: WeatherHour,
    data: WeatherData,
    *,
    day_before: Sequence[WeatherHour] = (),
    ground: str = GROUND,
    sunned_c: float | None = None,
) -> BaseTemp:
    """The lowest and the highest of what an opened base may have taken on: the road, the air, the ground at its depth.

    Before it is opened the base is as warm as the ground there; opened it goes towards the air, and under the sky
    below that, which the road shows. Nobody knows how far, so it lies between the extremes of them.

    day_before  hours before and of the night: where the road is not given, their lowest and highest air stand in
    ground      key of the material round the base (data/surfaces.toml)
    sunned_c    what the hour's sun can make of the road (sunned_road_c), where that is not given
    Valid       depth >= 0; weather that check_forecast lets pass
    Source      house (extremes); ground as ground_c: means and swing of data/surfaces.toml, assumed
    Raises      ValueError for a depth that cannot be; KeyError for a material that is not packaged
    Proved by   tests/curing/test_base_temp.py
    """
    if not (math.isfinite(depth_mm) and depth_mm >= 0.0):
        raise ValueError(f"a base {depth_mm:g} mm below the road cannot be")
    faces = _faces(hour, day_before, sunned_c)
    material = data.materials[ground]
    deep = [
        (ground_c((depth_mm,), face_c, hour.at, material.conduct_w_per_m_k, material.store_kj_per_l_k, data)[0], name)
        for face_c, name in faces
    ]
    below = f"ground at {depth_mm:.0f} mm"
    every = [*faces, (hour.air_temp_c, "air"), *((temp_c, below) for temp_c, _ in deep)]
    cold_c, cold_from = min(every, key=lambda one: one[0])
    warm_c, warm_from = max(every, key=lambda one: one[0])
    return BaseTemp(cold_c, cold_from, warm_c, warm_from, _note(every, data))


def sunned_road_c(hour: WeatherHour, place: Place, data: WeatherData) -> float:
    """How warm the hour's sun, sky and wind would make a road that lay in them for long: a road is no warmer.

    Valid       weather that check_forecast lets pass; a road that was not heated from elsewhere
    Source      algebra (steady face) on truebed.curing.boundary.meets; dark road: data/surfaces.toml
    Proved by   tests/curing/test_base_temp.py
    """
    return max(_steady_c(hour, place, data))


def skied_road_c(hour: WeatherHour, place: Place, data: WeatherData) -> float:
    """How cold they would make it: a road is no colder, but for what it kept of a colder hour.

    Valid       as sunned_road_c
    Source      as sunned_road_c
    Proved by   tests/curing/test_base_temp.py
    """
    return min(_steady_c(hour, place, data))


def _steady_c(hour: WeatherHour, place: Place, data: WeatherData) -> list[float]:
    """What a dark road would come to that had the weather of a moment for ever, at moments of the hour."""
    found = [
        meets(
            hour, hour.at + timedelta(minutes=after_min), place, data.surfaces[ROAD], data,
            wet=False, about_face_c=hour.air_temp_c,
        )
        for after_min in LOOKED_AT_MIN
    ]  # fmt: skip
    return [one.air_c + one.flux_w_per_m2 / one.film_w_per_m2_k for one in found]


def _faces(hour: WeatherHour, day_before: Sequence[WeatherHour], sunned_c: float | None) -> list[tuple[float, str]]:
    """The road's temperature; where it is not given, the hour's air, with the day's extremes where they are given, and
    what the sun makes of it where that is warmer."""
    if hour.road_temp_c is not None:
        return [(hour.road_temp_c, "road")]
    known = [hour, *day_before]
    ends = (min(known, key=lambda one: one.air_temp_c), max(known, key=lambda one: one.air_temp_c))
    airs = [(one.air_temp_c, f"air of {one.at:%H:%M}, for a road not given") for one in ends]
    if sunned_c is None or sunned_c <= airs[-1][0]:
        return airs
    return [*airs, (sunned_c, f"sun of {hour.at:%H:%M} on a road not given")]


def _note(every: Sequence[tuple[float, str]], data: WeatherData) -> str:
    said = dict.fromkeys(f"{name} {temp_c:.1f} °C" for temp_c, name in every)
    mean, swing = data.figures["ground_mean_c"], data.figures["ground_swing_k"]
    year = f"ground of {mean.value:g} ± {swing.value:g} °C in the year: assumed"
    return f"base between the extremes of {', '.join(said)}; {year}"
