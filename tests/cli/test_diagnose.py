"""`truebed diagnose`: repair, reason, what would change it, what to test next; exit codes; JSON."""

import json
import subprocess
import sys

import pytest

from whole_job.small_folder import write_small_folder

CODE = "import sys; from truebed.cli.main import main; sys.argv = ['truebed', *sys.argv[1:]]; main()"


def truebed(*words):
    return subprocess.run([sys.executable, "-c", CODE, *map(str, words)], capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def works(tmp_path_factory):
    return bare(write_small_folder(tmp_path_factory.mktemp("diagnose") / "works"))


def bare(works):
    """The folder without its condition sheets and without a yard: nothing was looked at, nothing is in stock."""
    for name in ("condition.csv", "units.csv"):
        (works / name).unlink()
    return works


def test_every_cover_is_told_with_reason_turning_evidence_and_next_test(works):
    ran = truebed("diagnose", works)
    assert ran.returncode == 0, ran.stderr
    for cover in ("T01", "G01"):
        assert f"{cover}: " in ran.stdout
    for words in ("because:", "would change the answer:", "test next:", "not:", "a competent person decides"):
        assert words in ran.stdout
    assert "\x1b[" not in ran.stdout


def test_one_cover_as_data_carries_the_same_answer(works):
    told = truebed("diagnose", works, "--cover", "T01").stdout.splitlines()[0]
    ran = truebed("diagnose", works, "--cover", "T01", "--json")
    assert ran.returncode == 0
    (one,) = json.loads(ran.stdout)["covers"]
    assert told.startswith(f"T01: {one['repair']} - ")
    assert [i["name"] for i in one["interfaces"]] == ["cover to frame", "frame to road", "frame to chamber"]
    assert 0.0 < one["probability"] <= 1.0
    assert one["source"].startswith("[")


def test_the_command_gives_the_same_bytes_twice_and_writes_nothing(works):
    before = sorted((p.name, p.stat().st_mtime_ns) for p in works.rglob("*"))
    assert truebed("diagnose", works, "--json").stdout == truebed("diagnose", works, "--json").stdout
    assert sorted((p.name, p.stat().st_mtime_ns) for p in works.rglob("*")) == before


def test_a_lid_low_in_a_flush_frame_is_said_not_to_be_dug(tmp_path):
    works = write_small_folder(tmp_path / "works")
    readings = (works / "readings.csv").read_text("utf-8").splitlines()
    kept = [line for line in readings if ",frame" not in line]
    (works / "readings.csv").write_text("\n".join(kept) + "\n", "utf-8")
    corners = ("front_left", "front_right", "back_left", "back_right")
    names = [f"{what}_step_{corner}_mm" for what in ("lid", "frame") for corner in corners]
    header = ",".join(["cover", *names, "rock_mm", "seat_wear_class", "hollow_taps_pct"])
    row = ",".join(["T01", *["-8"] * 4, *["-1"] * 4, "0.2", "1", "0"])
    (works / "condition.csv").write_text(f"{header}\n{row}\n", "utf-8")
    ran = truebed("diagnose", works, "--cover", "T01")
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.startswith("T01: replace cover - DO NOT DIG")
    assert "frame not to be lifted as it stands: T01" in ran.stdout


def test_height_is_made_up_from_the_yard_or_the_nearest_miss_is_told(tmp_path):
    works = bare(write_small_folder(tmp_path / "works"))
    rows = [line.split(",") for line in (works / "covers.csv").read_text("utf-8").splitlines()]
    column = rows[0].index("chamber_depth_mm")
    for row in rows[1:]:
        row[column] = str(float(row[column]) + 100.0)
    (works / "covers.csv").write_text("\n".join(",".join(row) for row in rows) + "\n", "utf-8")
    assert "units.csv lists no course" in truebed("diagnose", works, "--cover", "T01").stdout
    (works / "units.csv").write_text("unit,kind,height_mm,count,work_min\nring 5,ring,5,1,10\n", "utf-8")
    told = truebed("diagnose", works, "--cover", "T01").stdout
    assert told.startswith("T01: make up height")
    assert "nothing in the yard does it" in told
    (works / "units.csv").write_text("unit,kind,height_mm,count,work_min\nring 50,ring,50,4,10\n", "utf-8")
    told = truebed("diagnose", works, "--cover", "T01").stdout
    assert "2 x ring 50: bed " in told


def test_an_unknown_cover_is_refused_with_code_3_and_the_names(works):
    ran = truebed("diagnose", works, "--cover", "X99")
    assert ran.returncode == 3
    assert "T01, G01" in ran.stderr


def test_faults_end_with_code_2_and_no_traceback(tmp_path):
    works = write_small_folder(tmp_path / "works")
    (works / "covers.csv").unlink()
    ran = truebed("diagnose", works)
    assert ran.returncode == 2
    assert "covers.csv" in ran.stderr
    assert "Traceback" not in ran.stderr
