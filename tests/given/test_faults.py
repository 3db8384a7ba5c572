"""One spoilt place in a right folder gives exactly the fault that names it: file, row, column and how to mend it."""

from __future__ import annotations

import pytest

from given.base_folder import base_folder, spoilt
from truebed.errors import NotDesignedError
from truebed.given.check_readings import LEAST_ROAD_READINGS_COUNT
from truebed.given.folder import parse_works
from truebed.levels.booking import Spot
from truebed.levels.road_fit import fit_road

CASES = [
    # cells
    ("covers.csv", "850,850,150", "850,,150", 2, "flange_across_mm", "nothing", "round"),
    ("covers.csv", "850,850,150", ",850,150", 2, "flange_along_mm", "nothing", "Fill it"),
    ("covers.csv", "850,850,150", "0.85,850,150", 2, "flange_along_mm", "'0.85'", "looks like m: if it is, write 850"),
    ("covers.csv", "850,850,150", "33.5,850,150", 2, "flange_along_mm", "'33.5'", "flange_along_in"),
    ("covers.csv", "850,850,150", "85000,850,150", 2, "flange_along_mm", "'85000'", "Check the reading"),
    ("covers.csv", "850,850,150", "nan,850,150", 2, "flange_along_mm", "'nan'", "Write the number."),
    ("covers.csv", "850,850,150", "inf,850,150", 2, "flange_along_mm", "'inf'", "Write the number."),
    ("covers.csv", "850,850,150", "1e400,850,150", 2, "flange_along_mm", "'1e400'", "finite"),
    ("covers.csv", "850,850,150", "850 mm,850,150", 2, "flange_along_mm", "'850 mm'", "its unit stands in the header"),
    ("covers.csv", "850,850,150", '"850,5",850,150', 2, "flange_along_mm", "'850,5'", "point"),
    ("covers.csv", "850,850,150", "wide,850,150", 2, "flange_along_mm", "'wide'", "in digits"),
    ("covers.csv", "600,600,690", "0,600,690", 2, "opening_along_mm", "'0'", "Check the reading"),
    ("covers.csv", "D400,carriageway", "D40,carriageway", 2, "load_class", "'D40'", "Did you mean 'D400'?"),
    ("covers.csv", "F-1,Tallow Row,cover,", "F-1,Tallow Row,lid,", 2, "kind", "'lid'", "one of the choices"),
    ("covers.csv", "rocks under buses", "=1+1", 2, "remark", "'=1+1', which", "itself"),
    ("covers.csv", "rocks under buses", "a\x07b", 2, "remark", "\\u0007b' with a hidden", "Type it again"),
    ("covers.csv", "rocks under buses", "a\u202eb", 2, "remark", "hidden character", "Type it again"),
    ("covers.csv", "rocks under buses", "x" * 501, 2, "remark", "501 characters", "Shorten"),
    ("covers.csv", "F-1,Tallow", "F/1,Tallow", 2, "cover", "'F/1'", "file names"),
    ("covers.csv", "150,180,60,", "150,180,60.5,", 2, "severity", "'60.5'", "whole number"),
    ("covers.csv", "150,180,60,", "150,180,0,", 2, "severity", "'0'", "Check"),
    ("readings.csv", "F-1,R2,0,560,level", "F-1,R2,0,560,wedge", 3, "kind", "'wedge'", "Write one of the choices"),
    ("readings.csv", "F-1,R2,0,560", "F-1,R2,0,5600", 3, "y_mm", "'5600'", "Check"),
    ("closures.csv", "2027-03-11T20:00+00:00,", "2027-03-11T20:00,", 2, "road_shut_from", "without an off", "offset"),
    ("closures.csv", "2027-03-11T20:00+00:00,", "8 pm,", 2, "road_shut_from", "'8 pm'", "Write it as 20"),
    ("closures.csv", "2027-03-11T20:00+00:00,", "0027-03-11T20:00+00:00,", 2, "road_shut_from", "'0027", "year"),
    ("closures.csv", "Tallow Row|Weir", "Tallow Row||Weir", 2, "streets", "Tallow Row||Weir", "nothing beside"),
    ("closures.csv", "12.5,30", "54,30", 2, "mix_temp_c", "'54'", "looks like f"),
    ("people.csv", "saw|lift", "saw|saw", 2, "skills", "'saw' twice", "once"),
    ("stock.csv", "2027-09-30", "30/09/2027", 2, "expires", "'30/09/2027'", "2027-09-30"),
    # rows and headers
    ("people.csv", "resin hand,", "resin hand,too,many,", 3, "", "more cells", "delimiter"),
    ("covers.csv", "cover,street", "cover,steet", 1, "steet", "'steet'", "Did you mean 'street'?"),
    ("covers.csv", "flange_thick_mm", "flange_thick", 1, "flange_thick", "'flange_thick'", "unit in the header"),
    ("covers.csv", "flange_thick_mm", "flange_thick_furlong", 1, "flange_thick_furlong", "furlong", "flange_thick_mm"),
    ("covers.csv", "flange_thick_mm", "flange_thick_kg", 1, "flange_thick_kg", "flange_thick_kg", "flange_thick_mm"),
    ("covers.csv", ",severity,", ",,", 1, "severity", "no such column", "how much this one matters"),
    ("tools.csv", "blade_mm", "capacity_l", 1, "capacity_l", "the column twice", "Take out"),
    ("people.csv", "skills,closures", "skills,closures,closures", 1, "closures", "twice", "Take out"),
    # covers
    ("covers.csv", "690,690,850", "600,690,850", 2, "opening_along_mm", "opening 600 mm along, body 600", "again"),
    ("covers.csv", "690,690,850", "690,860,850", 2, "body_across_mm", "body 860 mm across, flange 850", "swap"),
    ("covers.csv", "675,675,215", "850,675,215", 2, "chamber_along_mm", "chamber 850 mm along", "corbels"),
    ("covers.csv", "850,150,12,", "850,40,40,", 2, "flange_thick_mm", "40 mm thick of a frame 40 mm deep", "again"),
    ("covers.csv", "4120.5,987.2", "4120.5,", 2, "y_m", "one of x_m and y_m", "both"),
    ("covers.csv", "left,420", "left,", 3, "kerb_mm", "a kerb left and no distance", "kerb's face"),
    ("covers.csv", "round,500,,", "round,500,400,", 3, "chamber_across_mm", "500 along and 400 across", "empty"),
    ("covers.csv", "rectangle,675,675", "rectangle,675,", 2, "chamber_across_mm", "nothing", "675 mm is a diameter"),
    ("covers.csv", "F-1,Tallow Row", "F-1,Talow Row", 2, "street", "'Talow Row'", "Did you mean 'Tallow Row'?"),
    # readings
    ("readings.csv", "F-1,R8,560,0", "F-9,R8,560,0", 9, "cover", "'F-9'", "Did you mean 'F-1'?"),
    ("readings.csv", "F-1,R8,560,0", "F-1,R1,560,0", 9, "point", "with -8 there and 5 here", "own name"),
    ("readings.csv", "F-1,R8,560,0,level,5", "F-1,R1,560,560,level,-8", 9, "point", "row 2 too", "copy"),
    ("readings.csv", "F-1,R8,560,0", "F-1,R8,560,560", 9, "x_mm", "where 'R1' of row 2 is", "sign"),
    ("readings.csv", "F-1,R8,560,0", "F-1,R8,56,0", 9, "where", "inside the frame", "frame or lid"),
    ("readings.csv", "1240,bench mark", "1240,road", 14, "where", "inside the frame", "frame or lid"),
    (
        "readings.csv",
        "G-2,R3,0,-450,staff,1235,road,A",
        "G-2,R3,0,-450,staff,1235,road,",
        17,
        "set_up",
        "nothing",
        "Name",
    ),
    ("readings.csv", "G-2,R3,0,-450,staff,1235,road,A", "G-2,R3,0,-450,staff,1235,road,B", 17, "set_up", "'B'", "Add"),
    ("readings.csv", "staff,1235", "staff,-1235", 17, "value_mm", "staff reading of -1235", "as it stands"),
    ("readings.csv", "G-2,K1,0,450", "G-2,K1,0,-470", 20, "y_mm", "kerb is on the left", "sign"),
    ("readings.csv", "G-2,R1,450,380", "G-2,R1,450,440", 15, "y_mm", "beyond the kerb left at 420 mm", "lost sign"),
    # closures and the rest
    ("closures.csv", "2027-03-12T05:30", "2027-03-11T05:30", 2, "road_open_by", "not after road_shut", "midnight"),
    ("closures.csv", "2027-03-12T05:30", "2027-03-11T20:45", 2, "road_open_by", "closure of 45 min", "tm_set_min"),
    ("closures.csv", "2027-03-11T23:00", "2027-03-11T19:00", 2, "noisy_work_ends", "not after", "midnight"),
    ("people.csv", "saw|lift,N-1", "saw|lift,N-7", 2, "closures", "'N-7'", "Did you mean 'N-1'?"),
    ("people.csv", "resin hand", "ganger", 3, "person", "row 2 too", "Rename"),
    ("tools.csv", "breaker,breaker", "saw 450,breaker", 3, "tool", "row 2 too", "Rename"),
    ("tools.csv", "5.5,measured in the yard", "5.5,", 2, "vibration_source", "5.5 m/s2 and no source", "handbook"),
    ("weather.csv", "11T22:00", "11T21:00", 4, "at", "the same hour as row 3", "Sort"),
    ("weather.csv", "11T22:00", "11T19:00", 4, "at", "earlier than row 3", "Sort"),
    ("weather.csv", "0.6,0\n", "60,0\n", 2, "cloud_share", "'60'", "looks like pct"),
    ("stock.csv", "L-0502", "L-0417", 3, "lot", "row 2 too", "Join"),
    ("condition.csv", "F-1,4", "F-11,4", 2, "cover", "'F-11'", "Did you mean 'F-1'?"),
    # works.toml
    (
        "works.toml",
        "Europe/London",
        "Europe/Lodnon",
        4,
        "time_zone",
        "'Europe/Lodnon'",
        "Did you mean 'Europe/London'?",
    ),
    ("works.toml", "Europe/London", "Europe", 4, "time_zone", "'Europe'", "IANA"),
    ("works.toml", "rule_set", "ruleset", 3, "ruleset", "the key 'ruleset'", "Did you mean 'rule_set'?"),
    ("works.toml", 'currency = "GBP"\n', "", 0, "currency", "no such key", 'currency = "GBP"'),
    ("works.toml", '"GBP"', '"pounds"', 9, "currency", "'pounds'", "GBP"),
    ("works.toml", '"en-GB"', '"English"', 10, "language", "'English'", "en-GB"),
    ("works.toml", "52.6", "152.6", 5, "latitude_deg", "'152.6'", "Check"),
    ("works.toml", "52.6", '"52.6"', 5, "latitude_deg", "'52.6'", "latitude_deg = 52.6"),
    ("works.toml", "0.95", "95", 11, "wanted_probability", "'95'", "Check"),
    ("works.toml", "0.95", "nan", 11, "wanted_probability", "'nan'", "Write the number"),
    ("works.toml", "0.95", "0x" + "f" * 5000, 11, "wanted_probability", "beyond 64 bits", "Write the number"),
    ("works.toml", "= 52.6", "52.6", 5, "", "not TOML", "Mend that line"),
    ("works.toml", "0.95", "0.95\ndemo = 1", 12, "demo", "'1'", "demo = false"),
    ("works.toml", '"QF-27-03"', '" "', 2, "reference", "nothing", "client's reference"),
    ("works.toml", '"QF-27-03"', '["QF"]', 2, "reference", "a table or list", "reference ="),
]


