"""The fitted road as lines of equal level over the cover in plan, with each reading and what it is off the fit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Literal

from truebed.drawings.contour_lines import Piece, fold_piece, pieces_of
from truebed.drawings.cut_marks import cut_line
from truebed.drawings.kerb import kerb_edge_mm, kerb_parts, meets_kerb
from truebed.drawings.label_places import Area, about, baseline, least_covering, round_about
from truebed.drawings.levels_text import signed_mm, whole_signed_mm
from truebed.drawings.road_falls import falls_of
from truebed.drawings.road_key import (
    FOLD_DASH,
    KEY_LINE_MM,
    RIM_PEN_MM,
    key_parts,
    key_rows,
    left_out_words,
    reading_mark,
)
from truebed.drawings.sheet_scale import SCALES, ToSheet, scale_bar
from truebed.drawings.svg import (
    BOLD_MM,
    LINE_MM,
    THIN_MM,
    Point,
    arrow,
    document,
    line,
    polygon,
    polyline,
    words,
)
from truebed.levels.surface import RoadPoint
from truebed.plan.result import CoverDesign

Key = Literal["beside", "below"]
#: Room on the sheet for cut-out and readings, and beside them for their labels.
ROOM_WIDE_MM = 82.0
ROOM_HIGH_MM = 82.0
_BESIDE_MM = 17.0
_OVER_MM = 6.5
_TOP_MM = 9.0
_KEY_MM = 64.0
#: The cut-out is never drawn smaller than this for the sake of a far reading.
_CUT_LEAST_MM = 28.0
_SIZE_MM = 3.3
_FALL_MM = 7.0


@dataclass(slots=True)
class _Map:
    """The map under way: scale, its area on the sheet, and what stands on it already."""

    to: ToSheet
    area: Area
    taken: list[Area] = field(default_factory=list)

    def place(self, places: Sequence[Area]) -> Area:
        """The best of the places; it is taken from now on."""
        best, _ = least_covering(places, self.taken, self.area)
        self.taken.append(best)
        return best

    def holds(self, point: RoadPoint) -> bool:
        """Whether a reading lies on the map."""
        x, y = self.to.at(point.x_mm, point.y_mm)
        area = self.area
        return area.left_mm <= x <= area.right_mm and area.top_mm <= y <= area.foot_mm


def road_contours_svg(design: CoverDesign, road_sd_mm: float | None = None, key: Key = "beside") -> str:
    """The road's lines of level, readings with residuals, falls; the key beside the map (paper) or below it (screen).

    road_sd_mm  the greatest error of the fitted road round the rim, one standard deviation; None: not said
    Lines end at the outermost readings used: beyond them the road is not known. Inside the rim they are dashed.

    Valid       any designed cover
    Source      house (drawing)
    Proved by   tests/drawings/test_road_contours.py
    """
    sheet = _lay_out(design)
    step_mm, pieces = pieces_of(design)
    area = sheet.area
    key_wide_mm = _KEY_MM if key == "beside" else max(_KEY_MM, area.right_mm - 2.0)
    rows = key_rows(
        design, step_mm, road_sd_mm, [p.point for p in design.road.points if not sheet.holds(p)], key_wide_mm
    )
    key_at = (area.right_mm + 3.0, 6.0) if key == "beside" else (2.0, area.foot_mm + 11.0)
    foot_mm = max(area.foot_mm + 6.0, key_at[1] + KEY_LINE_MM * len(rows) - 1.0)
    sheet.taken += _lines_taken(design, sheet)
    labels = [*_falls(design, sheet), *_readings(design, sheet), *_levels(pieces, sheet)]
    parts = [
        *(_drawn(piece, sheet.to) for piece in pieces),
        *_fold(design, sheet.to),
        *_outlines(design, sheet),
        *labels,
        *_traffic(area),
        scale_bar((2.0, area.foot_mm + 2.0), sheet.to.one_to),
        *key_parts(key_at, rows),
    ]
    wide_mm = max(key_at[0] + key_wide_mm, area.right_mm + 2.0)
    return document(wide_mm, foot_mm, f"{design.cover}, the fitted road, 1:{sheet.to.one_to}", parts)


def _lay_out(design: CoverDesign) -> _Map:
    """The finest scale at which cut-out, flange and readings fit; far readings are left outside and named."""
    rings = design.outlines.cut + design.outlines.flange
    wide, high = (max(of) - min(of) for of in ([x for x, _ in rings], [y for _, y in rings]))
    everything = [*rings, *((p.x_mm, p.y_mm) for p in design.road.points)]
    coarsest = max(max(wide, high) / _CUT_LEAST_MM, wide / ROOM_WIDE_MM, high / ROOM_HIGH_MM)
    scales = [s for s in SCALES if s <= coarsest] or [SCALES[0]]
    for one_to in (*scales, SCALES[-1]):
        spread = [max(of) - min(of) for of in zip(*everything, strict=True)]
        if spread[0] / one_to <= ROOM_WIDE_MM and spread[1] / one_to <= ROOM_HIGH_MM:
            return _map_of(everything, one_to)
    one_to = scales[-1]
    near = [
        (x, y) for x, y in everything if abs(x) <= ROOM_WIDE_MM / 2 * one_to and abs(y) <= ROOM_HIGH_MM / 2 * one_to
    ]
    return _map_of([*near, *rings], one_to)


def _map_of(shown: Sequence[Point], one_to: int) -> _Map:
    xs, ys = [x for x, _ in shown], [y for _, y in shown]
    to = ToSheet(one_to, 2.0 + _BESIDE_MM - min(xs) / one_to, _TOP_MM + _OVER_MM + max(ys) / one_to)
    right_mm, foot_mm = to.at(max(xs), min(ys))
    return _Map(to, Area(2.0, _TOP_MM, right_mm + _BESIDE_MM, foot_mm + _OVER_MM))


def _drawn(piece: Piece, to: ToSheet) -> str:
    return polyline(to.ring(piece.points), THIN_MM * 1.4, "1.6 1.2" if piece.inside else "")


def _fold(design: CoverDesign, to: ToSheet) -> list[str]:
    points = fold_piece(design)
    return [polyline(to.ring(points), LINE_MM, FOLD_DASH)] if points else []


def _outlines(design: CoverDesign, sheet: _Map) -> list[str]:
    outlines, to = design.outlines, sheet.to
    field_low, field_high = ((x - to.origin_x_mm) * to.one_to for x in (sheet.area.left_mm, sheet.area.right_mm))
    return [
        polygon(to.ring(outlines.flange), THIN_MM, dash="0.5 1", name="flange"),
        polygon(to.ring(outlines.body), RIM_PEN_MM, name="rim"),
        *cut_line(design, to),
        *kerb_parts(design, to, field_low, field_high),
    ]


def _lines_taken(design: CoverDesign, sheet: _Map) -> list[Area]:
    """The lines that no label should stand on, as small areas: rim, cut-out, kerb and its name."""
    spots: list[Point] = []
    for ring in (design.outlines.body, design.outlines.cut):
        ends = sheet.to.ring(ring)
        for a, b in zip(ends, (*ends[1:], ends[0]), strict=True):
            count = max(1, math.ceil(math.dist(a, b) / 1.5))
            for i in range(count):
                spot = (a[0] + (b[0] - a[0]) * i / count, a[1] + (b[1] - a[1]) * i / count)
                if not spots or math.dist(spot, spots[-1]) >= 1.0:  # a circle is a ring of many short edges
                    spots.append(spot)
    out = [Area(x - 0.6, y - 0.6, x + 0.6, y + 0.6) for x, y in spots]
    if meets_kerb(design):
        edge_mm = sheet.to.at(0.0, kerb_edge_mm(design))[1]
        out.append(Area(sheet.area.left_mm, edge_mm - 2.0, sheet.area.right_mm, edge_mm + 2.0))
        out.append(Area(sheet.area.right_mm - 9.0, edge_mm - 6.5, sheet.area.right_mm, edge_mm + 6.5))
    return out


def _falls(design: CoverDesign, sheet: _Map) -> list[str]:
    """An arrow downhill at the frame's centre, or on either side of a fold."""
    reach = 0.5 * min(max(x for x, _ in design.outlines.body), max(y for _, y in design.outlines.body))
    parts = []
    for fall in falls_of(design.road, reach):
        down, at = fall.downhill(), sheet.to.at(fall.x_mm, fall.y_mm)
        if down is None:
            continue
        run, rise = down[0] * _FALL_MM, -down[1] * _FALL_MM
        tail, tip = (at[0] - run, at[1] - rise), (at[0] + run, at[1] + rise)
        parts.append(arrow(tail, tip, BOLD_MM, 3.0))
        sheet.taken.append(Area(min(tail[0], tip[0]), min(tail[1], tip[1]), max(tail[0], tip[0]), max(tail[1], tip[1])))
        name = sheet.place(round_about(at, "fall", _SIZE_MM, 1.5))
        parts.append(words(baseline(name, _SIZE_MM), "fall", _SIZE_MM, bold=True))
    return parts


