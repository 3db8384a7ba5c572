"""Frames of mixed shapes: which fit together, exactly, and what covers.csv says of the cut and the parts."""

from __future__ import annotations

import pytest

from given.base_folder import TEXTS, base_folder
from truebed.errors import Fault
from truebed.given.cover import Cover, Plan2D
from truebed.given.document import works_document
from truebed.given.folder import parse_works

SIZES = "rectangle,600,600,690,690,850,850"
HEAD = TEXTS["covers.csv"].splitlines()[0]


def _folder(old: str = "", new: str = "", **more: str) -> dict[str, bytes]:
    """The base folder with F-1 changed in one place and given more columns; G-2 leaves those empty."""
    header, first, second = TEXTS["covers.csv"].splitlines()
    assert old in first
    first = first.replace(old, new, 1) if old else first
    lines = [",".join((header, *more)), ",".join((first, *more.values())), second + "," * len(more)]
    return base_folder() | {"covers.csv": "\n".join(lines).encode()}


def _cover(files: dict[str, bytes]) -> Cover:
    works, faults = parse_works(files)
    assert [fault.sentence() for fault in faults] == []
    assert works is not None
    return works.covers[0]


def _faults(files: dict[str, bytes]) -> list[Fault]:
    works, faults = parse_works(files)
    assert works is None
    return list(faults)


def test_a_cover_without_the_new_columns_is_one_casting_in_a_square_cut_turned_with_it() -> None:
    cover = _cover(base_folder())
    assert (cover.parts_count, cover.cut_shape, cover.corner_rule, cover.cut_turn) == (1, "square", "run on", "frame")
    assert cover.bearing_deg is None


def test_parts_cut_corner_turn_and_bearing_are_what_the_row_says() -> None:
    cover = _cover(
        _folder(parts="2", cut_shape="round", corner_rule="Stop Short", cut_turn="traffic", bearing_deg="275.5")
    )
    assert (cover.parts_count, cover.cut_shape, cover.corner_rule, cover.cut_turn) == (
        2,
        "round",
        "stop short",
        "traffic",
    )
    assert cover.bearing_deg == 275.5


@pytest.mark.parametrize(
    ("column", "value"),
    [("parts", "0"), ("parts", "7"), ("cut_shape", "oval"), ("corner_rule", "saw"), ("bearing_deg", "361"),
     ("bearing_deg", "nan"), ("flange_shape", "hexagon")],
)  # fmt: skip
def test_a_wrong_value_of_a_new_column_is_named_with_its_row(column: str, value: str) -> None:
    (fault,) = _faults(_folder(**{column: value}))
    assert (fault.file, fault.row, fault.column, fault.found) == ("covers.csv", 2, column, f"'{value}'")


def test_a_round_lid_in_a_square_flange_has_a_shape_for_each() -> None:
    files = _folder("rectangle,600,600,690,690,850,850", "rectangle,600,,690,690,850,850", opening_shape="round")
    cover = _cover(files)
    assert cover.opening == Plan2D("round", 600.0, 600.0)
    assert cover.body.shape == cover.flange.shape == "rectangle"


def test_the_document_says_an_opening_shape_only_where_it_differs() -> None:
    works, _ = parse_works(_folder("600,600,690", "600,,690", opening_shape="round", flange_shape="rectangle"))
    assert works is not None
    first, second = works_document(works)["covers"]
    assert isinstance(first, dict)
    assert first["opening_shape"] == "round"
    assert "flange_shape" not in first
    assert "opening_shape" not in second


def test_a_round_body_in_a_square_flange_fits_by_its_diameter() -> None:
    # a round body of 690 within a flange of 700: its own bounding square's corners are no matter
    files = _folder(SIZES, "round,480,480,690,,700,700", opening_shape="rectangle", flange_shape="rectangle")
    readings = TEXTS["readings.csv"].replace("345", "244").encode()
    assert _cover(files | {"readings.csv": readings}).body.shape == "round"


def test_a_square_opening_in_a_round_body_is_judged_by_its_corners() -> None:
    # half the diagonal of 490 is 346.5, the body's radius 345; 480 gives 339.4
    files = _folder(SIZES, "round,490,490,690,,850,850", opening_shape="rectangle", flange_shape="rectangle")
    (fault,) = [f for f in _faults(files) if f.file == "covers.csv"]
    assert (fault.row, fault.column) == (2, "opening_along_mm")
    assert "corners reach 346 mm" in fault.found
    assert "radius 345 mm" in fault.found
    assert "smaller than the body" in fault.expected


def test_a_frame_bigger_than_its_flange_is_named_by_its_corners_too() -> None:
    # the cut-out is drawn from the flange outwards, so a body beyond the flange is a frame bigger than its cut-out
    faults = _faults(_folder(flange_shape="round"))
    assert ("covers.csv", 2, "body_along_mm") in {(f.file, f.row, f.column) for f in faults}
    assert any("corners reach 488 mm" in f.found and "Measure both again" in f.mend for f in faults)


@pytest.mark.parametrize(("value", "mend"), [("-50", "Check the reading"), ("2000", "Check the reading")])
def test_a_margin_that_would_put_the_cut_inside_the_frame_or_far_out_is_refused(value: str, mend: str) -> None:
    (fault,) = _faults(_folder("five-layer,150,", f"five-layer,{value},"))
    assert (fault.row, fault.column) == (2, "sound_margin_mm")
    assert mend in fault.mend