@pytest.mark.parametrize(
    ("file", "old", "new", "row", "column", "found", "mend"),
    CASES,
    ids=[f"{c[0]}-{c[4]}-{i}" for i, c in enumerate(CASES)],
)
def test_a_spoilt_place_is_named_with_its_row_and_column_and_a_mend(
    file: str, old: str, new: str, row: int, column: str, found: str, mend: str
) -> None:
    works, faults = parse_works(spoilt(file, old, new))
    assert works is None
    told = [f for f in faults if (f.file, f.row, f.column) == (file, row, column)]
    assert told, [f.sentence() for f in faults]
    assert any(found in f.found and mend in f.mend for f in told), [f.sentence() for f in told]
    assert all(f.expected and f.mend for f in faults)


def test_a_flange_nearer_the_kerb_than_itself_is_named_with_its_reach() -> None:
    _, faults = parse_works(spoilt("covers.csv", "left,420", "left,290"))
    near = [f for f in faults if f.file == "covers.csv"]
    assert [(f.row, f.column) for f in near] == [(3, "kerb_mm")]
    assert "reaches 295 mm" in near[0].found


def test_a_kerb_distance_without_a_side_is_a_fault() -> None:
    _, faults = parse_works(spoilt("covers.csv", "left,420", ",420"))
    assert ("covers.csv", 3, "kerb_side") in {(f.file, f.row, f.column) for f in faults}


