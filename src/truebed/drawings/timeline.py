"""The night as a chart: a row a cover, a bar a step, waits hatched, against the clock. Told apart by pattern alone."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from truebed.drawings.clock import clock, clocks_change, moment, noise_ends_min, window_min
from truebed.drawings.svg import (
    BOLD_MM,
    LINE_MM,
    THIN_MM,
    arrow,
    box,
    document,
    inverse_words,
    line,
    moved,
    spread,
    words,
    words_width_mm,
)
from truebed.drawings.timeline_rows import Axis, Bar, Row, Wait, rows_of, step_numbers
from truebed.plan.result import ClosurePlan

WIDTH_MM = 186.0
_NAME_MM = 20.0
_HEAD_MM = 16.0
_BAR_MM = 7.0
_NUMBER_MM = 4.4
_KEY_STEP_MM = 5.0
_NAME_STEP_MM = 5.0
#: how a bar's kind is filled
FILLS = {"noisy": "ink", "mixing": "diagonal", "work": "paper"}


def timeline_svg(closure: ClosurePlan, zone: ZoneInfo | None = None, width_mm: float = WIDTH_MM) -> str:
    """The closure's programme as a picture for the crew lead, in local time.

    zone        the works' time zone; without it the shutting's own offset is used throughout
    Valid       any solved closure, also one in which nothing is done
    Source      house (drawing)
    Proved by   tests/drawings/test_timeline.py
    """
    schedule = closure.solution.schedule
    last_min = max([window_min(closure), schedule.open_min, *(p.end_min for p in schedule.placed)])
    axis = Axis(_NAME_MM, (width_mm - _NAME_MM - 3.0) / (last_min + 6), last_min)
    rows = rows_of(closure)
    tm_top = _HEAD_MM + 7.0
    parts: list[str] = []
    top_mm = tm_top + 9.0
    for row in rows:
        parts += _cover(row, axis, top_mm, width_mm)
        top_mm += row.lanes * (_BAR_MM + _NUMBER_MM) + 3.0
    if not rows:
        parts.append(words((axis.at(0) + 20, top_mm + 6.0), "no cover is done in this closure", 4.0, "start"))
        top_mm += 11.0
    foot_mm = top_mm
    grid, hours = _hours(closure, axis, foot_mm, zone)
    named, name_rows = _marks(closure, axis, foot_mm, zone)
    marks = [*named, *_in_hand(closure, axis, tm_top, foot_mm)]
    key, foot_mm = _key(closure, foot_mm + 6.0, width_mm)
    change = clocks_change(closure, zone)
    if change:
        key.append(words((2.0, foot_mm + 4.0), f"{change} Times are local clock times.", 3.6, "start", bold=True))
        foot_mm += 6.0
    lift_mm = 12.0 - _NAME_STEP_MM * name_rows  # no blank above the topmost name
    drawn = [*grid, *_traffic_management(closure, axis, tm_top), *parts, *marks, *hours, *key]
    height_mm = foot_mm + 2.0 - lift_mm
    return document(width_mm, height_mm, f"{closure.closure}: the night", [moved(-lift_mm, drawn)])


def _hours(closure: ClosurePlan, axis: Axis, foot_mm: float, zone: ZoneInfo | None) -> tuple[list[str], list[str]]:
    """A tick each half hour, a name each hour, on the clock's own hours: (grid, names)."""
    first = moment(closure, 0, zone)
    until_hour = (60 - first.minute) % 60
    names: list[str] = []
    parts = [line((axis.at(0), _HEAD_MM + 4.5), (axis.at(axis.last_min), _HEAD_MM + 4.5), LINE_MM)]
    for after in range(until_hour - 30 if until_hour >= 30 else until_hour, axis.last_min + 1, 30):
        x_mm = axis.at(after)
        on_hour = (after - until_hour) % 60 == 0
        parts.append(line((x_mm, _HEAD_MM + (3.0 if on_hour else 3.8)), (x_mm, _HEAD_MM + 4.5), LINE_MM))
        if on_hour:
            parts.append(line((x_mm, _HEAD_MM + 4.5), (x_mm, foot_mm), THIN_MM, "0.4 1.4"))
            names.append(words((x_mm, _HEAD_MM + 2.2), clock(closure, after, zone), 3.5))
    return parts, names