def _readings(design: CoverDesign, sheet: _Map) -> list[str]:
    """Used: a dot. Left out: a cross in a ring. Each with its name and what it lies off the fit."""
    shown = [p for p in design.road.points if sheet.holds(p)]
    places = [sheet.to.at(p.x_mm, p.y_mm) for p in shown]
    sheet.taken += [Area(x - 1.0, y - 1.0, x + 1.0, y + 1.0) for x, y in places]
    parts = []
    for point, at in zip(shown, places, strict=True):
        text = f"{point.point} {signed_mm(point.residual_mm)}"
        text = text if point.used else f"{text} {left_out_words(design, point)}"
        label = sheet.place(round_about(at, text, _SIZE_MM, 1.7, outward=(point.x_mm, -point.y_mm)))
        parts += [_leader(at, label), reading_mark(at, point.used)]
        parts.append(words(baseline(label, _SIZE_MM), text, _SIZE_MM, bold=not point.used))
    return parts


def _leader(at: Point, label: Area) -> str:
    """A thin line to a label that had to move away."""
    near = (min(max(at[0], label.left_mm), label.right_mm), min(max(at[1], label.top_mm), label.foot_mm))
    return line(at, near, THIN_MM) if math.dist(at, near) > 3.0 else ""


def _levels(pieces: Sequence[Piece], sheet: _Map) -> list[str]:
    """Each line's level, on the line where there is room for it; a line without room stays without."""
    parts = []
    for level_mm in dict.fromkeys(p.level_mm for p in pieces):
        text = whole_signed_mm(level_mm) if float(level_mm).is_integer() else signed_mm(level_mm)
        own = [p for p in pieces if p.level_mm == level_mm]
        spots = [spot for p in sorted(own, key=lambda p: p.inside) for spot in _along(sheet.to.ring(p.points))]
        places = [about(spot, text, _SIZE_MM) for spot in spots]
        best, cost = least_covering(places, sheet.taken, sheet.area)
        if cost <= 0.0:
            sheet.taken.append(best)
            parts.append(words(baseline(best, _SIZE_MM), text, _SIZE_MM))
    return parts


def _along(points: Sequence[Point]) -> list[Point]:
    """Places along a chain of lines: its middle first, then towards the ends."""
    runs = [math.dist(a, b) for a, b in pairwise(points)]
    out = []
    for share in (0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92):
        left = share * sum(runs)
        for run, a, b in zip(runs, points, points[1:], strict=False):
            if left <= run:
                part = left / run if run > 0.0 else 0.0
                out.append((a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])))
                break
            left -= run
    return out


def _traffic(area: Area) -> list[str]:
    middle = area.middle_mm
    return [
        arrow((middle - 16, 6.5), (middle + 16, 6.5), BOLD_MM * 1.3, 4.0),
        words((middle, 4.6), "traffic (+x)", 3.6, bold=True),
    ]
