"""Lines of a straightedge or a string that cannot be: unnamed, of one point, bent, below the road they rest on."""

from __future__ import annotations

import math

from truebed.given.notes import Notes, shown
from truebed.given.outline import TAPE_MM
from truebed.given.table import Row

GAPS = ("straightedge gap", "string-line offset")
#: what a gap may be measured down to
_DOWN_TO = ("road", "frame", "lid", "chamber", "kerb")
Point = tuple[float, float]


def off_line(points: list[Point]) -> list[tuple[float, int]]:
    """How far each point lies off the straight line through the two that are furthest apart, with its index. [mm]

    Valid       one point or more
    Source      algebra
    Proved by   tests/given/test_lines_files.py
    """
    # furthest from the first, then furthest from that one: exact for points in a line, near it for others
    start = max(points, key=lambda p: math.dist(p, points[0]))
    end = max(points, key=lambda p: math.dist(p, start))
    length = math.dist(start, end)
    if length == 0.0:
        return [(0.0, index) for index in range(len(points))]
    x, y = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    return [(abs((p[1] - start[1]) * x - (p[0] - start[0]) * y), index) for index, p in enumerate(points)]


def line_of(row: Row) -> str | None:
    """The line a row belongs to, None where it names none: its set-up names it; a staff reading's set-up is the stand,
    so a line end read by staff names its line in its point, before the last blank: 'L1 left'.

    Valid       a gap, an offset or a line end
    Source      house (docs/axes-and-signs.md)
    Proved by   tests/given/test_lines_files.py
    """
    if row.maybe("kind", str) != "staff":
        return row.maybe("set_up", str)
    point = row.maybe("point", str)
    return point.rpartition(" ")[0] or None if point is not None else None


def check_lines(file: str, cover: str, rows: list[Row], notes: Notes) -> None:
    """Every gap names its line; a line has two points or more, one kind, lies straight and above the road.

    Valid       rows of one cover as far as they were read
    Source      house (docs/axes-and-signs.md)
    Proved by   tests/given/test_lines_files.py
    """
    lines: dict[str, list[Row]] = {}
    for row in rows:
        kind, where = row.maybe("kind", str), row.maybe("where", str)
        if kind is None or where is None or (kind not in GAPS and where != "line end"):
            continue
        if kind in GAPS:
            _gap(file, row, kind, where, notes)
        name = line_of(row)
        if name is not None:
            lines.setdefault(name, []).append(row)
        elif kind == "staff":
            mend = "Name the line and then the end in its point, as 'L1 left'; set_up is the instrument's stand."
            notes.fault(file, row.row, "point", "a line end that names no line", "the line's name and its end's", mend)
        else:
            mend = "Name the straightedge's place or the string, as L1; all its points carry that name."
            notes.fault(file, row.row, "set_up", "nothing", "the name of the line", mend)
    stands = {row.maybe("set_up", str) for row in rows if row.maybe("kind", str) == "staff"}
    for name, own in lines.items():
        if name in stands:
            mend = "Give the line a name of its own."
            found = f"line {shown(name)}, which is an instrument's stand too"
            notes.fault(file, own[0].row, "set_up", found, "a name that no stand has", mend)
        _line(file, f"line {shown(name)} of {shown(cover)}", own, notes)


def _gap(file: str, row: Row, kind: str, where: str, notes: Notes) -> None:
    """What a gap is measured down to, and that it is one."""
    if where not in _DOWN_TO:
        mend = "Write what lies below; the edge or string itself is a line end of kind level or staff."
        notes.fault(file, row.row, "where", f"a {kind} down to a {where}", "one of: " + ", ".join(_DOWN_TO), mend)
    value = row.maybe("value_mm", float)
    if value is not None and value < 0.0 and (kind == "straightedge gap" or where == "road"):
        what = "An edge rests on what is highest" if kind == "straightedge gap" else "A string is drawn above the road"
        mend = f"{what}: write the gap as it is, down positive, or lift the line and measure again."
        if kind == "string-line offset":
            mend = f"{mend} Only frame, lid, chamber or kerb beside a string may stand above it."
        notes.fault(file, row.row, "value_mm", f"a {kind} of {value:g} mm down to the {where}", "0 or more", mend)


def _line(file: str, name: str, rows: list[Row], notes: Notes) -> None:
    gaps = [row for row in rows if row.maybe("kind", str) in GAPS]
    if not gaps or len(rows) < 2:
        found = f"{name} with {'its ends only' if not gaps else 'one point'}"
        expected = "a gap or offset, and a second point or line end"
        mend = "Measure two points of a line or more, or look for a name of the line that was misspelt."
        notes.fault(file, rows[0].row, "set_up", found, expected, mend)
        return
    ends = [row for row in rows if row.maybe("where", str) == "line end"]
    if len(ends) == 1:
        found = f"{name} with the level of one end: it may tilt"
        mend = "Give the level of both its ends, or of neither."
        notes.fault(file, ends[0].row, "where", found, "both ends or neither", mend)
    first = gaps[0].maybe("kind", str)
    for row in gaps:
        if row.maybe("kind", str) != first:
            found = f"a {row.maybe('kind', str)} in {name}, which row {gaps[0].row} calls a {first}"
            notes.fault(file, row.row, "kind", found, "one kind in a line", "Name the other line differently.")
            return
    placed = [
        (x, y, row) for row in rows if (x := _of(row, "x_mm")) is not None and (y := _of(row, "y_mm")) is not None
    ]
    if not placed:
        return
    off_mm, worst = max(off_line([(x, y) for x, y, _ in placed]))
    if off_mm > TAPE_MM:
        x_mm, y_mm, row = placed[worst]
        found = f"a point at {x_mm:g}, {y_mm:g}, {off_mm:.0f} mm off {name}"
        mend = "Measure its place again, or name its line if it belongs to another."
        notes.fault(file, row.row, "x_mm", found, f"the points of a line within {TAPE_MM:g} mm of it", mend)


def _of(row: Row, column: str) -> float | None:
    return row.maybe(column, float)