def test_two_covers_of_one_name_are_a_fault_even_in_other_capitals() -> None:
    _, faults = parse_works(spoilt("covers.csv", "G-2,Weir", "f-1,Weir"))
    once = [f for f in faults if f.file == "covers.csv"]
    assert [(f.row, f.column) for f in once] == [(3, "cover")]
    assert "row 2 too" in once[0].found


def test_five_road_readings_are_too_few_and_the_cover_is_named() -> None:
    _, faults = parse_works(spoilt("readings.csv", "G-2,R3,0,-450,staff,1235,road,A\n", ""))
    assert [(f.file, f.row, f.column) for f in faults] == [("readings.csv", 14, "where")]
    assert "5 road readings of 'G-2'" in faults[0].found
    assert faults[0].expected == "at least 6"


def test_what_the_checker_lets_pass_is_enough_for_the_road_to_be_fitted() -> None:
    with pytest.raises(NotDesignedError, match="fewer than 6"):
        fit_road(tuple(Spot(f"R{i}", 500.0 * i, 0.0, 0.0, "road", i) for i in range(5)), 2.0, 0.05)
    assert LEAST_ROAD_READINGS_COUNT == 6


SECOND_MARK = "G-2,BM2,0,0,staff,{0},bench mark,{1}\n"


@pytest.mark.parametrize("value", ["1243", "1240.5"])
def test_a_second_bench_mark_reading_that_differs_and_does_not_close_names_both_rows(value: str) -> None:
    more = SECOND_MARK.format(value, "A") + "G-2,R6"
    works, faults = parse_works(spoilt("readings.csv", "G-2,R6", more))
    assert works is None
    (fault,) = faults
    assert (fault.file, fault.row, fault.column) == ("readings.csv", 21, "value_mm")
    assert fault.found.startswith(f"{value} on the bench mark between the points of set-up 'A' of 'G-2'")
    assert "which hangs on 1240 in row 14" in fault.found
    assert "mean" in fault.mend


