"""Obstacles and soundings that cannot be: inside the frame, in metres, a crack with one end, a tap with two."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from truebed.given.cover import Cover, Plan2D
from truebed.given.notes import Notes, shown
from truebed.given.outline import TAPE_MM, inside_plan, overlaps, shrunk
from truebed.given.survey import Sounding
from truebed.given.survey_rows import obstacle_of, sounding_of
from truebed.given.table import Row, Table

#: so many places all within 5 mm of the frame's centre are no places in mm
_ALIKE_COUNT = 3
_METRES_WITHIN_MM = 5.0
#: what each kind of sounding can find
_FINDS: Mapping[str, tuple[str, ...]] = {
    "tap": ("sound", "hollow"),
    "crack": ("cracked",),
    "probe": ("sound", "cracked", "loose"),
}


def _by_cover(table: Table) -> dict[str, list[Row]]:
    found: dict[str, list[Row]] = {}
    for row in table.rows:
        name = row.maybe("cover", str)
        if name is not None and row.sound:
            found.setdefault(name, []).append(row)
    return found


def check_obstacles(table: Table, covers: Iterable[Cover], notes: Notes) -> None:
    """No obstacle lies in the frame: no cut could then go round the flange.

    Valid       obstacles.csv as far as it was read, covers that could be read
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_survey_files.py
    """
    rows = _by_cover(table)
    for cover in covers:
        for thing in (obstacle_of(row) for row in rows.get(cover.cover, ())):
            plan = Plan2D("rectangle", thing.along_mm, thing.across_mm)
            if overlaps(cover.flange, cover.turn_deg, plan, (thing.x_mm, thing.y_mm), thing.turn_deg):
                found = (
                    f"{shown(thing.what)} of {thing.along_mm:g} x {thing.across_mm:g} mm at {thing.x_mm:g}, "
                    f"{thing.y_mm:g}, which lies in the flange of {shown(cover.cover)}"
                )
                mend = "Give its middle in mm from the frame's centre and its full sizes; leave out what is part of it."
                notes.fault(table.file, thing.row, "x_mm", found, "an obstacle beside the flange", mend)


def check_soundings(table: Table, covers: Iterable[Cover], notes: Notes) -> None:
    """Soundings lie beside the frame, each once; a crack has two ends, a tap or probe one.

    Valid       soundings.csv as far as it was read, covers that could be read
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_survey_files.py
    """
    rows = _by_cover(table)
    for name, own in rows.items():
        soundings = [sounding_of(row) for row in own]
        _once(table.file, name, soundings, notes)
        for sounding in soundings:
            _kind(table.file, sounding, notes)
    for cover in covers:
        soundings = [sounding_of(row) for row in rows.get(cover.cover, ())]
        if not _in_metres(table.file, soundings, notes):
            for sounding in soundings:
                _beside(table.file, cover, sounding, notes)


def _once(file: str, cover: str, soundings: list[Sounding], notes: Notes) -> None:
    first: dict[str, Sounding] = {}
    for sounding in soundings:
        before = first.setdefault(sounding.point, sounding)
        if before is not sounding:
            found = f"{shown(sounding.point)} of {shown(cover)}, which stands in row {before.row} too"
            notes.fault(file, sounding.row, "point", found, "each sounding of a cover once", "Rename or take out one.")


def _kind(file: str, sounding: Sounding, notes: Notes) -> None:
    """What stands in the row is what that kind of sounding gives."""
    if sounding.found not in _FINDS[sounding.kind]:
        expected = f"of a {sounding.kind}: " + " or ".join(_FINDS[sounding.kind])
        mend = "Change the kind, or what was found."
        notes.fault(file, sounding.row, "found", f"a {sounding.kind} that found '{sounding.found}'", expected, mend)
    ends = {"to_x_mm": sounding.to_x_mm, "to_y_mm": sounding.to_y_mm}
    if sounding.kind == "crack":
        for column, place in ends.items():
            if place is None:
                mend = "Measure where it ends, from the frame's centre; a place without a length is a probe."
                notes.fault(file, sounding.row, column, "a crack with one end", "both ends of the crack", mend)
        if (sounding.x_mm, sounding.y_mm) == (sounding.to_x_mm, sounding.to_y_mm):
            mend = "Measure its other end."
            notes.fault(file, sounding.row, "to_x_mm", "a crack whose ends are one place", "two places", mend)
        return
    for column, value in {**ends, "width_mm": sounding.width_mm}.items():
        if value is not None:
            found = f"{value:g} of a {sounding.kind}"
            mend = "Empty it, or write crack as the kind."
            notes.fault(file, sounding.row, column, found, "nothing: only a crack has it", mend)


def _in_metres(file: str, soundings: list[Sounding], notes: Notes) -> bool:
    near = [s for s in soundings if abs(s.x_mm) < _METRES_WITHIN_MM and abs(s.y_mm) < _METRES_WITHIN_MM]
    if len(soundings) < _ALIKE_COUNT or len(near) < len(soundings):
        return False
    found = f"all soundings of {shown(soundings[0].cover)} within {_METRES_WITHIN_MM:g} mm of the frame's centre"
    mend = "They look like metres: head the columns x_m and y_m, or write mm."
    notes.fault(file, soundings[0].row, "x_mm", found, "places in mm", mend)
    return True


def _beside(file: str, cover: Cover, sounding: Sounding, notes: Notes) -> None:
    """Taps and probes lie outside the frame; a crack may begin at its edge, as taped."""
    body = cover.body if sounding.kind != "crack" else shrunk(cover.body, TAPE_MM)
    places = [("x_mm", sounding.x_mm, sounding.y_mm)]
    if sounding.to_x_mm is not None and sounding.to_y_mm is not None:
        places.append(("to_x_mm", sounding.to_x_mm, sounding.to_y_mm))
    for column, x_mm, y_mm in places:
        if body is not None and inside_plan(body, cover.turn_deg, x_mm, y_mm):
            found = f"{sounding.kind} {shown(sounding.point)} at {x_mm:g}, {y_mm:g}, inside the frame"
            mend = "Measure its place from the frame's centre again, in mm: the road beside the frame is sounded."
            notes.fault(file, sounding.row, column, found, "a place outside the frame's body", mend)
