"""Small modules, one idea each: ceilings on files and functions."""

import statistics

import pytest

from house.tree import body_lines, functions, parsed, sources

FILE_CEILING = 400
FUNCTION_CEILING = 60


@pytest.mark.parametrize("path", sources(), ids=lambda p: f"{p.parent.name}/{p.name}")
def test_no_file_and_no_function_is_over_its_ceiling(path):
    assert len(path.read_text("utf-8").splitlines()) <= FILE_CEILING
    for function in functions(parsed(path)):
        assert body_lines(function) <= FUNCTION_CEILING, f"{function.name} has {body_lines(function)} lines"


def test_the_median_function_stays_small():
    sizes = [body_lines(f) for p in sources() for f in functions(parsed(p))]
    assert statistics.median(sizes) <= 10


def test_no_room_is_a_bin():
    names = {part for p in sources() for part in p.with_suffix("").parts}
    assert not names & {"utils", "helpers", "common", "core", "manager", "misc"}
