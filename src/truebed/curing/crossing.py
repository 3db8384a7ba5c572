"""Which vehicles may cross as a bed grows stronger: answered only while traffic management controls who crosses."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources

from truebed.chamber.plane import Ring
from truebed.curing.contact import Bed
from truebed.curing.tyre import Tyre, tyre_demand
from truebed.errors import NotDeterminedError


@dataclass(frozen=True, slots=True)
class Vehicle:
    """One row of data/vehicles.toml: its heaviest wheel at rest."""

    key: str
    name: str
    tyre: Tyre


@dataclass(frozen=True, slots=True)
class CrossingRule:
    """By how much a rolling wheel presses more than one at rest, and the reserve kept; both with their source."""

    dynamic_ratio: float
    reserve_ratio: float
    source: str


@dataclass(frozen=True, slots=True)
class Crossing:
    """The least strength a bed must have before one vehicle crosses; None where the frame would tip under it."""

    vehicle: Vehicle
    pressure_n_per_mm2: float | None
    strength_n_per_mm2: float | None


@cache
def vehicles() -> tuple[CrossingRule, tuple[Vehicle, ...]]:
    """The table of wheels and its rule (data/vehicles.toml).

    Source      data/vehicles.toml, a tag on each row
    Proved by   tests/curing/test_crossing.py
    """
    raw = tomllib.loads(resources.files("truebed").joinpath("data/vehicles.toml").read_text("utf-8"))
    rule = raw["crossing"]
    rows = tuple(
        Vehicle(
            row["key"],
            row["name"],
            Tyre(row["name"], row["wheel_kn"], row["along_mm"], row["across_mm"], _cite(row)),
        )
        for row in raw["vehicle"]
    )
    return CrossingRule(rule["dynamic_ratio"], rule["reserve_ratio"], _cite(rule)), rows


def _cite(row: dict[str, str]) -> str:
    return f"[{row['source']}] {row['clause']} ({row['read_as']})"


def crossings(bed: Bed, iron: Ring, iron_kg: float) -> tuple[Crossing, ...]:
    """The least bed strength for each vehicle of the table: its greatest pressure anywhere, rolling, with the reserve.

    Valid       as tyre_demand
    Source      data/vehicles.toml; pressure: algebra
    Raises      ValueError where a balance is not found
    Proved by   tests/curing/test_crossing.py
    """
    rule, rows = vehicles()
    found = []
    for vehicle in rows:
        still = vehicle.tyre
        rolling = Tyre(still.name, still.wheel_kn * rule.dynamic_ratio, still.along_mm, still.across_mm, still.source)
        peak = tyre_demand(bed, iron, rolling, iron_kg).peak_n_per_mm2
        found.append(Crossing(vehicle, peak, None if peak is None else peak * rule.reserve_ratio))
    return tuple(found)


def may_cross(
    found: Sequence[Crossing], strength_n_per_mm2: float, opening_n_per_mm2: float | None, *, controlled: bool
) -> tuple[Crossing, ...]:
    """The vehicles that may cross a bed of this strength: all at the opening strength, else those whose own is reached.

    strength_n_per_mm2  what is believed at least (the late side), not the middle
    opening_n_per_mm2   at which the road opens to all; None where it is not determined
    controlled  whether traffic management still decides who crosses
    Valid       vehicles of the table; an opened road is open to all, so there is no answer for it
    Source      house
    Raises      NotDeterminedError where nobody controls who crosses and the bed is below its opening strength
    Proved by   tests/curing/test_crossing.py
    """
    standing = tuple((one, one.strength_n_per_mm2) for one in found if one.strength_n_per_mm2 is not None)
    if opening_n_per_mm2 is not None and strength_n_per_mm2 >= opening_n_per_mm2:
        return tuple(one for one, _ in standing)
    if not controlled:
        raise NotDeterminedError(
            "An opened road is open to all: below the opening strength nobody may cross unless traffic management "
            "controls who does."
        )
    return tuple(one for one, wanted in standing if wanted <= strength_n_per_mm2)
