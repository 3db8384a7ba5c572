"""A second look at a cut-out: does it hold the flange, and does the saw stay out of what it must not enter?

Shares nothing with what makes the cut: it looks at the rings alone, with a geometry library.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from truebed.chamber.outlines import CutOut
from truebed.chamber.plane import Ring

#: What counts as nothing: rounding of rings some metres wide [mm, mm2].
_HAIR_MM = 1e-4
_HAIR_MM2 = 0.05
#: The ring that stands for a circle has the circle's area, so its corners stand off it by this or less [mm].
_RING_MM = 0.1


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What stands round a cut, in its cover's local axes.

    keep_off  what the saw must not enter: obstacles grown by their clearance, frames that stay
    frames    frames of neighbours that are lifted too: only a joined cut may hold them, no run of the blade meets them
    """

    flange: Ring
    least_width_mm: float
    kerb_side: str = "none"
    kerb_mm: float | None = None
    keep_off: tuple[Ring, ...] = ()
    frames: tuple[Ring, ...] = ()


def faults_of_cut(cut: CutOut, around: Surroundings) -> tuple[str, ...]:
    """What is wrong with a cut-out, one sentence each; () where nothing is.

    Valid       any cut-out, joined ones included
    Source      house (what a cut must and must not do)
    Proved by   tests/chamber/test_cut_check.py, tests/properties/test_cut_keeps_off.py
    """
    own = Polygon(cut.ring)
    hole = Polygon(cut.joined.ring) if cut.joined is not None else own
    behind = _behind(around)
    solid = [Polygon(r) for r in around.keep_off]
    found = []
    if not hole.is_valid or not own.is_valid:
        found.append("the cut's outline crosses itself")
        return tuple(found)
    flange = Polygon(around.flange)
    if not hole.buffer(_RING_MM).covers(flange):
        found.append("the cut does not hold the flange")
    needed: BaseGeometry = flange.buffer(around.least_width_mm) if around.least_width_mm > _HAIR_MM else flange
    if behind is not None:
        needed = needed.difference(behind)
    if not hole.buffer(_RING_MM).covers(needed):
        found.append("the cut leaves less than the least width beside the flange")
    if behind is not None and hole.intersection(behind).area > _HAIR_MM2:
        found.append("the cut goes into the kerb")
    if any(hole.intersection(s).area > _HAIR_MM2 for s in solid):
        found.append("the cut goes into something to keep off")
    if cut.joined is None and any(hole.intersection(Polygon(f)).area > _HAIR_MM2 for f in around.frames):
        found.append("the cut goes into a neighbour's frame")
    return (*found, *_blade_faults(cut, own, hole, behind, around), *_length_faults(cut, own, hole, around))


def _behind(around: Surroundings) -> Polygon | None:
    if around.kerb_side == "none" or around.kerb_mm is None:
        return None
    if around.kerb_side == "left":
        return box(-2e5, around.kerb_mm, 2e5, 2e5)
    return box(-2e5, -2e5, 2e5, -around.kerb_mm)


def _blade_faults(
    cut: CutOut, own: Polygon, hole: Polygon, behind: Polygon | None, around: Surroundings
) -> Sequence[str]:
    """Runs of the blade and cores that are to be made must meet nothing; those that would must say so."""
    if cut.corners is None:
        return ()
    # shrunk by a hair: a run along the edge of something does not enter it
    grounds = [Polygon(r) for r in (*around.keep_off, *around.frames)] + ([] if behind is None else [behind])
    shut = [g.buffer(-1e-2) for g in (*grounds, Polygon(around.flange))]
    wide = [g.buffer(1e-2) for g in (*grounds, Polygon(around.flange))]
    found = []
    for over in cut.corners.over_cuts:
        run = LineString((over.start, over.end))
        if not over.enters and any(run.intersection(s).length > 0.01 for s in shut):
            found.append(
                f"the blade runs into something at {over.start[0]:.0f}, {over.start[1]:.0f}, and is not stopped"
            )
        if over.enters and not any(run.intersects(w) for w in wide):
            found.append(f"a run of the blade at {over.start[0]:.0f}, {over.start[1]:.0f} is stopped for nothing")
        if abs(own.exterior.distance(Point(over.start))) > _HAIR_MM:
            found.append("an over-cut does not begin at the cut's edge")
        if not over.enters and run.intersection(hole).length > 0.01:
            found.append("an over-cut runs inside the cut")
    for core in cut.corners.cores:
        disc = Point(core.x_mm, core.y_mm).buffer(core.diameter_mm / 2.0 - 0.01)
        if not core.enters and any(disc.intersection(s).area > 1.0 for s in shut[:-1]):
            found.append(f"a core at {core.x_mm:.0f}, {core.y_mm:.0f} goes into something to keep off")
    return found


def _length_faults(cut: CutOut, own: Polygon, hole: Polygon, around: Surroundings) -> Sequence[str]:
    """Metres sawn: the outline of the whole that is this cover's, without the kerb."""
    if cut.form == "round":
        return ()
    # a side belongs to the hole's outline where it runs along it for its whole length
    rim = hole.exterior.buffer(1e-3)
    edges = [LineString(pair) for pair in zip(own.exterior.coords[:-1], own.exterior.coords[1:], strict=True)]
    lines = unary_union([e for e in edges if rim.covers(e)])
    length_mm = lines.length
    if around.kerb_side != "none" and around.kerb_mm is not None:
        y = around.kerb_mm if around.kerb_side == "left" else -around.kerb_mm
        length_mm -= lines.intersection(LineString(((-2e5, y), (2e5, y))).buffer(1e-3)).length
    off_mm = cut.saw_length_m * 1000.0 - length_mm
    return () if -0.5 < off_mm < 0.5 else (f"metres sawn are {off_mm:.1f} mm off the outline",)
