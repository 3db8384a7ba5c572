"""The cover in plan, to scale and dimensioned: cut-out, flange, body, opening, wall, readings, levels to set."""

from __future__ import annotations

import math
import textwrap
from dataclasses import dataclass

from truebed.chamber.plane import Ring
from truebed.drawings.kerb import kerb_edge_mm, kerb_parts, kerb_side
from truebed.drawings.levels_text import whole_or_tenth_mm, whole_signed_mm
from truebed.drawings.sheet_scale import OwnBox, ToSheet, fitting_scale, own_box, scale_bar, turned
from truebed.drawings.svg import (
    BOLD_MM,
    LINE_MM,
    THIN_MM,
    Point,
    arrow,
    between,
    circle,
    dimension,
    document,
    line,
    polygon,
    words,
    words_width_mm,
)
from truebed.levels.setting import RimPoint
from truebed.plan.result import CoverDesign

#: Room on the sheet for the outlines, and the farthest a reading is drawn from the centre [mm of the sheet].
OUTLINE_ROOM_MM = 125.0
READING_ROOM_MM = 62.5
_TOP_MM = 11.0
_FIRST_DIM_MM = 5.5
_RIGHT_MM = 18.0
_DIM_STEP_MM = 6.0


@dataclass(frozen=True, slots=True)
class _Sheet:
    """The scale; the drawn field in local axes (half sizes); the field in the frame's own axes; the sheet's size."""

    to: ToSheet
    half_x_mm: float
    half_y_mm: float
    own: OwnBox
    width_mm: float
    foot_mm: float


def plan_view_svg(design: CoverDesign) -> str:
    """The cover in plan at a named scale (1:10 where it fits), traffic from left to right.

    Valid       any designed cover; readings beyond the drawn field are named in a note
    Source      house (drawing)
    Proved by   tests/drawings/test_plan_view.py
    """
    sheet = _lay_out(design)
    notes = textwrap.wrap(" ".join(_notes(design, sheet)), int(sheet.width_mm / 1.85))
    height_mm = sheet.foot_mm + 8.0 + 4.6 * len(notes)
    parts = [
        *_shapes(design, sheet.to),
        *kerb_parts(design, sheet.to, -sheet.half_x_mm, sheet.half_x_mm),
        *_readings(design, sheet),
        *_dimensions(design, sheet),
        *_corner_levels(design, sheet.to),
        _pour(design, sheet.to),
        *_traffic(sheet),
        scale_bar((2.0, sheet.foot_mm + 1.0), sheet.to.one_to),
        *(words((2.0, sheet.foot_mm + 8.6 + 4.6 * i), note, 3.2, "start") for i, note in enumerate(notes)),
    ]
    return document(sheet.width_mm, height_mm, f"{design.cover} in plan, 1:{sheet.to.one_to}", parts)


def _lay_out(design: CoverDesign) -> _Sheet:
    """The scale and the field: cut-out, flange, wall always; readings as far as there is room; dimensions outside."""
    rings = design.outlines.cut + design.outlines.flange + design.outlines.wall
    one_to = fitting_scale(2 * max(max(abs(x), abs(y)) for x, y in rings), OUTLINE_ROOM_MM)
    limit_mm = READING_ROOM_MM * one_to
    near = tuple((p.x_mm, p.y_mm) for p in design.road.points if abs(p.x_mm) <= limit_mm and abs(p.y_mm) <= limit_mm)
    field = rings + near
    half_x_mm = max(abs(x) for x, _ in field) + 2.0 * one_to
    half_y_mm = max(abs(y) for _, y in field) + 2.0 * one_to
    own = own_box(field, design.turn_deg)
    dims_mm = (_FIRST_DIM_MM + 2.3 * _DIM_STEP_MM) * one_to
    outermost = [
        turned(x_mm, y_mm, design.turn_deg)
        for x_mm, y_mm in (
            (own.x_low_mm - dims_mm, own.y_low_mm),
            (own.x_low_mm - dims_mm, own.y_high_mm),
            (own.x_low_mm, own.y_low_mm - dims_mm),
            (own.x_high_mm, own.y_low_mm - dims_mm),
        )
    ]
    left_mm = max(half_x_mm, *(-x for x, _ in outermost)) / one_to + 4.5
    down_mm = max(half_y_mm, *(-y for _, y in outermost)) / one_to + 2.0
    origin_x_mm, origin_y_mm = left_mm, _TOP_MM + half_y_mm / one_to
    cut_right_mm = origin_x_mm + max(x for x, _ in design.outlines.cut) / one_to
    width_mm = max(
        origin_x_mm + half_x_mm / one_to + _RIGHT_MM, cut_right_mm + 3.8 + words_width_mm("margin 1000", 3.6)
    )
    return _Sheet(ToSheet(one_to, origin_x_mm, origin_y_mm), half_x_mm, half_y_mm, own, width_mm, origin_y_mm + down_mm)