def test_a_set_up_without_its_bench_mark_is_told_once() -> None:
    _, faults = parse_works(spoilt("readings.csv", "G-2,BM,0,0,staff,1240,bench mark,A\n", ""))
    assert [(f.row, f.column) for f in faults] == [(14, "set_up")]
    assert "set-up 'A' of 'G-2' and no bench-mark reading" in faults[0].found


def test_places_in_metres_are_told_once_a_cover_and_the_unit_is_named() -> None:
    text = base_folder()["readings.csv"].decode().replace("560", "0.56").replace("345", "0.345")
    _, faults = parse_works(base_folder() | {"readings.csv": text.encode()})
    assert [(f.row, f.column) for f in faults] == [(2, "x_mm")]
    assert "head the columns x_m and y_m" in faults[0].mend


def test_staff_readings_in_metres_are_told_and_the_unit_is_named() -> None:
    text = base_folder()["readings.csv"].decode()
    for value in (1240, 1252, 1231, 1235, 1261, 1130, 1256):
        text = text.replace(f"staff,{value},", f"staff,{value / 1000.0},")
    _, faults = parse_works(base_folder() | {"readings.csv": text.encode()})
    assert [(f.row, f.column) for f in faults] == [(15, "value_mm")]
    assert "value_m" in faults[0].mend


def test_levels_in_metres_are_told_by_their_spread() -> None:
    text = base_folder()["readings.csv"].decode()
    for value in (-8, -14, -19, -6, 8, 14, 20, 5, -22, -30):
        text = text.replace(f"level,{value},", f"level,{value / 1000.0},")
    _, faults = parse_works(base_folder() | {"readings.csv": text.encode()})
    assert [(f.row, f.column) for f in faults] == [(2, "value_mm")]


