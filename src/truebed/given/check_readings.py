"""Readings that cannot be used: too few, twice, in another unit, on one line, inside the frame, mirrored."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from truebed.given.check_booking import by_cover_of, check_booking, closing_rows
from truebed.given.check_lines import off_line
from truebed.given.cover import Cover
from truebed.given.notes import Notes, shown
from truebed.given.outline import TAPE_MM, inside_plan, shrunk
from truebed.given.reading import Reading
from truebed.given.rows import reading_of
from truebed.given.table import Row, Table

#: six are the least among which a wrong one can be found; the design refuses fewer (levels/road_fit.py)
LEAST_ROAD_READINGS_COUNT = 6
#: so many spots that are all alike in some way are a slip and no chance
ALIKE_COUNT = 4
_METRES_WITHIN_MM = 5.0
_STAFF_METRES_WITHIN_MM = 10.0
_LEVEL_METRES_SPREAD_MM = 0.5
_GAP_METRES_WITHIN_MM = 0.5
_STEEP_RATIO = 0.5
_FAR_RATIO = 3.0


def check_readings(table: Table, covers: Iterable[Cover], cover_rows: Mapping[str, int], notes: Notes) -> None:
    """All checks of readings.csv against the covers.

    covers      those that could be read; cover_rows: every name in covers.csv -> its row
    Valid       tables as far as they were read
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_faults.py
    """
    by_cover = by_cover_of(table)
    _points_once(table.file, by_cover, notes)
    check_booking(table, notes)
    if all(row.maybe("cover", str) is not None for row in table.rows):
        _enough(table.file, by_cover, cover_rows, notes)
    for cover in covers:
        ring = [reading_of(row) for row in by_cover.get(cover.cover, ()) if row.sound]
        # where the staff stood for its own sake: the place of a bench mark or change point is not wanted
        spots = [spot for spot in ring if spot.where not in {"bench mark", "change point"}]
        if _in_metres(table.file, spots, notes) or _on_the_map(table.file, spots, notes):
            continue
        _one_place(table.file, spots, notes)
        _where(table.file, cover, spots, notes)
        _on_iron(table.file, cover, spots, notes)
        _steep(table.file, spots, notes)
        if not _in_one_line(table.file, spots, notes):
            _mirrored(table.file, cover, spots, notes)


def _points_once(file: str, by_cover: Mapping[str, list[Row]], notes: Notes) -> None:
    for cover, rows in by_cover.items():
        seen: dict[tuple[str, str], Row] = {}
        closing = {row.row for row in closing_rows(rows)}
        for row in rows:
            point, set_up = row.maybe("point", str), row.maybe("set_up", str)
            if point is None or row.row in closing:
                continue
            first = seen.setdefault((point, "" if set_up is None else set_up), row)
            if first is row:
                continue
            now, before = row.maybe("value_mm", float), first.maybe("value_mm", float)
            same = now is not None and now == before
            levels = "" if same or now is None or before is None else f" with {before:g} there and {now:g} here"
            found = f"point {shown(point)} of {shown(cover)}, which stands in row {first.row} too{levels}"
            mend = "Take out the copy." if same else "Keep the right one, or give the second reading its own name."
            notes.fault(file, row.row, "point", found, "each point of a cover once in a set-up", mend)


def _enough(file: str, by_cover: Mapping[str, list[Row]], cover_rows: Mapping[str, int], notes: Notes) -> None:
    for cover in cover_rows:
        rows = by_cover.get(cover, [])
        count = sum(1 for row in rows if row.maybe("where", str) in {"road", None})
        if count < LEAST_ROAD_READINGS_COUNT:
            found = f"{count} road reading{'' if count == 1 else 's'} of {shown(cover)}"
            mend = "Level the road round it: eight points, a corner and a side apart."
            expected = f"at least {LEAST_ROAD_READINGS_COUNT}"
            notes.fault(file, rows[0].row if rows else 0, "where", found, expected, mend)


def _in_metres(file: str, spots: list[Reading], notes: Notes) -> bool:
    """True, with a fault, where the places or values of a cover's points are in metres by their size."""
    if len(spots) < ALIKE_COUNT:
        return False
    first, cover = spots[0].row, shown(spots[0].cover)
    before_count = len(notes.faults)
    if all(abs(s.x_mm) < _METRES_WITHIN_MM and abs(s.y_mm) < _METRES_WITHIN_MM for s in spots):
        far = max(max(abs(s.x_mm), abs(s.y_mm)) for s in spots)
        found = f"all points of {cover} within {far:g} mm of the frame's centre"
        mend = "They look like metres: head the columns x_m and y_m, or write mm."
        notes.fault(file, first, "x_mm", found, "places in mm", mend)
    for kind in ("level", "staff", "straightedge gap", "string-line offset"):
        values = [s.value_mm for s in spots if s.kind == kind]
        if len(values) >= ALIKE_COUNT and _metre_values(kind, min(values), max(values)):
            found = f"{kind} values of {cover} from {min(values):g} to {max(values):g} mm"
            mend = "They look like metres: head the column value_m, or write mm."
            notes.fault(file, first, "value_mm", found, "values in mm", mend)
    return len(notes.faults) > before_count


