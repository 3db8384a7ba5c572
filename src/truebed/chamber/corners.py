"""The corners of a saw cut: the blade runs on, a core is drilled first, or it stops short and the rest is broken."""

from __future__ import annotations

import math
from dataclasses import dataclass

from truebed.chamber.convex import distance_to_mm, line_meets
from truebed.chamber.cut_parts import Core, CornerWay, CornerWork, CutSide, KeepOff, OverCut
from truebed.chamber.plane import Point


@dataclass(frozen=True, slots=True)
class SideEnd:
    """An end of a sawn side at a corner: where it is, where the blade would run on, and the angle inside the corner."""

    corner: Point
    onward: Point
    side_mm: float
    inside_deg: float


def run_on_mm(blade_mm: float, depth_mm: float) -> float:
    """How far a round blade runs past a corner at the surface to reach full depth at the corner.

    Valid       0 <= depth <= blade radius
    Source      algebra: sqrt(D d - d^2), half chord of a circle at depth d
    Raises      ValueError where the blade cannot reach the depth
    Proved by   tests/chamber/test_cut.py, tests/chamber/test_cut_corners.py
    """
    if not 0.0 <= depth_mm <= blade_mm / 2.0:
        raise ValueError(f"a {blade_mm:g} mm blade cannot cut {depth_mm:g} mm deep")
    return math.sqrt(blade_mm * depth_mm - depth_mm**2)


def reached_mm(blade_mm: float, depth_mm: float, side_mm: float) -> float:
    """Greatest depth of a cut that nowhere runs past the ends of its side [mm].

    Valid       0 <= depth <= blade radius
    Source      algebra (depth of a chord as long as the side)
    Proved by   tests/chamber/test_cut_corners.py
    """
    half_mm = min(side_mm / 2.0, run_on_mm(blade_mm, depth_mm))
    radius_mm = blade_mm / 2.0
    return min(depth_mm, radius_mm - math.sqrt(radius_mm**2 - half_mm**2))


def left_area_mm2(blade_mm: float, depth_mm: float, side_mm: float) -> float:
    """Face that a blade leaves unsawn at one end of a side where it stops with nothing past the corner [mm2].

    Valid       0 <= depth <= blade radius
    Source      algebra (rectangle less the half segment of a circle)
    Proved by   tests/chamber/test_cut_corners.py
    """
    half_mm = min(side_mm / 2.0, run_on_mm(blade_mm, depth_mm))
    radius_mm = blade_mm / 2.0
    below_mm = math.sqrt(radius_mm**2 - half_mm**2)
    segment_mm2 = (half_mm * below_mm + radius_mm**2 * math.asin(min(1.0, half_mm / radius_mm))) / 2.0
    return half_mm * depth_mm - (segment_mm2 - half_mm * below_mm)


def core_mm(blade_mm: float, depth_mm: float) -> float:
    """Diameter of the least hole, cored on a corner, in which the blade's run-on stays.

    The blade need be at full depth only as far as the hole's edge, half a diameter before the corner, and may show at
    the surface as far as its other edge, half a diameter past it: the run-on is the diameter. A hole set inside the
    corner, so that it does not pass the cut's sides, would have to be wider.

    Valid       0 <= depth <= blade radius
    Source      algebra
    Proved by   tests/chamber/test_cut_corners.py
    """
    return run_on_mm(blade_mm, depth_mm)


def side_ends(sides: tuple[CutSide, ...]) -> tuple[SideEnd, ...]:
    """Each end of a sawn side at a real corner, in order; none where a side meets a shared line.

    Valid       sides in order, anticlockwise
    Source      algebra
    Proved by   tests/chamber/test_cut_corners.py
    """
    ends: list[SideEnd] = []
    for i, after in enumerate(sides):
        before = sides[i - 1]
        if "shared" in {before.kind, after.kind}:
            continue
        angle_deg = 180.0 - _turn_deg(before, after)
        for side, away in ((before, 1.0), (after, -1.0)):
            if side.kind == "sawn":
                ends.append(_end(side, after.start, away, angle_deg))
    return tuple(ends)


def _end(side: CutSide, corner: Point, away_ratio: float, angle_deg: float) -> SideEnd:
    length_mm = side.length_mm
    ux = away_ratio * (side.end[0] - side.start[0]) / length_mm
    uy = away_ratio * (side.end[1] - side.start[1]) / length_mm
    return SideEnd(corner, (ux, uy), length_mm, angle_deg)


