"""Gaps under a straightedge and offsets from a string: how they are booked, and what is refused."""

from __future__ import annotations

import math

import pytest

from given.base_folder import TEXTS, base_folder
from truebed.errors import Fault
from truebed.given.check_lines import off_line
from truebed.given.folder import parse_works
from truebed.levels.booking import reduce_readings

#: F-1 by two strings with levelled ends, beside a straightedge across the frame
LINES = """\
F-1,L1 back,-600,560,level,40,line end,L1
F-1,L1 front,600,560,level,28,line end,L1
F-1,R1,-560,560,string-line offset,50,road,L1
F-1,R2,0,560,string-line offset,44,road,L1
F-1,R3,560,560,string-line offset,40,road,L1
F-1,K1,300,560,string-line offset,-71,kerb,L1
F-1,L2 back,-600,-560,level,40,line end,L2
F-1,L2 front,600,-560,level,40,line end,L2
F-1,R4,-560,-560,string-line offset,30,road,L2
F-1,R5,0,-560,string-line offset,26,road,L2
F-1,R6,560,-560,string-line offset,22,road,L2
F-1,E1,-560,0,straightedge gap,0,road,E1
F-1,E2,-345,0,straightedge gap,14.5,frame,E1
F-1,E3,345,0,straightedge gap,12,frame,E1
F-1,E4,560,0,straightedge gap,0,road,E1
"""


def _files(booking: str) -> dict[str, bytes]:
    lines = TEXTS["readings.csv"].splitlines(keepends=True)
    return base_folder() | {"readings.csv": (lines[0] + booking + "".join(lines[13:])).encode()}


def _faults(booking: str) -> list[Fault]:
    works, faults = parse_works(_files(booking))
    assert (works is None) == bool(faults)
    return list(faults)


def _changed(old: str, new: str) -> str:
    assert LINES.count(old) == 1, old
    return LINES.replace(old, new)


def test_lines_are_taken_in_the_order_of_booking_and_reduced_from_their_ends() -> None:
    works, faults = parse_works(_files(LINES))
    assert faults == ()
    assert works is not None
    own = tuple(r for r in works.readings if r.cover == "F-1" and r.set_up in {"L1", "L2"})
    assert [r.row for r in own] == list(range(2, 13))
    levels = {spot.point: spot.level_mm for spot in reduce_readings(own)}
    # by hand: the string L1 falls 12 mm over 1200: 39.6 at -560, 34 in the middle, 31 at 300, 28.4 at 560
    assert levels == pytest.approx(
        {"R1": -10.4, "R2": -10.0, "R3": -11.6, "K1": 102.0, "R4": 10.0, "R5": 14.0, "R6": 18.0}
    )


CASES = [
    # the line is named, and has two points
    ("44,road,L1", "44,road,", 5, "set_up", "nothing", "Name the straightedge's place"),
    ("44,road,L1", "44,road,L7", 5, "set_up", "line 'L7' of 'F-1' with one point", "misspelt"),
    ("28,line end,L1", "28,line end,L9", 3, "set_up", "with its ends only", "misspelt"),
    ("28,line end,L1", "28,line end,", 3, "set_up", "nothing", "Name the straightedge's place"),
    ("28,line end,L1", "28,line end,L9", 2, "where", "the level of one end", "both its ends, or of neither"),
    # an end of a line: level, or staff from a stand with the line in its point
    ("F-1,L1 front,600,560,level,28", "F-1,front,600,560,staff,1028", 3, "point", "names no line", "'L1 left'"),
    # one kind, a name of its own
    ("0,560,string-line offset,44", "0,560,straightedge gap,44", 5, "kind", "a straightedge gap in line 'L1'", "Name"),
    # straight
    ("F-1,R2,0,560", "F-1,R2,0,500", 5, "x_mm", "60 mm off line 'L1'", "Measure its place again"),
    ("F-1,E4,560,0", "F-1,E4,560,400", 15, "x_mm", "off line 'E1'", "Measure its place again"),
    # above the road
    ("offset,44,road", "offset,-4,road", 5, "value_mm", "string-line offset of -4 mm", "drawn above the road"),
    ("gap,0,road,E1\nF-1,E2", "gap,-2,road,E1\nF-1,E2", 13, "value_mm", "straightedge gap of -2 mm", "rests on"),
    ("gap,14.5,frame", "gap,-3,frame", 14, "value_mm", "straightedge gap of -3 mm down to the frame", "rests on"),
    ("gap,14.5,frame", "gap,nan,frame", 14, "value_mm", "'nan'", "Write the number."),
    ("gap,14.5,frame", "gap,14.5,bench mark", 14, "where", "down to a bench mark", "Write what lies below"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "row", "column", "found", "mend"), CASES)
