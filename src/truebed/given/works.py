"""The works: everything one folder gives, as one frozen value."""

from __future__ import annotations

from dataclasses import dataclass, field

from truebed.given.cover import Cover
from truebed.given.night import Closure, Person, Tool, WeatherHour
from truebed.given.reading import Reading
from truebed.given.survey import Obstacle, Sounding, YardUnit


@dataclass(frozen=True, slots=True)
class Heading:
    """works.toml: who, where, under which rules. wanted_probability is 0.5 to 0.999."""

    name: str
    reference: str
    rule_set: str
    time_zone: str
    latitude_deg: float
    longitude_deg: float
    coordinate_system: str
    holiday_calendar: str
    currency: str
    language: str
    wanted_probability: float
    demo: bool = False


@dataclass(frozen=True, slots=True)
class StockLine:
    """One row of stock.csv: kits of one lot of one sheet."""

    sheet: str
    lot: str
    kits: int
    expires: str = ""
    row: int = 0


@dataclass(frozen=True, slots=True)
class Condition:
    """One row of condition.csv: what the survey found at one cover. None or '': not measured, not looked at.

    lid_step_*         lid against frame at a corner, proud positive; lid_step_mm the greatest, where only that was read
    frame_step_*       frame against road at a corner, proud positive
    seat_wear_class    0 none to 4 worn through; courses_class 0 sound to 4 missing
    courses_soft_to_mm road surface down to where the courses are no longer soft
    surround           'sound', 'cracked', 'potholed', 'missing': the road round the frame
    frame_state        'sound', 'cracked', 'broken'; slab_state 'sound', 'cracked', 'unknown'
    plan_below         'as frame', 'other', 'unknown': plan of the chamber below
    bed_state          'sound', 'thin', 'crumbled', 'missing', 'unknown'
    resurfacing        'no', 'planned'
    dig_anyway         the user's reason to lift the frame although the diagnosis says not to dig
    """

    cover: str
    lid_step_mm: float | None = None
    lid_step_front_left_mm: float | None = None
    lid_step_front_right_mm: float | None = None
    lid_step_back_left_mm: float | None = None
    lid_step_back_right_mm: float | None = None
    frame_step_front_left_mm: float | None = None
    frame_step_front_right_mm: float | None = None
    frame_step_back_left_mm: float | None = None
    frame_step_back_right_mm: float | None = None
    rock_mm: float | None = None
    seat_wear_class: int | None = None
    hollow_taps_pct: float | None = None
    courses: str = ""
    courses_class: int | None = None
    courses_soft_to_mm: float | None = None
    courses_count: int | None = None
    crack_mm: float | None = None
    surround: str = ""
    frame_state: str = ""
    slab_state: str = ""
    plan_below: str = ""
    bed_state: str = ""
    resurfacing: str = ""
    polish: str = ""
    dig_anyway: str = ""
    row: int = 0


@dataclass(frozen=True, slots=True)
class Echo:
    """A value that was converted or mended on the way in, told to the user."""

    file: str
    row: int
    column: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class Works:
    """A whole works folder but for its sheets, methods and rules, which have their own rooms."""

    heading: Heading
    covers: tuple[Cover, ...]
    readings: tuple[Reading, ...]
    closures: tuple[Closure, ...]
    people: tuple[Person, ...]
    tools: tuple[Tool, ...]
    weather: tuple[WeatherHour, ...] = ()
    stock: tuple[StockLine, ...] = ()
    condition: tuple[Condition, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    soundings: tuple[Sounding, ...] = ()
    units: tuple[YardUnit, ...] = ()
    echoes: tuple[Echo, ...] = field(default=())

    def cover(self, name: str) -> Cover:
        """The cover of that name. Raises KeyError if there is none."""
        for cover in self.covers:
            if cover.cover == name:
                return cover
        raise KeyError(name)
