"""The docs name every finding's code, every command and every decision, and what the README says can be run."""

import re

import click
import pytest

from house.tree import ROOT, sources
from truebed.cli.main import app

CODE = re.compile(r'"([A-Z]{2}-\d{3})"')


def codes():
    return sorted({code for path in sources() for code in CODE.findall(path.read_text("utf-8"))})


@pytest.mark.parametrize("code", codes())
def test_every_findings_code_stands_in_the_findings_page(code):
    assert f"| {code} |" in (ROOT / "docs/findings.md").read_text("utf-8")


def test_the_findings_page_lists_no_code_that_is_not_given():
    listed = re.findall(r"^\| ([A-Z]{2}-\d{3}) \|", (ROOT / "docs/findings.md").read_text("utf-8"), re.M)
    assert sorted(listed) == codes()


def commands(group, path=("truebed",)):
    for name, command in group.commands.items():
        if isinstance(command, click.Group):
            yield from commands(command, (*path, name))
        else:
            yield " ".join((*path, name))


@pytest.mark.parametrize("command", sorted(commands(app)))
def test_every_command_stands_in_the_commands_page(command):
    assert f"`{command}`" in (ROOT / "docs/commands.md").read_text("utf-8")


def test_every_decision_is_in_its_index():
    index = (ROOT / "docs/decisions/README.md").read_text("utf-8")
    for page in (ROOT / "docs/decisions").glob("0*.md"):
        assert f"({page.name})" in index


@pytest.mark.parametrize("page", [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *sorted((ROOT / "docs").rglob("*.md"))],
                         ids=lambda p: p.name)  # fmt: skip
def test_no_page_links_to_a_file_that_is_not_there(page):
    for target in re.findall(r"\]\(([^)#:]+)\)", page.read_text("utf-8")):
        assert (page.parent / target).exists(), f"{page.name} links to {target}"


def test_every_make_target_of_the_readme_is_in_the_makefile():
    readme, makefile = ((ROOT / n).read_text("utf-8") for n in ("README.md", "Makefile"))
    for target in re.findall(r"`make ([a-z-]+)`", readme):
        assert re.search(rf"^{target}:", makefile, re.M), target
