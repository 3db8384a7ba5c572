"""A form to print: a crew without signal sums a pour's maturity points, line by line."""

from __future__ import annotations

import math
from dataclasses import dataclass

from truebed.curing.points_table import EVERY_MIN, READY_POINTS, PointsTable

COLUMNS = ("time", "probe °C", "points", "sum")
#: Lines to fill in: two spare ones; as many as fit on a page at the most.
SPARE_COUNT, LINES_MOST_COUNT = 2, 36
SPAN_WORDS = "the lower of the two temperatures at its ends"


@dataclass(frozen=True, slots=True)
class PointsForm:
    """One form, of one pour of one cover.

    table       temperature and points, as written; columns, lines: the empty part, lines its number of lines
    rules       how it is kept, a sentence each; cautions likewise
    """

    cover: str
    pour: str
    heading: str
    waits_for: str
    columns: tuple[str, ...]
    lines: int
    table: tuple[tuple[str, str], ...]
    rules: tuple[str, ...]
    cautions: tuple[str, ...]


def points_form(
    cover: str, pour: str, sheet_name: str, target_source: str, table: PointsTable, coldest_c: float | None = None
) -> PointsForm:
    """The form of one pour.

    coldest_c   the coldest that the layer is expected to be, for the number of lines; None: as many as a page takes
    Valid       any table
    Source      house (writing); the sum: truebed.curing.points_table
    Proved by   tests/papers/test_now_words.py
    """
    place = table.place.key
    return PointsForm(
        cover,
        pour,
        f"{cover}, {pour}: {sheet_name}, probe at the {place}",
        f"waits for {table.target_n_per_mm2:g} N/mm² ({target_source})",
        COLUMNS,
        _lines_count(table, coldest_c),
        tuple((f"{row.temp_c:g}", f"{row.ten_minutes_points:.1f}") for row in table.rows),
        (
            "First line: when the pour is in its place and the probe in it; points 0.",
            f"Then read the probe every {EVERY_MIN:g} minutes. Each {EVERY_MIN:g} minutes earn the points of "
            f"{SPAN_WORDS}; between two rows of the table take the colder row.",
            f"More than {EVERY_MIN:g} minutes between two readings: still only the points of {EVERY_MIN:g} minutes.",
            f"A sum of {READY_POINTS:g} is the late side: believed to have the strength in 95 cases of 100.",
            "Warmer than the last row or colder than the first: not allowed by the sheet. Stop; call the office.",
        ),
        (
            _frost(table),
            "Only this pour: every other layer has its own time, and the wheel's demand stands in the plan.",
            "Truebed advises; a competent person decides.",
        ),
    )


def _lines_count(table: PointsTable, coldest_c: float | None) -> int:
    if coldest_c is None:
        return LINES_MOST_COUNT
    points = table.points_at(coldest_c)
    if points is None or points <= 0.0:
        return LINES_MOST_COUNT
    return min(LINES_MOST_COUNT, math.ceil(READY_POINTS / points) + 1 + SPARE_COUNT)


def _frost(table: PointsTable) -> str:
    none = [row.temp_c for row in table.rows if row.ten_minutes_points == 0.0]
    if not none:
        return "At or below 0 °C nothing counts: keep the frost off, and call the office."
    return f"At {max(none):g} °C and below nothing counts, the slowest spot may freeze: keep the frost off."


def form_rows(form: PointsForm) -> list[dict[str, str]]:
    """The table as rows of a name and a text, for a typeset sheet.

    Valid       any form
    Source      house (writing)
    Proved by   tests/papers/test_now_words.py
    """
    return [{"temp": temp, "points": points} for temp, points in form.table]


def form_text(form: PointsForm) -> list[str]:
    """The whole form as plain lines, for a printer that knows nothing else.

    Valid       any form
    Source      house (writing)
    Proved by   tests/papers/test_now_words.py
    """
    half = math.ceil(len(form.table) / 2)
    pairs = [(form.table[i], form.table[i + half] if i + half < len(form.table) else None) for i in range(half)]
    rule = "+----------+----------+----------+----------+"
    empty = "|          |          |          |          |"
    return [
        form.heading,
        form.waits_for,
        "",
        *(f"  {number}. {text}" for number, text in enumerate(form.rules, 1)),
        "",
        f"  points for {EVERY_MIN:g} minutes",
        "  °C    points      °C    points",
        *(f"  {a[0]:>4} {a[1]:>7}" + (f"      {b[0]:>4} {b[1]:>7}" if b is not None else "") for a, b in pairs),
        "",
        rule,
        "|" + "|".join(f" {name:<9}" for name in form.columns) + "|",
        rule,
        *(line for _ in range(form.lines) for line in (empty, rule)),
        "",
        *(f"  {text}" for text in form.cautions),
    ]
