"""A round cut: the least circle about the frame's centre that holds the flange and its margin."""

from __future__ import annotations

import math

from truebed.chamber.convex import distance_to_mm
from truebed.chamber.cut_parts import CornerWork
from truebed.chamber.cut_question import CutQuestion
from truebed.chamber.flange_reach import around_radius_mm
from truebed.chamber.kerb import KERB
from truebed.chamber.outlines import CutOut
from truebed.chamber.passes import saw_depth
from truebed.chamber.shapes import circle_ring
from truebed.errors import NotDesignedError


def round_radius_mm(question: CutQuestion) -> float:
    """Radius of the round cut: the flange's circle and the greatest margin [mm].

    Valid       flanges of outline_ring
    Source      house (its centre is the frame's); algebra
    Proved by   tests/chamber/test_cut_round.py
    """
    around = around_radius_mm(question.flange_shape, question.flange_along_mm, question.flange_across_mm)
    return around + max(question.margins_wanted_mm)


def why_no_round(question: CutQuestion) -> str:
    """Why a round cut has no room; '' where it has.

    Valid       convex rings to keep off
    Source      algebra
    Proved by   tests/chamber/test_cut_round.py
    """
    radius_mm = round_radius_mm(question)
    for keep in question.kept_off():
        away_mm = distance_to_mm((0.0, 0.0), keep.ring)
        if away_mm < radius_mm - 1e-9:
            return f"{keep.what} is {away_mm:.0f} mm from the frame's centre, the round cut reaches {radius_mm:.0f} mm"
        if keep.what == KERB and away_mm - radius_mm < question.strip_least_mm - 1e-9:
            return f"it would leave {away_mm - radius_mm:.0f} mm of road before {keep.what}"
    for n in question.neighbours:
        away_mm = distance_to_mm((0.0, 0.0), n.cut) if n.cut else math.inf
        if away_mm - radius_mm < max(question.strip_least_mm, 1e-6):
            return f"it would leave too little road before the cut-out of {n.name}, and a circle is not joined"
    return ""


def round_shape(question: CutQuestion) -> CutOut:
    """The round cut, without its comparison.

    Valid       see why_no_round
    Source      algebra
    Raises      NotDesignedError where a kerb, an obstacle or a neighbour leaves it no room
    Proved by   tests/chamber/test_cut_round.py
    """
    why = why_no_round(question)
    if why:
        raise NotDesignedError(f"A round cut is not possible here: {why}.", "Choose a square cut (cut_shape).")
    radius_mm = round_radius_mm(question)
    saw_m = 2.0 * math.pi * radius_mm / 1000.0
    saw = saw_depth(
        question.saw_depth_mm,
        question.dig_depth_mm,
        question.blade_mm,
        question.reach_mm,
        question.pass_depth_mm,
        saw_m,
    )
    around = around_radius_mm(question.flange_shape, question.flange_along_mm, question.flange_across_mm)
    sound = max(question.margins_mm) if question.margins_mm is not None else question.sound_margin_mm
    margin_mm = radius_mm - around
    return CutOut(
        ring=circle_ring(2.0 * radius_mm),
        along_mm=2.0 * radius_mm,
        across_mm=2.0 * radius_mm,
        margin_mm=margin_mm,
        governed_by="sound margin, as tapped"
        if sound >= question.least_width_mm
        else f"least width of {question.least_width_of}",
        saw_length_m=saw_m,
        depth_mm=saw.wanted_mm,
        dig_depth_mm=question.dig_depth_mm,
        run_on_mm=None,
        blade_mm=question.blade_mm,
        clipped_by_kerb=False,
        least_beside_mm=margin_mm,
        form="round",
        turn_deg=question.cut_turn_deg,
        area_mm2=math.pi * radius_mm**2,
        diameter_mm=2.0 * radius_mm,
        margins_mm=(margin_mm,) * 4,
        corners=CornerWork("none", saw.sawn_mm, reached_mm=saw.sawn_mm),
        saw=saw,
    )