def test_a_square_chamber_whose_corners_stand_out_of_a_round_flange_is_named() -> None:
    files = _folder(SIZES, "round,600,,690,,850,")
    told = [f for f in _faults(files) if f.column == "chamber_along_mm"]
    assert [f.row for f in told] == [2]
    assert "corners reach 477 mm" in told[0].found
    assert "corbels" in told[0].mend


def test_a_d_shorter_than_its_half_circle_is_named_with_its_row_and_a_mend() -> None:
    faults = _faults(_folder(SIZES, "D,290,600,690,690,850,850"))
    (fault,) = [f for f in faults if f.column == "opening_along_mm"]
    assert fault.row == 2
    assert fault.expected.startswith("at least 300 mm along")
    assert "Measure both again" in fault.mend


def test_a_d_needs_its_size_across() -> None:
    faults = _faults(_folder(SIZES, "D,600,,690,690,850,850"))
    assert [(f.row, f.column) for f in faults if f.file == "covers.csv"] == [(2, "opening_across_mm")]


def test_the_corner_beside_the_nose_of_a_d_is_road_and_beside_its_back_is_frame() -> None:
    files = _folder(SIZES, "D,600,600,690,690,850,850")
    files["covers.csv"] = files["covers.csv"].replace(b"rectangle,675,675", b"round,675,675")
    head, tail = TEXTS["readings.csv"], "F-1,R9,{0},330,level,-10,road,\n"
    # the two frame points at the nose lie on its half circle, the two at the back in its corners
    head = head.replace("F-1,F1,345,345", "F-1,F1,240,240").replace("F-1,F4,345,-345", "F-1,F4,240,-240")
    assert _cover(files | {"readings.csv": (head + tail.format(330)).encode()}).body.shape == "D"
    (fault,) = _faults(files | {"readings.csv": (head + tail.format(-330)).encode()})
    assert (fault.row, fault.column) == (22, "where")
    assert "inside the frame" in fault.found


def test_a_triangular_pair_has_the_outline_of_a_rectangle() -> None:
    cover = _cover(_folder(SIZES, SIZES.replace("rectangle", "triangular pair"), parts="2"))
    assert cover.flange == Plan2D("triangular pair", 850.0, 850.0)


@pytest.mark.parametrize(("turn", "side", "reach"), [("90", "left", 300), ("30", "left", 400), ("30", "right", 583)])
def test_a_kerb_is_measured_against_the_side_of_a_turned_d_that_faces_it(turn: str, side: str, reach: int) -> None:
    # a D 600 x 1000 turned by 30: left its nose, -200 sin 30 + 500; right a back corner, 300 sin 30 + 500 cos 30
    files = _folder(SIZES, "D,500,900,560,960,600,1000")
    place = "4120.5,987.2"
    text = files["covers.csv"].decode().replace(f"60,,{place},,,", f"60,{turn},{place},{side},250,")
    faults = _faults(files | {"covers.csv": text.encode()})
    (fault,) = [f for f in faults if f.column == "kerb_mm"]
    assert fault.row == 2
    assert fault.found.endswith(f"reaches {reach} mm")


def test_a_cover_with_neither_a_margin_nor_soundings_is_named_with_its_row_and_a_mend() -> None:
    files = _folder("five-layer,150,", "five-layer,,")
    assert _cover(files).sound_margin_mm is None
    without = {name: data for name, data in files.items() if name != "soundings.csv"}
    (fault,) = _faults(without)
    assert (fault.file, fault.row, fault.column) == ("covers.csv", 2, "sound_margin_mm")
    assert "soundings.csv" in fault.mend


def test_the_column_of_margins_may_be_left_out_where_every_cover_was_sounded() -> None:
    header = HEAD.replace("sound_margin_mm,", "")
    rows = TEXTS["covers.csv"].splitlines()[1:]
    text = "\n".join([header, rows[0].replace("layer,150,", "layer,"), rows[1].replace("layer,120,", "layer,")])
    soundings = TEXTS["soundings.csv"] + "G-2,S1,tap,400,0,sound,,,\n"
    files = base_folder() | {"covers.csv": text.encode(), "soundings.csv": soundings.encode()}
    assert _cover(files).sound_margin_mm is None


@pytest.mark.parametrize("shape", ["round", "D"])
def test_a_frame_of_parts_must_be_one_that_can_be_parted_in_a_row(shape: str) -> None:
    files = _folder(SIZES, f"{shape},600,600,690,690,850,850", parts="3")
    (fault,) = [f for f in _faults(files) if f.column == "parts"]
    assert fault.row == 2
    assert fault.found == f"3 parts of a frame whose body is {shape}"
    assert "Write 1" in fault.mend


def test_a_file_of_soundings_that_cannot_be_read_is_the_one_thing_told_of_a_cover_without_a_margin() -> None:
    files = _folder("five-layer,150,", "five-layer,,") | {"soundings.csv": b"\x00\xff"}
    assert {f.file for f in _faults(files)} == {"soundings.csv"}
