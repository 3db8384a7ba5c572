"""Chart of one layer's cure: strength at its slowest point with its band, target and times, its faces' temperatures."""

from __future__ import annotations

import math
import textwrap
from dataclasses import dataclass

from truebed.curing.strength_band import LayerCourse, StrengthLevel
from truebed.curing.two_clocks import Band, TwoClocks
from truebed.drawings.svg import (
    BOLD_MM,
    LINE_MM,
    THIN_MM,
    box,
    document,
    line,
    polygon,
    polyline,
    spread,
    words,
    words_width_mm,
)

TITLE = "Cure of one layer"
WIDE_MM = 180.0
_SIZE_MM = 3.3
_LEFT_MM = 12.0
_RIGHT_MM = 5.0
_LINE_MM = 4.4
_STRENGTH_HIGH_MM = 62.0
_TEMPERATURE_HIGH_MM = 30.0
_AXIS_MM = 9.0
#: Steps that ticks may have, times a power of ten; about how far apart they stand.
_STEPS_COUNT = (1.0, 2.0, 5.0, 10.0)
_TICK_APART_MM = 14.0
#: How far the minutes run past the last time shown; room over the highest strength, for the target's words.
_PAST_RATIO = 1.04
_OVER_RATIO = 1.08
#: Bold words of this size run wider than plain ones.
_TITLE_MM, _BOLD_RATIO = 3.8, 1.15


@dataclass(frozen=True, slots=True)
class Panel:
    """A graph's place on the sheet and what its edges stand for."""

    left_mm: float
    top_mm: float
    right_mm: float
    foot_mm: float
    most_min: float
    low: float
    high: float

    def x_mm(self, minutes_min: float) -> float:
        """Where a minute lies."""
        return self.left_mm + (self.right_mm - self.left_mm) * minutes_min / self.most_min

    def y_mm(self, value: float) -> float:
        """Where a value lies."""
        return self.foot_mm - (self.foot_mm - self.top_mm) * (value - self.low) / (self.high - self.low)


def cure_chart_svg(title: str, clocks: TwoClocks, course: LayerCourse, wide_mm: float = WIDE_MM) -> str:
    """Strength and temperatures over minutes from placing.

    Valid       sheets of 90 mm and wider
    Source      house (drawing)
    Proved by   tests/drawings/test_cure_chart.py
    """
    night, most_min = clocks.night, _most_min(clocks, course)
    parts: list[str] = []
    foot_mm = _LINE_MM
    for text in _wrapped(title, _TITLE_MM * _BOLD_RATIO, wide_mm):
        parts.append(words((2.0, foot_mm), text, _TITLE_MM, "start", bold=True))
        foot_mm += _LINE_MM
    for text in _wrapped(_what(clocks), _SIZE_MM, wide_mm):
        parts.append(words((2.0, foot_mm), text, _SIZE_MM, "start"))
        foot_mm += _LINE_MM
    top_mm, right_mm = foot_mm + 2.0 * _LINE_MM, wide_mm - _RIGHT_MM
    high_n_per_mm2 = max(course.levels[-1].strength_n_per_mm2, night.target_n_per_mm2) * _OVER_RATIO
    strength = Panel(_LEFT_MM, top_mm, right_mm, top_mm + _STRENGTH_HIGH_MM, most_min, 0.0, high_n_per_mm2)
    parts += _strength(strength, clocks, course.levels)
    top_mm = strength.foot_mm + _AXIS_MM + 1.6 * _LINE_MM
    low_c, high_c = _face_range_c(course, most_min)
    warmth = Panel(_LEFT_MM, top_mm, right_mm, top_mm + _TEMPERATURE_HIGH_MM, most_min, low_c, high_c)
    parts += _temperatures(warmth, course)
    foot_mm = warmth.foot_mm + _AXIS_MM + _LINE_MM
    for text in _wrapped(_legend(clocks), _SIZE_MM, wide_mm):
        parts.append(words((2.0, foot_mm), text, _SIZE_MM, "start"))
        foot_mm += _LINE_MM
    return document(wide_mm, foot_mm, title, parts)


