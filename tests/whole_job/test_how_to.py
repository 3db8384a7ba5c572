"""The how-to page is true: its commands run on a copy of its folder, and every line it shows comes out."""

import re
import shlex
import shutil

import pytest
from click.testing import CliRunner

from house.tree import ROOT
from truebed.cli.main import app

HOW_TO = ROOT / "docs" / "how-to"
PAGE = (HOW_TO / "one-odd-cover.md").read_text("utf-8")
LEFT_OUT = "…"


def blocks(kind):
    return re.findall(rf"^```{kind}\n(.*?)^```$", PAGE, re.M | re.S)


def commands():
    """Each command of the page with the lines it shows."""
    found = []
    for line in "".join(blocks("console")).splitlines():
        if line.startswith("$ truebed "):
            found.append((line.removeprefix("$ truebed "), []))
        elif line.strip() != LEFT_OUT:
            found[-1][1].append(line)
    return found


def as_pattern(line):
    return ".*".join(re.escape(part) for part in line.strip().split(LEFT_OUT))


def missing_of(shown, output):
    """The first line shown that does not come out, in the order shown; None where all do."""
    rest = iter(output.splitlines())
    for line in shown:
        if not any(re.fullmatch(as_pattern(line), one.strip()) for one in rest):
            return line
    return None


@pytest.fixture(scope="module")
def walk(tmp_path_factory):
    """Every command of the page run in order, with the findings as they stood after the first plan."""
    place = tmp_path_factory.mktemp("how-to") / "copy"
    shutil.copytree(HOW_TO, place)
    ran, findings = [], ""
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(place)
        for command, shown in commands():
            result = CliRunner().invoke(app, shlex.split(command), catch_exceptions=False)
            ran.append((command, shown, result))
            if command.startswith("plan") and not findings:
                findings = (place / "night" / "findings.csv").read_text("utf-8-sig")
    return ran, findings


def test_the_page_walks_check_diagnose_plan_explain_record_and_plan_again():
    words = [command.split()[0] for command, _ in commands()]
    assert words[:4] == ["check", "diagnose", "plan", "explain"]
    assert words.count("record") >= 2
    assert words.count("plan") >= 3


def test_every_command_ends_well(walk):
    assert [(command, result.exit_code) for command, _, result in walk[0] if result.exit_code != 0] == []


def test_every_line_that_the_page_shows_comes_out(walk):
    missing = [(c, missing_of(shown, result.output)) for c, shown, result in walk[0]]
    assert [(c, line) for c, line in missing if line is not None] == []
    assert all(shown for _, shown, _ in walk[0])


def test_a_line_that_does_not_come_out_would_be_noticed():
    assert missing_of(["one …", "three"], "one two\nthree") is None
    assert missing_of(["three", "one …"], "one two\nthree") == "one …"
    assert missing_of(["1.5 mm"], "165 mm") == "1.5 mm"


def test_the_rows_it_shows_of_the_book_and_of_the_findings_are_those_of_the_files(walk):
    book, findings = blocks("csv")
    for text, shown in (((HOW_TO / "one-odd-cover" / "readings.csv").read_text("utf-8"), book), (walk[1], findings)):
        assert missing_of([line for line in shown.splitlines() if line != LEFT_OUT], text) is None
