"""What a material's data sheet says. Values are the sheet's own; nothing here has a default that computes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

SheetKind = Literal["cement", "resin", "sealant"]


@dataclass(frozen=True, slots=True)
class TimeAt:
    """A duration that the sheet states at one temperature, and where on the sheet it stands."""

    temp_c: float
    after_min: float
    place: str


@dataclass(frozen=True, slots=True)
class StrengthAt:
    """A compressive strength at one temperature and age, and where on the sheet it stands."""

    temp_c: float
    age_min: float
    strength_n_per_mm2: float
    place: str


@dataclass(frozen=True, slots=True)
class Kit:
    """One kit: mass of solids, its own measured liquid, what it yields.

    liquid_part  'water' (measured out to the sheet's range) or 'own' (a two-part kit: all of it, always)
    liquid_least_l/most_l  the allowed range; equal for a two-part kit
    """

    solids_kg: float
    liquid_part: Literal["water", "own"]
    liquid_least_l: float
    liquid_most_l: float
    yield_l: float
    fresh_density_kg_per_l: float
    mix_min: float


@dataclass(frozen=True, slots=True)
class Limits:
    """Where the sheet lets the material be used: layer thickness and temperatures of base, air and mix."""

    thickness_least_mm: float
    thickness_most_mm: float
    temp_least_c: float
    temp_most_c: float
    least_width_mm: float = 0.0
    base: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One material data sheet (sheets/<key>.toml).

    life         working life at temperatures; set_: initial set (resin: cured to walk) at temperatures
    strength     strength points, at least one cure point; a sealant or resin may give `ready` instead
    ready        time until traffic or the next layer at temperatures, where the sheet gives times, not strengths
    traffic_strength_n_per_mm2  the strength at which the sheet lets traffic on; None if it does not say
    *_place      where on the sheet the kit, the limits and the traffic strength stand
    """

    key: str
    name: str
    kind: SheetKind
    edition: str
    kit: Kit
    limits: Limits
    life: tuple[TimeAt, ...]
    set_: tuple[TimeAt, ...]
    strength: tuple[StrengthAt, ...]
    ready: tuple[TimeAt, ...]
    traffic_strength_n_per_mm2: float | None
    hazards: tuple[str, ...]
    file: str = ""
    hold_back_l: float = 0.0
    kit_place: str = ""
    limits_place: str = ""
    traffic_place: str = ""
