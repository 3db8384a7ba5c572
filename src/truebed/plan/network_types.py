"""Many covers as arrays: what a sweep over a network is given and what it answers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.cut_arrays import ManyShapes
from truebed.levels.road_rules import RoadRules

Array = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

ROLES = ("bed", "under_flange_fill", "surround_fill", "running_surface", "edge_seal")

#: Why a cover has no answer, or not all of it: `why` of ManyGrounds counts them from 0.
REASONS = (
    "",
    "the road readings do not surround the frame",
    "no model holds the road round the rim",
    "the road readings fit none of the batch's three surfaces",
    "the flange has no seat on the chamber's wall all round",
    "the flange crosses the kerb, or a round cut has no room before it",
    "the bed's limits hold the frame out of tolerance",
    "no level or tilt of the frame keeps the bed within its limits",
    "not taken by the batch: turned against the traffic beside a kerb, or the cut turned against the frame",
    "not taken by the batch: flange and chamber wall of different shapes that cut each other",
    "litres not worked out by the batch: layers cross, or the joint reaches under the body",
)
NO_SEAT, NO_CUT, BED_HOLDS, NO_PLACE, TURNED, MIXED, CROSSING = range(4, 11)
#: Reasons that are the batch's own: the one-cover path may well have an answer.
NOT_TAKEN = (3, TURNED, MIXED)


def some_of(shapes: ManyShapes, rows: Whole) -> ManyShapes:
    """Some of many shapes.

    Valid       rows that are there
    Source      house (assembly)
    Proved by   tests/plan/test_network.py
    """
    return ManyShapes(shapes.along[rows], shapes.across[rows], shapes.is_round[rows])


@dataclass(frozen=True, slots=True)
class ManyCovers:
    """Covers of one method, one rule set and one number of readings: one row a cover, local axes, mm and degrees.

    opening, body, flange, chamber   outlines about the frame's centre, rectangles or rounds (sizes: the diameter)
    kerb_toward   +1 kerb on the left, -1 on the right, 0 none; kerb: its distance, any number where there is none
    margins       (n, 4): sound margins front, left, back, right
    cut_round, cut_with_frame   a round cut; a square one turned with the frame (else square to the traffic)
    x, y, level   (n, m): road readings, each erring on its own
    """

    opening: ManyShapes
    body: ManyShapes
    flange: ManyShapes
    chamber: ManyShapes
    wall: Array
    frame_depth: Array
    flange_thick: Array
    chamber_depth: Array
    turn_deg: Array
    bound: Array
    kerb_toward: Array
    kerb: Array
    margins: Array
    cut_round: Flags
    cut_with_frame: Flags
    x: Array
    y: Array
    level: Array

    def __len__(self) -> int:
        return len(self.level)

    def some(self, rows: Whole) -> ManyCovers:
        """Some of the covers."""
        parts: dict[str, Any] = {}
        for field in fields(self):
            value = getattr(self, field.name)
            parts[field.name] = some_of(value, rows) if isinstance(value, ManyShapes) else value[rows]
        return ManyCovers(**parts)


@dataclass(frozen=True, slots=True)
class NetworkLimits:
    """What rule set and method say of the covers of one sweep.

    floor_below_mm ... joint_depth_mm   the method's layers; blade_mm None: no saw, no run-on
    fall_least_ratio   least fall of gratings; None: no rule asks one
    chamber_sd_mm      error of the chamber top's estimate; nought where the rule set says nothing
    """

    reading_sd_mm: float
    false_alarm_share: float
    road: RoadRules
    band_low_mm: float
    band_high_mm: float
    setting_sd_mm: float
    bed_least_mm: float
    bed_most_mm: float
    surface_depth_mm: float
    over_flange_mm: float
    floor_below_mm: float
    joint_width_mm: float
    joint_depth_mm: float
    least_width_mm: float
    strip_least_mm: float = 0.0
    blade_mm: float | None = None
    seat_least_mm: float = 0.0
    chamber_sd_mm: float = 0.0
    fall_least_ratio: float | None = None


@dataclass(frozen=True, slots=True)
class ManyGrounds:
    """The ground of many covers, one row a cover; nan where `why` (index into REASONS) leaves no figure.

    model, removed, off   road: index into NETWORK_MODELS (-1 none), gross reading (-1 none) and how far off it is
    road, plane     level at the centre and slopes of the road and of the rim; the road's twist and saddle are columns
                    3 and 4 of road
    corners         rim level at the set points: front-left, front-right, back-right, back-left; of a round frame front,
                    right, back, left
    greatest, free  greatest departure from the target, bed limits held; without them
    out             by how much the frame is beyond the tolerance, the bed held
    relax, raise_least, raise_most   the tolerance held: how far the bed must go beyond its limits each way; by how much
                    an even raising of the chamber top (negative: lowering) mends it
    probability     that the whole rim lies in its band, on the road's chosen model (lattice of 251 points)
    front ... right how far out the cut reaches in its own axes; saw_m sawn length
    litres          (n, 5): ROLES; bound_l, unbound_l, waste_band_l waste in place and half its 90 % range
    """

    why: Whole
    model: Whole
    removed: Whole
    off: Array
    road: Array
    plane: Array
    corners: Array
    greatest: Array
    free: Array
    bed_least: Array
    bed_most: Array
    out: Array
    relax: Array
    raise_least: Array
    raise_most: Array
    probability: Array
    front: Array
    left: Array
    back: Array
    right: Array
    area_mm2: Array
    saw_m: Array
    sawn: Array
    litres: Array
    bound_l: Array
    unbound_l: Array
    waste_band_l: Array


#: Columns of the figures of ManyGrounds that have more than one, and those that are whole numbers.
WIDE = {"road": 5, "plane": 3, "corners": 4, "litres": len(ROLES)}
COUNTED = {"why": 0, "model": -1, "removed": -1}


def blank(count: int) -> ManyGrounds:
    """Answers without figures.

    Valid       count >= 0
    Source      house (assembly)
    Proved by   tests/plan/test_network.py
    """
    parts: dict[str, object] = {}
    for field in fields(ManyGrounds):
        if field.name in COUNTED:
            parts[field.name] = np.full(count, COUNTED[field.name], np.int64)
        else:
            wide = WIDE.get(field.name)
            parts[field.name] = np.full(count if wide is None else (count, wide), np.nan)
    return ManyGrounds(**parts)  # type: ignore[arg-type]


def joined(parts: Sequence[ManyGrounds]) -> ManyGrounds:
    """The answers of several slices as one.

    Valid       one slice or more
    Source      house (assembly)
    Proved by   tests/plan/test_network.py
    """
    names = [field.name for field in fields(ManyGrounds)]
    return ManyGrounds(**{name: np.concatenate([getattr(p, name) for p in parts]) for name in names})