def test_a_spoilt_line_is_named_with_its_row_and_a_mend(
    old: str, new: str, row: int, column: str, found: str, mend: str
) -> None:
    told = [f for f in _faults(_changed(old, new)) if (f.file, f.row, f.column) == ("readings.csv", row, column)]
    assert any(found in f.found and mend in f.mend for f in told), [f.sentence() for f in told]


def test_a_line_with_the_name_of_a_stand_is_named() -> None:
    files = _files(LINES)["readings.csv"].decode()
    text = files.replace(",E1\n", ",A\n").replace("F-1,E1,", "F-1,X1,")
    more = text + "F-1,BM,0,0,staff,1000,bench mark,A\nF-1,R9,-560,100,staff,1010,road,A\n"
    _, faults = parse_works(base_folder() | {"readings.csv": more.encode()})
    assert [(f.row, f.column) for f in faults] == [(13, "set_up")]
    assert "line 'A', which is an instrument's stand too" in faults[0].found


def test_a_frame_that_stands_above_a_string_beside_it_gives_a_negative_offset_that_is_taken() -> None:
    beside = LINES.replace("F-1,E1,-560,0,straightedge gap,0", "F-1,E1,-560,0,string-line offset,12")
    beside = beside.replace("F-1,E4,560,0,straightedge gap,0", "F-1,E4,560,0,string-line offset,12")
    beside = beside.replace("straightedge gap,14.5", "string-line offset,-4").replace(
        "straightedge gap,12", "string-line offset,-3"
    )
    assert _faults(beside) == []


def test_ends_read_by_staff_name_their_line_in_their_point() -> None:
    text = LINES.replace("F-1,L1 back,-600,560,level,40,line end,L1", "F-1,L1 back,-600,560,staff,960,line end,S")
    text = text.replace("F-1,L1 front,600,560,level,28,line end,L1", "F-1,L1 front,600,560,staff,972,line end,S")
    text = "F-1,BM,0,0,staff,1000,bench mark,S\n" + text
    works, faults = parse_works(_files(text))
    assert faults == ()
    assert works is not None
    own = tuple(r for r in works.readings if r.cover == "F-1" and r.set_up in {"S", "L1"})
    levels = {spot.point: spot.level_mm for spot in reduce_readings(own)}
    assert levels["R2"] == pytest.approx(-10.0)


def test_gaps_in_metres_are_told_and_the_unit_is_named() -> None:
    text = LINES
    for value in ("50", "44", "40", "30", "26", "22"):
        text = text.replace(f"offset,{value},", f"offset,{int(value) / 1000.0},")
    (fault,) = _faults(text.replace("offset,-71,", "offset,-0.071,"))
    assert (fault.row, fault.column) == (2, "value_mm")
    assert "head the column value_m" in fault.mend


@pytest.mark.parametrize("turn_deg", [0.0, 33.0, 90.0, -170.0])
def test_the_distance_off_a_line_is_that_of_the_point_that_was_moved_aside(turn_deg: float) -> None:
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    places = [(0.0, 0.0), (-300.0, 0.0), (100.0, 45.0), (900.0, 0.0)]
    off = off_line([(10.0 + x * cos - y * sin, 20.0 + x * sin + y * cos) for x, y in places])
    assert [mm for mm, _ in off] == pytest.approx([0.0, 0.0, 45.0, 0.0])
    assert off_line([(5.0, 5.0), (5.0, 5.0)]) == [(0.0, 0), (0.0, 1)]
