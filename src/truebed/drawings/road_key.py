"""The key of the road's picture: what its marks mean, what was fitted, how sure it is, where it falls."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from truebed.drawings.label_places import SPARE_RATIO
from truebed.drawings.levels_text import signed_mm, tenth_mm, whole_or_tenth_mm
from truebed.drawings.road_falls import falls_of
from truebed.drawings.svg import BOLD_MM, LINE_MM, THIN_MM, Point, circle, line, words, words_width_mm
from truebed.findings import short_number
from truebed.levels.surface import Model, RoadPoint
from truebed.plan.result import CoverDesign

KEY_LINE_MM = 4.5
_SIZE_MM = 3.3
RIM_PEN_MM = LINE_MM * 1.5
FOLD_DASH = "3 0.9 0.7 0.9"
_SAMPLE_MM = 9.0

MODEL_WORDS: dict[Model, str] = {
    "plane": "a plane",
    "plane and twist": "a plane with a twist",
    "five terms": "a surface of five terms (plane, twist, saddle)",
    "full quadratic": "a full quadratic surface (six terms)",
    "two planes along": "two planes, folded along the traffic",
    "two planes across": "two planes, folded across the traffic",
}


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One line of the key: the sample's name ('' for none), the words, whether they are a heading."""

    sample: str
    text: str
    bold: bool = False


def left_out_words(design: CoverDesign, point: RoadPoint) -> str:
    """What the map says beside a reading that the fit did not use.

    Valid       a reading of that road, not used
    Source      house (writing)
    Proved by   tests/drawings/test_road_contours.py
    """
    return "out" if point.point in {g.point for g in design.road.gross} else "unused"


def key_rows(
    design: CoverDesign, step_mm: float, road_sd_mm: float | None, outside: Sequence[str], wide_mm: float
) -> list[KeyRow]:
    """All lines of the key, wrapped to a width.

    Valid       any designed cover; outside: names of readings that are not on the map
    Source      house (writing)
    Proved by   tests/drawings/test_road_contours.py
    """
    road = design.road
    used = sum(p.used for p in road.points)
    samples = [
        KeyRow("used", "reading: what it lies off the fit [mm]"),
        *([KeyRow("left out", "out: left out, unused: not in the fit")] if used < len(road.points) else []),
        KeyRow("level", f"level every {whole_or_tenth_mm(step_mm)} mm, above zero"),
        KeyRow("inside", "the same where nothing was read"),
        *([KeyRow("fold", "fold of the road")] if road.model in ("two planes along", "two planes across") else []),
        KeyRow("rim", "rim of the frame"),
        KeyRow("flange", "flange"),
        KeyRow("cut", "cut-out"),
    ]
    told = [
        f"Fitted: {MODEL_WORDS[road.model]}, to {used} of {len(road.points)} readings.",
        *(f"{fall.words()[:1].upper()}{fall.words()[1:]}." for fall in falls_of(road, 0.0)),
        f"Reading error \u00b1{short_number(road.reading_sd_mm)} mm (1 sd); a reading left out is foretold to "
        f"{tenth_mm(road.loo_mm)} mm.",
        *(
            []
            if road_sd_mm is None
            else [f"The road round the rim is known to \u00b1{road_sd_mm:.1f} mm at worst (1 sd)."]
        ),
        *(f"{g.point}: {signed_mm(g.off_mm)} mm off the others; likely {g.likely_cause}." for g in road.gross),
        *([f"Outside the drawing: {', '.join(outside)}."] if outside else []),
    ]
    return [
        KeyRow("", "The road as fitted", bold=True),
        *(row for sample in samples for row in _wrapped(sample, wide_mm)),
        *(row for text in told for row in _wrapped(KeyRow("", text), wide_mm)),
    ]


def _wrapped(row: KeyRow, wide_mm: float) -> list[KeyRow]:
    room_mm = wide_mm - (_SAMPLE_MM if row.sample else 0.0)
    lines = textwrap.wrap(row.text, int(room_mm / (SPARE_RATIO * words_width_mm("n", _SIZE_MM))))
    after = "after" if row.sample else ""
    return [KeyRow(row.sample if i == 0 else after, text) for i, text in enumerate(lines)]


def key_parts(at: Point, rows: Sequence[KeyRow]) -> list[str]:
    """The key drawn, its first line at a point.

    Valid       any rows
    Source      house (drawing)
    Proved by   tests/drawings/test_road_contours.py
    """
    parts = []
    for i, row in enumerate(rows):
        x, y = at[0], at[1] + KEY_LINE_MM * i
        parts.append(_sample(row.sample, x, y - 1.1))
        indent_mm = _SAMPLE_MM if row.sample else 0.0
        parts.append(words((x + indent_mm, y), row.text, 3.8 if row.bold else _SIZE_MM, "start", bold=row.bold))
    return parts


def _sample(name: str, x: float, y: float) -> str:
    """A little of what the words beside it explain."""
    pens = {
        "level": (THIN_MM * 1.4, ""),
        "inside": (THIN_MM * 1.4, "1.6 1.2"),
        "fold": (LINE_MM, FOLD_DASH),
        "rim": (RIM_PEN_MM, ""),
        "flange": (THIN_MM, "0.5 1"),
        "cut": (BOLD_MM * 1.2, ""),
    }
    if name in pens:
        width_mm, dash = pens[name]
        return line((x, y), (x + _SAMPLE_MM - 1.5, y), width_mm, dash)
    return reading_mark((x + 3.5, y), name == "used") if name in ("used", "left out") else ""


def reading_mark(at: Point, used: bool) -> str:
    """The mark of a reading: a dot where it was used, a crossed ring where it was left out.

    Valid       any point
    Source      house (drawing)
    Proved by   tests/drawings/test_road_contours.py
    """
    if used:
        return circle(at, 0.8, 0.0, "ink")
    x, y, arm = at[0], at[1], 1.1
    cross = line((x - arm, y - arm), (x + arm, y + arm), LINE_MM) + line(
        (x - arm, y + arm), (x + arm, y - arm), LINE_MM
    )
    return circle(at, 1.6, LINE_MM * 1.4, "paper") + cross
