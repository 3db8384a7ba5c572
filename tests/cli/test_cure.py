"""`truebed cure`: one layer without a works folder; what is told, refused and written; exit codes."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

CODE = "import sys; from truebed.cli.main import main; sys.argv = ['truebed', *sys.argv[1:]]; main()"
FOLDER = Path(__file__).parents[2] / "src" / "truebed" / "demo" / "folder" / "sheets"
RIME = FOLDER / "rime-bed.toml"
NIGHT = ("--thick", "30", "--base", "2", "--air", "0", "--mix", "12")


def truebed(*words):
    return subprocess.run([sys.executable, "-c", CODE, *map(str, words)], capture_output=True, text=True, check=False)


def cure(*words, sheet=RIME):
    return truebed("cure", sheet, *words)


def test_times_edges_isothermal_answers_residuals_and_gaps_are_told():
    ran = cure(*NIGHT, "--iron", "15", "--target", "20")
    assert ran.returncode == 0, ran.stderr
    text = ran.stdout
    assert "waits for 20 N/mm² (as asked)" in text
    assert "ready for the target" in text
    assert "end of working life" in text
    assert "do not open before" in text
    assert "last to be ready: its top face, under the iron" in text
    assert "too early: UNSAFE" in text
    assert "too long: UNSAFE" in text
    assert len([line for line in text.splitlines() if "N/mm²  fitted" in line]) == RIME.read_text().count(
        "[[strength]]"
    )
    assert "no wind given: 3 m/s taken" in text
    assert "Nothing is promised past the last datum, 35 N/mm²." in text
    assert "a competent person decides" in text
    assert "\x1b[" not in text


def test_as_data_the_same_twice_over_and_the_same_figures_as_in_words():
    words = (*NIGHT, "--iron", "15", "--wind", "2", "--sky", "clear")
    first, again = cure(*words, "--json"), cure(*words, "--json")
    assert first.stdout == again.stdout
    data = json.loads(first.stdout)
    clocks = data["clocks"]
    assert clocks["night"]["target_n_per_mm2"] == 12.5
    assert data["target_source"] == "the sheet's traffic strength, page 2, note b"
    assert clocks["ready"]["early_min"] < clocks["ready"]["central_min"] < clocks["ready"]["late_min"]
    assert f"do not open before {clocks['ready']['late_min']:.0f} min" in cure(*words).stdout
    assert data["release_table"] == []
    assert len(data["fit"]["strengths"]) == 16


def test_the_table_has_a_row_for_every_second_degree_the_sheet_allows():
    data = json.loads(cure(*NIGHT, "--no-iron", "--table", "--json").stdout)
    assert [row["base_c"] for row in data["release_table"]] == [2.0 * n for n in range(11)]
    assert "Ready against base temperature" in cure(*NIGHT, "--no-iron", "--table").stdout


def test_frost_comes_before_any_time():
    ran = cure("--thick", "20", "--base", "0", "--air", "0", "--mix", "5", "--iron", "15", "--sky", "clear")
    assert ran.returncode == 0, ran.stderr
    assert "FROST in 100% of the believable curves" in ran.stdout
    assert "frost is not ruled out" in ran.stdout
    assert "do not open before" not in ran.stdout


def test_frost_in_a_few_curves_only_takes_the_time_to_open_away_too():
    ran = cure(*NIGHT, "--iron", "15", "--target", "20", "--strip", "100")
    assert "FROST in 5% of the believable curves" in ran.stdout
    assert "frost is not ruled out" in ran.stdout
    assert "do not open before" not in ran.stdout


def test_the_chart_is_written_and_only_over_a_drawing_of_ours(tmp_path):
    out = tmp_path / "chart.svg"
    for _ in range(2):
        assert cure(*NIGHT, "--iron", "15", "--chart", out).returncode == 0
    assert out.read_text("utf-8").startswith("<svg")
    assert [path.name for path in tmp_path.iterdir()] == ["chart.svg"]
    out.write_text("mine", "utf-8")
    ran = cure(*NIGHT, "--iron", "15", "--chart", out)
    assert ran.returncode == 3
    assert out.read_text("utf-8") == "mine"
    assert ran.stdout == ""


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (("--thick", "-30", "--base", "2", "--air", "0", "--mix", "12", "--no-iron"), 2, "found -30 mm"),
        (("--thick", "30", "--base", "36", "--air", "0", "--mix", "12", "--no-iron"), 2, "looks like Fahrenheit"),
        (("--thick", "30", "--base", "2", "--air", "60", "--mix", "12", "--no-iron"), 2, "air: found 60"),
        (("--thick", "30", "--base", "2", "--air", "nan", "--mix", "12", "--no-iron"), 2, "air: found nan"),
        (("--thick", "30", "--base", "2", "--air", "-2", "--mix", "12", "--no-iron"), 3, "not allowed by the sheet"),
        (("--thick", "90", "--base", "2", "--air", "2", "--mix", "12", "--no-iron"), 3, "14 to 60 mm thick"),
        ((*NIGHT, "--no-iron", "--target", "50"), 3, "nothing past it is promised"),
        (NIGHT, 2, "--iron MM"),
        ((*NIGHT, "--iron", "15", "--no-iron"), 2, "--iron MM"),
        ((*NIGHT, "--iron", "warm"), 2, "not a valid float"),
    ],
)
def test_what_cannot_be_answered_is_refused_with_a_sentence(words, code, sentence, tmp_path):
    out = tmp_path / "chart.svg"
    ran = cure(*words, "--chart", out)
    assert ran.returncode == code
    assert sentence in ran.stderr
    assert "Traceback" not in ran.stderr
    assert ran.stdout == ""
    assert not out.exists()


def test_a_resin_and_a_sheet_without_traffic_strength_are_refused(tmp_path):
    ran = cure(*NIGHT, "--no-iron", "--target", "5", sheet=FOLDER / "rime-top.toml")
    assert ran.returncode == 3
    assert "ready by its times and not by a strength" in ran.stderr
    text = RIME.read_text("utf-8").replace('[traffic]\nstrength_n_per_mm2 = 12.5\nplace = "page 2, note b"\n', "")
    file = tmp_path / "rime-bed.toml"
    file.write_text(text, "utf-8")
    ran = cure(*NIGHT, "--no-iron", sheet=file)
    assert ran.returncode == 3
    assert "has no traffic strength; give --target" in ran.stderr


def test_one_strength_gives_no_curve_and_no_time(tmp_path):
    parts = RIME.read_text("utf-8").split("\n\n")
    strengths = [part for part in parts if part.startswith("[[strength]]")]
    file = tmp_path / "rime-bed.toml"
    file.write_text("\n\n".join(part for part in parts if part not in strengths[1:]), "utf-8")
    ran = cure(*NIGHT, "--no-iron", "--target", "3", sheet=file)
    assert ran.returncode == 3
    assert "gives no curve" in ran.stderr
