"""Whole kits for each pour, and the mixer loads they go in."""

from __future__ import annotations

import math

from truebed.errors import NotDesignedError
from truebed.mixing.kits import Batch, PourKits, RoleVolume
from truebed.sheets.sheet import Sheet

#: A shortfall below this is rounding, not material.
NOTHING_L = 1e-9


def whole_kits(litres_l: float, yield_l: float) -> int:
    """Fewest whole kits that give so many litres.

    Valid       yield > 0
    Source      common practice, no source: a kit is never split
    Proved by   tests/mixing/test_batches.py
    """
    return max(0, math.ceil((litres_l - NOTHING_L) / yield_l))


def batches(kits: int, yield_l: float, mixer_l: float | None) -> tuple[Batch, ...]:
    """Mixer loads of whole kits, evened out; None: not mixed in a mixer, one load.

    Valid       a mixer that takes at least one kit
    Source      algebra (fewest loads, sizes differ by at most one kit)
    Raises      NotDesignedError where the mixer is smaller than one kit
    Proved by   tests/mixing/test_batches.py
    """
    if kits == 0:
        return ()
    if mixer_l is None:
        return (Batch(1, kits, kits * yield_l),)
    at_once = math.floor(mixer_l / yield_l + NOTHING_L)
    if at_once < 1:
        raise NotDesignedError(
            f"One kit makes {yield_l:g} l and the smallest mixer takes {mixer_l:g} l; a kit is never split.",
            "Leave the small mixer out of tools.csv, bring a larger one (capacity_l), or choose another material.",
        )
    loads = math.ceil(kits / at_once)
    sizes = [kits // loads + (1 if i < kits % loads else 0) for i in range(loads)]
    return tuple(Batch(i + 1, size, size * yield_l) for i, size in enumerate(sizes))


def liquid_words(sheet: Sheet) -> str:
    """The liquid rule of one kit in the crew's words, from its sheet.

    Valid       any sheet
    Source      the sheet; common practice, no source: nothing is ever added beyond the kit
    Proved by   tests/mixing/test_batches.py
    """
    kit = sheet.kit
    if kit.liquid_most_l <= 0.0:
        return "ready to use; add nothing"
    if kit.liquid_part == "own":
        return f"all of its own liquid, {kit.liquid_most_l:g} l a kit; no water"
    held = f"; hold {sheet.hold_back_l:g} l back until the mix is judged" if sheet.hold_back_l > 0.0 else ""
    return f"water {kit.liquid_least_l:g} to {kit.liquid_most_l:g} l a kit, measured{held}; never more"


def pour_kits(
    pour: str,
    sheet: Sheet,
    volumes: tuple[RoleVolume, ...],
    allowance_share: float,
    mixer_l: float | None,
    *,
    spare: bool,
) -> PourKits:
    """Whole kits of one pour: net litres plus the method's allowance, spare kits to the upper end of the range.

    spare       False where the chamber top's error is unknown: spare kits are then not determined

    Valid       roles of one pour share one sheet
    Source      common practice, no source (allowance); algebra
    Raises      NotDesignedError where the mixer is smaller than one kit
    Proved by   tests/mixing/test_batches.py
    """
    mine = tuple(v for v in volumes if v.pour == pour)
    net = sum(v.volume_l for v in mine)
    band = sum(v.plus_minus_l for v in mine)
    needed = net * (1.0 + allowance_share)
    kits = whole_kits(needed, sheet.kit.yield_l)
    with_spare = whole_kits(needed + band, sheet.kit.yield_l)
    return PourKits(
        pour=pour,
        sheet=sheet.key,
        net_l=net,
        needed_l=needed,
        plus_minus_l=band,
        kits=kits,
        spare_kits=with_spare - kits if spare else None,
        left_over_l=kits * sheet.kit.yield_l - needed,
        batches=batches(kits, sheet.kit.yield_l, mixer_l),
        mix_min=sheet.kit.mix_min,
        name=sheet.name,
        liquid=liquid_words(sheet),
    )
