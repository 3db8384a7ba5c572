"""A clock read off a sheet at the night's temperatures."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.curing.hour_clocks import HourTime


@dataclass(frozen=True, slots=True)
class ClockReading:
    """How long one clock of one pour runs.

    kind       'life' | 'set' | 'ready' | 'strength'
    minutes    at temp_c (coldest for a wait, hottest for a life); early/late: 90 % range from temperature and sheet
    target_n_per_mm2  strength waited for, None for the other kinds
    from_what  which temperature ruled: 'mix', 'air 02:00', ...
    wait       waited out (True) or run within (False)
    used_min   what the programme takes: of a wait for the opening the 95 % late minutes, of what runs out the 5 % early
               ones, of a wait between steps the most probable; None: `minutes`
    hours      the clock by the hour of placing; () where it was read off the sheet's points at one temperature
    at_min     minute after the shutting at which a layer is placed whose clock governs; None: not by the hour
    frost_share  of the believable nights in which the layer freezes while it is weak, at the governing hour
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
    used_min: float | None = None
    hours: tuple[HourTime, ...] = ()
    frost_share: float = 0.0
    at_min: float | None = None

    @property
    def planned_min(self) -> float:
        """What the programme takes."""
        return self.minutes_min if self.used_min is None else self.used_min
