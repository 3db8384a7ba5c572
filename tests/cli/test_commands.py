"""The commands: help that teaches, exit codes, no traceback, no half-written folder."""

import subprocess
import sys

import click
import pytest
from click.testing import CliRunner

from truebed.cli.main import app
from whole_job.small_folder import write_small_folder

CODE = "import sys; from truebed.cli.main import main; sys.argv = ['truebed', *sys.argv[1:]]; main()"


def truebed(*words):
    return subprocess.run([sys.executable, "-c", CODE, *map(str, words)], capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def works(tmp_path_factory):
    return write_small_folder(tmp_path_factory.mktemp("cli") / "works")


@pytest.fixture(scope="module")
def planned(works):
    ran = truebed("plan", works, "--out", works.parent / "out")
    assert ran.returncode == 0, ran.stderr
    return works.parent / "out", ran


def commands(group, path=()):
    for name, command in sorted(group.commands.items()):
        if isinstance(command, click.Group):
            yield from commands(command, (*path, name))
        yield (*path, name), command


@pytest.mark.parametrize(
    ("path", "command"), list(commands(app)), ids=lambda p: " ".join(p) if isinstance(p, tuple) else ""
)
def test_every_command_has_help_that_says_something(path, command):
    result = CliRunner().invoke(app, [*path, "--help"])
    assert result.exit_code == 0
    assert len(command.help or "") > 30
    for parameter in command.params:
        if isinstance(parameter, click.Option) and parameter.name != "help":
            assert parameter.help, f"{path} {parameter.name}"


def test_help_shows_first_steps_and_exit_codes():
    output = truebed("--help").stdout
    assert "First steps" in output
    assert "Exit codes" in output
    assert "a competent person decides" in output


def test_a_check_of_a_good_folder_says_so(works):
    ran = truebed("check", works)
    assert ran.returncode == 0
    assert "no faults. 2 covers" in ran.stdout


def test_the_plan_says_what_it_wrote_and_progress_goes_to_the_error_stream(planned):
    out, ran = planned
    assert "road opens" in ran.stdout
    assert "one after another" in ran.stdout
    assert "designing T01" in ran.stderr
    assert "designing" not in ran.stdout
    assert "\x1b[" not in ran.stdout + ran.stderr
    assert (out / "tallow-night-site-pack.pdf").is_file()


def test_explain_tells_a_figure_and_names_near_ones(planned):
    out, _ = planned
    told = truebed("explain", "T01.level.front-left", "--plan", out)
    assert told.returncode == 0
    assert "readings.csv row" in told.stdout
    assert "governed by" in told.stdout
    wrong = truebed("explain", "T01.level.frontleft", "--plan", out)
    assert wrong.returncode == 3
    assert "T01.level.front-left" in wrong.stderr
    listed = truebed("explain", "--list", "--plan", out)
    assert "tallow-night.open" in listed.stdout


def test_explain_without_a_plan_says_what_to_run(tmp_path):
    ran = truebed("explain", "x", "--plan", tmp_path / "nothing")
    assert ran.returncode == 3
    assert "truebed plan" in ran.stderr


def test_a_dry_run_writes_nothing(works, tmp_path):
    ran = truebed("plan", works, "--out", tmp_path / "dry", "--dry-run")
    assert ran.returncode == 0
    assert "would write" in ran.stdout
    assert list(tmp_path.iterdir()) == []


def test_faults_end_with_code_2_every_fault_a_line_and_no_output(works, tmp_path):
    spoilt = write_small_folder(tmp_path / "works")
    covers = (spoilt / "covers.csv").read_text("utf-8").replace("carriageway", "motorway")
    (spoilt / "covers.csv").write_text(covers, "utf-8")
    (spoilt / "closures.csv").unlink()
    ran = truebed("plan", spoilt, "--out", tmp_path / "out")
    assert ran.returncode == 2
    assert "covers.csv, row" in ran.stderr
    assert "closures.csv" in ran.stderr
    assert "faults; nothing was planned or written" in ran.stderr
    assert "Traceback" not in ran.stderr
    assert not (tmp_path / "out").exists()


def test_a_place_in_the_way_ends_with_code_3_and_is_left_alone(works, tmp_path):
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").write_text("x")
    ran = truebed("plan", works, "--out", tmp_path / "mine")
    assert ran.returncode == 3
    assert "not results of Truebed" in ran.stderr
    assert [p.name for p in (tmp_path / "mine").iterdir()] == ["letter.txt"]


@pytest.mark.parametrize("words", [(), ("nosuch",), ("plan",), ("check", "a", "b"), ("record", "step", "w")])
def test_a_command_line_that_cannot_be_read_ends_with_code_2_and_no_traceback(words):
    ran = truebed(*words)
    assert ran.returncode == 2
    assert "Traceback" not in ran.stderr


def test_a_missing_an_empty_and_a_file_for_a_folder_are_said_plainly(tmp_path):
    (tmp_path / "empty").mkdir()
    (tmp_path / "file").write_text("x")
    for name in ("missing", "empty", "file"):
        ran = truebed("check", tmp_path / name)
        assert ran.returncode == 2, name
        assert "Traceback" not in ran.stderr


def test_steps_holds_and_wrong_names_are_recorded_or_refused(tmp_path):
    works = write_small_folder(tmp_path / "works")
    assert truebed("record", "step", works, "T01", "saw", "started", "--by", "RK").returncode == 0
    assert truebed("record", "hold", works, "T01", "frame-levels", "--by", "RK").returncode == 0
    for words in (
        ("step", works, "T01", "sew", "done"),
        ("hold", works, "T01", "coffee"),
        ("step", works, "T99", "saw", "done"),
    ):
        ran = truebed("record", *words, "--by", "RK")
        assert ran.returncode == 3
        assert "no " in ran.stderr
    assert len(truebed("record", "list", works).stdout.splitlines()) == 2
    dry = truebed("record", "step", works, "T01", "saw", "done", "--by", "RK", "--dry-run")
    assert "would record" in dry.stdout
    assert len(truebed("record", "list", works).stdout.splitlines()) == 2


def test_too_few_chamber_points_or_words_that_are_no_numbers_are_refused(tmp_path):
    works = write_small_folder(tmp_path / "works")
    few = truebed("record", "chamber-top", works, "T01", "--point", "1,2,3", "--by", "RK")
    assert few.returncode == 3
    assert "Not recorded" in few.stderr
    letters = truebed("record", "chamber-top", works, "T01", "--point", "1,b,3", "--by", "RK")
    assert letters.returncode == 3
    assert "point 1" in letters.stderr
    neither = truebed("record", "chamber-top", works, "T01", "--by", "RK")
    assert neither.returncode == 2
    assert not (works / "journal.jsonl").exists()


def test_help_is_quick_because_heavy_libraries_wait():
    loaded = subprocess.run(
        [sys.executable, "-X", "importtime", "-c", "import truebed.cli.main"],
        capture_output=True,
        text=True,
        check=True,
    ).stderr
    for heavy in ("ortools", "scipy", "typst", "ezdxf", "pandas", "shapely", "numpy"):
        assert f" {heavy}\n" not in loaded, heavy