def _marks(closure: ClosurePlan, axis: Axis, foot_mm: float, zone: ZoneInfo | None) -> tuple[list[str], int]:
    """Noise end, planned opening, open-by: upright lines, named above on rows that do not touch; and how many rows."""
    open_min, by_min, noise_min = closure.solution.schedule.open_min, window_min(closure), noise_ends_min(closure)
    marks = [
        (by_min, f"OPEN BY {clock(closure, by_min, zone)}", BOLD_MM * 1.8, ""),
    ]
    if closure.solution.schedule.done:
        marks.append((open_min, f"planned opening {clock(closure, open_min, zone)}", BOLD_MM, "4 1.2"))
    if noise_min <= axis.last_min:
        marks.append((noise_min, f"noise ends {clock(closure, noise_min, zone)}", BOLD_MM, "1.2 1.2"))
    parts: list[str] = []
    taken: list[tuple[int, float, float]] = []
    marks.sort()
    for i, (at_min, text, pen_mm, dash) in enumerate(marks):
        x_mm = axis.at(at_min)
        wide_mm = 1.2 * words_width_mm(text, 3.8)  # bold capitals run wide
        start = min(max(x_mm - wide_mm / 2, 1.0), axis.at(axis.last_min) + 6 * axis.mm_per_min - wide_mm + 2.0)
        if i + 1 < len(marks):  # the next line stands free of this name
            start = max(1.0, min(start, axis.at(marks[i + 1][0]) - wide_mm - 1.5))
        level = next(
            row
            for row in range(4)
            if all(j != row or start > end + 1 or start + wide_mm < begin - 1 for j, begin, end in taken)
        )
        taken.append((level, start, start + wide_mm))
        y_mm = 11.0 - _NAME_STEP_MM * level
        parts.append(line((x_mm, y_mm + 1.0), (x_mm, foot_mm), pen_mm, dash))
        parts.append(words((start + wide_mm / 2, y_mm), text, 3.8, bold=True))
    return parts, 1 + max(level for level, _, _ in taken)


def _in_hand(closure: ClosurePlan, axis: Axis, tm_top: float, foot_mm: float) -> list[str]:
    """Minutes between the planned opening and the latest one."""
    open_min, by_min = closure.solution.schedule.open_min, window_min(closure)
    a, b = axis.at(open_min), axis.at(by_min)
    y_mm = min(tm_top + 3.0, foot_mm)
    if not closure.solution.schedule.done:
        return []
    text = f"{by_min - open_min} min in hand" if by_min >= open_min else f"{open_min - by_min} min LATE"
    if b - a < words_width_mm(text, 3.6) + 4:
        return []
    middle = (a + b) / 2
    return [
        arrow((middle, y_mm + 1.2), (b - 1.2, y_mm + 1.2), THIN_MM),
        arrow((middle, y_mm + 1.2), (a + 1.0, y_mm + 1.2), THIN_MM),
        words((middle, y_mm), text, 3.6, bold=True),
    ]


def _traffic_management(closure: ClosurePlan, axis: Axis, top_mm: float) -> list[str]:
    """Setting and clearing of traffic management; clearing ends when the road opens."""
    problem, open_min = closure.problem, closure.solution.schedule.open_min
    parts = [words((1.0, top_mm + 4.8), "TM", 4.6, "start", bold=True)]
    if not closure.solution.schedule.done:
        return parts
    for start, length, name in (
        (0, problem.tm_set_min, "on"),
        (open_min - problem.tm_clear_min, problem.tm_clear_min, "off"),
    ):
        x_mm, wide_mm = axis.at(start), length * axis.mm_per_min
        parts.append(box(x_mm, top_mm + 1.0, wide_mm, 5.0, LINE_MM, "backward"))
        parts.append(words((x_mm + wide_mm / 2, top_mm + 4.6), name, 3.2, bold=True))
    return parts


