"""What a pour asks for beside its litres: former, debris dam, packers."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.curved import REGIONS, Section
from truebed.chamber.outlines import Outlines
from truebed.chamber.roles import section_of, surfaces_of
from truebed.chamber.solids import MM3_PER_LITRE, Levels
from truebed.chamber.surface import Facet, less

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Extras:
    """former_length_mm  along the bed's inner edge, round the opening or the chamber's hollow
    former_face_mm2   face of the former against the bed; former_most_mm: its greatest height there
    held_back_l       what would run into the opening up to the flange's underside if the former were left out
    dam_mm2           board that closes the chamber against debris
    packers_l         what packers that stay take of the bed
    strip_mm2         plan of the joint's strip, its corners counted once
    """

    former_length_mm: float
    former_face_mm2: float
    former_most_mm: float
    held_back_l: float
    dam_mm2: float
    packers_l: float
    strip_mm2: float


def side_face_mm2(start: tuple[float, float], end: tuple[float, float], height: Array) -> float:
    """The face under max(0, h) along a side, h linear.

    Valid       height h, gx, gy
    Source      algebra
    Proved by   tests/chamber/test_extras.py
    """
    u, v = (float(height[0] + height[1] * x + height[2] * y) for x, y in (start, end))
    long = math.dist(start, end)
    if min(u, v) >= 0.0:
        return 0.5 * (u + v) * long
    if max(u, v) <= 0.0:
        return 0.0
    return 0.5 * max(u, v) ** 2 / abs(u - v) * long


def arc_face_mm2(piece: Array, height: Array) -> float:
    """The face under max(0, h) along an arc, h linear: h0 + f cos t, positive within `wet` of t = 0.

    Valid       piece of truebed.chamber.outline_kernel
    Source      algebra
    Proved by   tests/chamber/test_extras.py
    """
    x, y, radius, first, last = (float(v) for v in piece[2:7])
    middle = float(height[0] + height[1] * x + height[2] * y)
    fall = math.hypot(float(height[1]), float(height[2])) * radius
    toward = math.atan2(float(height[2]), float(height[1]))
    wet = math.pi if middle >= fall else (0.0 if middle <= -fall else math.acos(-middle / fall))
    total = 0.0
    for turn in range(-2, 3):
        low = max(first - toward, 2.0 * math.pi * turn - wet)
        high = min(last - toward, 2.0 * math.pi * turn + wet)
        if high > low:
            total += middle * (high - low) + fall * (math.sin(high) - math.sin(low))
    return radius * total


def inner_edge(section: Section, facet: Facet) -> Array:
    """The pieces where the bed ends at the opening or at the chamber's hollow, within a facet's rings.

    Valid       a section drawn without packers
    Source      house: section and its roles
    Proved by   tests/chamber/test_extras.py
    """
    drawing = section.drawing(facet.within)
    inside = np.full(len(REGIONS["seat"]), True)
    for i in range(len(facet.within)):
        inside &= (np.arange(len(inside)) >> (len(section.shapes) + i)) & 1 == 1
    seat, hollow = REGIONS["seat"] & inside, REGIONS["hollow"] & inside
    left, right = drawing.left, drawing.right
    edge: Array = drawing.parts[(seat[left] & hollow[right]) | (hollow[left] & seat[right])]
    return edge


def extras_of(outlines: Outlines, levels: Levels) -> Extras:
    """Former, dam, packers and strip of one cover.

    Valid       a chamber top of planes or triangles
    Source      house: section and its roles (the former closes the opening); algebra
    Proved by   tests/chamber/test_extras.py
    """
    from truebed.chamber.integral_kernel import AREA, MOST, VOLUME, wet_integrals

    section, surfaces = section_of(outlines, levels), surfaces_of(levels)
    bare = section_of(outlines, replace(levels, packers=())) if levels.packers else section
    length = face = most = 0.0
    thickness = less(surfaces.under, surfaces.top)
    for facet in thickness:
        height = np.array(facet.height)
        inner = inner_edge(bare, facet)
        for piece in inner:
            ends = (float(piece[2]), float(piece[3])), (float(piece[4]), float(piece[5]))
            straight = piece[1] == 0.0
            length += math.dist(*ends) if straight else float(piece[4] * (piece[6] - piece[5]))
            face += side_face_mm2(*ends, height) if straight else arc_face_mm2(piece, height)
        if len(inner):
            most = max(most, float(wet_integrals(inner, np.ones(len(inner)), height)[MOST]))
    whole = sum(float(w[VOLUME]) for _, w in bare.integrals("seat", thickness))
    kept = sum(float(w[VOLUME]) for _, w in section.integrals("seat", thickness))
    held = sum(float(w[VOLUME]) for _, w in section.integrals("hollow", thickness))
    flat = less(surfaces.under, surfaces.under)[:1]
    dam = float(section.integrals("chamber", flat)[0][1][AREA])
    strip = float(section.integrals("joint", flat)[0][1][AREA]) if len(section.shapes[7]) else 0.0
    litre = MM3_PER_LITRE
    return Extras(length, face, most, held / litre, dam, (whole - kept) / litre, strip)