def _on_the_map(file: str, spots: list[Reading], notes: Notes) -> bool:
    """True, with a fault, where points lie together far from the frame's centre: places in the works' system."""
    if len(spots) < ALIKE_COUNT:
        return False
    sides = {"x_mm": [spot.x_mm for spot in spots], "y_mm": [spot.y_mm for spot in spots]}
    extent_mm = max(max(places) - min(places) for places in sides.values())
    before_count = len(notes.faults)
    for column, places in sides.items():
        if min(abs(place) for place in places) > _FAR_RATIO * extent_mm:
            found = f"all points of {shown(spots[0].cover)} with {column[0]} from {min(places):g} to {max(places):g}"
            mend = (
                "They look like places on the map: those belong into x_m and y_m of covers.csv; here measure from the "
                "frame's centre, in mm."
            )
            notes.fault(file, spots[0].row, column, found, "places from the frame's centre", mend)
    return len(notes.faults) > before_count


def _metre_values(kind: str, least_mm: float, most_mm: float) -> bool:
    """True where several values of a kind are so small, or so alike, that they must be metres."""
    if kind in {"straightedge gap", "string-line offset"}:
        return 0.0 < max(abs(least_mm), abs(most_mm)) < _GAP_METRES_WITHIN_MM
    return 0.0 < most_mm - least_mm < _LEVEL_METRES_SPREAD_MM or (kind == "staff" and most_mm < _STAFF_METRES_WITHIN_MM)


