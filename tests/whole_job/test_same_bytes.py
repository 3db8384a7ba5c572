"""Two runs on the same folder give identical bytes in every output."""

import subprocess
import sys

import pytest

from plan.small_night import small_works
from truebed.actions.plan import plan_works
from whole_job.small_folder import write_small_folder


def silent(_):
    return None


def results(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


@pytest.fixture(scope="module")
def twice(tmp_path_factory):
    place = tmp_path_factory.mktemp("twice")
    write_small_folder(place / "works")
    plan_works(place / "works", place / "here", silent)
    code = "import sys; from truebed.cli.main import main; sys.argv = ['truebed', *sys.argv[1:]]; main()"
    ran = subprocess.run(
        [sys.executable, "-c", code, "plan", str(place / "works"), "--out", str(place / "there")],
        capture_output=True, text=True, env={"PYTHONHASHSEED": "77", "PATH": "", "TZ": "Asia/Tokyo"}, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    return results(place / "here"), results(place / "there")


def test_the_same_files_come_out(twice):
    first, second = twice
    assert sorted(first) == sorted(second)
    assert len(first) >= 4 + 1 + 1 + 4 * len(small_works().covers)


def test_every_file_has_the_same_bytes_in_another_process_zone_and_hash_seed(twice):
    first, second = twice
    assert [name for name in first if first[name] != second[name]] == []
