"""What a heat calculation of the layer expects a probe in it to read, from placing on."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import numpy as np

from truebed.curing.layer_night import LayerNight, refuse_night
from truebed.curing.now import TempAhead
from truebed.curing.two_clocks import Asked, central_cure
from truebed.given.night import WeatherHour

HOUR = timedelta(hours=1)


def hour_of(weather: Sequence[WeatherHour], at: datetime) -> WeatherHour | None:
    """The forecast's hour that holds a time; None where there is none.

    Valid       any hours
    Source      house
    Proved by   tests/curing/test_expected_temps.py
    """
    return next((hour for hour in weather if hour.at <= at < hour.at + HOUR), None)


def expected_temps(night: LayerNight, asked: Asked, place: str) -> TempAhead:
    """Temperatures of the most probable run at the probe's place, from placing to a little past the target.

    place       'middle'; 'slowest face' is the colder of the layer's two faces at each time, 'other face' the warmer
    Valid       as two_clocks; weather that does not change from the hour of placing on
    Source      as two_clocks.central_cure
    Raises      as layer_night.refuse_night
    Proved by   tests/curing/test_expected_temps.py
    """
    refuse_night(night, asked.fitted, asked.limits, asked.data)
    trace = central_cure(night, asked, night.target_n_per_mm2).trace
    first = 0 if night.iron_mm is None else 2
    faces_c = trace.face_c[:, first : first + 2]
    if place == "middle":
        middle_mm = (0.0 if night.iron_mm is None else night.iron_mm) + night.thick_mm / 2.0
        temps_c = trace.cell_c[:, int(np.argmin(np.abs(trace.depth_mm - middle_mm)))]
    else:
        temps_c = faces_c.min(axis=1) if place == "slowest face" else faces_c.max(axis=1)
    return TempAhead(tuple(float(t) for t in trace.minutes_min), tuple(float(t) for t in temps_c))
