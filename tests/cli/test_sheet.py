"""`truebed sheet check`: what a sheet holds, its fit beside every point, what it cannot tell; faults and exit codes."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

CODE = "import sys; from truebed.cli.main import main; sys.argv = ['truebed', *sys.argv[1:]]; main()"
FOLDER = Path(__file__).parents[2] / "src" / "truebed" / "demo" / "folder" / "sheets"
BED = (FOLDER / "harrow-bed.toml").read_text("utf-8")


def truebed(*words):
    return subprocess.run([sys.executable, "-c", CODE, *map(str, words)], capture_output=True, text=True, check=False)


def written(tmp_path, text, name="harrow-bed.toml"):
    file = tmp_path / name
    file.write_text(text, "utf-8")
    return file


@pytest.mark.parametrize("name", sorted(path.name for path in FOLDER.glob("*.toml")))
def test_every_sheet_of_the_demo_is_told_without_a_fault(name):
    ran = truebed("sheet", "check", FOLDER / name)
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.splitlines()[0].endswith("no faults")
    assert "a competent person decides" in ran.stdout
    assert "\x1b[" not in ran.stdout


def test_every_point_stands_beside_its_fitted_value_and_the_default_energy_with_its_source():
    ran = truebed("sheet", "check", FOLDER / "harrow-bed.toml")
    rows = [line for line in ran.stdout.splitlines() if "N/mm²  fitted" in line]
    assert len(rows) == BED.count("[[strength]]")
    assert all("page 2, table 4" in row and "difference" in row for row in rows)
    assert "(activation_cement_j_per_mol): 40000 ± 8000" in ran.stdout
    assert "Nothing is promised past the last datum, 37 N/mm²." in ran.stdout
    assert "At 1440 min the strength falls with temperature" in ran.stdout


def test_times_to_the_traffic_strength_are_told_at_the_limits_and_the_tested_temperatures():
    data = json.loads(truebed("sheet", "check", FOLDER / "harrow-bed.toml", "--json").stdout)
    rows = data["to_traffic_strength"]
    assert [row["temp_c"] for row in rows] == [5.0, 20.0, 30.0]
    assert all(row["early_min"] < row["minutes_min"] < row["late_min"] for row in rows)
    assert [row["minutes_min"] for row in rows] == sorted((row["minutes_min"] for row in rows), reverse=True)
    assert "Minutes to the sheet's traffic strength" in truebed("sheet", "check", FOLDER / "harrow-bed.toml").stdout


def test_a_traffic_strength_past_the_last_datum_is_said_to_be_not_promised(tmp_path):
    text = BED.replace("[traffic]\nstrength_n_per_mm2 = 13.0", "[traffic]\nstrength_n_per_mm2 = 38.0")
    ran = truebed("sheet", "check", written(tmp_path, text))
    assert ran.returncode == 0, ran.stderr
    assert "nothing past the last datum is promised" in ran.stdout


def test_as_data_the_check_holds_the_same_fit_twice_over():
    first, again = (truebed("sheet", "check", FOLDER / "rime-bed.toml", "--json") for _ in range(2))
    assert first.stdout == again.stdout
    data = json.loads(first.stdout)
    assert data["fit"]["binder"]["form"] in ("exponential", "hyperbola")
    assert len(data["fit"]["strengths"]) == len(data["sheet"]["strength"])
    assert data["no_curve"] == ""


def test_a_sheet_with_one_point_says_that_it_gives_no_curve(tmp_path):
    parts = BED.split("\n\n")
    strengths = [part for part in parts if part.startswith("[[strength]]")]
    text = "\n\n".join(part for part in parts if part not in strengths[1:])
    ran = truebed("sheet", "check", written(tmp_path, text))
    assert ran.returncode == 0, ran.stderr
    assert "One strength point (4.5 N/mm² at 90 min, 5 °C) gives no curve" in ran.stdout


def test_a_strength_that_falls_with_age_is_refused_with_row_and_mend(tmp_path):
    text = BED.replace("strength_n_per_mm2 = 13.5", "strength_n_per_mm2 = 4.4")
    file = written(tmp_path, text)
    ran = truebed("sheet", "check", file)
    row = text.split("\n").index("strength_n_per_mm2 = 4.4") + 1
    assert ran.returncode == 2
    assert ran.stdout == ""
    assert f"{file}, row {row}, strength[2].strength_n_per_mm2" in ran.stderr
    assert "Mend one of the two." in ran.stderr


def test_fahrenheit_by_mistake_is_told(tmp_path):
    text = BED.replace("temp_least_c = 5.0", "temp_least_c = 41.0").replace("temp_most_c = 30.0", "temp_most_c = 86.0")
    ran = truebed("sheet", "check", written(tmp_path, text))
    assert ran.returncode == 2
    assert "It looks like Fahrenheit: that range in °F is 5 to 30 °C." in ran.stderr


@pytest.mark.parametrize("name", ["no-such.toml", "sheet.txt"])
def test_what_is_no_sheet_is_a_fault_and_no_traceback(tmp_path, name):
    if name == "sheet.txt":
        written(tmp_path, "x", name)
    ran = truebed("sheet", "check", tmp_path / name)
    assert ran.returncode == 2
    assert name in ran.stderr
    assert "Traceback" not in ran.stderr
