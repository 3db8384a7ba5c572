"""Take-off: which material fills which solid, and how far the litres may be off."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.sensitivity import shared_sd_l
from truebed.chamber.solids import Solid
from truebed.mixing.kits import RoleVolume
from truebed.sheets.method import ROLES, Method, Role, RoleName

Array = NDArray[np.float64]

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
class LitreErrors:
    """How litres follow from levels, and how wrong the levels are.

    rates        of each solid, litres for each of truebed.chamber.sensitivity.PARAMETERS
    covariance   of those parameters; an unknown error of the chamber top counts as none
    """

    rates: dict[str, Array]
    covariance: Array


def player(method: Method, role: RoleName) -> Role:
    """The role of the method that fills this solid: its own, or the one that stands in for it.

    Valid       a method with a bed (its loader sees to that)
    Source      house: a method may merge or omit roles
    Proved by   tests/mixing/test_takeoff.py
    """
    found = method.role(role)
    return found if found is not None else player(method, STANDS_IN[role])


def role_volumes(method: Method, solids: dict[str, Solid], errors: LitreErrors) -> tuple[RoleVolume, ...]:
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
        spread = shared_sd_l(errors.rates, errors.covariance, tuple(name for name, _ in parts))
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
