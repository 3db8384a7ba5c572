"""What the crew looks at beside the frame: staff readings of the levels to set, and the kerb's stand above the rim."""

from __future__ import annotations

import math
from dataclasses import dataclass

from truebed.chamber.plane import Point
from truebed.levels.booking import Spot
from truebed.levels.road_terms import road_level_mm
from truebed.levels.setting import FrameSetting, RimPoint
from truebed.levels.surface import RoadSurface


@dataclass(frozen=True, slots=True)
class StaffTarget:
    """The staff reading to look for on a set point: height of collimation less its level."""

    name: str
    level_mm: float
    staff_mm: float


@dataclass(frozen=True, slots=True)
class KerbUpstand:
    """The kerb's top at a reading: above the nearest point of the set rim, and above the road as fitted there.

    rim_name, away_mm   which rim point that is, and how far from the reading
    """

    point: str
    row: int
    kerb_mm: float
    over_rim_mm: float
    over_road_mm: float
    rim_name: str
    away_mm: float


def place_words(x_mm: float, y_mm: float) -> str:
    """Where a point lies, as the crew sees it looking along the traffic from the frame's centre.

    Valid       local axes
    Source      house (wording)
    Proved by   tests/levels/test_beside.py
    """
    ahead, left = round(x_mm), round(y_mm)
    bits = [f"{abs(ahead)} mm {'ahead' if ahead > 0 else 'back'}"] if ahead else []
    bits += [f"{abs(left)} mm to the {'left' if left > 0 else 'right'}"] if left else []
    return f"{' and '.join(bits)} of the frame's centre" if bits else "at the frame's centre"


def staff_targets(
    setting: FrameSetting, bench_mark_staff_mm: float, bench_mark_mm: float = 0.0
) -> tuple[StaffTarget, ...]:
    """What to read on the staff at each set point from one stand of the level.

    bench_mark_staff_mm  the reading on the bench mark from that stand; bench_mark_mm: the mark's own level

    Valid       one stand; levels above the cover's zero
    Source      common practice, no source (height of collimation)
    Proved by   tests/levels/test_beside.py
    """
    collimation = bench_mark_mm + bench_mark_staff_mm
    return tuple(StaffTarget(c.name, c.rim_mm, collimation - c.rim_mm) for c in setting.corners)


def _nearest(setting: FrameSetting, at: Point) -> RimPoint:
    return min(setting.rim_points, key=lambda p: (math.dist((p.x_mm, p.y_mm), at), p.name))


def kerb_upstands(spots: tuple[Spot, ...], setting: FrameSetting, road: RoadSurface) -> tuple[KerbUpstand, ...]:
    """How far the kerb stands above the set rim beside each kerb reading, and above the road.

    Valid       readings with where = 'kerb' on the kerb's top; the road is extrapolated where they lie beyond its reach
    Source      algebra
    Proved by   tests/levels/test_beside.py
    """
    found = []
    for spot in spots:
        if spot.where != "kerb":
            continue
        at = (spot.x_mm, spot.y_mm)
        near = _nearest(setting, at)
        found.append(
            KerbUpstand(
                spot.point,
                spot.row,
                spot.level_mm,
                spot.level_mm - near.rim_mm,
                spot.level_mm - road_level_mm(road, spot.x_mm, spot.y_mm),
                near.name,
                math.dist((near.x_mm, near.y_mm), at),
            )
        )
    return tuple(found)
