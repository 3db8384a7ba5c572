"""Covers that cannot be: frames that do not fit together, names twice, streets of no closure."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection, Iterable

from truebed.given.cover import Cover, Plan2D
from truebed.given.notes import Notes, did_you_mean, nearest, shown
from truebed.given.outline import corner_reach_mm, reach_left_mm
from truebed.given.table import Table


def fold(name: str) -> str:
    """A name as a file system that ignores case would keep it.

    Source      house (names become file names)
    Proved by   tests/given/test_faults.py
    """
    return unicodedata.normalize("NFC", name.casefold())


def check_once(table: Table, column: str, what: str, notes: Notes) -> None:
    """Every name stands in one row only.

    Valid       a table whose column holds text
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_faults.py
    """
    seen: dict[str, int] = {}
    for row in table.rows:
        name = row.maybe(column, str)
        if name is None:
            continue
        first = seen.setdefault(fold(name), row.row)
        if first != row.row:
            found = f"{shown(name)}, which stands in row {first} too"
            notes.fault(table.file, row.row, column, found, f"each {what} once", "Rename or take out one of them.")


def check_known(table: Table, column: str, known: Iterable[str], where: str, notes: Notes) -> None:
    """Every name in a column, or in its list, is known in another file.

    Valid       a table whose column holds text or lists of text
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_faults.py
    """
    names = tuple(known)
    there = frozenset(names)
    for row in table.rows:
        single = row.maybe(column, str)
        several = row.maybe(column, tuple)
        for name in (single,) if single is not None else () if several is None else several:
            if name not in there:
                mend = did_you_mean(name, names, f"Spell it as there, or add it to {where}.")
                notes.fault(table.file, row.row, column, shown(name), f"a {column.rstrip('s')} of {where}", mend)


def check_frames(file: str, covers: Iterable[Cover], notes: Notes) -> None:
    """Opening, body, flange, chamber and depths fit together, and the kerb leaves room for the flange.

    Valid       covers with positive sizes
    Source      house (geometry of a frame)
    Proved by   tests/given/test_faults.py
    """
    for cover in covers:
        _inside(file, cover, "opening", cover.opening, "body", cover.body, notes)
        _inside(file, cover, "body", cover.body, "flange", cover.flange, notes, may_equal=True)
        _over_chamber(file, cover, notes)
        if cover.flange_thick_mm >= cover.frame_depth_mm:
            notes.fault(
                file,
                cover.row,
                "flange_thick_mm",
                f"a flange {cover.flange_thick_mm:g} mm thick of a frame {cover.frame_depth_mm:g} mm deep",
                "a flange thinner than the frame is deep",
                "Measure both again; the depth is from the top to the underside of the flange.",
            )
        if (cover.x_m is None) != (cover.y_m is None):
            missing = "x_m" if cover.x_m is None else "y_m"
            mend = "Fill both, or leave both empty."
            notes.fault(file, cover.row, missing, "one of x_m and y_m", "both or neither", mend)
        if cover.parts_count > 1 and cover.body.shape in {"round", "D"}:
            found = f"{cover.parts_count} parts of a frame whose body is {cover.body.shape}"
            mend = "Write 1; lids that are parted in one frame are no parts of the frame."
            notes.fault(file, cover.row, "parts", found, "equal parts in a row, as only a rectangle has", mend)
        _kerb(file, cover, notes)


def check_margins(file: str, covers: Iterable[Cover], sounded: Collection[str], notes: Notes) -> None:
    """Every cover has a sound margin, or soundings to find it from.

    sounded     the covers that soundings.csv has rows of
    Valid       covers that could be read
    Source      house (nothing is guessed: a margin is measured)
    Proved by   tests/given/test_cover_shapes.py
    """
    for cover in covers:
        if cover.sound_margin_mm is None and cover.cover not in sounded:
            found = f"no margin of {shown(cover.cover)} and no soundings"
            mend = "Write how far sound road lies from the flange's edge, or book taps and probes in soundings.csv."
            notes.fault(file, cover.row, "sound_margin_mm", found, "a sound margin, or rows in soundings.csv", mend)


def _sides(inner: Plan2D, outer: Plan2D) -> tuple[tuple[str, float, float], ...]:
    return ("along", inner.along_mm, outer.along_mm), ("across", inner.across_mm, outer.across_mm)


def _inside(
    file: str,
    cover: Cover,
    inner_name: str,
    inner: Plan2D,
    outer_name: str,
    outer: Plan2D,
    notes: Notes,
    may_equal: bool = False,
) -> None:
    expected = f"{_article(inner_name)} {'no larger' if may_equal else 'smaller'} than the {outer_name}"
    mend = f"Measure both again, or swap {inner_name} and {outer_name} if they stand in each other's column."
    sides = _sides(inner, outer)
    for side, inner_mm, outer_mm in sides:
        if inner_mm < outer_mm or (may_equal and inner_mm == outer_mm):
            continue
        found = f"{inner_name} {inner_mm:g} mm {side}, {outer_name} {outer_mm:g} mm"
        notes.fault(file, cover.row, f"{inner_name}_{side}_mm", found, expected, mend)
    _corners(file, cover, inner_name, inner, outer_name, outer, expected, mend, notes)


def _corners(
    file: str,
    cover: Cover,
    inner_name: str,
    inner: Plan2D,
    outer_name: str,
    outer: Plan2D,
    expected: str,
    mend: str,
    notes: Notes,
) -> None:
    """A square one in a round one: where its sides would fit, its corners may not."""
    corners = corner_reach_mm(inner, outer)
    if corners is None or any(inner_mm > outer_mm for _, inner_mm, outer_mm in _sides(inner, outer)):
        return
    reach, limit = corners
    if reach >= limit:
        found = (
            f"{inner_name} {inner.along_mm:g} x {inner.across_mm:g} mm ({inner.shape}), whose corners reach "
            f"{reach:.0f} mm from the middle of the {outer_name}'s curve ({outer.shape}) of radius {limit:g} mm"
        )
        notes.fault(file, cover.row, f"{inner_name}_along_mm", found, expected, mend)


def _article(noun: str) -> str:
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def _over_chamber(file: str, cover: Cover, notes: Notes) -> None:
    """A frame whose flange does not reach over the chamber's edge has nothing to stand on."""
    expected = "a chamber smaller inside than the flange, or the frame would fall in"
    mend = "Measure both again; where corbels or a cover slab carry the frame, give their opening as the chamber."
    for side, chamber_mm, flange_mm in _sides(cover.chamber, cover.flange):
        if chamber_mm >= flange_mm:
            found = f"chamber {chamber_mm:g} mm {side} inside, flange {flange_mm:g} mm"
            notes.fault(file, cover.row, f"chamber_{side}_mm", found, expected, mend)
    _corners(file, cover, "chamber", cover.chamber, "flange", cover.flange, expected, mend, notes)


