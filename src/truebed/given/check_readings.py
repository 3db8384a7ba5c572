"""Readings that cannot be used: of no cover, too few, twice, in another unit, inside the frame, mirrored."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from truebed.given.cover import Cover, Plan2D
from truebed.given.notes import Notes, shown
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


def check_readings(table: Table, covers: Iterable[Cover], cover_rows: Mapping[str, int], notes: Notes) -> None:
    """All checks of readings.csv against the covers.

    covers      those that could be read; cover_rows: every name in covers.csv -> its row
    Valid       tables as far as they were read
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_faults.py
    """
    by_cover: dict[str, list[Row]] = {}
    for row in table.rows:
        name = row.maybe("cover", str)
        if name is not None:
            by_cover.setdefault(name, []).append(row)
    _points_once(table.file, by_cover, notes)
    _set_ups(table, notes)
    _one_bench_mark(table, notes)
    if all(row.maybe("cover", str) is not None for row in table.rows):
        _enough(table.file, by_cover, cover_rows, notes)
    for cover in covers:
        ring = [reading_of(row) for row in by_cover.get(cover.cover, ()) if row.sound]
        spots = [spot for spot in ring if spot.where != "bench mark"]
        if _in_metres(table.file, spots, notes):
            continue
        _one_place(table.file, spots, notes)
        _where(table.file, cover, spots, notes)
        _mirrored(table.file, cover, spots, notes)


def _points_once(file: str, by_cover: Mapping[str, list[Row]], notes: Notes) -> None:
    for cover, rows in by_cover.items():
        seen: dict[tuple[str, str], Row] = {}
        for row in rows:
            point, set_up = row.maybe("point", str), row.maybe("set_up", str)
            if point is None:
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


def _set_ups(table: Table, notes: Notes) -> None:
    """Staff readings hang on the bench mark of their set-up."""
    marked = {
        (row.maybe("cover", str), row.maybe("set_up", str))
        for row in table.rows
        if row.maybe("where", str) in {"bench mark", None} and row.maybe("kind", str) in {"staff", None}
    }
    told: set[tuple[str, str]] = set()
    for row in table.rows:
        if row.maybe("kind", str) != "staff":
            continue
        cover, set_up, value = row.maybe("cover", str), row.maybe("set_up", str), row.maybe("value_mm", float)
        if value is not None and value < 0.0:
            mend = "Write the reading as it stands on the staff; heights are kind 'level'."
            notes.fault(table.file, row.row, "value_mm", f"a staff reading of {value:g}", "0 or more", mend)
        if set_up is None:
            mend = "Name the instrument's stand, as A; a new name after every move."
            notes.fault(table.file, row.row, "set_up", "nothing", "a set-up, as it is a staff reading", mend)
        elif cover is not None and (cover, set_up) not in marked and (cover, set_up) not in told:
            told.add((cover, set_up))
            found = f"staff readings of {shown(cover)} in set-up {shown(set_up)} and no bench-mark reading"
            mend = "Add the bench mark's staff reading of this set-up as a row of this cover, where = bench mark."
            notes.fault(table.file, row.row, "set_up", found, "a bench-mark reading in every set-up", mend)


def _one_bench_mark(table: Table, notes: Notes) -> None:
    """All levels of a set-up hang on one bench-mark reading: a second that differs would be passed over."""
    first: dict[tuple[str, str], Row] = {}
    for row in table.rows:
        cover, set_up, value = row.maybe("cover", str), row.maybe("set_up", str), row.maybe("value_mm", float)
        marked = (row.maybe("where", str), row.maybe("kind", str)) == ("bench mark", "staff")
        if not marked or cover is None or set_up is None or value is None:
            continue
        before = first.setdefault((cover, set_up), row)
        there = before.maybe("value_mm", float)
        if there != value:
            stand = f"the bench mark of {shown(cover)} in set-up {shown(set_up)}"
            found = f"{value:g} on {stand}, and {there:g} in row {before.row}"
            mend = "Keep the right one or write their mean; after a move give the second stand its own name."
            notes.fault(table.file, row.row, "value_mm", found, "one bench-mark reading a set-up", mend)


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
    for kind in ("level", "staff"):
        values = [s.value_mm for s in spots if s.kind == kind]
        if len(values) < ALIKE_COUNT:
            continue
        spread = max(values) - min(values)
        if 0.0 < spread < _LEVEL_METRES_SPREAD_MM or (kind == "staff" and max(values) < _STAFF_METRES_WITHIN_MM):
            found = f"{kind} values of {cover} from {min(values):g} to {max(values):g} mm"
            mend = "They look like metres: head the column value_m, or write mm."
            notes.fault(file, first, "value_mm", found, "values in mm", mend)
    return len(notes.faults) > before_count


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


def inside_plan(plan: Plan2D, turn_deg: float, x_mm: float, y_mm: float) -> bool:
    """True for a place strictly inside an outline that is turned about the frame's centre.

    Valid       any place and turn
    Source      algebra
    Proved by   tests/given/test_outline_checks.py
    """
    if plan.shape == "round":
        return math.hypot(x_mm, y_mm) < plan.along_mm / 2.0
    turn = math.radians(turn_deg)
    along_mm = x_mm * math.cos(turn) + y_mm * math.sin(turn)
    across_mm = y_mm * math.cos(turn) - x_mm * math.sin(turn)
    return abs(along_mm) < plan.along_mm / 2.0 and abs(across_mm) < plan.across_mm / 2.0


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
