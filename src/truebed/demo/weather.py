"""The demo's weather: hour by hour from a day before each closure until its road is open. All invented."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime, timedelta


@dataclass(frozen=True, slots=True)
class Spell:
    """One closure's weather: a daily wave between the warmest (15:00) and the coldest hour (05:00).

    road_lag_c   how much warmer than the air the road is at its warmest; it cools to road_night_c above the air
    wet_hours    hours before the closure in which it rained, with the rain
    """

    closure: str
    warmest_c: float
    coldest_c: float
    road_lag_c: float
    road_night_c: float
    humid_day_pct: float
    humid_night_pct: float
    wind_m_per_s: float
    cloud_share: float
    wet_hours: tuple[tuple[int, float], ...] = ()


SPELLS: tuple[Spell, ...] = (
    Spell("tallow-night", 20.5, 11.0, 6.0, 2.5, 52.0, 84.0, 2.4, 0.4),
    Spell("weir-night", 13.5, 8.0, 2.5, 1.2, 64.0, 90.0, 3.1, 0.7, ((11, 0.6), (10, 0.2))),
    Spell("frost-night", 5.5, 1.2, 1.0, 0.4, 71.0, 93.0, 1.6, 0.2),
)


def day_share(at: datetime) -> float:
    """1 at 15:00, 0 at 05:00, a cosine between (10 h up, 14 h down).

    Valid       any local time
    Source      invented for the demo
    Proved by   tests/demo/test_build.py
    """
    hours = (at.hour + at.minute / 60.0 - 5.0) % 24.0
    phase = math.pi * (hours / 10.0) if hours <= 10.0 else math.pi * (1.0 + (hours - 10.0) / 14.0)
    return (1.0 - math.cos(phase)) / 2.0


def hours_of(spell: Spell, shut: datetime, opens: datetime) -> tuple[tuple[str, ...], ...]:
    """Rows of weather.csv for one closure, whole hours from 24 hours before it shuts until it is open.

    Valid       shut before opens, both with an offset
    Source      invented for the demo
    Proved by   tests/demo/test_build.py
    """
    rows = []
    first = shut.replace(minute=0)
    at = first - timedelta(hours=24)
    wet = {first - timedelta(hours=before): rain for before, rain in spell.wet_hours}
    while at <= opens:  # the hour that holds the opening is the last
        share = day_share(at)
        air = spell.coldest_c + (spell.warmest_c - spell.coldest_c) * share
        road = air + spell.road_night_c + (spell.road_lag_c - spell.road_night_c) * share
        humid = spell.humid_night_pct + (spell.humid_day_pct - spell.humid_night_pct) * share
        rain = wet.get(at, 0.0)
        rows.append(
            (
                at.isoformat(timespec="minutes"),
                f"{air:.1f}",
                f"{road:.1f}",
                f"{humid:.0f}",
                f"{spell.wind_m_per_s:.1f}",
                f"{spell.cloud_share:.1f}",
                f"{rain:.1f}",
            )
        )
        at += timedelta(hours=1)
    return tuple(rows)