def _kerb(file: str, cover: Cover, notes: Notes) -> None:
    """A kerb needs its distance, a distance its side, and the flange must end before it."""
    if cover.kerb_side == "none":
        if cover.kerb_mm is not None:
            mend = "Write left or right of the traffic as kerb_side, or empty kerb_mm."
            notes.fault(file, cover.row, "kerb_side", f"kerb_mm {cover.kerb_mm:g} and no side", "left or right", mend)
        return
    if cover.kerb_mm is None:
        mend = "Measure from the frame's centre to the kerb's face."
        notes.fault(file, cover.row, "kerb_mm", f"a kerb {cover.kerb_side} and no distance", "its distance in mm", mend)
        return
    reach_mm = reach_left_mm(cover.flange, cover.turn_deg + (0.0 if cover.kerb_side == "left" else 180.0))
    if cover.kerb_mm < reach_mm:
        notes.fault(
            file,
            cover.row,
            "kerb_mm",
            f"a kerb {cover.kerb_mm:g} mm from the frame's centre; the flange reaches {reach_mm:.0f} mm",
            "a kerb beyond the flange",
            "Measure from the frame's centre, square to the traffic, to the kerb's face.",
        )


def check_streets(covers: Table | None, closures: Table | None, notes: Notes) -> None:
    """Every cover's street stands in one closure, and in no more than one.

    Valid       tables as far as they were read
    Source      house (a cover in no closure would never be planned)
    Proved by   tests/given/test_faults.py
    """
    if closures is None:
        return
    first: dict[str, tuple[int, str]] = {}
    read = True
    for row in closures.rows:
        streets = row.maybe("streets", tuple)
        read = read and streets is not None
        for street in () if streets is None else streets:
            name = row.maybe("closure", str)
            if street in first:
                other_row, other = first[street]
                found = f"{shown(street)}, which closure '{other}' in row {other_row} has too"
                mend = "Leave it in the closure in which its covers are to be done."
                notes.fault(closures.file, row.row, "streets", found, "a street in one closure", mend)
            else:
                first[street] = row.row, "" if name is None else name
    if covers is None or not read:
        return
    for row in covers.rows:
        street = row.maybe("street", str)
        if street is not None and street not in first:
            near = nearest(street, first)
            hint = f"Did you mean '{near}'? " if near else ""
            mend = f"{hint}Spell it as in closures.csv, or add it to a closure: its cover would never be planned."
            notes.fault(covers.file, row.row, "street", shown(street), "a street of a closure", mend)
