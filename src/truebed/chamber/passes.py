"""How deep the saw goes, in how many passes, and what it leaves to break."""

from __future__ import annotations

import math

from truebed.chamber.cut_parts import SawDepth


def saw_depth(
    bound_mm: float,
    dig_mm: float,
    blade_mm: float | None,
    reach_mm: float | None,
    pass_depth_mm: float | None,
    saw_length_m: float,
) -> SawDepth:
    """The depth profile of a saw cut: bound layers through, no deeper than the dig, as far as the blade reaches.

    reach_mm       greatest depth the saw reaches, of its own sheet; None: half the blade
    pass_depth_mm  depth taken in one pass; None: passes not counted
    Valid          bound layers and dig not negative
    Source         common practice, no source (full-depth edge through the bound layers); algebra
    Proved by      tests/chamber/test_cut_passes.py
    """
    wanted = min(bound_mm, max(dig_mm, 0.0))
    limit = 0.0 if blade_mm is None else blade_mm / 2.0 if reach_mm is None else min(reach_mm, blade_mm / 2.0)
    sawn = min(wanted, limit)
    count = None if pass_depth_mm is None else math.ceil(sawn / pass_depth_mm - 1e-9)
    return SawDepth(
        bound_mm=bound_mm,
        wanted_mm=wanted,
        sawn_mm=sawn,
        left_mm=wanted - sawn,
        below_mm=max(0.0, dig_mm - bound_mm),
        pass_count=count,
        passes_m=None if count is None else count * saw_length_m,
    )
