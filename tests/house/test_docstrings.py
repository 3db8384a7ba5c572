"""Every public function of the core says what it gives, where it holds, its source, and what proves it."""

import ast
import re

import pytest

from house.tree import PURE, ROOT, parsed, public_functions, room_of, sources
from truebed.sources import known_sources

CORE = [p for p in sources() if room_of(p) in PURE]
KEYS = re.compile(r"\[([a-z][a-z0-9-]*)\]")


def cases():
    for path in CORE:
        for function in public_functions(parsed(path)):
            yield pytest.param(path, function, id=f"{room_of(path)}/{path.stem}.{function.name}")


@pytest.mark.parametrize(("path", "function"), list(cases()))
def test_a_core_function_has_its_tail_lines(path, function):
    text = ast.get_docstring(function) or ""
    assert text, f"{function.name} has no docstring"
    assert re.search(r"^Source\s{2,}\S", text, re.M), f"{function.name} names no source"
    proved = re.search(r"^Proved by\s+(.+)$", text, re.M)
    assert proved, f"{function.name} names no test"
    for name in re.split(r",\s*", proved.group(1).strip().rstrip(",")):
        assert (ROOT / name).is_file(), f"{function.name} names {name}, which does not exist"


@pytest.mark.parametrize(("path", "function"), list(cases()))
def test_a_cited_source_is_in_the_register(path, function):
    text = ast.get_docstring(function) or ""
    source = re.search(r"^Source\s{2,}(.*(?:\n\s{8,}.*)*)", text, re.M)
    for key in KEYS.findall(source.group(1) if source else ""):
        assert key in known_sources(), f"{function.name} cites [{key}]"
