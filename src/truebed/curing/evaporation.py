"""How fast a fresh face dries, and when it must be covered."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.curing.surfaces import WeatherData


@dataclass(frozen=True, slots=True)
class Drying:
    """Rate of drying and its limit. advice: a key of words: 'drying-none', 'drying-watch', 'drying-cover'."""

    rate_kg_per_m2_h: float
    limit_kg_per_m2_h: float
    advice: str


def evaporation_kg_per_m2_h(face_c: float, air_c: float, humidity_pct: float, wind_m_per_s: float) -> float:
    """Water that leaves a fresh face in an hour; nothing where the air gives water to the face.

    E = 5 ((Tc + 18)^2.5 - r (Ta + 18)^2.5) (V + 4) 1e-6, V in km/h half a metre above the
    face, the mean and not the gust.

    Valid       face and air above -18 degC, humidity 0 to 100; free water stands on the face
    Source      [uno-1998] equation, second-hand
    Raises      ValueError outside
    Proved by   tests/published/test_dew_and_evaporation.py, tests/curing/test_evaporation.py
    """
    if min(face_c, air_c) <= -18.0:
        raise ValueError("the equation of evaporation holds above -18 °C only")
    if not (0.0 <= humidity_pct <= 100.0 and wind_m_per_s >= 0.0):
        raise ValueError(f"humidity {humidity_pct:g} % or wind {wind_m_per_s:g} m/s cannot be")
    drive: float = (face_c + 18.0) ** 2.5 - humidity_pct / 100.0 * (air_c + 18.0) ** 2.5
    return max(0.0, 5.0 * drive * (wind_m_per_s * 3.6 + 4.0) * 1e-6)


def drying(
    face_c: float, air_c: float, humidity_pct: float, wind_m_per_s: float, data: WeatherData, *, fume: bool
) -> Drying:
    """The rate of drying beside its limit, with what to do: watch from half of it, cover from it on.

    fume        the mix has silica fume: half the limit
    Valid       as evaporation_kg_per_m2_h
    Source      [uno-1998] limit; watching from half of it: house
    Raises      ValueError as evaporation_kg_per_m2_h
    Proved by   tests/curing/test_evaporation.py
    """
    rate = evaporation_kg_per_m2_h(face_c, air_c, humidity_pct, wind_m_per_s)
    limit = data["evaporation_fume_kg_per_m2_h" if fume else "evaporation_most_kg_per_m2_h"]
    advice = "drying-cover" if rate >= limit else "drying-watch" if rate >= limit / 2.0 else "drying-none"
    return Drying(rate, limit, advice)
