"""All ways to make a cut, side by side."""

from __future__ import annotations

import math
from collections.abc import Callable

from truebed.chamber.corners import SideEnd, core_mm, corner_work, outside_area_mm2, side_ends
from truebed.chamber.cut_parts import CornerWay, CornerWork, CutOption, KeepOff
from truebed.chamber.cut_question import CutQuestion
from truebed.chamber.cut_round import round_radius_mm, why_no_round
from truebed.chamber.outlines import CutOut
from truebed.errors import NotDesignedError

MM3_PER_LITRE = 1.0e6


def cut_options(question: CutQuestion, made: CutOut, square: Callable[[CutQuestion], CutOut]) -> tuple[CutOption, ...]:
    """The square cut with each corner rule, and the round cut: area, saw length, over-cuts, litres against the first.

    made        the cut as chosen; square: makes the square cut where the round one was chosen
    Valid       without a blade the square cut is told once, without its corners
    Source      algebra
    Proved by   tests/chamber/test_cut_options.py
    """
    why_not, straight = "", made if made.form == "square" else None
    if straight is None:
        try:
            straight = square(question)
        except NotDesignedError as refused:
            why_not = refused.reason
    base_mm2 = made.area_mm2 if straight is None else straight.area_mm2
    base = 0.0 if base_mm2 is None else base_mm2
    found = () if straight is None else _square_options(question, straight, made.form == "square", why_not)
    return (*found, _round_option(question, made, base))


def _square_options(question: CutQuestion, cut: CutOut, chosen: bool, why_not: str) -> tuple[CutOption, ...]:
    area_mm2 = 0.0 if cut.area_mm2 is None else cut.area_mm2
    depth_mm = question.surround_depth_mm
    if question.blade_mm is None or cut.saw is None:
        why = why_not or "no blade among the tools"
        none = None if depth_mm is None else 0.0
        return (CutOption("square", "none", chosen, why, area_mm2, cut.saw_length_m, 0.0, 0, 0.0, 0.0, 0.0, 0.0, none),)
    ends, keep = side_ends(cut.sides), all_kept_off(question)
    found = []
    ways: tuple[CornerWay, ...] = ("run on", "core", "stop short")
    for way in ways:
        own = chosen and way == question.corner_way and cut.corners is not None
        work = cut.corners if own and cut.corners else corner_work(way, ends, question.blade_mm, cut.saw.sawn_mm, keep)
        found.append(_option(question, cut, work, ends, chosen and way == question.corner_way))
    return tuple(found)


def all_kept_off(question: CutQuestion) -> tuple[KeepOff, ...]:
    """The kerb, obstacles and every neighbour's frame.

    Valid       convex rings
    Source      house
    Proved by   tests/chamber/test_cut_options.py
    """
    frames = tuple(KeepOff(f"the frame of {n.name}", n.flange) for n in question.neighbours if n.cut)
    return (*question.kept_off(), *frames)


def _option(question: CutQuestion, cut: CutOut, work: CornerWork, ends: tuple[SideEnd, ...], chosen: bool) -> CutOption:
    more_mm2 = outside_area_mm2(ends, work.cores)
    run = [o.length_mm for o in work.over_cuts if not o.enters]
    drilled = [c for c in work.cores if not c.enters]
    surround = question.surround_depth_mm
    return CutOption(
        form="square",
        way=work.way,
        chosen=chosen,
        why_not="" if work.way != "core" or drilled or not work.cores else "no corner has room for a core",
        area_mm2=(0.0 if cut.area_mm2 is None else cut.area_mm2) + more_mm2,
        saw_length_m=cut.saw_length_m,
        over_cut_m=sum(run) / 1000.0,
        core_count=len(drilled),
        core_mm=core_mm(question.blade_mm, work.depth_mm) if drilled and question.blade_mm is not None else 0.0,
        left_depth_mm=work.left_depth_mm,
        left_length_mm=work.left_length_mm,
        more_waste_l=more_mm2 * work.depth_mm / MM3_PER_LITRE,
        more_surround_l=None if surround is None else more_mm2 * min(surround, work.depth_mm) / MM3_PER_LITRE,
    )


def _round_option(question: CutQuestion, made: CutOut, base_mm2: float) -> CutOption:
    radius_mm = round_radius_mm(question)
    area_mm2 = math.pi * radius_mm**2
    more_mm2, depth = area_mm2 - base_mm2, question.surround_depth_mm
    return CutOption(
        form="round",
        way="none",
        chosen=made.form == "round",
        why_not=why_no_round(question),
        area_mm2=area_mm2,
        saw_length_m=2.0 * math.pi * radius_mm / 1000.0,
        over_cut_m=0.0,
        core_count=0,
        core_mm=0.0,
        left_depth_mm=0.0,
        left_length_mm=0.0,
        more_waste_l=more_mm2 * question.dig_depth_mm / MM3_PER_LITRE,
        more_surround_l=None if depth is None else more_mm2 * depth / MM3_PER_LITRE,
    )
