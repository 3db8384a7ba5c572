"""The slips of a survey: on one line, mirrored, in another unit, places on the map, a metre misread."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from given.base_folder import TEXTS, base_folder, spoilt
from truebed.errors import Fault
from truebed.given.folder import parse_works

Place = tuple[float, float]


def _moved(change: Callable[[float, float], Place], cover: str = "F-1", where: str = "") -> dict[str, bytes]:
    """The base folder with the places of one cover's readings changed."""
    lines = TEXTS["readings.csv"].splitlines()
    out = []
    for line in lines:
        cells = line.split(",")
        if cells[0] == cover and (not where or cells[6] == where):
            x, y = change(float(cells[2]), float(cells[3]))
            cells[2], cells[3] = f"{x:g}", f"{y:g}"
        out.append(",".join(cells))
    return base_folder() | {"readings.csv": "\n".join(out).encode()}


def _told(files: dict[str, bytes], file: str = "readings.csv") -> list[Fault]:
    works, faults = parse_works(files)
    assert works is None
    assert all(fault.mend and fault.expected for fault in faults)
    return [fault for fault in faults if fault.file == file]


@pytest.mark.parametrize("turn_deg", [0.0, 30.0, 90.0])
def test_road_points_on_one_line_are_told_with_the_first_row(turn_deg: float) -> None:
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    step = iter(range(8))

    def on_a_line(_x: float, _y: float) -> Place:
        along, off = 250.0 * next(step) - 800.0, 640.0
        return round(along * cos - off * sin), round(along * sin + off * cos)

    (fault,) = _told(_moved(on_a_line, where="road"))
    assert (fault.row, fault.column) == (2, "x_mm")
    assert fault.found == "all 8 road points of 'F-1' within 30 mm of one straight line"
    assert "on all sides" in fault.mend


def test_road_points_beside_a_line_by_more_than_the_tape_errs_are_taken() -> None:
    # a narrow strip on both sides of a small box is still a plane; the design judges whether it surrounds the frame
    works, faults = parse_works(_moved(lambda x, y: (x, y * 0.9), where="road"))
    assert faults == ()
    assert works is not None


def test_places_on_the_map_typed_in_metres_are_told_as_such() -> None:
    faults = _told(_moved(lambda x, y: (4120.5 + x / 1000.0, 987.2 + y / 1000.0)))
    sides = [f for f in faults if f.row == 2]
    assert {f.column for f in sides} == {"x_mm", "y_mm"}
    assert all("places on the map" in f.mend for f in sides)


def test_ten_kilometres_typed_into_x_are_told_with_every_row_and_the_right_column() -> None:
    faults = _told(_moved(lambda x, y: (10_000_000.0 + x, y), where="road"))
    assert [(f.row, f.column) for f in faults] == [(row, "x_mm") for row in range(2, 10)]
    assert all("x_m and y_m of covers.csv" in f.mend for f in faults)


@pytest.mark.parametrize("value", ["nan", "inf", "-inf", "NaN"])
def test_a_place_or_value_that_is_no_number_is_told_with_its_row(value: str) -> None:
    for old, new, column in (
        ("F-1,R2,0,560,level,-14", f"F-1,R2,{value},560,level,-14", "x_mm"),
        ("F-1,R2,0,560,level,-14", f"F-1,R2,0,560,level,{value}", "value_mm"),
    ):
        (fault,) = _told(spoilt("readings.csv", old, new))
        assert (fault.row, fault.column, fault.found) == (3, column, f"'{value}'")


def test_mm_under_a_header_in_m_are_told_as_mm() -> None:
    text = TEXTS["readings.csv"].replace("x_mm", "x_m")
    faults = _told(base_folder() | {"readings.csv": text.encode()})
    assert (2, "x_mm") in {(f.row, f.column) for f in faults}
    first = next(f for f in faults if f.row == 2)
    assert "560000 mm" in first.found
    assert "looks like mm: if it is, write 0.56, or head the column 'x_mm'" in first.mend


def test_a_level_misread_by_a_metre_is_told_with_its_own_row() -> None:
    (fault,) = _told(spoilt("readings.csv", "560,0,level,5,", "560,0,level,1005,"))
    assert (fault.row, fault.column) == (9, "value_mm")
    assert "1005 mm at 'R8'" in fault.found
    assert "metre misread" in fault.mend


def test_a_staff_reading_that_lost_a_figure_is_told_with_its_own_row() -> None:
    (fault,) = _told(spoilt("readings.csv", "staff,1235,", "staff,125,"))
    assert (fault.row, fault.column) == (17, "value_mm")


