"""The cut-out: how far out the saw goes, what governs it, what stops it, and what is done at its corners."""

from __future__ import annotations

import math
from dataclasses import replace

from shapely.geometry import Polygon

from truebed.chamber.convex import common, distance_to_mm, ring_area_mm2
from truebed.chamber.corners import corner_work, run_on_mm, side_ends
from truebed.chamber.cut_options import cut_options
from truebed.chamber.cut_parts import CornerWork, CutSide, JoinedCut, KeepOff, Neighbour, PulledBack, SideKind, Strip
from truebed.chamber.cut_question import CutQuestion
from truebed.chamber.cut_round import round_shape
from truebed.chamber.joined_cut import joined_cut, on_lines, on_outline
from truebed.chamber.kerb import KERB, kerb_side_ratio, snapped, within_kerb
from truebed.chamber.obstacles import SIDES, Box, pulled_back
from truebed.chamber.outlines import CutOut
from truebed.chamber.passes import saw_depth
from truebed.chamber.plane import Ring
from truebed.chamber.shapes import polygon, turned
from truebed.errors import NotDesignedError

__all__ = ["CutQuestion", "cut_out", "flange_of", "run_on_mm", "saw_length_m"]


def flange_of(question: CutQuestion) -> Polygon:
    """The flange's outline, turned with its frame.

    Valid       a flange with a size
    Source      algebra
    Proved by   tests/chamber/test_cut.py
    """
    return polygon(question.flange_ring())


def cut_out(question: CutQuestion) -> CutOut:
    """The cut round the flange: square or round, stopped at a kerb, drawn in from obstacles, joined to neighbours.

    Valid       convex flanges; margins as tapped by the surveyor; a kerb that runs along the traffic
    Source      common practice, no source (clean square, cut to sound road); algebra
    Raises      NotDesignedError where the flange crosses the kerb, something in the way leaves less than the material's
                least width, frames overlap, or a round cut has no room
    Proved by   tests/chamber/test_cut.py, tests/properties/test_cut_keeps_off.py
    """
    _refuse_flange_over_kerb(question)
    made = round_shape(question) if question.cut_form == "round" else _square(question)
    return replace(made, options=cut_options(question, made, _square))


def _refuse_flange_over_kerb(question: CutQuestion) -> None:
    if question.kerb_side == "none" or question.kerb_mm is None:
        return
    if question.reach_toward_mm(0.0, kerb_side_ratio(question.kerb_side)) > question.kerb_mm + 1e-9:
        raise NotDesignedError(
            f"The flange crosses the kerb, {question.kerb_mm:g} mm from the frame's centre.",
            "Measure kerb_mm again, or have the kerb lifted and re-laid as part of the job.",
        )


def _square(question: CutQuestion) -> CutOut:
    """The square cut, without its comparison."""
    flange, turn_deg = question.flange_box(), question.cut_turn_deg
    wanted = Box(*(flange.far_mm(i) + m for i, m in enumerate(question.margins_wanted_mm)))
    keep = question.kept_off()
    box, drawn = _drawn_in(question, wanted, flange, keep)
    whole = turned(box.ring(), turn_deg)
    ring = within_kerb(whole, question.kerb_side, question.kerb_mm)
    clipped_by_kerb = ring_area_mm2(ring) < ring_area_mm2(whole) - 1e-6
    ring, did_snap, strips = _to_kerb(question, ring, keep)
    joined = _joined(question, ring, keep)
    if joined is not None:
        ring = next(s.ring for s in joined.shares if s.cover == question.name)
    sides = sides_of(ring, question, joined)
    saw_m = sum(s.length_mm for s in sides if s.kind == "sawn") / 1000.0
    straight = turned(ring, -turn_deg)
    xs, ys = [p[0] for p in straight], [p[1] for p in straight]
    saw = saw_depth(question.saw_depth_mm, question.dig_depth_mm, question.blade_mm, question.reach_mm,
                    question.pass_depth_mm, saw_m)  # fmt: skip
    corners = _corners(question, sides, saw.sawn_mm, keep, joined)
    reaches = question.blade_mm is not None and saw.left_mm == 0.0
    margins = tuple(box.far_mm(i) - flange.far_mm(i) for i in range(4))
    sound = max(question.margins_mm) if question.margins_mm is not None else question.sound_margin_mm
    return CutOut(
        ring=ring,
        along_mm=max(xs) - min(xs),
        across_mm=max(ys) - min(ys),
        margin_mm=max(margins),
        governed_by="sound margin, as tapped"
        if sound >= question.least_width_mm
        else f"least width of {question.least_width_of}",
        saw_length_m=saw_m,
        depth_mm=saw.wanted_mm,
        dig_depth_mm=question.dig_depth_mm,
        run_on_mm=run_on_mm(question.blade_mm, saw.wanted_mm) if reaches and question.blade_mm else None,
        blade_mm=question.blade_mm,
        clipped_by_kerb=clipped_by_kerb,
        least_beside_mm=_beside_mm(question, ring, joined),
        form="square",
        turn_deg=turn_deg,
        area_mm2=ring_area_mm2(ring),
        margins_mm=margins,
        sides=sides,
        corners=corners,
        saw=saw,
        snapped_to_kerb=did_snap,
        pulled_back=drawn,
        strips=(*strips, *_narrow_beside(question, ring, joined)),
        joined=joined,
        hand_work=_hand_work(drawn, flange, question.margins_wanted_mm, corners),
    )


