"""Litres of many covers in closed form: cuts off the frame's middle, twisted roads, layers that do not cross."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.cut_arrays import ManyCuts, ManyShapes, common_mm2, over_wall_mm2
from truebed.plan.network_types import NetworkLimits

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
MM3_PER_LITRE = 1.0e6
#: A side of a cut so near to the kerb lies along it and gets no joint [mm].
ON_KERB_MM = 1.0e-6


def area_of(shapes: ManyShapes) -> Array:
    """Areas of many shapes [mm2].

    Valid       sizes > 0
    Source      algebra
    Proved by   tests/plan/test_network.py
    """
    areas: Array = np.where(shapes.is_round, np.pi / 4.0, 1.0) * shapes.along * shapes.across
    return areas


@dataclass(frozen=True, slots=True)
class ManySections:
    """Outlines, cuts and heights of many covers in the frames' own axes.

    foot        where the flange stands on the wall; hollow_mm2: opening and chamber together
    rim, road   columns level, slopes along the own axes; road has twist and saddle too
    top         level of the chamber's top
    """

    cuts: ManyCuts
    body: ManyShapes
    flange: ManyShapes
    wall: ManyShapes
    foot: ManyShapes
    opening: ManyShapes
    chamber: ManyShapes
    kerb_toward: Array
    kerb: Array
    rim: Array
    road: Array
    top: Array
    frame_depth: Array
    flange_thick: Array


def own_axes(levels: Array, turn_deg: Array) -> Array:
    """Planes or second-degree roads (1, x, y, xy, x^2 - y^2) in axes turned with the frame.

    Valid       three or five columns
    Source      algebra
    Proved by   tests/plan/test_network.py
    """
    cos, sin = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    own = levels.copy()
    own[:, 1] = cos * levels[:, 1] + sin * levels[:, 2]
    own[:, 2] = cos * levels[:, 2] - sin * levels[:, 1]
    if levels.shape[1] > 3:
        twist, saddle, twice = levels[:, 3], levels[:, 4], cos * cos - sin * sin
        own[:, 3] = twist * twice - 4.0 * saddle * cos * sin
        own[:, 4] = twist * cos * sin + saddle * twice
    return own


def joint_plan_mm2(cuts: ManyCuts, kerb_toward: Array, kerb: Array, width_mm: float) -> Array:
    """Plan of the joint's strip along the sawn sides [mm2]; none along a kerb.

    Valid       joint narrower than half the cut
    Source      algebra
    Proved by   tests/plan/test_network.py
    """
    along, across = cuts.front + cuts.back, cuts.left + cuts.right
    facing = np.where(kerb_toward > 0.0, cuts.left, cuts.right)
    on_kerb = (kerb_toward != 0.0) & (np.abs(facing - kerb) < ON_KERB_MM)
    straight = along * across - (along - 2.0 * width_mm) * (across - np.where(on_kerb, 1.0, 2.0) * width_mm)
    round_strip = np.pi * (cuts.front**2 - (cuts.front - width_mm) ** 2)
    strip: Array = np.where(cuts.is_round, round_strip, straight)
    return strip


@dataclass(frozen=True, slots=True)
class _Cut:
    """The cut's middle off the frame's, and its second moments over area."""

    area: Array
    x: Array
    y: Array
    squares: Array
    product: Array


def _moments(cuts: ManyCuts) -> _Cut:
    along, across = cuts.front + cuts.back, cuts.left + cuts.right
    x, y = 0.5 * (cuts.front - cuts.back), 0.5 * (cuts.left - cuts.right)
    squares = np.where(cuts.is_round, 0.0, x * x + along**2 / 12.0 - y * y - across**2 / 12.0)
    return _Cut(cuts.area_mm2, x, y, squares, x * y)


def _least(level: Array, surface: Array, cuts: ManyCuts) -> Array:
    """No more than the least height over the cut: of a level less all that slopes, twist and saddle may take."""
    u, v = np.maximum(cuts.front, cuts.back), np.maximum(cuts.left, cuts.right)
    least: Array = level - np.abs(surface[:, 1]) * u - np.abs(surface[:, 2]) * v
    if surface.shape[1] > 3:
        least = least - np.abs(surface[:, 3]) * u * v - np.abs(surface[:, 4]) * np.maximum(u * u, v * v)
    return least


def _over_cut(level: Array, surface: Array, cut: _Cut) -> Array:
    total = cut.area * (level + surface[:, 1] * cut.x + surface[:, 2] * cut.y)
    if surface.shape[1] > 3:
        total = total + cut.area * (surface[:, 3] * cut.product + surface[:, 4] * cut.squares)
    return total


def litres_of_sections(s: ManySections, limits: NetworkLimits) -> Array:
    """Litres (n, 5) of bed, under-flange fill, surround fill, running surface, edge seal; nan where layers may cross.

    Valid       the flange within the cut, opening and chamber within the foot
    Source      house: section and its roles; algebra
    Proved by   tests/plan/test_network.py
    """
    cut = _moments(s.cuts)
    a_body, a_flange, a_foot = area_of(s.body), area_of(s.flange), area_of(s.foot)
    lift = s.flange_thick + limits.over_flange_mm - s.frame_depth
    below, deep = limits.floor_below_mm, limits.surface_depth_mm
    bed = s.rim[:, 0] - s.top - s.frame_depth
    trench = s.rim[:, 0] - s.top + lift
    hollow = area_of(s.opening) + area_of(s.chamber) - common_mm2(s.opening, s.chamber)
    fill = (
        limits.over_flange_mm * (a_flange - a_body)
        + (bed + below) * (a_flange - a_foot)
        + _over_cut(trench + below, s.rim, cut)
        - (trench + below) * a_flange
        - below * (over_wall_mm2(s.cuts, s.wall) - a_foot)
    )
    to_road, between = s.road[:, 0] - s.rim[:, 0] - lift, s.road.copy()
    between[:, 1:3] -= s.rim[:, 1:3]
    body_squares = np.where(s.body.is_round, 0.0, a_body * (s.body.along**2 - s.body.across**2) / 12.0)
    whole = _over_cut(to_road, between, cut) - to_road * a_body - between[:, 4] * body_squares
    joint_mm = min(limits.joint_depth_mm, deep) if limits.joint_width_mm > 0.0 else 0.0
    strip = joint_plan_mm2(s.cuts, s.kerb_toward, s.kerb, limits.joint_width_mm)
    joint = max(joint_mm, 0.0) * strip
    surround = whole - deep * (cut.area - a_body)
    surface = deep * (cut.area - a_body) - joint
    litres = np.column_stack([bed * (a_foot - hollow), fill, surround, surface, joint]) / MM3_PER_LITRE
    tilt = np.abs(s.rim[:, 1]) * s.flange.along / 2.0 + np.abs(s.rim[:, 2]) * s.flange.across / 2.0
    clear = (_least(to_road - deep, between, s.cuts) >= 0.0) & (_least(trench, s.rim, s.cuts) >= 0.0)
    clear &= bed + below >= tilt
    clear &= (joint_mm <= 0.0) | _joint_beside_body(s, limits.joint_width_mm)
    return np.where(clear[:, None], litres, np.nan)


def _joint_beside_body(s: ManySections, width_mm: float) -> Flags:
    a, b = s.body.along / 2.0 + width_mm, s.body.across / 2.0 + width_mm
    along = (a <= s.cuts.front) & (a <= s.cuts.back)
    across = (b <= s.cuts.left) & (b <= s.cuts.right)
    corner = np.where(s.body.is_round, s.body.along / 2.0, np.hypot(s.body.along, s.body.across) / 2.0)
    beside: Flags = np.where(s.cuts.is_round, corner + width_mm <= s.cuts.front, along & across)
    return beside
