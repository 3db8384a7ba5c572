"""What is asked of a campaign over weeks, and what it answers: covers, streets, nights, closures, crew-nights.

Dates only; the minutes inside a night are counted from the road's shutting. No clock is read.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from truebed.programme.problem import Job, Placed

Kind = Literal["lane", "stop-go", "full"]
Span = tuple[date, date]

#: Lightest for the public first (common practice, no source).
KINDS: tuple[Kind, ...] = ("lane", "stop-go", "full")
BOTH = "both"


@dataclass(frozen=True, slots=True)
class Shift:
    """One kind of closure: how long before it must be asked for, and its hours.

    lead_days   calendar days from the asking to the first night
    shut_at_min, noise_ends_min, open_by_min    of the clock, in minutes after the midnight before the night begins
                (06:00 of the next morning is 1800)
    """

    kind: Kind
    lead_days: int
    shut_at_min: int
    noise_ends_min: int
    open_by_min: int
    tm_set_min: int
    tm_clear_min: int


@dataclass(frozen=True, slots=True)
class Work:
    """A kind of reinstatement as it is planned weeks ahead: steps and lags of one cover, whole kits. One crew does one
    step at a time; walking within a street is inside the steps' minutes."""

    work: str
    job: Job
    kits: int


@dataclass(frozen=True, slots=True)
class Street:
    """diversion: streets of the same one may be shut in one full closure ('' alone); kinds: closures it may have."""

    street: str
    diversion: str
    kinds: tuple[Kind, ...]
    embargoes: tuple[Span, ...] = ()


@dataclass(frozen=True, slots=True)
class CampaignCover:
    """lane: a name, or 'both' where only a full closure reaches it; harm: weight of one day's lateness."""

    cover: str
    street: str
    lane: str
    work: str
    x_m: float
    y_m: float
    harm: int
    due: date
    hard: bool = False


@dataclass(frozen=True, slots=True)
class Campaign:
    """All that is given.

    asked_on    the day closures are asked for; lead times run from it
    first, last first and last date whose evening may begin a night; weekdays: 0 Monday ... 6 Sunday
    deliveries  (date, kits that are there for that night and after)
    most_crews  in one closure; a crew-night needs a crew and a van
    van_m_per_min, load_min   a move between two streets of one closure: loading and the way
    closure_weight  how many harm-days one closure weighs (stated, reported apart)
    """

    name: str
    zone: str
    asked_on: date
    first: date
    last: date
    weekdays: tuple[int, ...]
    holidays: tuple[date, ...]
    embargoes: tuple[Span, ...]
    shifts: tuple[Shift, ...]
    works: tuple[Work, ...]
    streets: tuple[Street, ...]
    covers: tuple[CampaignCover, ...]
    deliveries: tuple[tuple[date, int], ...]
    crews: int
    vans: int
    most_crews: int
    depot_x_m: float
    depot_y_m: float
    van_m_per_min: float
    load_min: int
    closure_weight: int


@dataclass(frozen=True, slots=True)
class CrewNight:
    """One crew in one closure: its covers and its steps in minutes after the road shuts."""

    covers: tuple[str, ...]
    placed: tuple[Placed, ...]


@dataclass(frozen=True, slots=True)
class ClosureNight:
    """One shutting of the road: lane '' where it is full."""

    night: date
    kind: Kind
    streets: tuple[str, ...]
    lane: str
    crews: tuple[CrewNight, ...]


@dataclass(frozen=True, slots=True)
class CampaignBounds:
    """What no plan can go below. lateness: harm x days late; each valid for the joining that was allowed."""

    crew_nights: int
    closures: int
    lateness: int


@dataclass(frozen=True, slots=True)
class CampaignPlan:
    """The closures by date; left_out: covers that no night took.

    bounds      None where they were not asked for
    oracle_calls, unproven  questions put to the one-crew solver; how many of them it left open
    """

    closures: tuple[ClosureNight, ...]
    left_out: tuple[str, ...]
    bounds: CampaignBounds | None = None
    oracle_calls: int = 0
    unproven: int = 0


@dataclass(frozen=True, slots=True)
class CampaignTotals:
    """The objective level by level: hard covers late, harm x days, closures, metres of vans; and crew-nights."""

    hard_late: int
    lateness: int
    closures: int
    van_m: float
    crew_nights: int
    covers_late: int
    last_night: date | None
