"""Condition, obstacles, soundings and units in the yard: read as the rows say, refused where they cannot be."""

from __future__ import annotations

from dataclasses import fields

import pytest

from given.base_folder import TEXTS, base_folder, spoilt
from truebed.errors import Fault
from truebed.given.columns import FILES, file_columns
from truebed.given.folder import parse_works
from truebed.given.page import works_folder_page
from truebed.given.survey import Obstacle, Sounding, YardUnit
from truebed.given.works import Condition, Works


def _works(files: dict[str, bytes]) -> Works:
    works, faults = parse_works(files)
    assert [fault.sentence() for fault in faults] == []
    assert works is not None
    return works


def _only(files: dict[str, bytes]) -> Fault:
    works, faults = parse_works(files)
    assert works is None
    assert len(faults) == 1, [fault.sentence() for fault in faults]
    return faults[0]


def test_obstacles_soundings_and_units_are_what_their_rows_say() -> None:
    works = _works(base_folder())
    assert works.obstacles == (
        Obstacle("F-1", "valve box", 800.0, -650.0, 150.0, 120.0, 15.0, 100.0, 2),
        Obstacle("G-2", "post", 500.0, -700.0, 90.0, 90.0, 0.0, 0.0, 3),
    )
    assert works.soundings[0] == Sounding("F-1", "S1", "tap", 520.0, 0.0, "hollow", row=2)
    assert works.soundings[2] == Sounding("F-1", "C1", "crack", 345.0, 200.0, "cracked", 600.0, 310.0, 3.0, 4)
    assert works.units == (
        YardUnit("course 75", "course", 75.0, 40, "600 square", 20.0, 2),
        YardUnit("ring 50", "ring", 50.5, 6, "", 0.0, 3),
    )


@pytest.mark.parametrize("file", ["obstacles.csv", "soundings.csv", "units.csv", "condition.csv"])
def test_the_files_of_the_survey_may_be_left_out_and_may_be_empty(file: str) -> None:
    files = base_folder()
    header = files[file].splitlines(keepends=True)[0]
    assert getattr(_works({k: v for k, v in files.items() if k != file}), file.removesuffix(".csv")) == ()
    assert getattr(_works(files | {file: header}), file.removesuffix(".csv")) == ()


def test_every_column_of_the_condition_is_read_into_the_field_of_its_name() -> None:
    columns = file_columns("condition.csv").columns
    example = {c.name: c.example for c in columns}
    row = ",".join(f'"{text}"' for text in example.values())
    files = base_folder() | {"condition.csv": (",".join(example) + "\n" + row + "\n").encode()}
    (condition,) = _works(files).condition
    for column in columns:
        value = getattr(condition, column.name)
        if column.holds in {"number", "whole"}:
            assert value == float(example[column.name]), column.name
        else:
            assert value == example[column.name], column.name
    assert len({getattr(condition, f.name) for f in fields(Condition)}) > 10


def test_a_condition_of_which_only_the_cover_is_known_has_nothing_else() -> None:
    files = base_folder() | {"condition.csv": b"cover\nG-2\n"}
    assert _works(files).condition == (Condition("G-2", row=2),)


CASES = [
    ("condition.csv", "4,2.5,1,40", "4,2.5,5,40", 2, "seat_wear_class", "'5'", "Check"),
    ("condition.csv", "4,2.5,1,40", "4,nan,1,40", 2, "rock_mm", "'nan'", "leave the cell empty"),
    # obstacles
    ("obstacles.csv", "valve box,800,-650", "valve box,100,50", 2, "x_mm", "lies in the flange of 'F-1'", "its middle"),
    ("obstacles.csv", "valve box,800,-650", "valve box,480,0", 2, "x_mm", "lies in the flange of 'F-1'", "its middle"),
    ("obstacles.csv", "post,500,-700,90", "post,0.5,-0.7,90", 3, "x_mm", "lies in the flange of 'G-2'", "in mm"),
    ("obstacles.csv", "90,90,,", "90,0,,", 3, "across_mm", "'0'", "Check"),
    ("obstacles.csv", "90,90,,", "90,0.09,,", 3, "across_mm", "'0.09'", "looks like m: if it is, write 90"),
    ("obstacles.csv", "150,120,15,100", "150,120,15,-100", 2, "clear_mm", "'-100'", "Check"),
    ("obstacles.csv", "valve box,800,", "valve box,4120500,", 2, "x_mm", "'4120500'", "place on the map"),
    ("obstacles.csv", "valve box,800,", "valve box,inf,", 2, "x_mm", "'inf'", "Write the number."),
    ("obstacles.csv", "F-1,valve", "F-7,valve", 2, "cover", "'F-7'", "Did you mean 'F-1'?"),
    # soundings
    (
        "soundings.csv",
        "S1,tap,520,0",
        "S1,tap,340,0",
        2,
        "x_mm",
        "tap 'S1' at 340, 0, inside the frame",
        "again, in mm",
    ),
    ("soundings.csv", "C1,crack,345,200", "C1,crack,300,200", 4, "x_mm", "inside the frame", "again"),
    ("soundings.csv", "cracked,600,310,3", "cracked,0,310,3", 4, "to_x_mm", "inside the frame", "again"),
    ("soundings.csv", "F-1,S2", "F-1,S1", 3, "point", "row 2 too", "Rename"),
    ("soundings.csv", "F-1,S2", "F-7,S2", 3, "cover", "'F-7'", "Did you mean 'F-1'?"),
    ("soundings.csv", "cracked,600,310,3", "cracked,600,,3", 4, "to_y_mm", "a crack with one end", "where it ends"),
    ("soundings.csv", "cracked,600,310,3", "cracked,345,200,3", 4, "to_x_mm", "one place", "other end"),
    ("soundings.csv", "cracked,600,310,3", "hollow,600,310,3", 4, "found", "a crack that found 'hollow'", "kind"),
    ("soundings.csv", "640,0,sound", "640,0,loose", 3, "found", "a tap that found 'loose'", "kind"),
    ("soundings.csv", "640,0,sound,,", "640,0,sound,700,", 3, "to_x_mm", "700 of a tap", "crack"),
    ("soundings.csv", "-360,0,loose,,,", "-360,0,loose,,,2", 5, "width_mm", "2 of a probe", "crack"),
    ("soundings.csv", "S1,tap,520", "S1,tap,520000", 2, "x_mm", "'520000'", "place on the map"),
    ("soundings.csv", "S1,tap,520", "S1,knock,520", 2, "kind", "'knock'", "Write one of the choices"),
    # units
    ("units.csv", "ring,50.5", "ring,0", 3, "height_mm", "'0'", "Check"),
    ("units.csv", "ring,50.5", "ring,0.05", 3, "height_mm", "'0.05'", "looks like m: if it is, write 50"),
    ("units.csv", "ring,50.5", "ring,NaN", 3, "height_mm", "'NaN'", "Write the number."),
    ("units.csv", "ring,50.5,6", "ring,50.5,-6", 3, "count", "'-6'", "Check"),
    ("units.csv", "ring 50,ring", "Course 75,ring", 3, "unit", "row 2 too", "Rename"),
    ("units.csv", "ring 50,ring", "ring 50,tube", 3, "kind", "'tube'", "one of the choices"),
]