def _drawn_in(
    question: CutQuestion, wanted: Box, flange: Box, keep: tuple[KeepOff, ...]
) -> tuple[Box, tuple[PulledBack, ...]]:
    """The box drawn in from what is in the way on the road's side of the kerb."""
    solid = tuple(k for k in keep if k.what != KERB)
    if not solid:
        return wanted, ()
    own = question.flange_ring()
    found = []
    for k in solid:
        ring = within_kerb(k.ring, question.kerb_side, question.kerb_mm)
        if ring and ring_area_mm2(common(ring, own) or ring[:1]) > 1e-3:
            raise NotDesignedError(
                f"{k.what[0].upper()}{k.what[1:]}, with its clearance, reaches over the flange.",
                "Measure its place again, have it moved, or agree a smaller clearance with its owner.",
            )
        if ring:
            found.append(KeepOff(k.what, turned(ring, -question.cut_turn_deg)))
    return pulled_back(wanted, flange, question.least_width_mm, question.least_width_of, tuple(found))


def _to_kerb(question: CutQuestion, ring: Ring, keep: tuple[KeepOff, ...]) -> tuple[Ring, bool, tuple[Strip, ...]]:
    """The cut carried out to the kerb where the strip left would be too narrow, unless something is in the way."""
    if question.kerb_side == "none" or question.kerb_mm is None or question.strip_least_mm <= 0.0:
        return ring, False, ()
    grown = snapped(ring, question.kerb_side, question.kerb_mm, question.strip_least_mm)
    if grown is ring:
        return ring, False, ()
    in_the_way = [k.what for k in keep if k.what != KERB and _overlap(grown, k.ring)]
    if in_the_way:
        side = kerb_side_ratio(question.kerb_side)
        return ring, False, (Strip(KERB, question.kerb_mm - max(side * y for _, y in ring)),)
    return grown, True, ()


def _overlap(cut: Ring, ring: Ring) -> bool:
    """Whether a cut that a kerb may have made hollow meets a convex ring."""
    return float(polygon(cut).intersection(polygon(ring)).area) > 1e-3


def _joined(question: CutQuestion, ring: Ring, keep: tuple[KeepOff, ...]) -> JoinedCut | None:
    with_cut = tuple(n for n in question.neighbours if n.cut)
    if not with_cut:
        return None
    own = Neighbour(question.name, question.flange_ring(), ring, keep)
    joined = joined_cut(own, with_cut, question.strip_least_mm)
    held = {s.cover for s in joined.shares} if joined is not None else set()
    entered = [n.name for n in with_cut if n.name not in held and _overlap(ring, n.flange)]
    if entered:
        raise NotDesignedError(
            f"The cut would run into the frame of {' and '.join(entered)}, and cannot be joined to its cut-out.",
            "See what is to be kept off between them: have it moved, or agree a smaller clearance with its owner.",
        )
    return joined