def _turn_deg(before: CutSide, after: CutSide) -> float:
    ux, uy = before.end[0] - before.start[0], before.end[1] - before.start[1]
    vx, vy = after.end[0] - after.start[0], after.end[1] - after.start[1]
    return math.degrees(math.atan2(ux * vy - uy * vx, ux * vx + uy * vy))


def corner_work(
    way: CornerWay, ends: tuple[SideEnd, ...], blade_mm: float, depth_mm: float, keep: tuple[KeepOff, ...]
) -> CornerWork:
    """What a rule does at the corners of a cut.

    Where a run-on or a core would enter something to keep off, it is told, and the blade stops short there: what is
    left is counted with what is left to break. At a corner that points inwards the blade runs on inside the cut: no
    over-cut, unless it would meet a frame.

    keep        the kerb, flanges, neighbours' frames, obstacles with their clearance
    Valid       0 <= depth <= blade radius
    Source      common practice, no source (three ways to treat a corner); algebra
    Proved by   tests/chamber/test_cut_corners.py
    """
    onward_mm = run_on_mm(blade_mm, depth_mm)
    outer = tuple(e for e in ends if e.inside_deg < 180.0)
    inner = tuple(e for e in ends if e.inside_deg >= 180.0)
    harm = tuple((e, o) for e, o in ((e, _over_cut(e, onward_mm, keep)) for e in inner) if o.enters)
    met, blocked = tuple(o for _, o in harm), tuple(e for e, _ in harm)
    if way == "run on":
        over = tuple(_over_cut(e, onward_mm, keep) for e in outer)
        stopped = tuple(e for e, o in zip(outer, over, strict=True) if o.enters)
        work = CornerWork(way, depth_mm, over_cuts=(*over, *met), reached_mm=depth_mm)
        return _with_left(work, (*stopped, *blocked), blade_mm)
    if way == "core":
        cores = _cores(outer, onward_mm, keep)
        full = {(c.x_mm, c.y_mm) for c in cores if c.enters}
        work = CornerWork(way, depth_mm, over_cuts=met, cores=cores, reached_mm=depth_mm)
        return _with_left(work, (*(e for e in outer if e.corner in full), *blocked), blade_mm)
    least_mm = min((reached_mm(blade_mm, depth_mm, e.side_mm) for e in ends), default=depth_mm)
    return _with_left(CornerWork(way, depth_mm, over_cuts=met, reached_mm=least_mm), (*outer, *blocked), blade_mm)


def _over_cut(end: SideEnd, onward_mm: float, keep: tuple[KeepOff, ...]) -> OverCut:
    x, y = end.corner
    there = (x + onward_mm * end.onward[0], y + onward_mm * end.onward[1])
    enters = tuple(k.what for k in keep if line_meets(end.corner, there, k.ring)) if onward_mm > 0.0 else ()
    return OverCut(end.corner, there, onward_mm, enters)


def _cores(outer: tuple[SideEnd, ...], across_mm: float, keep: tuple[KeepOff, ...]) -> tuple[Core, ...]:
    corners = dict.fromkeys(e.corner for e in outer)
    return tuple(
        Core(
            x,
            y,
            across_mm,
            tuple(k.what for k in keep if distance_to_mm((x, y), k.ring) < across_mm / 2.0 - 1e-6),
        )
        for x, y in corners
    )


def _with_left(work: CornerWork, stopped: tuple[SideEnd, ...], blade_mm: float) -> CornerWork:
    """The same work with what the blade leaves at the ends where it stops short."""
    if not stopped:
        return work
    longest_mm = max(e.side_mm for e in stopped)
    return CornerWork(
        way=work.way,
        depth_mm=work.depth_mm,
        over_cuts=work.over_cuts,
        cores=work.cores,
        left_depth_mm=work.depth_mm,
        left_length_mm=min(longest_mm / 2.0, run_on_mm(blade_mm, work.depth_mm)),
        left_area_mm2=max(left_area_mm2(blade_mm, work.depth_mm, e.side_mm) for e in stopped),
        left_count=len(stopped),
        reached_mm=work.reached_mm,
    )


def outside_area_mm2(ends: tuple[SideEnd, ...], cores: tuple[Core, ...]) -> float:
    """Road outside the cut that the cores take [mm2]: each one's sector outside its corner.

    Valid       cores that do not reach another corner
    Source      algebra
    Proved by   tests/chamber/test_cut_corners.py
    """
    angle = {e.corner: e.inside_deg for e in ends}
    drilled = (c for c in cores if not c.enters)
    return sum(math.pi * c.diameter_mm**2 / 4.0 * (1.0 - angle[(c.x_mm, c.y_mm)] / 360.0) for c in drilled)