def _shapes(design: CoverDesign, to: ToSheet) -> list[str]:
    outlines = design.outlines
    cut, body, opening = to.ring(outlines.cut), to.ring(outlines.body), to.ring(outlines.opening)
    return [
        between(cut, body, "dots"),
        polygon(to.ring(outlines.wall), THIN_MM * 1.4, dash="2.4 1.2", name="wall"),
        polygon(to.ring(outlines.flange), LINE_MM, name="flange"),
        between(body, opening, "dense"),
        polygon(body, LINE_MM, name="body"),
        polygon(opening, LINE_MM, name="opening"),
        polygon(to.ring(outlines.chamber), THIN_MM, dash="0.5 1", name="chamber"),
        polygon(cut, BOLD_MM * 1.2, name="cut"),
        *_run_on(design, cut, to),
    ]


def _run_on(design: CoverDesign, cut: tuple[Point, ...], to: ToSheet) -> list[str]:
    """The blade's over-run past each corner, for cut-outs of few corners."""
    run_on_mm = design.cut.run_on_mm
    if run_on_mm is None or len(cut) > 8:
        return []
    tails = []
    for a, b in zip(cut, (*cut[1:], cut[0]), strict=True):
        run, rise = b[0] - a[0], b[1] - a[1]
        length_mm = (run * run + rise * rise) ** 0.5
        step = (run / length_mm * run_on_mm / to.one_to, rise / length_mm * run_on_mm / to.one_to)
        tails += [(b, (b[0] + step[0], b[1] + step[1])), (a, (a[0] - step[0], a[1] - step[1]))]
    if design.cut.clipped_by_kerb:  # no blade runs into the kerb
        side, edge_mm = kerb_side(design), to.at(0.0, kerb_edge_mm(design))[1]
        tails = [(start, end) for start, end in tails if side * (edge_mm - end[1]) < 1.0]
    return [line(start, end, THIN_MM, "1.2 0.8") for start, end in tails]


def _readings(design: CoverDesign, sheet: _Sheet) -> list[str]:
    gross = {g.point for g in design.road.gross}
    parts = []
    for point in design.road.points:
        if not _drawn(point.x_mm, point.y_mm, sheet):
            continue
        at = sheet.to.at(point.x_mm, point.y_mm)
        parts.append(circle(at, 0.7, 0.0, "ink"))
        left = point.x_mm < 0
        beside = (at[0] - 1.4 if left else at[0] + 1.4, at[1] - 1.2)
        parts.append(words(beside, point.point, 2.9, "end" if left else "start"))
        if point.point in gross:
            parts.append(circle(at, 2.1, BOLD_MM))
    return parts


def _drawn(x_mm: float, y_mm: float, sheet: _Sheet) -> bool:
    return abs(x_mm) <= sheet.half_x_mm and abs(y_mm) <= sheet.half_y_mm


def _dimensions(design: CoverDesign, sheet: _Sheet) -> list[str]:
    """Opening, flange and cut-out along (below) and across (left), in the frame's own axes; the margin in front."""
    to, turn_deg, field = sheet.to, design.turn_deg, sheet.own
    down, left = turned(0.0, -1.0, turn_deg), turned(-1.0, 0.0, turn_deg)
    parts = []
    for i, (name, ring) in enumerate(_measured_rings(design)):
        own = own_box(ring, turn_deg)
        away_mm = _FIRST_DIM_MM + _DIM_STEP_MM * i
        drop_mm = away_mm + (own.y_low_mm - field.y_low_mm) / to.one_to
        shift_mm = (_FIRST_DIM_MM if design.shape == "round" else away_mm) + (own.x_low_mm - field.x_low_mm) / to.one_to
        start = to.at(*turned(own.x_low_mm, own.y_low_mm, turn_deg))
        right = to.at(*turned(own.x_high_mm, own.y_low_mm, turn_deg))
        top = to.at(*turned(own.x_low_mm, own.y_high_mm, turn_deg))
        round_one = design.shape == "round" and name != "cut"
        along, across = whole_or_tenth_mm(own.along_mm), whole_or_tenth_mm(own.across_mm)
        along_text = f"{name} Ø{along}" if round_one else f"{name} {along}"
        parts.append(dimension(start, right, (down[0] * drop_mm, -down[1] * drop_mm), along_text, 3.6))
        if not round_one:
            parts.append(dimension(start, top, (left[0] * shift_mm, -left[1] * shift_mm), f"{name} {across}", 3.6))
    return [*parts, *_margin(design, to)]


def _measured_rings(design: CoverDesign) -> tuple[tuple[str, Ring], ...]:
    outlines = design.outlines
    return ("opening", outlines.opening), ("flange", outlines.flange), ("cut", outlines.cut)


