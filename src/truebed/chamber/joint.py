"""The movement joint's strip along the sawn edge: its plan, exact at the corners."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from truebed.chamber.curved import ring_pieces, shape_pieces
from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Ring
from truebed.chamber.shapes import polygon, ring_of
from truebed.chamber.solids import Levels


def joint_strip(cut: Ring, levels: Levels) -> BaseGeometry:
    """The plan of the joint: within its width of the sawn sides, inside the cut; corners counted once.

    Valid       a simple anticlockwise ring; where a side is not sawn, the strip of its neighbour ends square to itself
    Source      algebra
    Proved by   tests/chamber/test_roles.py
    """
    whole, width = polygon(cut), levels.joint_width_mm
    if levels.joint_sides is None or len(set(levels.joint_sides)) == len(cut):
        return whole.difference(whole.buffer(-width, join_style="mitre", mitre_limit=1e3))
    return unary_union([_beside(cut, i, width) for i in sorted(set(levels.joint_sides))]).intersection(whole)


def _beside(cut: Ring, side: int, width_mm: float) -> Polygon:
    (x0, y0), (x1, y1) = cut[side], cut[(side + 1) % len(cut)]
    long = float(np.hypot(x1 - x0, y1 - y0))
    nx, ny = -(y1 - y0) / long * width_mm, (x1 - x0) / long * width_mm
    return Polygon([(x0, y0), (x1, y1), (x1 + nx, y1 + ny), (x0 + nx, y0 + ny)])


def inset_pieces(outlines: Outlines, levels: Levels) -> NDArray[np.float64]:
    """What the joint's strip leaves of the cut, as pieces: within a round or rectangular cut a smaller one.

    Valid       joint narrower than half the cut
    Source      algebra
    Proved by   tests/chamber/test_roles.py
    """
    shape = outlines.shapes.cut if outlines.shapes is not None else None
    if shape is not None and levels.joint_sides is None and shape.kind != "D":
        less_mm = 2.0 * levels.joint_width_mm
        return shape_pieces(replace(shape, along_mm=shape.along_mm - less_mm, across_mm=shape.across_mm - less_mm))
    inner = polygon(outlines.cut).difference(joint_strip(outlines.cut, levels))
    if isinstance(inner, MultiPolygon):
        return np.vstack([ring_pieces(ring_of(p)) for p in inner.geoms])
    return ring_pieces(ring_of(inner)) if isinstance(inner, Polygon) and inner.area > 0.0 else np.zeros((0, 7))