def test_a_gross_reading_of_a_tenth_of_a_metre_is_left_to_the_fit_which_names_it() -> None:
    works, faults = parse_works(spoilt("readings.csv", "560,0,level,5,", "560,0,level,105,"))
    assert faults == ()
    assert works is not None


def test_axes_mirrored_at_a_turned_frame_are_told_by_the_frames_own_points() -> None:
    turned = TEXTS["covers.csv"].replace("150,180,60,,4120", "150,180,60,20,4120").encode()
    cos, sin = math.cos(math.radians(20.0)), math.sin(math.radians(20.0))

    def right(x: float, y: float) -> Place:
        return round(x * cos - y * sin), round(x * sin + y * cos)

    covers = {"covers.csv": turned}
    soundings = {"soundings.csv": TEXTS["soundings.csv"].splitlines()[0].encode()}
    works, faults = parse_works(_moved(right) | covers | soundings)
    assert faults == ()
    assert works is not None
    faults = tuple(_told(_moved(lambda x, y: (right(x, y)[0], -right(x, y)[1])) | covers | soundings))
    assert [(f.row, f.column) for f in faults] == [(row, "x_mm") for row in range(10, 14)]
    assert all("mirrored" in f.mend for f in faults)


def test_axes_swapped_at_an_oblong_frame_are_told_by_the_frames_own_points() -> None:
    covers = TEXTS["covers.csv"].replace("690,690,850,850", "690,600,850,850").replace("600,600,690", "600,500,690")
    files = _moved(lambda x, y: (math.copysign(300.0, x), y), where="frame")
    faults = _told(files | {"covers.csv": covers.encode()})
    assert [(f.row, f.column) for f in faults] == [(row, "x_mm") for row in range(10, 14)]


def test_a_road_point_in_the_corner_of_a_turned_frame_is_inside_and_beside_its_straight_side_is_not() -> None:
    covers = TEXTS["covers.csv"].replace("150,180,60,,4120", "150,180,60,45,4120").encode()
    files = {"covers.csv": covers, "soundings.csv": TEXTS["soundings.csv"].splitlines()[0].encode()}
    rows = TEXTS["readings.csv"].replace(",345,345,", ",0,480,").replace(",-345,345,", ",-480,0,")
    rows = rows.replace(",-345,-345,", ",0,-480,").replace(",345,-345,", ",480,0,")
    inside = rows.replace("R8,560,0", "R8,470,0").encode()
    outside = rows.replace("R8,560,0", "R8,300,300").encode()
    (fault,) = _told(base_folder() | files | {"readings.csv": inside})
    assert (fault.row, fault.column) == (9, "where")
    works, faults = parse_works(base_folder() | files | {"readings.csv": outside})
    assert faults == ()
    assert works is not None


def test_a_road_point_on_a_round_frame_is_inside_and_in_the_corner_of_its_square_is_not() -> None:
    covers = TEXTS["covers.csv"].replace("rectangle,600,600,690,690,850,850", "round,600,,690,,850,")
    covers = covers.replace("rectangle,675,675", "round,675,")
    rows = TEXTS["readings.csv"].replace("345", "240")
    files = base_folder() | {"covers.csv": covers.encode()}
    (fault,) = _told(files | {"readings.csv": rows.replace("R8,560,0", "R8,240,240").encode()})
    assert (fault.row, fault.column) == (9, "where")
    _, faults = parse_works(files | {"readings.csv": rows.replace("R8,560,0", "R8,300,300").encode()})
    assert faults == ()


def test_one_place_with_two_levels_names_the_second_row() -> None:
    (fault,) = _told(spoilt("readings.csv", "F-1,R8,560,0,level,5", "F-1,R8,560,560,level,5"))
    assert (fault.row, fault.column) == (9, "x_mm")
    (fault,) = _told(spoilt("readings.csv", "F-1,R8,560,0,level,5", "F-1,R7,560,0,level,5"))
    assert (fault.row, fault.column) == (9, "point")
    assert "with 20 there and 5 here" in fault.found


def test_a_chamber_wider_than_its_frame_is_told_with_its_row() -> None:
    (fault,) = _told(spoilt("covers.csv", "675,675,215", "675,900,215"), "covers.csv")
    assert (fault.row, fault.column) == (2, "chamber_across_mm")


def test_a_frame_bigger_than_its_cut_out_for_want_of_room_to_the_kerb_is_told_with_its_row() -> None:
    (fault,) = _told(spoilt("covers.csv", "left,420", "left,250"), "covers.csv")
    assert (fault.row, fault.column) == (3, "kerb_mm")
