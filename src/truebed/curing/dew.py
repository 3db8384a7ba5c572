"""Moisture of the air: vapour pressure, dew point, wet bulb; may resin or sealant go on this face."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from truebed.curing.surfaces import WeatherData
from truebed.sheets.sheet import BaseState


@dataclass(frozen=True, slots=True)
class DewCheck:
    """Whether a face is warm enough above the dew point. advice: a key of words for a person."""

    allowed: bool
    dew_point_c: float
    least_face_c: float
    face_c: float
    advice: str

    @property
    def margin_k(self) -> float:
        """How far the face stands above the dew point; negative where dew lies on it."""
        return self.face_c - self.dew_point_c


def vapour_kpa(temp_c: float, data: WeatherData) -> float:
    """Pressure of saturated vapour over water [kPa].

    Valid       -45 to 60 degC (over water also below freezing)
    Source      [magnus] (from memory)
    Proved by   tests/curing/test_dew.py
    """
    return data["magnus_base_kpa"] * math.exp(data["magnus_ratio"] * temp_c / (data["magnus_shift_c"] + temp_c))


def dew_point_c(air_c: float, humidity_pct: float, data: WeatherData) -> float:
    """The temperature at which this air sheds water.

    Valid       humidity above 0, up to 100
    Source      [magnus] (from memory)
    Raises      ValueError for a humidity outside
    Proved by   tests/published/test_dew_and_evaporation.py, tests/curing/test_dew.py
    """
    if not 0.0 < humidity_pct <= 100.0:
        raise ValueError(f"a humidity of {humidity_pct:g} % has no dew point; above 0 to 100 % has")
    a, b = data["magnus_ratio"], data["magnus_shift_c"]
    g = math.log(humidity_pct / 100.0) + a * air_c / (b + air_c)
    return b * g / (a - g)


def wet_bulb_c(air_c: float, humidity_pct: float, data: WeatherData) -> float:
    """The temperature that a wetted face takes in moving air, without sun and sky.

    Valid       humidity above 0, up to 100
    Source      [psychrometer] (from memory), solved by halving between dew point and air
    Raises      ValueError for a humidity outside
    Proved by   tests/curing/test_dew.py
    """
    low_c, high_c = dew_point_c(air_c, humidity_pct, data), air_c
    vapour = vapour_kpa(air_c, data) * humidity_pct / 100.0
    for _ in range(60):
        middle_c = (low_c + high_c) / 2.0
        if vapour_kpa(middle_c, data) - data["psychrometer_kpa_per_k"] * (air_c - middle_c) > vapour:
            high_c = middle_c
        else:
            low_c = middle_c
    return (low_c + high_c) / 2.0


def dew_check(face_c: float, air_c: float, humidity_pct: float, data: WeatherData) -> DewCheck:
    """May a coat go on this face: it is to stand above the dew point by the margin.

    Valid       as dew_point_c; a face that is dry to the eye: the rule tells nothing of water in the pores
    Source      [dew-chart] rule, margin of 3 degC from memory
    Raises      ValueError for a humidity outside
    Proved by   tests/published/test_dew_and_evaporation.py
    """
    dew_c = dew_point_c(air_c, humidity_pct, data)
    least_c = dew_c + data["dew_margin_k"]
    advice = "dew-clear" if face_c >= least_c else "dew-warm-the-face" if face_c > dew_c else "dew-lies-on-it"
    return DewCheck(face_c >= least_c, dew_c, least_c, face_c, advice)


def base_advice(state: Literal["dry", "damp", "wet"], sheet: BaseState | None, dew: DewCheck) -> tuple[str, ...]:
    """What keeps a coat off this base, as keys of words; empty where nothing does.

    'base-not-on-the-sheet' (the sheet does not say which bases it allows), 'base-too-wet', and the dew's own keys.

    Valid       the state as a person found it at the hour of the dew check
    Source      the sheet's own words on its base; dew as dew_check
    Proved by   tests/curing/test_dew.py
    """
    keys = []
    if sheet is None:
        keys.append("base-not-on-the-sheet")
    elif not {"dry": sheet.dry, "damp": sheet.damp, "wet": sheet.wet}[state]:
        keys.append("base-too-wet")
    return (*keys, *(() if dew.allowed else (dew.advice,)))