def test_road_points_whose_minus_signs_were_lost_are_told() -> None:
    text = base_folder()["readings.csv"].decode().replace("F-1,R4,-560,0", "F-1,R4,700,0").replace("-560,", "610,")
    text = text.replace(",0,560", ",100,700").replace(",0,610", ",100,820").replace("R8,560,0", "R8,900,40")
    text = text.replace("R4,700,0", "R4,700,70")
    _, faults = parse_works(base_folder() | {"readings.csv": text.encode()})
    assert {(f.column, f.row) for f in faults if "lost signs" in f.mend} == {("x_mm", 2), ("y_mm", 2)}


def test_a_street_in_two_closures_is_a_fault() -> None:
    row = "N-2,Weir Cross,full,2027-03-12T20:00+00:00,2027-03-13T05:30+00:00,2027-03-12T23:00+00:00,25,20,12,30,2\n"
    files = base_folder()
    files["closures.csv"] += row.encode()
    _, faults = parse_works(files)
    assert [(f.file, f.row, f.column) for f in faults] == [("closures.csv", 3, "streets")]
    assert "closure 'N-1' in row 2" in faults[0].found


def test_a_closure_shut_but_not_named_in_covers_is_no_fault() -> None:
    works, faults = parse_works(spoilt("closures.csv", "Tallow Row|Weir Cross", "Tallow Row|Weir Cross|Fuller Lane"))
    assert faults == ()
    assert works is not None


def test_noisy_work_may_end_after_the_road_opens() -> None:
    works, faults = parse_works(spoilt("closures.csv", "2027-03-11T23:00", "2027-03-12T08:00"))
    assert faults == ()
    assert works is not None


@pytest.mark.parametrize("file", ["people.csv", "tools.csv", "covers.csv", "readings.csv", "closures.csv"])
def test_a_header_without_rows_is_a_fault(file: str) -> None:
    files = base_folder()
    files[file] = files[file].splitlines(keepends=True)[0]
    _, faults = parse_works(files)
    assert (file, "a header and no rows") in {(f.file, f.found) for f in faults}


def test_all_faults_of_all_files_come_at_once() -> None:
    files = spoilt("covers.csv", "850,850,150", "0.85,850,150")
    files |= {
        "works.toml": files["works.toml"].replace(b"Europe/London", b"Nowhere/Atall"),
        "readings.csv": files["readings.csv"].replace(b"G-2,R1,450", b"G-3,R1,450"),
        "closures.csv": files["closures.csv"].replace(b"T20:00+00:00", b"T20:00"),
        "people.csv": files["people.csv"].replace(b"person,", b"persn,"),
        "tools.csv": files["tools.csv"].replace(b"450,5.5", b"450,NaN"),
        "weather.csv": files["weather.csv"].replace(b"7.5,6", b"=7,6"),
        "stock.csv": files["stock.csv"].replace(b",12,", b",12.5,"),
        "cover.csv": b"x",
    }
    works, faults = parse_works(files)
    assert works is None
    right = {"condition.csv", "obstacles.csv", "soundings.csv", "units.csv"}
    assert {f.file for f in faults} == set(files) - right
    assert list(faults) == sorted(set(faults))


def test_a_bad_cover_row_does_not_make_its_readings_look_like_those_of_no_cover() -> None:
    _, faults = parse_works(spoilt("covers.csv", "850,850,150", "wide,850,150"))
    assert {f.file for f in faults} == {"covers.csv"}


def test_a_bad_cover_name_does_not_make_its_readings_look_like_those_of_no_cover() -> None:
    _, faults = parse_works(spoilt("covers.csv", "F-1,Tallow", "F/1,Tallow"))
    assert {f.file for f in faults} == {"covers.csv"}


def test_a_file_with_very_many_faults_lists_the_first_and_counts_the_rest() -> None:
    files = base_folder()
    files["people.csv"] += b"=x,,\n" * 700
    _, faults = parse_works(files)
    assert len(faults) == 501
    assert any(f.found == "200 more faults" for f in faults)