@pytest.mark.parametrize(
    ("file", "old", "new", "row", "column", "found", "mend"),
    CASES,
    ids=[f"{c[0]}-{c[4]}-{i}" for i, c in enumerate(CASES)],
)
def test_a_spoilt_place_of_the_survey_is_the_one_fault_and_is_named_with_its_row_and_a_mend(
    file: str, old: str, new: str, row: int, column: str, found: str, mend: str
) -> None:
    fault = _only(spoilt(file, old, new))
    assert (fault.file, fault.row, fault.column) == (file, row, column)
    assert found in fault.found
    assert mend in fault.mend


def test_a_crack_may_begin_at_the_frames_edge_as_taped() -> None:
    works = _works(spoilt("soundings.csv", "C1,crack,345,200", "C1,crack,320,200"))
    assert works.soundings[2].x_mm == 320.0


def test_soundings_in_metres_are_told_once_a_cover() -> None:
    text = TEXTS["soundings.csv"]
    for mm in ("520", "640", "345", "200", "600", "310", "360"):
        text = text.replace(f",{mm},", f",{int(mm) / 1000.0:g},").replace(f",-{mm},", f",-{int(mm) / 1000.0:g},")
    fault = _only(base_folder() | {"soundings.csv": text.encode()})
    assert (fault.row, fault.column) == (2, "x_mm")
    assert "head the columns x_m and y_m" in fault.mend


def test_an_obstacle_beside_the_nose_of_a_turned_d_is_taken_where_it_clears_the_curve() -> None:
    covers = TEXTS["covers.csv"].replace("rectangle,600,600,690,690,850,850", "D,600,600,690,690,850,850")
    covers = covers.replace("rectangle,675,675", "round,600,600").replace("150,180,60,,4120", "150,180,60,180,4120")
    readings = TEXTS["readings.csv"].replace("F-1,F2,-345,345", "F-1,F2,-240,240")
    readings = readings.replace("F-1,F3,-345,-345", "F-1,F3,-240,-240")
    files = base_folder() | {"covers.csv": covers.encode(), "readings.csv": readings.encode()}
    del files["soundings.csv"]
    head = TEXTS["obstacles.csv"].splitlines()[0]
    # turned by 180 the nose looks back: a box of 100 at its corner clears it, at the straight back it does not
    free = f"{head}\nF-1,box,-400,400,100,100,,\n"
    _works(files | {"obstacles.csv": free.encode()})
    fault = _only(files | {"obstacles.csv": free.replace("-400,400", "400,400").encode()})
    assert (fault.file, fault.row) == ("obstacles.csv", 2)


@pytest.mark.parametrize("file", [columns.name for columns in FILES])
def test_the_example_row_of_a_file_is_taken_as_a_whole(file: str) -> None:
    page = works_folder_page().split(f"\n## {file}\n", 1)[1]
    header, row = page.split("```csv\n", 1)[1].split("\n```", 1)[0].splitlines()
    own = TEXTS[file].splitlines()
    if file == "readings.csv":
        # its row R1 stands where the base folder has R3
        row = "\n".join([row, *(line for line in own[1:] if not line.startswith(("F-1,R1,", "F-1,R3,")))])
        row = row.replace("F-1,R5", "F-1,R0,600,560,level,-9,road,\nF-1,R5")
    elif file == "covers.csv":
        row += "\n" + ",".join(_as_in(header, own[0], own[2]))
    works, faults = parse_works(base_folder() | {file: f"{header}\n{row}\n".encode()})
    assert [fault.sentence() for fault in faults] == []
    assert works is not None


def _as_in(header: str, own_header: str, row: str) -> list[str]:
    """The cells of a row in the order of another header."""
    cells = dict(zip(own_header.split(","), row.split(","), strict=True))
    return [cells.get(name, "") for name in header.split(",")]
