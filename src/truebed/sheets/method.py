"""A method: which material plays which role, and the step chain with its clocks. All of it is data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

RoleName = Literal["bed", "under_flange_fill", "surround_fill", "running_surface", "edge_seal"]
ROLES: tuple[RoleName, ...] = ("bed", "under_flange_fill", "surround_fill", "running_surface", "edge_seal")
Edge = Literal["start", "end"]
ClockKind = Literal["life", "set", "ready", "strength"]


@dataclass(frozen=True, slots=True)
class Role:
    """One role and the sheet that plays it. Roles with the same `pour` go in together as one material.

    bears   the role carries wheel load and counts in the bearing area
    """

    role: RoleName
    sheet: str
    pour: str
    bears: bool


@dataclass(frozen=True, slots=True)
class Layers:
    """The method's own depths [mm] and allowances. surface 0: the fill runs to the road's surface.

    over_flange_mm   fill carried above the flange; floor_below_mm: dig below the chamber top outside the wall
    joint_*          movement joint's width and depth; allowance: share added for residue and over-dig
    """

    surface_depth_mm: float
    over_flange_mm: float
    floor_below_mm: float
    joint_width_mm: float
    joint_depth_mm: float
    allowance_share: float


@dataclass(frozen=True, slots=True)
class Duration:
    """minutes = base + sum over (driver, minutes per unit); rounded up to whole minutes by the programme.

    drivers: saw_m (cut length), dig_l (broken-out volume), frame_kg, joint_m, bed_kits, fill_kits, surface_kits,
    bed_batches, fill_batches, surface_batches, count (once a cover)
    """

    base_min: float
    per: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the chain. tools: kinds it needs one of; places: pour whose material it places or mixes.

    hold    the hold point the step ends with, '' for none; cautions: keys into data/cautions.toml
    """

    key: str
    name: str
    people: int
    duration: Duration
    tools: tuple[str, ...] = ()
    noisy: bool = False
    pour: str = ""
    hold: str = ""
    cautions: tuple[str, ...] = ()
    skill: str = ""


@dataclass(frozen=True, slots=True)
class Clock:
    """A time taken from a sheet at the night's temperature.

    pour  whose sheet; kind 'life' | 'set' (greatest lags take the hottest reading, least lags the coldest) |
    'ready' | 'strength' (to strength_n_per_mm2, or to the opening strength where that is None)
    """

    pour: str
    kind: ClockKind
    strength_n_per_mm2: float | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """Between two step edges: at least and/or at most so many minutes, fixed or by a sheet's clock.

    The step 'open' stands for the road's opening; only least lags may lead to it.
    """

    from_step: str
    from_edge: Edge
    to_step: str
    to_edge: Edge
    why: str
    least_min: float | None = None
    least_clock: Clock | None = None
    greatest_min: float | None = None
    greatest_clock: Clock | None = None


@dataclass(frozen=True, slots=True)
class Method:
    """One method (methods/<key>.toml)."""

    key: str
    name: str
    roles: tuple[Role, ...]
    layers: Layers
    steps: tuple[Step, ...]
    links: tuple[Link, ...]
    file: str = ""

    def role(self, name: RoleName) -> Role | None:
        """The role of that name, or None where the method omits it."""
        for role in self.roles:
            if role.role == name:
                return role
        return None

    def pours(self) -> tuple[str, ...]:
        """The pours in the order of their first role."""
        return tuple(dict.fromkeys(role.pour for role in self.roles))
