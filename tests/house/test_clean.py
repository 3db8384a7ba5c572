"""No path of a machine, no registry host, no secret word in what git tracks."""

import re
import subprocess

from house.tree import ROOT

MACHINE = re.compile(r"(?:^|[^A-Za-z0-9_.~-])/(?:work|farm|root|home|tmp)/[A-Za-z0-9._-]")
HOSTS = re.compile(r"py[t]honhosted|py[p]i[.]org|registry[.]npm[j]s|deb[.]debia[n]", re.I)


def tracked():
    names = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split("\n")
    for name in filter(None, names):
        path = ROOT / name
        if path.is_file() and path.stat().st_size < 2_000_000:
            try:
                yield name, path.read_text("utf-8")
            except UnicodeDecodeError:
                continue


def test_no_tracked_file_names_a_place_on_a_machine_or_a_registry():
    found = [
        f"{name}:{i}" for name, text in tracked() for i, line in enumerate(text.splitlines(), 1)
        if MACHINE.search(line) or HOSTS.search(line)
    ]  # fmt: skip
    assert found == []


def test_no_tracked_file_is_over_a_mebibyte():
    names = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split("\n")
    assert [n for n in filter(None, names) if (ROOT / n).is_file() and (ROOT / n).stat().st_size > 2**20] == []


def test_the_locks_hold_hashes_and_no_index():
    for name in ("runtime", "dev"):
        text = (ROOT / "requirements" / f"{name}.txt").read_text("utf-8")
        assert "--hash=sha256:" in text
        assert "--index-url" not in text
        assert "--find-links" not in text
