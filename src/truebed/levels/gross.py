"""What slip would give a gross reading."""

from __future__ import annotations

import numpy as np

from truebed.levels.booking import Spot


def likely_cause(spot: Spot, off_mm: float, sd_mm: float, swapped_with: str = "", kerbs: tuple[Spot, ...] = ()) -> str:
    """What slip would give a reading that is off by so much.

    swapped_with  point that it changed places with, '' for none; kerbs: levels read on the kerb
    Valid       a hint for the surveyor, not a verdict
    Source      common practice, no source
    Proved by   tests/levels/test_gross.py
    """
    if swapped_with:
        return f"booked in place of {swapped_with} (points swapped)"
    room = 4.0 * sd_mm
    size = np.abs(off_mm)
    if np.abs(size - 100.0) <= room:
        return "a decimetre misread on the staff (100 mm)"
    if np.abs(size - 1000.0) <= room:
        return "a metre misread on the staff (1000 mm)"
    if np.abs(spot.level_mm) > room and np.abs(2.0 * spot.level_mm - off_mm) <= room:
        return "the sign was left out or turned round"
    if on_the_kerb(spot, off_mm, sd_mm, kerbs):
        return "read on the kerb's top, not in the channel"
    if np.abs(size - 10.0) <= 1.5 * sd_mm:
        return "a centimetre misread (10 mm)"
    return "misread, or taken at another place"


def on_the_kerb(spot: Spot, off_mm: float, sd_mm: float, kerbs: tuple[Spot, ...]) -> bool:
    """Whether a reading that stands too high has the level of the nearest point read on the kerb.

    Valid       a kerb that stands well above the road (else nothing can be told)
    Source      common practice, no source
    Proved by   tests/levels/test_gross.py
    """
    if not kerbs or off_mm < 8.0 * sd_mm:
        return False
    nearest = min(kerbs, key=lambda k: (float(np.hypot(k.x_mm - spot.x_mm, k.y_mm - spot.y_mm)), k.row))
    return bool(np.abs(nearest.level_mm - spot.level_mm) <= 4.0 * sd_mm)
