"""Everything that designing one cover needs, as one value."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.chamber.cut_parts import Neighbour
from truebed.curing.night_temps import NightTemps
from truebed.given.cover import Cover
from truebed.given.night import Closure, WeatherHour
from truebed.given.reading import Reading
from truebed.given.survey import Obstacle, Sounding, YardUnit
from truebed.given.works import Condition
from truebed.plan.chamber_top import MeasuredTop
from truebed.rules.ruleset import RuleSet
from truebed.sheets.method import Method
from truebed.sheets.sheet import Sheet


@dataclass(frozen=True, slots=True)
class Case:
    """One cover with its readings, method, sheets, rules, night and tools.

    mixer_l   the smallest mixer among the tools, since any of them may be the one that is free; None without one
    blade_mm  the largest saw blade among the tools, None without one
    measured             the chamber top from the record, None before the hold point
    condition, soundings, obstacles   this cover's own; units: the yard's
    neighbours           covers near by, in this cover's axes
    closure, weather     the night it is done in, and every hour of weather that was given; where the works lie
    """

    cover: Cover
    readings: tuple[Reading, ...]
    method: Method
    sheets: dict[str, Sheet]
    rules: RuleSet
    temps: NightTemps
    mixer_l: float | None
    blade_mm: float | None
    measured: MeasuredTop | None
    wanted_probability: float
    condition: Condition | None = None
    soundings: tuple[Sounding, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    units: tuple[YardUnit, ...] = ()
    neighbours: tuple[Neighbour, ...] = ()
    closure: Closure | None = None
    weather: tuple[WeatherHour, ...] = ()
    latitude_deg: float = 0.0
    longitude_deg: float = 0.0

    def words(self) -> tuple[str, ...]:
        """The words that a rule may apply to: kind, place and load class of the cover."""
        return (self.cover.kind, self.cover.place, self.cover.load_class)

    def sheet_for(self, role: str) -> Sheet | None:
        """The sheet that plays a role, None where the method omits it."""
        for one in self.method.roles:
            if one.role == role:
                return self.sheets[one.sheet]
        return None