def _cover(row: Row, axis: Axis, top_mm: float, width_mm: float) -> list[str]:
    """One cover's row: its name, its waits, its bars with their numbers."""
    lane_mm = _BAR_MM + _NUMBER_MM
    parts = [
        line((0.5, top_mm - 1.0), (width_mm - 0.5, top_mm - 1.0), THIN_MM),
        words((1.0, top_mm + _NUMBER_MM + 5.0), row.cover, 4.6 if len(row.cover) <= 7 else 3.0, "start", bold=True),
    ]
    for wait in row.waits:
        parts += _wait(wait, axis, top_mm + _NUMBER_MM)
    for lane in range(row.lanes):
        parts += _bars([b for b in row.bars if b.lane == lane], axis, top_mm + lane * lane_mm)
    return parts


def _wait(wait: Wait, axis: Axis, top_mm: float) -> list[str]:
    x_mm, wide_mm = axis.at(wait.start_min), (wait.end_min - wait.start_min) * axis.mm_per_min
    text = f"{wait.name} {wait.end_min - wait.start_min}"
    parts = [box(x_mm, top_mm + 1.8, wide_mm, _BAR_MM - 3.6, THIN_MM, "flat")]
    if wide_mm > words_width_mm(text, 3.0):
        parts.append(words((x_mm + wide_mm / 2, top_mm + 4.6), text, 3.0))
    return parts


def _bars(bars: list[Bar], axis: Axis, top_mm: float) -> list[str]:
    """Bars of one lane. A number stands inside its bar where there is room, else above it."""
    parts: list[str] = []
    narrow: list[Bar] = []
    bar_top = top_mm + _NUMBER_MM
    for bar in bars:
        x_mm, wide_mm = axis.at(bar.start_min), (bar.end_min - bar.start_min) * axis.mm_per_min
        if bar.kind == "noisy":  # black bars keep a white gap between them
            parts.append(box(x_mm + 0.2, bar_top - 0.15, wide_mm - 0.4, _BAR_MM + 0.3, 0.0, "ink"))
        else:
            parts.append(box(x_mm, bar_top, wide_mm, _BAR_MM, LINE_MM, FILLS[bar.kind]))
        if wide_mm < words_width_mm(str(bar.number), 3.6) + 0.5:
            narrow.append(bar)
        elif bar.kind == "noisy":
            parts.append(inverse_words((x_mm + wide_mm / 2, bar_top + 4.8), str(bar.number), 3.8))
        else:
            parts.append(
                words((x_mm + wide_mm / 2, bar_top + 4.8), str(bar.number), 3.8, bold=True, halo=bar.kind != "work")
            )
    middles = [axis.at(b.start_min) + (b.end_min - b.start_min) * axis.mm_per_min / 2 for b in narrow]
    for bar, middle, x_mm in zip(narrow, middles, spread(middles, 4.4), strict=True):
        parts.append(line((x_mm, bar_top - 0.8), (middle, bar_top), THIN_MM))
        parts.append(words((x_mm, bar_top - 1.1), str(bar.number), 3.4, bold=True))
    return parts


def _key(closure: ClosurePlan, top_mm: float, width_mm: float) -> tuple[list[str], float]:
    """What the patterns mean and what the numbers stand for; returns the parts and the foot."""
    parts: list[str] = []
    x_mm = 1.0
    samples = (
        ("noisy", "ink"),
        ("mixing", "diagonal"),
        ("other work", "paper"),
        ("waiting", "flat"),
        ("TM on, off", "backward"),
    )
    for name, fill in samples:
        parts.append(box(x_mm, top_mm - 3.6, 8.0, 4.4, LINE_MM, fill))
        parts.append(words((x_mm + 9.5, top_mm), name, 3.6, "start"))
        x_mm += 36.0
    names = step_numbers(closure)
    half = (len(names) + 1) // 2
    for i, (number, name) in enumerate(names):
        column, at = divmod(i, half) if half else (0, 0)
        x_mm, y_mm = 1.0 + column * width_mm / 2, top_mm + 6.5 + at * _KEY_STEP_MM
        parts.append(words((x_mm + 5.5, y_mm), str(number), 3.8, "end", bold=True))
        parts.append(words((x_mm + 7.5, y_mm), _short(name, width_mm / 2 - 10.0), 3.6, "start"))
    return parts, top_mm + 6.5 + half * _KEY_STEP_MM - 3.0


def _short(name: str, room_mm: float) -> str:
    """A name cut to the room it has, with an ellipsis."""
    keep = int(room_mm / words_width_mm("n", 3.25))
    return name if len(name) <= keep else name[: keep - 1].rstrip() + "\u2026"
