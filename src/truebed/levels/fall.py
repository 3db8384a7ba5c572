"""Which way a grating is to fall where a rule asks for a least fall."""

from __future__ import annotations

import math

import numpy as np

from truebed.chamber.plane import Point
from truebed.levels.road_terms import road_levels_mm
from truebed.levels.surface import RoadSurface

#: The road's own fall is taken over this distance each way from the frame's centre [mm].
OVER_MM = 300.0
#: A road that falls less than this has no direction of its own.
FLAT_RATIO = 1e-6


def fall_towards(road: RoadSurface, kerb_side: str) -> Point:
    """The direction of a least fall, a unit vector in plan: towards the kerb; without one the way the road falls.

    On a flat road without a kerb: to the right of the traffic.

    Valid       kerb_side 'none', 'left', 'right'; the kerb runs along the traffic
    Source      house
    Proved by   tests/levels/test_frame_setting.py
    """
    if kerb_side != "none":
        return (0.0, 1.0) if kerb_side == "left" else (0.0, -1.0)
    at = np.array([OVER_MM, -OVER_MM, 0.0, 0.0])
    front, back, left, right = (float(z) for z in road_levels_mm(road, at, np.roll(at, 2)))
    down = ((back - front) / (2.0 * OVER_MM), (right - left) / (2.0 * OVER_MM))
    size = math.hypot(*down)
    return (down[0] / size, down[1] / size) if size > FLAT_RATIO else (0.0, -1.0)
