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
    resin_kg     mass in one kit that the sheet counts the hardener's dose on; None where it does not say
    """

    solids_kg: float
    liquid_part: Literal["water", "own"]
    liquid_least_l: float
    liquid_most_l: float
    yield_l: float
    fresh_density_kg_per_l: float
    mix_min: float
    resin_kg: float | None = None


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
class BaseState:
    """Whether the sheet lets the material be laid on a base that is dry, damp or wet, and where it says so."""

    dry: bool
    damp: bool
    wet: bool
    place: str


@dataclass(frozen=True, slots=True)
class Heat:
    """Heat of the whole reaction in a litre of mix. written: as on the sheet, with its unit.

    most_c       hottest that a layer may get while it reacts; None where the sheet does not say
    """

    heat_kj_per_l: float
    written: str
    place: str
    most_c: float | None = None


@dataclass(frozen=True, slots=True)
class Thermal:
    """Conductivity and heat capacity of the mix; None where the sheet does not say."""

    conduct_w_per_m_k: float | None
    store_kj_per_l_k: float | None
    place: str


@dataclass(frozen=True, slots=True)
class Spread:
    """Spread of a flowable on a plate, least to most."""

    least_mm: float
    most_mm: float
    place: str


@dataclass(frozen=True, slots=True)
class Shrinkage:
    """Greatest shrinkage: millimetres in a metre of length."""

    shrinkage_mm_per_m: float
    place: str


@dataclass(frozen=True, slots=True)
class Movement:
    """How much movement a sealant follows: its class, '25' for a quarter of the width each way."""

    sealant_class: str
    place: str


@dataclass(frozen=True, slots=True)
class Shelf:
    """How many months the unopened kit keeps."""

    months_count: float
    place: str


@dataclass(frozen=True, slots=True)
class DoseAt:
    """Hardener at one temperature, in per cent of the resin's mass: least and most allowed."""

    temp_c: float
    least_pct: float
    most_pct: float
    place: str


@dataclass(frozen=True, slots=True)
class DosedTimeAt:
    """A resin's time at one temperature and one dose of hardener."""

    temp_c: float
    dose_pct: float
    after_min: float
    place: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """One material data sheet (sheets/<key>.toml).

    life         working life at temperatures; set_: initial set (resin: cured to walk) at temperatures
    strength     strength points, at least one cure point; a sealant or resin may give `ready` instead
    ready        time until traffic or the next layer at temperatures, where the sheet gives times, not strengths
    traffic_strength_n_per_mm2  the strength at which the sheet lets traffic on; None if it does not say
    *_place      where on the sheet the kit, the limits and the traffic strength stand
    binder       kind of binder in words, '' if the sheet does not say
    base_state, heat, thermal, spread, shrinkage, shelf, movement  None where the sheet does not say
    dose         hardener by temperature; gel, cure: a resin's times by temperature and dose
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
    binder: str = ""
    binder_place: str = ""
    base_state: BaseState | None = None
    heat: Heat | None = None
    thermal: Thermal | None = None
    spread: Spread | None = None
    shrinkage: Shrinkage | None = None
    shelf: Shelf | None = None
    dose: tuple[DoseAt, ...] = ()
    gel: tuple[DosedTimeAt, ...] = ()
    cure: tuple[DosedTimeAt, ...] = ()
    movement: Movement | None = None
