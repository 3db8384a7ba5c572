"""Hand-arm vibration points of the night, against action and limit values."""

from __future__ import annotations

import math


def vibration_points(vibration_m_per_s2: float, trigger_min: float) -> float:
    """Exposure points of one tool for so many minutes: 2 a^2 T, T in hours; points of several tools add.

    Valid       trigger time, not task time; task time gives an upper bound
    Source      [hse-vibration] ready-reckoner (150 points at 5 m/s2 for 3 h, seen); formula from memory
    Proved by   tests/published/test_hse_vibration.py
    """
    return 2.0 * vibration_m_per_s2**2 * trigger_min / 60.0


def daily_exposure_m_per_s2(points: float) -> float:
    """A(8) that so many points stand for: 100 points are 2.5 m/s2.

    Valid       points >= 0
    Source      [hse-vibration] (100 points = 2.5 m/s2, 400 = 5, seen)
    Proved by   tests/published/test_hse_vibration.py
    """
    return 2.5 * math.sqrt(points / 100.0)
