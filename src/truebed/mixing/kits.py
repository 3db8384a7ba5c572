"""Quantities as values: litres by role, whole kits by pour, batches in mixing order."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RoleVolume:
    """What one role takes. plus_minus_l: 90 % half-width from level errors; thickness over the role's plan."""

    role: str
    sheet: str
    pour: str
    volume_l: float
    plus_minus_l: float
    least_mm: float
    most_mm: float


@dataclass(frozen=True, slots=True)
class Batch:
    """One mixer load: whole kits only."""

    number: int
    kits: int
    litres_l: float


@dataclass(frozen=True, slots=True)
class PourKits:
    """Whole kits of one pour. needed_l includes the allowance; spare_kits cover the upper end of the range.

    name, liquid: the material's name and its liquid rule in words, as its sheet says

    spare_kits is None where the rule set does not say how uncertain the chamber top is
    """

    pour: str
    sheet: str
    net_l: float
    needed_l: float
    plus_minus_l: float
    kits: int
    spare_kits: int | None
    left_over_l: float
    batches: tuple[Batch, ...]
    mix_min: float
    name: str = ""
    liquid: str = ""