def _steep(file: str, spots: list[Reading], notes: Notes) -> None:
    """Values of one stand or line that no road could have: a figure misread by a metre, or a unit mixed up."""
    groups: dict[tuple[str, str], list[Reading]] = {}
    for spot in spots:
        if spot.where == "road":
            groups.setdefault((spot.kind, spot.set_up), []).append(spot)
    for group in groups.values():
        values = sorted(spot.value_mm for spot in group)
        x, y = [spot.x_mm for spot in group], [spot.y_mm for spot in group]
        extent_mm = math.hypot(max(x) - min(x), max(y) - min(y))
        if len(group) < ALIKE_COUNT or values[-1] - values[0] <= _STEEP_RATIO * extent_mm:
            continue
        middle_mm = values[len(values) // 2]
        worst = max(group, key=lambda spot: abs(spot.value_mm - middle_mm))
        found = f"{worst.value_mm:g} mm at '{worst.point}'; the road points read with it lie about {middle_mm:g} mm"
        mend = "Look for a metre misread, a lost figure, or a header in another unit than the values."
        expected = f"road points no steeper than 1 in {1.0 / _STEEP_RATIO:g} over all"
        notes.fault(file, worst.row, "value_mm", found, expected, mend)


def _in_one_line(file: str, spots: list[Reading], notes: Notes) -> bool:
    """True, with a fault, where all road points lie in one straight line: no plane stands on a line."""
    road = [spot for spot in spots if spot.where == "road"]
    if len(road) < ALIKE_COUNT:
        return False
    off_mm = max(off for off, _ in off_line([(spot.x_mm, spot.y_mm) for spot in road]))
    if off_mm > TAPE_MM:
        return False
    found = f"all {len(road)} road points of {shown(road[0].cover)} within {TAPE_MM:g} mm of one straight line"
    mend = "Level the road on all sides of the frame; look for a column of places that was copied down."
    notes.fault(file, road[0].row, "x_mm", found, "road points all round the frame", mend)
    return True


def _one_place(file: str, spots: list[Reading], notes: Notes) -> None:
    """Two points of one kind at one place are a copy that was not corrected."""
    seen: dict[tuple[str, str, int, int], Reading] = {}
    for spot in spots:
        place = spot.where, spot.set_up, round(spot.x_mm), round(spot.y_mm)
        first = seen.setdefault(place, spot)
        if first is not spot and first.point != spot.point:
            found = f"point '{spot.point}' where '{first.point}' of row {first.row} is"
            mend = "Look for a sign or a place that was copied; a second reading of one point goes in its own set-up."
            notes.fault(file, spot.row, "x_mm", found, "one point at a place", mend)


def _where(file: str, cover: Cover, spots: list[Reading], notes: Notes) -> None:
    """A road point lies outside the frame and on the road's side of the kerb."""
    for spot in spots:
        if spot.where != "road":
            continue
        if inside_plan(cover.body, cover.turn_deg, spot.x_mm, spot.y_mm):
            found = f"road point '{spot.point}' at {spot.x_mm:g}, {spot.y_mm:g}, inside the frame"
            mend = "Write frame or lid, or measure its place from the frame's centre again."
            notes.fault(file, spot.row, "where", found, "a road point outside the frame's body", mend)
        if cover.kerb_mm is not None and _toward_kerb_mm(cover, spot) > cover.kerb_mm:
            kerb = f"the kerb {cover.kerb_side} at {cover.kerb_mm:g} mm"
            found = f"road point '{spot.point}' at y {spot.y_mm:g} mm, beyond {kerb}"
            mend = "y is positive to the left of the traffic: look for a lost sign, or write kerb."
            notes.fault(file, spot.row, "y_mm", found, "a road point on the road", mend)


def _on_iron(file: str, cover: Cover, spots: list[Reading], notes: Notes) -> None:
    """A point of frame or lid lies on it; one that does not shows axes that were mirrored or swapped."""
    body = shrunk(cover.body, -TAPE_MM)
    for spot in spots:
        if spot.where not in {"frame", "lid"} or body is None:
            continue
        if not inside_plan(body, cover.turn_deg, spot.x_mm, spot.y_mm):
            found = (
                f"{spot.where} point '{spot.point}' at {spot.x_mm:g}, {spot.y_mm:g}, off the {cover.body.shape} frame"
            )
            mend = (
                "x is along the traffic, y to its left, turn_deg anticlockwise: look for axes mirrored or swapped, "
                "or write road."
            )
            expected = f"a point on the frame, to {TAPE_MM:g} mm"
            notes.fault(file, spot.row, "x_mm", found, expected, mend)


def _toward_kerb_mm(cover: Cover, spot: Reading) -> float:
    return spot.y_mm if cover.kerb_side == "left" else -spot.y_mm


def _mirrored(file: str, cover: Cover, spots: list[Reading], notes: Notes) -> None:
    """Signs lost or swapped: the road's points all on one side, or the kerb's points on the wrong one."""
    road = [spot for spot in spots if spot.where == "road"]
    sides = {"x_mm": [spot.x_mm for spot in road]}
    if cover.kerb_side == "none":
        sides["y_mm"] = [spot.y_mm for spot in road]
    for column, places in sides.items():
        if len(places) >= ALIKE_COUNT and (min(places) > 0.0 or max(places) < 0.0):
            sign = "positive" if min(places) > 0.0 else "negative"
            found = f"all road points of {shown(cover.cover)} with {column[0]} {sign}"
            mend = "x is positive along the traffic, y to its left, from the frame's centre: look for lost signs."
            notes.fault(file, road[0].row, column, found, "road points on both sides of the frame", mend)
    if cover.kerb_side == "none":
        return
    for spot in spots:
        if spot.where == "kerb" and _toward_kerb_mm(cover, spot) < 0.0:
            found = f"kerb point '{spot.point}' at y {spot.y_mm:g} mm; the cover's kerb is on the {cover.kerb_side}"
            mend = "y is positive to the left of the traffic: change the sign here, or kerb_side in covers.csv."
            notes.fault(file, spot.row, "y_mm", found, f"a kerb point on the {cover.kerb_side}", mend)
