"""`truebed sweep`: a row a cover as the one-cover path has it, dry run, refusals, exit codes."""

import csv
import io
import subprocess
import sys

import pytest

from truebed.actions.load import load_works
from truebed.plan.ground import set_ground
from truebed.plan.network_works import cases_of
from whole_job.small_folder import write_small_folder

CODE = "import sys; from truebed.cli.main import main; sys.argv = ['truebed', *sys.argv[1:]]; main()"


def truebed(*words):
    return subprocess.run([sys.executable, "-c", CODE, *map(str, words)], capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def works(tmp_path_factory):
    return write_small_folder(tmp_path_factory.mktemp("sweep") / "works")


def test_the_table_has_a_row_a_cover_with_the_figures_of_the_one_cover_path(works, tmp_path):
    out = tmp_path / "sweep.csv"
    ran = truebed("sweep", works, "--out", out)
    assert ran.returncode == 0, ran.stderr
    assert "2 worked out" in ran.stdout
    assert "a competent person decides" in ran.stdout
    assert "batch 1 of" in ran.stderr
    assert "batch" not in ran.stdout
    rows = list(csv.DictReader(io.StringIO(out.read_text("utf-8-sig"), newline="")))
    loaded = load_works(works)
    for row, case in zip(rows, cases_of(loaded.works, loaded.shelf, {}), strict=True):
        ground = set_ground(case)
        assert row["cover"] == case.cover.cover
        corners = [float(row[f"corner_{i}_mm"]) for i in (1, 2, 3, 4)]
        assert corners == pytest.approx([c.rim_mm for c in ground.setting.corners], abs=2e-6)
        for role, solid in ground.solids.items():
            assert float(row[f"{role}_l"]) == pytest.approx(solid.volume_l, abs=2e-6)
        assert float(row["saw_m"]) == pytest.approx(ground.cut.saw_length_m, abs=1e-6)


def test_a_dry_run_writes_nothing_and_two_runs_write_the_same_bytes(works, tmp_path):
    out = tmp_path / "sweep.csv"
    ran = truebed("sweep", works, "--out", out, "--dry-run")
    assert (ran.returncode, out.exists()) == (0, False)
    assert "would write" in ran.stdout
    assert truebed("sweep", works, "--out", out).returncode == 0
    first = out.read_bytes()
    assert truebed("sweep", works, "--out", out).returncode == 0
    assert out.read_bytes() == first


def test_something_else_in_the_way_is_refused_with_code_3_and_left_alone(works, tmp_path):
    out = tmp_path / "mine.csv"
    out.write_text("mine\n", "utf-8")
    ran = truebed("sweep", works, "--out", out)
    assert ran.returncode == 3
    assert "name another" in ran.stderr
    assert out.read_text("utf-8") == "mine\n"


def test_faults_end_with_code_2_and_no_file(tmp_path):
    works = write_small_folder(tmp_path / "works")
    (works / "covers.csv").unlink()
    ran = truebed("sweep", works, "--out", tmp_path / "sweep.csv")
    assert ran.returncode == 2
    assert "covers.csv" in ran.stderr
    assert "Traceback" not in ran.stderr
    assert not (tmp_path / "sweep.csv").exists()
