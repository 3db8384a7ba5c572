"""Staff bookings of one cover: bench marks, change points, the closing reading, and what hangs on nothing."""

from __future__ import annotations

import pytest

from given.base_folder import TEXTS, base_folder
from truebed.errors import Fault
from truebed.given.folder import parse_works
from truebed.levels.booking import reduce_readings

#: G-2 read from two stands: the second hangs on a change point, and closes on the bench mark
TWO_STANDS = """\
G-2,BM,0,0,staff,1240,bench mark,A
G-2,R1,450,380,staff,1252,road,A
G-2,R2,450,-450,staff,1231,road,A
G-2,R3,0,-450,staff,1235,road,A
G-2,CP1,0,0,staff,1310,change point,A
G-2,CP1,0,0,staff,1460,change point,B
G-2,R4,-450,-450,staff,1390,road,B
G-2,R5,-450,380,staff,1411,road,B
G-2,K1,0,450,staff,1280,kerb,B
G-2,R6,0,380,staff,1406,road,B
G-2,BM,0,0,staff,1392,bench mark,B
"""
FIRST_ROW = 14


def _files(booking: str) -> dict[str, bytes]:
    own = "".join(line for line in TEXTS["readings.csv"].splitlines(keepends=True) if not line.startswith("G-2"))
    return base_folder() | {"readings.csv": (own + booking).encode()}


def _faults(booking: str) -> list[Fault]:
    works, faults = parse_works(_files(booking))
    assert (works is None) == bool(faults)
    return list(faults)


def _changed(old: str, new: str) -> str:
    assert TWO_STANDS.count(old) == 1
    return TWO_STANDS.replace(old, new)


def test_two_stands_joined_by_a_change_point_and_closed_are_taken_and_reduced() -> None:
    works, faults = parse_works(_files(TWO_STANDS))
    assert faults == ()
    assert works is not None
    own = tuple(reading for reading in works.readings if reading.cover == "G-2")
    assert [reading.row for reading in own] == list(range(FIRST_ROW, FIRST_ROW + 11))
    levels = {spot.point: spot.level_mm for spot in reduce_readings(own)}
    # by hand: B's line of sight is 1240 - 1310 + 1460 = 1390; the mark is read 1392 from it, so the run closes 2 mm low
    # and each stand gets 1 mm: -12 + 1 = -11 at R1, 1390 - 1390 + 2 = 2 at R4
    assert levels == pytest.approx({"R1": -11, "R2": 10, "R3": 6, "R4": 2, "R5": -19, "K1": 112, "R6": -14})


@pytest.mark.parametrize("closing", ["1240", "1243"])
def test_the_last_reading_of_a_stand_may_close_on_the_bench_mark_under_its_own_name(closing: str) -> None:
    booking = "".join(line for line in TEXTS["readings.csv"].splitlines(keepends=True) if line.startswith("G-2"))
    assert _faults(booking + f"G-2,BM,0,0,staff,{closing},bench mark,A\n") == []


CASES = [
    # a second bench-mark reading that is not the last of its stand
    ("G-2,R3,", "G-2,BM,0,0,staff,1240,bench mark,A\nG-2,R3,", 17, "point", "row 14 too", "Take out the copy"),
    ("G-2,R3,", "G-2,BM9,0,0,staff,1244,bench mark,A\nG-2,R3,", 17, "value_mm", "hangs on 1240 in row 14", "last in"),
    # a change point between the others, read once, or by level
    ("G-2,R3,", "G-2,CP0,0,0,staff,1300,change point,A\nG-2,R3,", 17, "point", "one stand only", "other stand"),
    ("1460,change point,B", "1460,road,B", 18, "point", "from one stand only", "other stand"),
    ("G-2,CP1,0,0,staff,1310", "G-2,CP1,0,0,level,1310", 18, "kind", "change point of kind 'level'", "Write staff"),
    ("G-2,CP1,0,0,staff,1310", "G-2,CP2,0,0,staff,1310", 18, "point", "'CP2' of 'G-2', read from one", "same name"),
    # cells
    ("G-2,CP1,0,0,staff,1310", "G-2,CP1,0,0,staff,-1310", 18, "value_mm", "staff reading of -1310", "as it stands"),
    ("1310,change point,A", "1310,change point,", 18, "set_up", "nothing", "Name the instrument's stand"),
    ("1310,change point,A", "1310,turning point,A", 18, "where", "'turning point'", "Did you mean"),
]


@pytest.mark.parametrize(("old", "new", "row", "column", "found", "mend"), CASES)
def test_a_spoilt_booking_is_named_with_its_row_and_a_mend(
    old: str, new: str, row: int, column: str, found: str, mend: str
) -> None:
    told = [f for f in _faults(_changed(old, new)) if (f.file, f.row, f.column) == ("readings.csv", row, column)]
    assert any(found in f.found and mend in f.mend for f in told), [f.sentence() for f in told]


def test_a_stand_that_hangs_on_no_mark_and_no_change_point_is_told_once_with_its_first_row() -> None:
    booking = _changed("G-2,CP1,0,0,staff,1310,change point,A\n", "").replace(
        "G-2,CP1,0,0,staff,1460,change point,B\n", ""
    )
    booking = booking.replace("G-2,BM,0,0,staff,1392,bench mark,B\n", "")
    (fault,) = _faults(booking)
    assert (fault.row, fault.column) == (18, "set_up")
    assert "set-up 'B' of 'G-2' and no bench-mark reading" in fault.found


def test_a_change_point_that_is_not_last_before_the_move_is_named() -> None:
    moved = _changed("G-2,CP1,0,0,staff,1310,change point,A\n", "").replace(
        "G-2,R2,", "G-2,CP1,0,0,staff,1310,change point,A\nG-2,R2,"
    )
    faults = _faults(moved)
    assert (16, "value_mm") in {(f.row, f.column) for f in faults}
    assert any("stands last in its set-up" in f.mend for f in faults)


def test_a_stand_of_one_reading_is_named() -> None:
    (fault,) = _faults(TWO_STANDS + "G-2,BM2,0,0,staff,1510,bench mark,C\n")
    assert (fault.row, fault.column) == (25, "set_up")
    assert "with one reading" in fault.found


def test_the_place_of_a_bench_mark_or_change_point_does_not_matter() -> None:
    assert _faults(_changed("G-2,CP1,0,0,staff,1310", "G-2,CP1,0.01,4900,staff,1310")) == []


def test_a_run_may_close_on_another_bench_mark_whose_level_is_given() -> None:
    booking = _changed("G-2,BM,0,0,staff,1392,bench mark,B", "G-2,BM2,0,0,staff,1190,bench mark,B")
    works, faults = parse_works(_files(booking + "G-2,BM2,0,0,level,200,bench mark,\n"))
    assert faults == ()
    assert works is not None
    levels = {s.point: s.level_mm for s in reduce_readings(tuple(r for r in works.readings if r.cover == "G-2"))}
    # the second line of sight is at 1390, so the mark is found at 200, as given: nothing to share out
    assert levels["R4"] == pytest.approx(0.0)