def sides_of(ring: Ring, question: CutQuestion, joined: JoinedCut | None) -> tuple[CutSide, ...]:
    """The sides of a cut, each sawn, along the kerb, or shared with a neighbour.

    Valid       a kerb that runs along the traffic
    Source      algebra
    Proved by   tests/chamber/test_cut.py, tests/chamber/test_cut_joined.py
    """
    kerb_y = None
    if question.kerb_side != "none" and question.kerb_mm is not None:
        kerb_y = question.kerb_mm * kerb_side_ratio(question.kerb_side)
    found = []
    for start, end in zip(ring, (*ring[1:], ring[0]), strict=True):
        kind: SideKind = "sawn"
        if kerb_y is not None and abs(start[1] - kerb_y) < 1e-6 and abs(end[1] - kerb_y) < 1e-6:
            kind = "kerb"
        elif joined is not None and not on_outline(start, end, joined.ring):
            kind = "shared"
        elif joined is not None and on_lines(start, end, joined.kerbs):
            kind = "kerb"
        found.append(CutSide(start, end, kind))
    return tuple(found)


def saw_length_m(ring: Ring, question: CutQuestion) -> float:
    """Length sawn: the perimeter, less any side that lies along the kerb, which is not sawn.

    Valid       a kerb that runs along the traffic
    Source      algebra
    Proved by   tests/chamber/test_cut.py
    """
    return sum(s.length_mm for s in sides_of(ring, question, None) if s.kind == "sawn") / 1000.0


def _corners(
    question: CutQuestion,
    sides: tuple[CutSide, ...],
    depth_mm: float,
    keep: tuple[KeepOff, ...],
    joined: JoinedCut | None,
) -> CornerWork | None:
    if question.blade_mm is None:
        return None
    frames = tuple(KeepOff(f"the frame of {n.name}", n.flange) for n in question.neighbours if n.cut)
    own = (KeepOff("the flange", question.flange_ring()),) if joined is not None or len(sides) > 4 else ()
    return corner_work(question.corner_way, side_ends(sides), question.blade_mm, depth_mm, (*keep, *frames, *own))


def _beside_mm(question: CutQuestion, ring: Ring, joined: JoinedCut | None) -> float:
    """Least width between the flange and the edge of the hole."""
    hole = ring if joined is None else joined.ring
    if joined is None and _convex(hole):
        least_mm = math.inf
        for (x0, y0), (x1, y1) in zip(hole, (*hole[1:], hole[0]), strict=True):
            length_mm = math.hypot(x1 - x0, y1 - y0)
            nx, ny = (y1 - y0) / length_mm, (x0 - x1) / length_mm
            least_mm = min(least_mm, nx * x0 + ny * y0 - question.reach_toward_mm(nx, ny))
        return least_mm
    return float(polygon(hole).exterior.distance(flange_of(question)))


def _convex(ring: Ring) -> bool:
    corners = zip((ring[-1], *ring[:-1]), ring, (*ring[1:], ring[0]), strict=True)
    return all((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) > -1e-6 for a, b, c in corners)


def _narrow_beside(question: CutQuestion, ring: Ring, joined: JoinedCut | None) -> tuple[Strip, ...]:
    """Frames that stay, and cut-outs that could not be joined, with less road left before them than the rule asks."""
    held = {s.cover for s in joined.shares} if joined is not None else set()
    found = []
    for n in question.neighbours if question.strip_least_mm > 0.0 else ():
        if n.name not in held:
            what, edge = (f"the cut-out of {n.name}", n.cut) if n.cut else (f"the frame of {n.name}", n.flange)
            width_mm = min(*(distance_to_mm(p, edge) for p in ring), *(distance_to_mm(p, ring) for p in edge))
            if 1e-6 < width_mm < question.strip_least_mm:
                found.append(Strip(what, width_mm))
    return tuple(found)


def _hand_work(
    drawn: tuple[PulledBack, ...], flange: Box, wanted: tuple[float, ...], corners: CornerWork | None
) -> tuple[str, ...]:
    """Where hand tools are needed: unsound road the saw cannot take out, ends where the blade may not run."""
    said = []
    for d in drawn:
        side = SIDES.index(d.side)
        short_mm = flange.far_mm(side) + wanted[side] - d.to_mm
        said.append(f"{d.side}: {short_mm:.0f} mm of the margin lies in the clearance of {d.what}; break out by hand")
    ends = [(o.start, o.enters) for o in corners.over_cuts] if corners is not None else []
    holes = [((c.x_mm, c.y_mm), c.enters) for c in corners.cores] if corners is not None else []
    for (x, y), enters in dict.fromkeys((p, e) for p, e in (*ends, *holes) if e):
        said.append(
            f"corner at {x:.0f}, {y:.0f}: the blade would run into {' and '.join(enters)}; stop short and break"
        )
    return tuple(said)