def _margin(design: CoverDesign, to: ToSheet) -> list[str]:
    """The margin from flange to cut-out, on the front side of the frame."""
    turn_deg = design.turn_deg
    flange, cut = own_box(design.outlines.flange, turn_deg), own_box(design.outlines.cut, turn_deg)
    level_mm = -0.62 * flange.y_high_mm
    a = to.at(*turned(flange.x_high_mm, level_mm, turn_deg))
    b = to.at(*turned(cut.x_high_mm, level_mm, turn_deg))
    run_mm = math.dist(a, b)
    beyond = (b[0] + (b[0] - a[0]) * 3.0 / run_mm, b[1] + (b[1] - a[1]) * 3.0 / run_mm) if run_mm > 0.0 else b
    text = f"margin {whole_or_tenth_mm(cut.x_high_mm - flange.x_high_mm)}"
    return [
        line(a, beyond, THIN_MM),
        *(circle(end, 0.6, 0.0, "ink") for end in (a, b)),
        words((beyond[0] + 0.8, beyond[1] + 1.0), text, 3.3, "start"),
    ]


def _corner_levels(design: CoverDesign, to: ToSheet) -> list[str]:
    """Each corner's name with the level to set, inside the opening, on the side of that corner."""
    opening = own_box(design.outlines.opening, 0.0)
    reach = max(abs(p.x_mm) for p in design.setting.corners)
    parts = []
    for corner in design.setting.corners:
        share = 0.52 if abs(corner.x_mm * corner.y_mm) > 0.02 * reach * reach else 0.66
        at = to.at(corner.x_mm * share, corner.y_mm * share)
        small = 3.1 if opening.along_mm / to.one_to >= 45 else 2.6
        parts.append(words((at[0], at[1] - 1.2), corner.name, small))
        parts.append(words((at[0], at[1] + 4.0), whole_signed_mm(corner.rim_mm), small * 1.75, bold=True))
        parts.append(circle(to.at(corner.x_mm, corner.y_mm), 1.0, LINE_MM, "paper"))
    return parts


def highest_corner(design: CoverDesign) -> RimPoint:
    """The corner of the rim that stands highest: where the pour goes in (common practice, no source)."""
    return max(design.setting.corners, key=lambda p: p.rim_mm)


def _pour(design: CoverDesign, to: ToSheet) -> str:
    """An arrow from outside the cut-out into the gap at the highest corner."""
    corner = highest_corner(design)
    reach_mm = (corner.x_mm**2 + corner.y_mm**2) ** 0.5
    out = (corner.x_mm / reach_mm, corner.y_mm / reach_mm)
    upright = abs(out[0]) < 0.5

    def outside(away_mm: float) -> Point:
        more_mm = away_mm * to.one_to
        return to.at(corner.x_mm + out[0] * more_mm, corner.y_mm + out[1] * more_mm)

    tip, tail = outside(4.0), outside(19.0 if upright else 25.0)
    if upright:
        beside = (tail[0] + 2.0, (tail[1] + tip[1]) / 2 + 2.5)
        name = words(beside, "POUR", 3.8, "start", bold=True)
    else:
        name = words((tail[0], tail[1] + (-1.4 if out[1] >= 0 else 4.0)), "POUR", 3.8, bold=True)
    return arrow(tail, tip, BOLD_MM * 1.3, 4.0) + name


def _traffic(sheet: _Sheet) -> list[str]:
    middle = sheet.to.origin_x_mm
    return [
        arrow((middle - 16, 6.5), (middle + 16, 6.5), BOLD_MM * 1.3, 4.0),
        words((middle, 4.6), "traffic (+x)", 3.6, bold=True),
    ]


def _notes(design: CoverDesign, sheet: _Sheet) -> list[str]:
    """What the drawing cannot show by itself."""
    zero = "Bold: level of the rim to set [mm] above the cover's zero (bench mark)."
    pour = f"POUR: at {highest_corner(design).name}, the highest corner (common practice, no source)."
    notes = [zero, pour]
    if design.cut.run_on_mm is not None:
        run_on = f"{design.cut.run_on_mm:.0f}"
        notes.append(
            f"Do NOT saw past the corners: for full depth the blade would run on {run_on} (dashed). Break or core."
        )
    far = [p.point for p in design.road.points if not _drawn(p.x_mm, p.y_mm, sheet)]
    if far:
        notes.append(f"Outside the drawing: {', '.join(far)}.")
    if design.road.gross:
        notes.append(f"Ringed: gross reading, not used ({', '.join(g.point for g in design.road.gross)}).")
    if design.cut.clipped_by_kerb:
        notes.append("The cut stops at the kerb.")
    return notes
