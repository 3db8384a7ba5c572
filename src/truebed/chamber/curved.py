"""Regions of the section bounded by straight sides and true arcs, and what stands on them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.outline_shapes import OutlineShape
from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Ring
from truebed.chamber.shapes import rectangle_ring, turned_point
from truebed.chamber.surface import Facet, Facets

Array = NDArray[np.float64]
Masks = NDArray[np.int64]

#: The outlines in the order of their bits; two more bits are for the rings of a facet.
NAMES = ("opening", "body", "flange", "wall", "chamber", "cut", "packers", "inset")
BITS = len(NAMES) + 2
_EVERY = np.arange(1 << BITS)
_O, _B, _F, _W, _C, _E, _P, _I = ((_EVERY >> i) & 1 == 1 for i in range(len(NAMES)))
_HOLLOW = _O | _C

#: The regions that roles stand on, each as a table over the bits.
REGIONS: dict[str, NDArray[np.bool_]] = {
    "seat": _F & _W & ~_HOLLOW & ~_P,
    "flange off the wall": _F & ~_W & ~_HOLLOW,
    "trench on the wall": _E & ~_F & _W & ~_C,
    "trench off the wall": _E & ~_F & ~_W & ~_C,
    "flange beside the body": _F & ~_B,
    "round the body": _E & ~_B,
    "joint": _E & ~_B & ~_I,
    "hollow": _HOLLOW & _F,
    "chamber": _C & _F,
    "opening beyond the chamber": _O & ~_C,
    "body": _B,
    "cut on the wall": _E & _W & ~_C,
    "cut off the wall": _E & ~_W & ~_C,
}


def ring_pieces(ring: Ring) -> Array:
    """A ring as sides, anticlockwise; sides without length left out.

    Valid       a simple ring, either way round
    Source      algebra
    Proved by   tests/chamber/test_curved.py
    """
    twice = 0.0
    (ox, oy), before = ring[0], ring[-1]
    for at in ring:
        twice += (before[0] - ox) * (at[1] - oy) - (at[0] - ox) * (before[1] - oy)
        before = at
    points = ring if twice >= 0.0 else ring[::-1]
    sides = [(0.0, 0.0, *p, *q, 0.0) for p, q in zip(points, (*points[1:], points[0]), strict=True) if p != q]
    return np.array(sides, dtype=np.float64).reshape(-1, 7)


def shape_pieces(shape: OutlineShape) -> Array:
    """A shape as sides and arcs, anticlockwise.

    Valid       sizes > 0; a D at least half as long as it is across
    Source      algebra
    Proved by   tests/chamber/test_curved.py
    """
    turn = math.radians(shape.turn_deg)
    if shape.kind == "round":
        return np.array([[0.0, 1.0, shape.x_mm, shape.y_mm, shape.along_mm / 2.0, -math.pi, math.pi]])
    if shape.kind == "D":
        radius, back = shape.across_mm / 2.0, -shape.along_mm / 2.0
        centre = shape.along_mm / 2.0 - radius
        corners = ((centre, radius), (back, radius), (back, -radius), (centre, -radius))
        points = [turned_point(p, shape.turn_deg) for p in corners]
        sides = [[0.0, 0.0, *p, *q, 0.0] for p, q in pairwise(points) if p != q]
        middle = turned_point((centre, 0.0), shape.turn_deg)
        pieces = np.array([*sides, [0.0, 1.0, *middle, radius, turn - math.pi / 2.0, turn + math.pi / 2.0]])
    else:
        ring = tuple(turned_point(p, shape.turn_deg) for p in rectangle_ring(shape.along_mm, shape.across_mm))
        pieces = ring_pieces(ring)
    pieces[:, 2] += shape.x_mm
    pieces[:, 3] += shape.y_mm
    straight = pieces[:, 1] == 0.0
    pieces[straight, 4] += shape.x_mm
    pieces[straight, 5] += shape.y_mm
    return pieces


def outline_pieces(outlines: Outlines) -> list[Array]:
    """The section's outlines as pieces, in the order of their bits: the shape where it is known, else the ring.

    Valid       outlines of one cover
    Source      house: section and its roles
    Proved by   tests/chamber/test_curved.py
    """
    found = []
    for name in NAMES[:6]:
        shape = getattr(outlines.shapes, name) if outlines.shapes is not None else None
        found.append(shape_pieces(shape) if shape is not None else ring_pieces(getattr(outlines, name)))
    return found


@dataclass(frozen=True, slots=True)
class Drawing:
    """All outlines cut at each other, with the masks of what holds the left and right side of each part."""

    parts: Array
    left: Masks
    right: Masks


class Section:
    """The outlines of a section with packers and the joint's inner edge, drawn once for each set of facet rings."""

    def __init__(self, outlines: Outlines, packers: tuple[Ring, ...] = (), inset: Array | None = None) -> None:
        nothing = np.zeros((0, 7))
        packed = np.vstack([ring_pieces(p) for p in packers]) if packers else nothing
        self.shapes = [*outline_pieces(outlines), packed, nothing if inset is None else inset]
        self.drawings: dict[tuple[Ring, ...], Drawing] = {}

    def drawing(self, within: tuple[Ring, ...]) -> Drawing:
        """The section with a facet's rings laid over it."""
        if within not in self.drawings:
            self.drawings[within] = drawn([*self.shapes, *(ring_pieces(r) for r in within)])
        return self.drawings[within]

    def part(self, region: str, facet: Facet) -> tuple[Array, Array]:
        """The boundary of a region within a facet's rings: pieces, and 1 or -1 by the side that the region is on."""
        drawing = self.drawing(facet.within)
        table = REGIONS[region]
        for i in range(len(facet.within)):
            table = table & ((_EVERY >> (len(NAMES) + i)) & 1 == 1)
        signs = table[drawing.left].astype(np.float64) - table[drawing.right]
        kept = signs != 0.0
        return drawing.parts[kept], signs[kept]

    def integrals(self, region: str, thickness: Facets) -> list[tuple[Facet, Array]]:
        """What stands under a thickness over a region, facet by facet (places: truebed.chamber.integral_kernel).

        Raises ValueError where a level or slope is no number.
        """
        from truebed.chamber.integral_kernel import wet_integrals

        if not all(math.isfinite(h) for facet in thickness for h in facet.height):
            raise ValueError(f"a level, slope or twist over the {region} is no number")
        return [(facet, wet_integrals(*self.part(region, facet), np.array(facet.height))) for facet in thickness]


def drawn(shapes: list[Array]) -> Drawing:
    """Outlines cut at each other.

    Valid       outlines that do not cross themselves
    Source      see truebed.chamber.outline_kernel
    Raises      ValueError where outlines cross more often than drawn ironwork does
    Proved by   tests/chamber/test_curved.py
    """
    from truebed.chamber.outline_kernel import arrangement

    pieces = np.vstack(shapes)
    counts = np.array([len(s) for s in shapes])
    pieces[:, 0] = np.repeat(np.arange(len(shapes)), counts)
    starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.int64)
    parts, left, right = arrangement(pieces, starts)
    if len(parts) == 0:
        raise ValueError("the outlines cross each other too often to be those of a frame on a chamber")
    return Drawing(parts, left, right)
