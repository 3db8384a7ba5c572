"""The frame's departure: the rim unrolled over the road with its tolerance, and the bed below it with its limits."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from truebed.drawings.departure_marks import (
    SAME_VALUE_MM,
    Frame,
    bed_marks,
    beyond_limit,
    corner_names,
    error_band,
    level_lines,
    rim_marks,
    rim_points_mm,
    two_bed_lines,
)
from truebed.drawings.levels_text import whole_or_tenth_mm
from truebed.drawings.rim_axis import RimAxis, rim_axis
from truebed.drawings.svg import BOLD_MM, LINE_MM, THIN_MM, document, polyline, words, words_width_mm
from truebed.levels.setting import FrameSetting
from truebed.plan.result import CoverDesign

WIDE_MM = 180.0
_LEFT_MM = 14.0
_RIGHT_MM = 27.0
_TOP_MM = 3.0
_RIM_HIGH_MM = 25.0
_NAMES_MM = 7.5
_BED_HIGH_MM = 15.0
_BETWEEN_MM = 4.8
_FOOT_LINE_MM = 4.5
_SIZE_MM = 3.3


@dataclass(frozen=True, slots=True)
class DepartureRow:
    """One rigid part of a frame: its name ('' for a frame of one part), its setting, and how sure it is.

    error_mm  at each of the setting's rim points, in their order, the half-width of the interval that holds the rim's
              true departure nine times in ten (reading and setting error); () draws no band
    """

    name: str
    setting: FrameSetting
    error_mm: tuple[float, ...] = ()


def departure_rows(design: CoverDesign) -> tuple[DepartureRow, ...]:
    """What a cover's diagram shows: one row, or one for each casting of a frame in parts.

    Valid       any design
    Source      house (arrangement)
    Proved by   tests/drawings/test_departure_diagram.py
    """
    if design.parts is None:
        return (DepartureRow("", design.setting, design.rim_error_mm),)
    rows, start = [], 0
    for number, part in enumerate(design.parts.parts, start=1):
        end = start + len(part.rim_points)
        rows.append(DepartureRow(f"part {number}", part, design.rim_error_mm[start:end]))
        start = end
    return tuple(rows)


def departure_diagram_svg(cover: str, rows: Sequence[DepartureRow], wide_mm: float = WIDE_MM) -> str:
    """Each part's rim minus road [mm] against its band, and the bed's thickness [mm] against its limits, round the rim.

    Valid       one row or more; sheets of 100 mm and wider
    Source      house (drawing)
    Raises      ValueError where a row's errors are not one to a rim point
    Proved by   tests/drawings/test_departure_diagram.py
    """
    axes = [rim_axis(row.setting) for row in rows]
    longest_mm = max(axis.length_mm for axis in axes)
    parts: list[str] = []
    foot_mm = _TOP_MM
    for row, axis in zip(rows, axes, strict=True):
        drawn, foot_mm = _row(row, axis, foot_mm, wide_mm, longest_mm)
        parts += drawn
    for text in textwrap.wrap(" ".join(_notes(rows, axes)), int((wide_mm - 4.0) / words_width_mm("n", _SIZE_MM))):
        parts.append(words((2.0, foot_mm + 1.0), text, _SIZE_MM, "start"))
        foot_mm += _FOOT_LINE_MM
    return document(wide_mm, foot_mm, f"{cover}, rim against road, and bed", parts)


def _row(row: DepartureRow, axis: RimAxis, top_mm: float, wide_mm: float, longest_mm: float) -> tuple[list[str], float]:
    """One part's two graphs and where the next begins."""
    setting = row.setting
    if row.error_mm and len(row.error_mm) != len(setting.rim_points):
        raise ValueError(f"{len(row.error_mm)} errors for {len(setting.rim_points)} points of the rim")
    parts: list[str] = []
    if row.name:
        parts.append(words((_LEFT_MM, top_mm + 2.5), row.name, 3.8, "start", bold=True))
        top_mm += 4.5
    right_mm = wide_mm - _RIGHT_MM
    high_mm = right_mm - _LEFT_MM
    end_mm = _LEFT_MM + high_mm * axis.length_mm / longest_mm
    low, high = rim_span_mm(row)
    rim = Frame(_LEFT_MM, top_mm, end_mm, top_mm + _RIM_HIGH_MM, axis.length_mm, low, high)
    bed_top_mm = rim.foot_mm + _NAMES_MM
    low, high = bed_span_mm(setting)
    bed = Frame(_LEFT_MM, bed_top_mm, end_mm, bed_top_mm + _BED_HIGH_MM, axis.length_mm, low, high)
    return [*parts, *_rim(row, axis, rim), *_bed(row, axis, bed), *corner_names(row.setting, axis, rim, bed)], (
        bed.foot_mm + _BETWEEN_MM
    )


