"""A clock read off a sheet at the night's temperatures."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ClockReading:
    """How long one clock of one pour runs.

    kind       'life' | 'set' | 'ready' | 'strength'
    minutes    at temp_c (coldest for a wait, hottest for a life); early/late: 90 % range from temperature and sheet
    target_n_per_mm2  strength waited for, None for the other kinds
    from_what  which temperature ruled: 'mix', 'air 02:00', ...
    wait       waited out (True) or run within (False)
    """

    pour: str
    sheet: str
    kind: str
    target_n_per_mm2: float | None
    minutes_min: float
    early_min: float
    late_min: float
    temp_c: float
    from_what: str
    wait: bool = True