def _what(clocks: TwoClocks) -> str:
    night = clocks.night
    iron = "open to the air" if night.iron_mm is None else f"under {night.iron_mm:g} mm of iron"
    return (
        f"{night.thick_mm:g} mm on {night.below}, {iron}; air {night.air_c:g}, base {night.base_c:g}, mix "
        f"{night.mix_c:g} °C"
    )


def _legend(clocks: TwoClocks) -> str:
    """What the marks mean, and the two times to work by."""
    said = []
    if clocks.frosted_share > 0.0:
        said.append(f"FROST in {clocks.frosted_share:.0%} of the believable curves: rely on no time.")
    said.append("Dots: strength at the slowest point, 5 to 95 %; thick line: most probable.")
    late_min = clocks.ready.late_min
    wait = ": no time is believable" if late_min is None else f" before {late_min:.0f} min"
    wait = " on any of these times" if clocks.frosted_share > 0.0 else wait
    said.append(f"Do not open{wait}.")
    if clocks.life is not None and clocks.life.early_min is not None:
        said.append(f"Black bar: place and work within {clocks.life.early_min:.0f} min.")
    if clocks.night.strip_mm is not None:
        said.append("Temperatures are those of the flange's middle.")
    said.append("Truebed advises; a competent person decides.")
    return " ".join(said)


def _wrapped(text: str, size_mm: float, wide_mm: float) -> list[str]:
    return textwrap.wrap(text, int((wide_mm - 4.0) / words_width_mm("n", size_mm)))


def _most_min(clocks: TwoClocks, course: LayerCourse) -> float:
    """The minutes shown: to the last time that is known, else to the end of the run."""
    bands = [clocks.ready, *(level.reached for level in course.levels)]
    known = [minutes for band in bands for minutes in (band.central_min, band.late_min) if minutes is not None]
    return _PAST_RATIO * max(known) if known else course.faces[-1].minutes_min


def _face_range_c(course: LayerCourse, most_min: float) -> tuple[float, float]:
    """Whole fives that hold both faces."""
    shown = [c for face in course.faces if face.minutes_min <= most_min for c in (face.top_c, face.foot_c)]
    low_c, high_c = 5.0 * math.floor(min(shown) / 5.0), 5.0 * math.ceil(max(shown) / 5.0)
    return low_c, max(high_c, low_c + 5.0)


def _strength(panel: Panel, clocks: TwoClocks, levels: tuple[StrengthLevel, ...]) -> list[str]:
    """The band, the most probable curve, the target and the times."""
    early: list[tuple[float, float]] = []
    late: list[tuple[float, float]] = []
    middle: list[tuple[float, float]] = []
    for level in levels:
        y_mm, band = panel.y_mm(level.strength_n_per_mm2), level.reached
        if band.central_min is None:
            continue
        middle.append((panel.x_mm(band.central_min), y_mm))
        if band.early_min is not None:  # where no latest time is known the band runs out at the right
            early.append((panel.x_mm(band.early_min), y_mm))
            late.append((panel.x_mm(panel.most_min if band.late_min is None else band.late_min), y_mm))
    target_n_per_mm2 = clocks.night.target_n_per_mm2
    target_mm = panel.y_mm(target_n_per_mm2)
    parts = [*_axes(panel, "N/mm²")]
    if early:
        parts.append(polygon([*early, *reversed(late)], THIN_MM, "dots"))
    if middle:
        parts.append(polyline(middle, BOLD_MM))
    parts += [
        line((panel.left_mm, target_mm), (panel.right_mm, target_mm), LINE_MM, "3 1.5"),
        words((panel.left_mm + 1.5, target_mm - 1.2), f"target {target_n_per_mm2:g} N/mm²", _SIZE_MM, "start"),
    ]
    return [*parts, *_ready_marks(panel, clocks.ready, target_mm), *_life_mark(panel, clocks.life)]


