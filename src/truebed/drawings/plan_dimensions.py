"""The plan drawing's dimensions: opening and flange along the frame's own axes, the cut along its own, the margin."""

from __future__ import annotations

import math
from dataclasses import dataclass

from truebed.chamber.plane import Point, Ring
from truebed.drawings.label_places import Area
from truebed.drawings.levels_text import whole_or_tenth_mm
from truebed.drawings.sheet_scale import ToSheet, crossing, own_box, turned
from truebed.drawings.svg import THIN_MM, circle, dimension, line, words, words_width_mm
from truebed.plan.result import CoverDesign

FIRST_MM = 5.5
STEP_MM = 6.0
#: Room beyond a dimension's line.
WORDS_MM = 1.8
_SIZE_MM = 3.6
#: Points of a flange this near to its foremost are its front side [mm].
_FRONT_MM = 2.0


@dataclass(frozen=True, slots=True)
class _Measured:
    """A ring to be measured: its name, the turn of its axes, whether one diameter says all."""

    name: str
    ring: Ring
    turn_deg: float
    is_round: bool


def _measured(design: CoverDesign) -> tuple[_Measured, ...]:
    outlines, round_one = design.outlines, design.shape == "round"
    return (
        _Measured("opening", outlines.opening, design.turn_deg, round_one),
        _Measured("flange", outlines.flange, design.turn_deg, round_one),
        _Measured("cut", outlines.cut, design.cut.turn_deg, design.cut.form == "round"),
    )


def _clear_of(design: CoverDesign, field: Ring, turn_deg: float) -> Ring:
    """What the dimensions of axes so turned keep clear of: everything; where frame and cut differ, the outlines."""
    o = design.outlines
    one_turn = design.turn_deg == design.cut.turn_deg or turn_deg % 90.0 == 0.0
    return field if one_turn else o.cut + o.flange + o.wall


@dataclass(frozen=True, slots=True)
class _Dimension:
    """A dimension in local axes: from a to b, drawn `off` away, with its words."""

    a: Point
    b: Point
    off: Point
    text: str


def _all(design: CoverDesign, field: Ring, one_to: int) -> list[_Dimension]:
    """Along below the field, across on its left, each further out than the one before."""
    out = []
    across_count = 0
    for i, one in enumerate(_measured(design)):
        turn_deg = one.turn_deg
        own, around = own_box(one.ring, turn_deg), own_box(_clear_of(design, field, turn_deg), turn_deg)
        start = turned(own.x_low_mm, own.y_low_mm, turn_deg)
        right = turned(own.x_high_mm, own.y_low_mm, turn_deg)
        drop_mm = (FIRST_MM + STEP_MM * i) * one_to + own.y_low_mm - around.y_low_mm
        along = whole_or_tenth_mm(own.along_mm)
        text = f"{one.name} \u00d8{along}" if one.is_round else f"{one.name} {along}"
        out.append(_Dimension(start, right, turned(0.0, -drop_mm, turn_deg), text))
        if not one.is_round:
            top = turned(own.x_low_mm, own.y_high_mm, turn_deg)
            shift_mm = (FIRST_MM + STEP_MM * across_count) * one_to + own.x_low_mm - around.x_low_mm
            name = f"{one.name} {whole_or_tenth_mm(own.across_mm)}"
            out.append(_Dimension(start, top, turned(-shift_mm, 0.0, turn_deg), name))
            across_count += 1
    return out


def outermost_mm(design: CoverDesign, field: Ring, one_to: int) -> list[Point]:
    """How far out the dimensions stand, words included, as points of the local axes.

    Valid       the field that the dimensions keep clear of
    Source      house (drawing)
    Proved by   tests/drawings/test_plan_view.py
    """
    out = []
    for one in _all(design, field, one_to):
        reach_mm = math.hypot(*one.off)
        more = 1.0 + WORDS_MM * one_to / reach_mm if reach_mm > 0.0 else 1.0
        out += [(x + one.off[0] * more, y + one.off[1] * more) for x, y in (one.a, one.b)]
    return out


def dimension_areas(design: CoverDesign, field: Ring, to: ToSheet) -> list[Area]:
    """Where the dimensions' lines and words stand on the sheet, for labels that keep clear of them.

    Valid       any designed cover
    Source      house (drawing)
    Proved by   tests/drawings/test_plan_view.py
    """
    out = []
    for one in _all(design, field, to.one_to):
        a, b = (to.at(x + one.off[0], y + one.off[1]) for x, y in (one.a, one.b))
        length_mm = math.dist(a, b)
        if length_mm <= 0.0:
            continue
        run = ((b[0] - a[0]) / length_mm, (b[1] - a[1]) / length_mm)
        up = (run[1], -run[0]) if run[0] >= 0.0 else (-run[1], run[0])
        half_mm = words_width_mm(one.text, _SIZE_MM) / 2.0
        count = math.ceil(length_mm / 2.0)
        for i in range(count + 1):
            at = length_mm * i / count
            x, y = a[0] + run[0] * at, a[1] + run[1] * at
            high_mm = 4.2 if abs(at - length_mm / 2.0) <= half_mm else 0.5
            out.append(Area(x - 0.8, y - 0.8, x + 0.8, y + 0.8).grown_to(x + up[0] * high_mm, y + up[1] * high_mm))
    return out


def dimensions(design: CoverDesign, field: Ring, to: ToSheet) -> list[str]:
    """Opening, flange and cut-out along (below the field) and across (left of it), each in its own axes; the margin.

    Valid       any designed cover
    Source      house (drawing)
    Proved by   tests/drawings/test_plan_view.py
    """
    parts = []
    for one in _all(design, field, to.one_to):
        off = one.off[0] / to.one_to, -one.off[1] / to.one_to
        parts.append(dimension(to.at(*one.a), to.at(*one.b), off, one.text, _SIZE_MM))
    return [*parts, *_margin(design, to)]


def _margin(design: CoverDesign, to: ToSheet) -> list[str]:
    """The margin from the flange's front to the cut, in the cut's own axes."""
    turn_deg = design.cut.turn_deg
    flange = [turned(x, y, -turn_deg) for x, y in design.outlines.flange]
    cut = tuple(turned(x, y, -turn_deg) for x, y in design.outlines.cut)
    front_mm = max(x for x, _ in flange)
    ys = [y for x, y in flange if x > front_mm - _FRONT_MM]
    level_mm = min(ys) + 0.19 * (max(ys) - min(ys))
    met = crossing(cut, level_mm)
    if met is None or met[1] <= front_mm:
        return []
    a, b = to.at(*turned(front_mm, level_mm, turn_deg)), to.at(*turned(met[1], level_mm, turn_deg))
    run_mm = math.dist(a, b)
    beyond = (b[0] + (b[0] - a[0]) * 3.0 / run_mm, b[1] + (b[1] - a[1]) * 3.0 / run_mm) if run_mm > 0.0 else b
    text = f"margin {whole_or_tenth_mm(met[1] - front_mm)}"
    return [
        line(a, beyond, THIN_MM),
        *(circle(end, 0.6, 0.0, "ink") for end in (a, b)),
        words((beyond[0] + 0.8, beyond[1] + 1.0), text, 3.3, "start"),
    ]
