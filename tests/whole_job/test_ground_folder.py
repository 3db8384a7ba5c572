"""The whole job on a folder that uses every file of the ground: planned twice to the same bytes, checked, and with bad
values in its files always answered with faults, never with a traceback.
"""

import csv
import io
import json
import os
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from truebed.actions.load import load_bytes
from truebed.actions.outlook import outlook
from truebed.actions.plan import plan_works
from truebed.errors import FaultsError
from truebed.plan.closure import design_all
from whole_job.ground_folder import ground_files, write_ground_folder

CODE = "import sys; from truebed.cli.main import main; sys.argv = ['truebed', *sys.argv[1:]]; main()"


def truebed(*words, **env):
    return subprocess.run(
        [sys.executable, "-c", CODE, *map(str, words)],
        capture_output=True, text=True, check=False, env={**os.environ, **env},
    )  # fmt: skip


def results(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


@pytest.fixture(scope="module")
def place(tmp_path_factory):
    place = tmp_path_factory.mktemp("ground")
    write_ground_folder(place / "works")
    return place


@pytest.fixture(scope="module")
def planned(place):
    made = plan_works(place / "works", place / "here", lambda _: None)
    return made.plan, results(place / "here")


def test_check_tells_the_cover_that_must_not_be_dug_and_exits_with_nought(place):
    ran = truebed("check", place / "works")
    assert ran.returncode == 0, ran.stderr
    assert "no faults. 5 covers" in ran.stdout
    told = [line for line in ran.stdout.splitlines() if "cannot be planned as it is" in line]
    assert len(told) == 1
    assert "LOWLID: do not dig" in told[0]


def test_every_cover_gets_what_its_files_say(planned):
    plan, _ = planned
    night = plan.closures[0]
    assert [d.cover for d in night.designed] == ["LINES", "MIXED", "DEE", "WEST"]
    assert [n.cover for n in night.not_designed] == ["LOWLID"]
    assert "Do not dig" in night.not_designed[0].reason
    lines, mixed, dee, west = night.designed
    assert len(lines.parts.parts) == 2
    assert [p.what for p in lines.cut.pulled_back] == ["valve box"]
    assert lines.cut.corners.way == "stop short"
    assert [s.set_up for s in mixed.aids.staff] == ["A", "B"]
    assert len(mixed.cut.corners.cores) == 4
    assert "nose" in {c.name for c in dee.setting.corners}
    assert [[s.cover for s in d.cut.joined.shares] for d in (dee, west)] == [["DEE", "WEST"]] * 2
    # to the left half way between hollow at 60 mm and sound at 160 mm
    assert west.cut.margins_mm[1] == pytest.approx(110.0)
    assert dee.diagnosis
    assert west.margin


def test_one_joined_hole_is_shared_out_without_loss(planned):
    dee, west = planned[0].closures[0].designed[2:]
    joined = dee.cut.joined
    assert joined.saw_length_m == pytest.approx(west.cut.joined.saw_length_m)
    assert dee.cut.saw_length_m + west.cut.saw_length_m == pytest.approx(joined.saw_length_m)
    assert sum(s.area_mm2 for s in joined.shares) == pytest.approx(joined.area_mm2)


def test_the_findings_say_what_each_file_brought(planned):
    found = {(f.code, f.subject.split(",")[0]) for f in planned[0].findings}
    assert {
        ("LV-009", "MIXED"), ("CT-007", "LINES"), ("CT-005", "LINES"), ("CT-004", "MIXED"), ("CT-010", "DEE"),
        ("CT-010", "WEST"), ("DG-005", "MIXED"), ("CV-001", "LOWLID"),
    } <= found  # fmt: skip


def test_a_second_run_in_another_process_gives_the_same_bytes(place, planned):
    ran = truebed("plan", place / "works", "--out", place / "there", PYTHONHASHSEED="77", TZ="Asia/Tokyo")
    assert ran.returncode == 0, ran.stderr
    first, second = planned[1], results(place / "there")
    assert sorted(first) == sorted(second)
    assert [name for name in first if first[name] != second[name]] == []
    assert "not designed: LOWLID" in ran.stdout
    assert json.loads(first["plan.json"])["closures"]


#: File, column, bad value. Each is one slip of a pen in one row.
SLIPS = [
    ("obstacles.csv", "cover", "NOSUCH"), ("obstacles.csv", "x_mm", "nan"), ("obstacles.csv", "x_mm", "5,8,0"),
    ("obstacles.csv", "along_mm", "0"), ("obstacles.csv", "along_mm", "-100"), ("obstacles.csv", "what", ""),
    ("obstacles.csv", "clear_mm", "inf"), ("obstacles.csv", "turn_deg", "999"), ("obstacles.csv", "y_mm", "1e9"),
    ("soundings.csv", "cover", "NOSUCH"), ("soundings.csv", "kind", "knock"), ("soundings.csv", "found", "maybe"),
    ("soundings.csv", "found", "cracked"), ("soundings.csv", "x_mm", ""), ("soundings.csv", "point", ""),
    ("soundings.csv", "to_x_mm", "500"), ("soundings.csv", "width_mm", "-1"), ("soundings.csv", "y_mm", "left"),
    ("units.csv", "kind", "plank"), ("units.csv", "height_mm", "-35"), ("units.csv", "height_mm", "3500"),
    ("units.csv", "count", "1.5"), ("units.csv", "count", "-1"), ("units.csv", "unit", ""),
    ("units.csv", "work_min", "soon"), ("condition.csv", "cover", "NOSUCH"), ("condition.csv", "rock_mm", "-1"),
    ("condition.csv", "lid_step_mm", "NaN"), ("condition.csv", "seat_wear_class", "9"),
    ("condition.csv", "bed_state", "poor"), ("condition.csv", "plan_below", "round"),
    ("condition.csv", "courses_count", "two"), ("condition.csv", "hollow_taps_pct", "140"),
    ("condition.csv", "frame_state", "ok"), ("readings.csv", "kind", "laser"), ("readings.csv", "value_mm", "nan"),
    ("readings.csv", "value_mm", ""), ("readings.csv", "where", "pavement"), ("readings.csv", "x_mm", "10000000"),
    ("readings.csv", "set_up", "nowhere"), ("covers.csv", "parts", "9"), ("covers.csv", "parts", "0"),
    ("covers.csv", "opening_shape", "oval"), ("covers.csv", "flange_shape", "hexagon"),
    ("covers.csv", "cut_shape", "star"), ("covers.csv", "corner_rule", "snap"), ("covers.csv", "cut_turn", "back"),
    ("covers.csv", "bearing_deg", "400"), ("covers.csv", "x_m", "abc"), ("covers.csv", "sound_margin_mm", "-5"),
    ("covers.csv", "opening_along_mm", "0.6"), ("covers.csv", "body_along_mm", "5000"),
]  # fmt: skip


def with_slip(name, column, value, row=0):
    files = ground_files()
    rows = list(csv.reader(io.StringIO(files[name].decode())))
    rows[1 + row][rows[0].index(column)] = value
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return {**files, name: out.getvalue().encode()}


@pytest.mark.parametrize(("name", "column", "value"), SLIPS)
def test_a_slip_of_the_pen_is_a_fault_with_its_row_and_its_mend(name, column, value):
    with pytest.raises(FaultsError) as wrong:
        load_bytes(with_slip(name, column, value))
    own = [f for f in wrong.value.faults if f.file == name]
    assert own
    assert all(f.found and f.expected and f.mend for f in own)
    assert any(f.row == 2 for f in own)


GARBAGE = st.one_of(
    st.sampled_from(
        ["", " ", "0", "-1", "1e308", "NaN", "1,5", "1;5", "=1+1", "\u00bd", "660 mm", "round", "left", "WEST"]
    ),
    st.floats(-2000.0, 2000.0).map(lambda v: f"{v:.3f}"),
    st.text(max_size=6),
)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(data=st.data())
def test_whatever_stands_in_one_cell_is_a_fault_or_a_works_that_is_designed_or_refused(data):
    name = data.draw(st.sampled_from(("obstacles.csv", "soundings.csv", "units.csv", "condition.csv", "covers.csv")))
    rows = list(csv.reader(io.StringIO(ground_files()[name].decode())))
    row = data.draw(st.integers(0, len(rows) - 2))
    column = data.draw(st.sampled_from(rows[0]))
    try:
        loaded = load_bytes(with_slip(name, column, data.draw(GARBAGE), row))
    except FaultsError as wrong:
        # pytest.fail, since what is looked at is the exception itself
        if not all(f.file and f.expected and f.mend for f in wrong.faults):
            pytest.fail(f"a fault without its place or mend: {wrong.faults}")
        return
    outlook(loaded)
    works = loaded.works
    done, failed, _ = design_all(works, loaded.shelf, works.closures[0], {}, lambda _: None)
    tonight = [c.cover for c in works.covers if c.street in works.closures[0].streets]
    assert sorted([*(d.design.cover for d in done), *(f.cover for f in failed)]) == sorted(tonight)
    assert all(f.reason and f.mend for f in failed)


def test_a_folder_with_a_slip_is_refused_by_check_and_plan_and_nothing_is_written(place):
    works = place / "slip"
    write_ground_folder(works)
    (works / "units.csv").write_bytes(with_slip("units.csv", "kind", "plank")["units.csv"])
    for ran in (truebed("check", works), truebed("plan", works, "--out", place / "nothing")):
        assert ran.returncode == 2
        assert "units.csv, row 2, kind" in ran.stderr
        assert "Traceback" not in ran.stderr
    assert not (place / "nothing").exists()
