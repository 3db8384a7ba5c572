"""The closure and what can be used in it: people, tools, weather."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

ClosureKind = Literal["lane", "stop-go", "full"]
Protection = Literal["none", "sheet", "blanket"]


@dataclass(frozen=True, slots=True)
class Closure:
    """One row of closures.csv. Times carry their offset; minutes are those of traffic management.

    protection  what is laid over fresh layers as soon as they are placed
    """

    closure: str
    streets: tuple[str, ...]
    kind: ClosureKind
    road_shut_from: datetime
    road_open_by: datetime
    noisy_work_ends: datetime
    tm_set_min: int
    tm_clear_min: int
    mix_temp_c: float
    speed_mph: float | None = None
    lanes: int | None = None
    row: int = 0
    protection: Protection = "none"


@dataclass(frozen=True, slots=True)
class Person:
    """One row of people.csv: a role or initials, never a full name; the closures they work ('' = all)."""

    person: str
    skills: tuple[str, ...]
    closures: tuple[str, ...] = ()
    row: int = 0


@dataclass(frozen=True, slots=True)
class Tool:
    """One row of tools.csv: kind ('saw', 'breaker', 'mixer', 'lifter', ...), how many, and its figures.

    capacity_l   mixer: greatest batch; blade_mm  saw: blade diameter; vibration_m_per_s2 with where it was read
    """

    tool: str
    kind: str
    count: int
    capacity_l: float | None = None
    blade_mm: float | None = None
    vibration_m_per_s2: float | None = None
    vibration_source: str = ""
    row: int = 0


@dataclass(frozen=True, slots=True)
class WeatherHour:
    """One row of weather.csv: the hour that begins at `at`."""

    at: datetime
    air_temp_c: float
    road_temp_c: float | None = None
    humidity_pct: float | None = None
    wind_m_per_s: float | None = None
    cloud_share: float | None = None
    rain_mm: float | None = None
    row: int = 0