def _ready_marks(panel: Panel, ready: Band, target_mm: float) -> list[str]:
    """Times at which the target is reached, with their minutes above the graph."""
    named = ((ready.early_min, "1 1"), (ready.central_min, ""), (ready.late_min, "1 1"))
    known = [(minutes, dash) for minutes, dash in named if minutes is not None]
    if not known:
        text = "ready: not determined"
        return [words((panel.right_mm, panel.top_mm - 1.5), text, _SIZE_MM, "end", bold=True)]
    places = spread([panel.x_mm(minutes) for minutes, _ in known], words_width_mm("0000", _SIZE_MM))
    over_mm = max(0.0, places[-1] + words_width_mm("00", _SIZE_MM) - panel.right_mm)
    heading = "ready, min: 5 % early, likely, 95 % late"
    parts = [words((panel.right_mm, panel.top_mm - 1.5 - _LINE_MM), heading, _SIZE_MM, "end")]
    for (minutes, dash), place_mm in zip(known, places, strict=True):
        x_mm = panel.x_mm(minutes)
        parts.append(line((x_mm, panel.foot_mm), (x_mm, target_mm), LINE_MM, dash))
        parts.append(line((x_mm, target_mm), (place_mm - over_mm, panel.top_mm - 0.6), THIN_MM))
        parts.append(words((place_mm - over_mm, panel.top_mm - 1.5), f"{minutes:.0f}", _SIZE_MM, bold=not dash))
    return parts


def _life_mark(panel: Panel, life: Band | None) -> list[str]:
    """How long the mix can be worked, as a bar on the axis."""
    if life is None or life.early_min is None:
        return []
    end_mm = panel.x_mm(min(life.early_min, panel.most_min))
    return [
        box(panel.left_mm, panel.foot_mm - 2.0, end_mm - panel.left_mm, 2.0, THIN_MM, "ink"),
        words((max(end_mm, panel.left_mm + 3.0), panel.foot_mm - 3.0), f"{life.early_min:.0f}", _SIZE_MM, bold=True),
    ]


def _temperatures(panel: Panel, course: LayerCourse) -> list[str]:
    """Both faces of the layer."""
    shown = [face for face in course.faces if face.minutes_min <= panel.most_min]
    top = [(panel.x_mm(face.minutes_min), panel.y_mm(face.top_c)) for face in shown]
    foot = [(panel.x_mm(face.minutes_min), panel.y_mm(face.foot_c)) for face in shown]
    parts = [*_axes(panel, "°C: top face full, lower face dashed")]
    if panel.low < 0.0 < panel.high:
        freezing_mm = panel.y_mm(0.0)
        parts.append(line((panel.left_mm, freezing_mm), (panel.right_mm, freezing_mm), LINE_MM))
    return [*parts, polyline(top, BOLD_MM), polyline(foot, BOLD_MM, "2 1.2")]


def _axes(panel: Panel, heading: str) -> list[str]:
    """Frame, thin grid, numbers and what they are."""
    parts = [words((panel.left_mm, panel.top_mm - 1.5), heading, _SIZE_MM, "start")]
    wide_mm, high_mm = panel.right_mm - panel.left_mm, panel.foot_mm - panel.top_mm
    for minutes in _ticks(0.0, panel.most_min, wide_mm):
        x_mm = panel.x_mm(minutes)
        parts.append(line((x_mm, panel.top_mm), (x_mm, panel.foot_mm), THIN_MM, "0.4 1.2"))
        parts.append(words((x_mm, panel.foot_mm + 4.2), f"{minutes:g}", _SIZE_MM))
    for value in _ticks(panel.low, panel.high, high_mm):
        y_mm = panel.y_mm(value)
        parts.append(line((panel.left_mm, y_mm), (panel.right_mm, y_mm), THIN_MM, "0.4 1.2"))
        parts.append(words((panel.left_mm - 1.2, y_mm + 1.1), f"{value:g}", _SIZE_MM, "end"))
    parts.append(words((panel.right_mm, panel.foot_mm + 4.2 + _LINE_MM), "min from placing", _SIZE_MM, "end"))
    return [*parts, box(panel.left_mm, panel.top_mm, wide_mm, high_mm, THIN_MM)]


def _ticks(low: float, high: float, long_mm: float) -> list[float]:
    """Round values between two edges, not too close."""
    rough = (high - low) * _TICK_APART_MM / long_mm
    power = 10.0 ** math.floor(math.log10(rough))
    step = power * next(count for count in _STEPS_COUNT if power * count >= rough * 0.999)
    first = math.ceil(low / step - 1e-9)
    return [step * index for index in range(first, math.floor(high / step + 1e-9) + 1)]
