"""Take-off: which material fills which solid, and how far the litres may be off."""

from __future__ import annotations

import math
from dataclasses import dataclass

from truebed.chamber.solids import MM3_PER_LITRE, Solid
from truebed.mixing.kits import RoleVolume
from truebed.sheets.method import ROLES, Method, Role, RoleName

#: The normal law's 95 % point: half-width of a 90 % interval in standard deviations.
NINETY_PERCENT_SD_RATIO = 1.6448536269514722

#: What takes a role's place where a method omits it: its solid is filled together with this one.
STANDS_IN: dict[RoleName, RoleName] = {
    "running_surface": "surround_fill",
    "surround_fill": "under_flange_fill",
    "under_flange_fill": "bed",
    "edge_seal": "running_surface",
}


@dataclass(frozen=True, slots=True)
class LevelErrors:
    """Standard deviations of level [mm]: rim (fit and setting), chamber top (None where unknown), road."""

    rim_sd_mm: float
    chamber_top_sd_mm: float | None
    road_sd_mm: float


def player(method: Method, role: RoleName) -> Role:
    """The role of the method that fills this solid: its own, or the one that stands in for it.

    Valid       a method with a bed (its loader sees to that)
    Source      house: a method may merge or omit roles
    Proved by   tests/mixing/test_takeoff.py
    """
    found = method.role(role)
    return found if found is not None else player(method, STANDS_IN[role])


def thickness_sd_mm(role: RoleName, errors: LevelErrors) -> float:
    """Error of a role's mean thickness, one standard deviation; an unknown chamber top counts as nothing.

    bed, under_flange_fill: between rim and chamber top (the floor is dug from the chamber top); surround: between
    road and rim; surface and seal: struck to depth, only the road's own error

    Valid       independent errors
    Source      algebra
    Proved by   tests/mixing/test_takeoff.py
    """
    top = errors.chamber_top_sd_mm if errors.chamber_top_sd_mm is not None else 0.0
    if role in ("bed", "under_flange_fill"):
        return math.hypot(errors.rim_sd_mm, top)
    if role == "surround_fill":
        return math.hypot(errors.rim_sd_mm, errors.road_sd_mm)
    return errors.road_sd_mm


def role_volumes(method: Method, solids: dict[str, Solid], errors: LevelErrors) -> tuple[RoleVolume, ...]:
    """Litres of each role, with the 90 % half-width from level errors; solids of omitted roles go to their stand-in.

    Valid       solids of the same method's depths
    Source      algebra
    Proved by   tests/mixing/test_takeoff.py
    """
    filled: dict[RoleName, list[tuple[RoleName, Solid]]] = {}
    for name in ROLES:
        if solids[name].area_mm2 > 0.0:
            filled.setdefault(player(method, name).role, []).append((name, solids[name]))
    volumes = []
    for role in method.roles:
        parts = filled.get(role.role, [])
        if not parts:
            continue
        spread = sum(thickness_sd_mm(n, errors) * s.area_mm2 / MM3_PER_LITRE for n, s in parts)
        volumes.append(
            RoleVolume(
                role=role.role,
                sheet=role.sheet,
                pour=role.pour,
                volume_l=sum(s.volume_l for _, s in parts),
                plus_minus_l=NINETY_PERCENT_SD_RATIO * spread,
                least_mm=min(s.least_mm for _, s in parts),
                most_mm=sum(s.most_mm for _, s in parts) if role.role != "bed" else max(s.most_mm for _, s in parts),
            )
        )
    return tuple(volumes)
