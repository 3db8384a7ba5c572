"""Spare kits for a night: whole kits of several covers, each with its own error, added up as chances."""

from __future__ import annotations

import math
from dataclasses import dataclass

from truebed.mixing.batches import whole_kits
from truebed.mixing.takeoff import NINETY_PERCENT_SD_RATIO

#: Chance with which the kits and the spare together are enough: the upper end of a 90 % range.
ENOUGH_PROBABILITY = 0.95


@dataclass(frozen=True, slots=True)
class KitNeed:
    """What one cover needs of one sheet: litres with allowance, their 90 % half-width, the yield of a kit."""

    needed_l: float
    plus_minus_l: float
    yield_l: float


def normal_share_below(value_sd: float) -> float:
    """The standard normal law's share below a value.

    Valid       any value
    Source      algebra
    Proved by   tests/mixing/test_spare.py
    """
    return 0.5 * math.erfc(-value_sd / math.sqrt(2.0))


def chances(need: KitNeed) -> dict[int, float]:
    """How likely each number of whole kits is to be what the cover takes.

    Valid       Gaussian litres, none below nought
    Source      algebra
    Proved by   tests/mixing/test_spare.py
    """
    if need.plus_minus_l <= 0.0:
        return {whole_kits(need.needed_l, need.yield_l): 1.0}
    sd = need.plus_minus_l / NINETY_PERCENT_SD_RATIO
    most = whole_kits(need.needed_l + 5.0 * sd, need.yield_l)
    least = whole_kits(max(0.0, need.needed_l - 5.0 * sd), need.yield_l)
    below = {k: normal_share_below((k * need.yield_l - need.needed_l) / sd) for k in range(least, most)}
    found, before = {}, 0.0
    for kits in range(least, most + 1):
        up_to = below.get(kits, 1.0)
        found[kits] = up_to - before
        before = up_to
    return found


def spare_for(needs: tuple[KitNeed, ...]) -> int:
    """Fewest spare kits with which a night's kits are enough with ENOUGH_PROBABILITY; a kit is never split.

    Each cover takes whole kits; their numbers are added as independent chances.

    Valid       errors of different covers independent
    Source      algebra (convolution of whole-kit counts); common practice, no source: a kit is never split
    Proved by   tests/mixing/test_spare.py
    """
    total: dict[int, float] = {0: 1.0}
    for need in needs:
        fresh: dict[int, float] = {}
        for have, chance in total.items():
            for kits, share in chances(need).items():
                fresh[have + kits] = fresh.get(have + kits, 0.0) + chance * share
        total = fresh
    planned = sum(whole_kits(need.needed_l, need.yield_l) for need in needs)
    gathered = 0.0
    for kits in sorted(total):
        gathered += total[kits]
        if gathered >= ENOUGH_PROBABILITY - 1e-12:
            return max(0, kits - planned)
    return max(0, max(total) - planned)
