"""Staff readings that hang on nothing or on two things: bench marks, change points, the closing reading."""

from __future__ import annotations

from truebed.given.check_lines import check_lines
from truebed.given.notes import Notes, shown
from truebed.given.table import Row, Table


def by_cover_of(table: Table) -> dict[str, list[Row]]:
    """The rows of each cover that can be named, in the order of booking.

    Valid       readings.csv as far as it was read
    Source      house
    Proved by   tests/given/test_booking_files.py
    """
    found: dict[str, list[Row]] = {}
    for row in table.rows:
        name = row.maybe("cover", str)
        if name is not None:
            found.setdefault(name, []).append(row)
    return found


def closing_rows(rows: list[Row]) -> tuple[Row, ...]:
    """The readings that close a stand on the bench mark it has read before: each the last of its stand.

    Valid       rows of one cover in the order of booking
    Source      common practice, no source (a booking closes on the mark it began with)
    Proved by   tests/given/test_booking_files.py
    """
    found = []
    for stand in _stands(rows).values():
        marks = [row for row in stand if row.maybe("where", str) == "bench mark"]
        if len(marks) > 1 and marks[-1] is stand[-1]:
            found.append(stand[-1])
    return tuple(found)


def check_booking(table: Table, notes: Notes) -> None:
    """All checks of how readings hang together: stands, bench marks, change points, lines.

    Valid       readings.csv as far as it was read
    Source      house (docs/axes-and-signs.md)
    Proved by   tests/given/test_booking_files.py
    """
    for row in table.rows:
        _staff(table.file, row, notes)
    for cover, rows in by_cover_of(table).items():
        _change_points(table.file, cover, rows, notes)
        _stands_hang(table.file, cover, rows, notes)
        check_lines(table.file, cover, rows, notes)


def _staff(file: str, row: Row, notes: Notes) -> None:
    """A staff reading is positive and names its stand."""
    if row.maybe("kind", str) != "staff":
        return
    value = row.maybe("value_mm", float)
    if value is not None and value < 0.0:
        mend = "Write the reading as it stands on the staff; heights are kind 'level'."
        notes.fault(file, row.row, "value_mm", f"a staff reading of {value:g}", "0 or more", mend)
    if row.maybe("set_up", str) is None:
        mend = "Name the instrument's stand, as A; a new name after every move."
        notes.fault(file, row.row, "set_up", "nothing", "a set-up, as it is a staff reading", mend)


def _change_points(file: str, cover: str, rows: list[Row], notes: Notes) -> None:
    """A change point is read by staff from two stands or more."""
    stands: dict[str, set[str | None]] = {}
    own = [row for row in rows if row.maybe("where", str) == "change point" and row.maybe("point", str) is not None]
    for row in own:
        if row.maybe("kind", str) in {"staff", None}:
            stands.setdefault(row.get("point", str), set()).add(row.maybe("set_up", str))
    for row in own:
        point, kind = row.get("point", str), row.maybe("kind", str)
        if kind is not None and kind != "staff":
            mend = "Write staff and its reading, or road if it is a spot level."
            notes.fault(file, row.row, "kind", f"a change point of kind '{kind}'", "a staff reading", mend)
        elif len(stands[point]) == 1:
            found = f"change point {shown(point)} of {shown(cover)}, read from one stand only"
            mend = "Add its reading from the other stand under the same name, or write road."
            notes.fault(file, row.row, "point", found, "a change point read from two stands", mend)


def _stands(rows: list[Row]) -> dict[str, list[Row]]:
    """Staff readings by set-up, both in the order of booking."""
    stands: dict[str, list[Row]] = {}
    for row in rows:
        set_up = row.maybe("set_up", str)
        if row.maybe("kind", str) == "staff" and set_up is not None:
            stands.setdefault(set_up, []).append(row)
    return stands


def _back_sight(stand: list[Row], carried: str | None) -> Row | None:
    """The reading a stand hangs on: the change point read last before it was set up, else its bench mark."""
    for row in stand:
        if carried is not None and (row.maybe("where", str), row.maybe("point", str)) == ("change point", carried):
            return row
    return next((row for row in stand if row.maybe("where", str) == "bench mark"), None)


def _stands_hang(file: str, cover: str, rows: list[Row], notes: Notes) -> None:
    """Every stand hangs on one reading, reads more, and carries on or closes with its last."""
    if any(row.maybe("kind", str) is None for row in rows):
        return  # a row of unknown kind may be the one that is missed
    last: Row | None = None
    for set_up, stand in _stands(rows).items():
        name = f"set-up {shown(set_up)} of {shown(cover)}"
        carried = None
        if last is not None and last.maybe("where", str) == "change point":
            carried = last.maybe("point", str)
        back = _back_sight(stand, carried)
        rest = [row for row in stand if row is not back]
        last = rest[-1] if rest else stand[-1]
        if any(row.maybe("where", str) is None for row in stand):
            continue
        if back is None:
            mend = (
                "Add the bench mark's staff reading of this set-up as a row of this cover, where = bench mark; or a "
                "change point that stands last in the set-up before and in this one too."
            )
            found = f"staff readings of {name} and no bench-mark reading"
            notes.fault(file, stand[0].row, "set_up", found, "a bench mark or change point in every set-up", mend)
        elif not rest:
            mend = "Take the row out, or book what else was read from there."
            notes.fault(file, back.row, "set_up", f"{name} with one reading", "two readings or more", mend)
        else:
            _between(file, name, back, rest[:-1], notes)


def _between(file: str, name: str, back: Row, rows: list[Row], notes: Notes) -> None:
    """All levels of a stand hang on one reading: a second that is not its last would be passed over."""
    for row in rows:
        where = row.maybe("where", str)
        if where not in {"bench mark", "change point"}:
            continue
        value, first = row.maybe("value_mm", float), back.maybe("value_mm", float)
        there = "" if first is None else f"{first:g} "
        found = (
            f"{'a reading' if value is None else f'{value:g}'} on the {where} between the points of {name}, "
            f"which hangs on {there}in row {back.row}"
        )
        mend = (
            "Keep the right one or write their mean; after a move give the second stand its own name; a reading that "
            "closes or carries on stands last in its set-up."
        )
        expected = "one reading that a set-up hangs on, and one that closes or carries on, last"
        notes.fault(file, row.row, "value_mm", found, expected, mend)
