"""The frame's departure from the road round the rim, as bars against the tolerance band."""

from __future__ import annotations

import math
from dataclasses import dataclass

from truebed.drawings.levels_text import signed_mm, whole_or_tenth_mm
from truebed.drawings.svg import BOLD_MM, LINE_MM, THIN_MM, box, document, line, words
from truebed.levels.setting import FrameSetting, RimPoint
from truebed.plan.result import CoverDesign

WIDTH_MM = 180.0
_HEIGHT_MM = 38.0
_LEFT_MM = 16.0
_RIGHT_MM = 30.0
_TOP_MM = 3.0
_FOOT_MM = 27.0


@dataclass(frozen=True, slots=True)
class _Scale:
    """Departure to height on the sheet."""

    low_mm: float
    high_mm: float

    def at(self, departure_mm: float) -> float:
        share = (departure_mm - self.low_mm) / (self.high_mm - self.low_mm)
        return _FOOT_MM - share * (_FOOT_MM - _TOP_MM)


def round_the_rim(setting: FrameSetting) -> tuple[RimPoint, ...]:
    """The rim's points anticlockwise seen from above, the rear first, so that the front stands in the middle.

    Valid       any setting
    Source      algebra
    Proved by   tests/drawings/test_level_diagram.py
    """
    return tuple(sorted(setting.rim_points, key=lambda p: (math.atan2(p.y_mm, p.x_mm), p.name)))


def level_diagram_svg(design: CoverDesign) -> str:
    """Bars of departure [mm] round the rim with the band of the rim verdict and the set-down target.

    Valid       any designed cover
    Source      house (drawing)
    Proved by   tests/drawings/test_level_diagram.py
    """
    setting = design.setting
    points = round_the_rim(setting)
    band = (setting.rim_verdict.band_low_mm, setting.rim_verdict.band_high_mm)
    values = [p.departure_mm for p in points]
    low_mm, high_mm = min(*values, *band, 0.0), max(*values, *band, 0.0)
    spare_mm = 0.12 * (high_mm - low_mm)
    scale = _Scale(low_mm - spare_mm, high_mm + spare_mm)
    right_mm = WIDTH_MM - _RIGHT_MM
    parts = [
        *_line_at(0.0, scale, right_mm, "road", BOLD_MM, ""),
        *_line_at(band[0], scale, right_mm, f"limit {signed_mm(band[0])}", LINE_MM, "3 1.5"),
        *_line_at(band[1], scale, right_mm, f"limit {signed_mm(band[1])}", LINE_MM, "3 1.5"),
        *_bars(design, points, scale, right_mm, band),
        words((2.0, _TOP_MM + 1.0), "proud", 3.2, "start"),
        words((2.0, _FOOT_MM), "low", 3.2, "start"),
        words((_LEFT_MM, _HEIGHT_MM - 1.5), _foot(setting), 3.3, "start"),
    ]
    return document(WIDTH_MM, _HEIGHT_MM, f"{design.cover}, rim against road", parts)


def _line_at(at_mm: float, scale: _Scale, right_mm: float, text: str, pen_mm: float, dash: str) -> list[str]:
    y_mm = scale.at(at_mm)
    name_mm = y_mm + 1.1
    return [
        line((_LEFT_MM, y_mm), (right_mm, y_mm), pen_mm, dash),
        words((right_mm + 1.5, name_mm), text, 3.2, "start"),
    ]


def _foot(setting: FrameSetting) -> str:
    target = f"target {whole_or_tenth_mm(setting.set_down_mm)} below road; " if setting.set_down_mm else ""
    greatest = whole_or_tenth_mm(setting.greatest_departure_mm)
    return f"Rim minus road [mm] round the frame; {target}greatest from target {greatest} at {setting.greatest_at}"


def _bars(
    design: CoverDesign, points: tuple[RimPoint, ...], scale: _Scale, right_mm: float, band: tuple[float, float]
) -> list[str]:
    """One bar a point; black inside the band, crossed where outside; corners and the greatest carry their value."""
    step_mm = (right_mm - _LEFT_MM) / len(points)
    wide_mm = min(5.0, 0.6 * step_mm)
    worst = design.setting.greatest_at
    parts = []
    for i, point in enumerate(points):
        middle = _LEFT_MM + (i + 0.5) * step_mm
        top, foot = sorted((scale.at(point.departure_mm), scale.at(0.0)))
        outside = not band[0] <= point.departure_mm <= band[1]
        parts.append(
            box(middle - wide_mm / 2, top, wide_mm, max(foot - top, 0.3), LINE_MM, "cross" if outside else "dense")
        )
        corner = _corner_name(design.setting, point)
        beside = any(_corner_name(design.setting, p) for p in points[max(i - 1, 0) : i + 2])
        if corner or step_mm >= 8.0 or (point.name == worst and not beside):
            beyond = top - 1.0 if point.departure_mm >= 0 else foot + 3.4
            parts.append(words((middle, beyond), signed_mm(point.departure_mm), 3.2, bold=bool(corner)))
        if corner:
            parts.append(line((middle, _FOOT_MM), (middle, _FOOT_MM + 1.5), THIN_MM))
            parts.append(words((middle, _FOOT_MM + 5.2), corner, 3.2))
    return parts


def _corner_name(setting: FrameSetting, point: RimPoint) -> str:
    near = [c for c in setting.corners if math.hypot(c.x_mm - point.x_mm, c.y_mm - point.y_mm) < 1.0]
    return near[0].name if near else ""