def _rim(row: DepartureRow, axis: RimAxis, frame: Frame) -> list[str]:
    verdict, setting = row.setting.rim_verdict, row.setting
    limits = [(verdict.band_high_mm, "limit", LINE_MM, "3 1.5"), (verdict.band_low_mm, "limit", LINE_MM, "3 1.5")]
    target = [(-setting.set_down_mm, "target", THIN_MM * 1.4, "1 1")] if setting.set_down_mm else []
    curve = rim_points_mm(axis)
    error = error_band(axis, row.error_mm, frame) if row.error_mm else []
    return [
        *error,
        *beyond_limit(curve, verdict.band_high_mm, 1.0, frame),
        *beyond_limit(curve, verdict.band_low_mm, -1.0, frame),
        *level_lines(frame, [(0.0, "road", LINE_MM, ""), *limits, *target], signed=True),
        polyline([frame.at(along, value) for along, value in curve], BOLD_MM * 1.2),
        *rim_marks(setting, axis, frame),
        *_side(frame, "proud", "rim", "low"),
    ]


def _bed(row: DepartureRow, axis: RimAxis, frame: Frame) -> list[str]:
    setting = row.setting
    limits = [
        (setting.bed_limit_most_mm, "most", LINE_MM, "3 1.5"),
        (setting.bed_limit_least_mm, "least", LINE_MM, "3 1.5"),
    ]
    return [
        *level_lines(frame, limits, signed=False),
        *bed_marks(setting, axis, frame),
        *_side(frame, "thick", "bed", "thin"),
    ]


def _side(frame: Frame, top: str, middle: str, foot: str) -> list[str]:
    """What the graph shows, on its left."""
    return [
        words((2.0, frame.top_mm + 2.4), top, _SIZE_MM, "start"),
        words((2.0, (frame.top_mm + frame.foot_mm) / 2 + 1.2), middle, 3.8, "start", bold=True),
        words((2.0, frame.foot_mm), foot, _SIZE_MM, "start"),
    ]


def rim_span_mm(row: DepartureRow) -> tuple[float, float]:
    """The least and greatest departure that the graph must hold, with a little room [mm].

    Valid       any row
    Source      algebra
    Proved by   tests/drawings/test_departure_diagram.py
    """
    setting = row.setting
    errors = row.error_mm or (0.0,) * len(setting.rim_points)
    pairs = list(zip(setting.rim_points, errors, strict=True))
    band = (setting.rim_verdict.band_low_mm, setting.rim_verdict.band_high_mm, 0.0, -setting.set_down_mm)
    return _roomy(
        min(*band, *(p.departure_mm - e for p, e in pairs)), max(*band, *(p.departure_mm + e for p, e in pairs))
    )


def bed_span_mm(setting: FrameSetting) -> tuple[float, float]:
    """The least and greatest bed that the graph must hold, with a little room [mm].

    Valid       any setting
    Source      algebra
    Proved by   tests/drawings/test_departure_diagram.py
    """
    values = [p.bed_mm for p in setting.bed]
    limits = (setting.bed_limit_least_mm, setting.bed_limit_most_mm)
    return _roomy(min(*limits, *values), max(*limits, *values))


def _roomy(low_mm: float, high_mm: float) -> tuple[float, float]:
    spare_mm = max(0.1 * (high_mm - low_mm), 0.5)
    return low_mm - spare_mm, high_mm + spare_mm


def _notes(rows: Sequence[DepartureRow], axes: Sequence[RimAxis]) -> list[str]:
    """What the graphs do not say by themselves."""
    way = ", ".join(f"{axis.length_mm / 1000.0:.2f} m" for axis in axes)
    notes = [f"Rim minus road and bed [mm], round the rim anticlockwise from the back ({way})."]
    for row in rows:
        setting = row.setting
        of = f" of {row.name}" if row.name else ""
        greatest_mm = setting.greatest_departure_mm
        ringed = f", ringed at {setting.greatest_at}" if greatest_mm >= SAME_VALUE_MM else ""
        target = (
            f" from the target, {whole_or_tenth_mm(setting.set_down_mm)} below the road" if setting.set_down_mm else ""
        )
        notes.append(f"Greatest departure{of}{target}: {whole_or_tenth_mm(greatest_mm)}{ringed}.")
    if any(row.error_mm for row in rows):
        notes.append("Dotted: where the rim truly lies nine times in ten.")
    if any(two_bed_lines(row.setting, axis) for row, axis in zip(rows, axes, strict=True)):
        notes.append("Two bed lines: the least and the greatest between the seat's edges.")
    if any(row.setting.chamber == "estimate" for row in rows):
        notes.append("Bed over an estimated chamber top.")
    return notes
