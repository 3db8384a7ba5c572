"""The cover in plan, to scale and dimensioned: cut-out, flange, body, opening, wall, readings, levels to set."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass

from truebed.chamber.plane import Ring
from truebed.drawings.cut_marks import corner_marks, cut_line, cut_notes, field_of, joined_parts, kept_off_parts
from truebed.drawings.kerb import kerb_parts
from truebed.drawings.label_places import Area, baseline, least_covering, round_about
from truebed.drawings.levels_text import whole_signed_mm
from truebed.drawings.plan_dimensions import dimension_areas, dimensions, outermost_mm
from truebed.drawings.sheet_scale import ToSheet, fitting_scale, own_box, scale_bar, turned
from truebed.drawings.svg import (
    BOLD_MM,
    LINE_MM,
    THIN_MM,
    Point,
    arrow,
    between,
    circle,
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
_RIGHT_MM = 18.0
_DIM_TEXT_MM = 1.5
_NAME_MM = 2.9


@dataclass(frozen=True, slots=True)
class _Sheet:
    """The scale; the drawn field in local axes (half sizes); what stands in it; the sheet's size."""

    to: ToSheet
    half_x_mm: float
    half_y_mm: float
    field: Ring
    width_mm: float
    foot_mm: float


def plan_view_svg(design: CoverDesign, *, cut_notes_too: bool = True) -> str:
    """The cover in plan at a named scale (1:10 where it fits), traffic from left to right.

    Valid       any designed cover; readings beyond the drawn field are named in a note
    Source      house (drawing)
    Proved by   tests/drawings/test_plan_view.py
    """
    sheet = _lay_out(design)
    notes = textwrap.wrap(" ".join(_notes(design, sheet, cut_notes_too=cut_notes_too)), int(sheet.width_mm / 1.85))
    height_mm = sheet.foot_mm + 8.0 + 4.6 * len(notes)
    parts = [
        *_shapes(design, sheet),
        *kerb_parts(design, sheet.to, -sheet.half_x_mm, sheet.half_x_mm),
        *_readings(design, sheet),
        *dimensions(design, sheet.field, sheet.to),
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
    outermost = outermost_mm(design, field, one_to)
    left_mm = max(half_x_mm, *(-x for x, _ in outermost)) / one_to + 4.5
    down_mm = max(half_y_mm, *(-y for _, y in outermost)) / one_to + 2.0
    up_mm = max(half_y_mm, *(y + _DIM_TEXT_MM * one_to for _, y in outermost)) / one_to
    origin_x_mm, origin_y_mm = left_mm, _TOP_MM + up_mm
    cut_right_mm = origin_x_mm + max(x for x, _ in design.outlines.cut) / one_to
    width_mm = max(
        origin_x_mm + half_x_mm / one_to + _RIGHT_MM, cut_right_mm + 3.8 + words_width_mm("margin 1000", 3.6)
    )
    to = ToSheet(one_to, origin_x_mm, origin_y_mm)
    return _Sheet(to, half_x_mm, half_y_mm, field, width_mm, origin_y_mm + down_mm)


def _shapes(design: CoverDesign, sheet: _Sheet) -> list[str]:
    outlines, to = design.outlines, sheet.to
    far_x, far_y = sheet.half_x_mm, sheet.half_y_mm
    cut, body, opening = to.ring(outlines.cut), to.ring(outlines.body), to.ring(outlines.opening)
    return [
        between(cut, body, "dots"),
        polygon(to.ring(outlines.wall), THIN_MM * 1.4, dash="2.4 1.2", name="wall"),
        polygon(to.ring(outlines.flange), LINE_MM, name="flange"),
        between(body, opening, "dense"),
        polygon(body, LINE_MM, name="body"),
        polygon(opening, LINE_MM, name="opening"),
        polygon(to.ring(outlines.chamber), THIN_MM, dash="0.5 1", name="chamber"),
        *_joints(design, to),
        *joined_parts(design.cut.joined, design.cover, field_of(-far_x, -far_y, far_x, far_y), to),
        *kept_off_parts(design, field_of(-far_x, -far_y, far_x, far_y), to),
        *cut_line(design, to),
        *corner_marks(design, to),
    ]


def _joints(design: CoverDesign, to: ToSheet) -> list[str]:
    """Where the castings of a frame, or two three-cornered lids, meet."""
    own, turn_deg = own_box(design.outlines.opening, design.turn_deg), design.turn_deg
    parts = []
    if design.shape == "triangular pair":
        parts.append(_own_line((own.x_low_mm, own.y_low_mm), (own.x_high_mm, own.y_high_mm), turn_deg, to))
    body = own_box(design.outlines.body, turn_deg)
    for i in range(1, design.parts_count):
        x = body.x_low_mm + body.along_mm * i / design.parts_count
        parts.append(_own_line((x, body.y_low_mm), (x, body.y_high_mm), turn_deg, to))
    return parts


def _own_line(a: Point, b: Point, turn_deg: float, to: ToSheet) -> str:
    """A line between two points of the frame's own axes."""
    return line(to.at(*turned(*a, turn_deg)), to.at(*turned(*b, turn_deg)), LINE_MM * 1.2)


def _readings(design: CoverDesign, sheet: _Sheet) -> list[str]:
    """Each reading's dot and name, a gross one ringed; names keep clear of dimensions, the pour and each other."""
    gross = {g.point for g in design.road.gross}
    shown = [p for p in design.road.points if _drawn(p.x_mm, p.y_mm, sheet)]
    places = [sheet.to.at(p.x_mm, p.y_mm) for p in shown]
    taken = [*dimension_areas(design, sheet.field, sheet.to), *_pour_areas(design, sheet.to)]
    taken += [Area(x - 1.0, y - 1.0, x + 1.0, y + 1.0) for x, y in places]
    room = Area(0.0, 0.0, sheet.width_mm, sheet.foot_mm)
    parts = []
    for point, at in zip(shown, places, strict=True):
        off_mm = 2.4 if point.point in gross else 1.2
        spots = round_about(at, point.point, _NAME_MM, off_mm, outward=(point.x_mm, -abs(point.y_mm) - 1.0))
        label, _ = least_covering(spots, taken, room)
        taken.append(label)
        parts += [circle(at, 0.7, 0.0, "ink"), words(baseline(label, _NAME_MM), point.point, _NAME_MM)]
        if point.point in gross:
            parts.append(circle(at, 2.1, BOLD_MM))
    return parts


def _drawn(x_mm: float, y_mm: float, sheet: _Sheet) -> bool:
    return abs(x_mm) <= sheet.half_x_mm and abs(y_mm) <= sheet.half_y_mm


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
    tail, tip, name_at, anchor = _pour_place(design, to)
    return arrow(tail, tip, BOLD_MM * 1.3, 4.0) + words(name_at, "POUR", 3.8, anchor, bold=True)


def _pour_place(design: CoverDesign, to: ToSheet) -> tuple[Point, Point, Point, str]:
    """The pour's arrow from tail to tip, and where its name stands."""
    corner = highest_corner(design)
    reach_mm = (corner.x_mm**2 + corner.y_mm**2) ** 0.5
    out = (corner.x_mm / reach_mm, corner.y_mm / reach_mm)
    upright = abs(out[0]) < 0.5

    def outside(away_mm: float) -> Point:
        more_mm = away_mm * to.one_to
        return to.at(corner.x_mm + out[0] * more_mm, corner.y_mm + out[1] * more_mm)

    tip, tail = outside(4.0), outside(19.0 if upright else 25.0)
    if upright:
        return tail, tip, (tail[0] + 2.0, (tail[1] + tip[1]) / 2 + 2.5), "start"
    return tail, tip, (tail[0], tail[1] + (-1.4 if out[1] >= 0 else 4.0)), "middle"


def _pour_areas(design: CoverDesign, to: ToSheet) -> list[Area]:
    """Where the pour's arrow and name stand."""
    tail, tip, (x, y), anchor = _pour_place(design, to)
    wide_mm = 1.1 * words_width_mm("POUR", 3.8)
    left_mm = x - (wide_mm / 2 if anchor == "middle" else 0.0)
    spots = [(tail[0] + (tip[0] - tail[0]) * i / 8, tail[1] + (tip[1] - tail[1]) * i / 8) for i in range(9)]
    name = Area(left_mm, y - 3.2, left_mm + wide_mm, y + 0.8)
    return [name, *(Area(px - 1.2, py - 1.2, px + 1.2, py + 1.2) for px, py in spots)]


def _traffic(sheet: _Sheet) -> list[str]:
    middle = sheet.to.origin_x_mm
    return [
        arrow((middle - 16, 6.5), (middle + 16, 6.5), BOLD_MM * 1.3, 4.0),
        words((middle, 4.6), "traffic (+x)", 3.6, bold=True),
    ]


def _notes(design: CoverDesign, sheet: _Sheet, *, cut_notes_too: bool) -> list[str]:
    """What the drawing cannot show by itself."""
    zero = "Bold: level of the rim to set [mm] above the cover's zero (bench mark)."
    pour = f"POUR: at {highest_corner(design).name}, the highest corner (common practice, no source)."
    notes = [zero, pour]
    notes += cut_notes(design) if cut_notes_too else []
    far = [p.point for p in design.road.points if not _drawn(p.x_mm, p.y_mm, sheet)]
    if far:
        notes.append(f"Outside the drawing: {', '.join(far)}.")
    if design.road.gross:
        notes.append(f"Ringed: gross reading, not used ({', '.join(g.point for g in design.road.gross)}).")
    return notes
