"""The name of every float ends in its unit."""

import ast

import pytest

from house.tree import PURE, parsed, room_of, sources
from truebed.units import SUFFIXES

#: Names of floats that stand for many units at once, or for a unit that the call itself names.
FREE = {"value", "number", "margin", "plus_minus", "scale", "shift", "low", "high", "least", "most", "base", "step"}
FREE_FUNCTIONS = {"number", "to_inside", "quantity"}


def says_float(annotation):
    if annotation is None:
        return False
    text = ast.unparse(annotation)
    return text in {"float", "float | None", "float | str", "float | str | None"}


def ends_in_unit(name):
    bare = name.lstrip("_")
    return bare in FREE or any(bare == s or bare.endswith("_" + s) for s in SUFFIXES)


def float_names(module):
    for node in ast.walk(module):
        if isinstance(node, ast.ClassDef):
            for item in node.body:
                if (
                    isinstance(item, ast.AnnAssign)
                    and says_float(item.annotation)
                    and isinstance(item.target, ast.Name)
                ):
                    yield item.lineno, f"{node.name}.{item.target.id}", item.target.id
        if isinstance(node, ast.FunctionDef):
            for argument in (*node.args.args, *node.args.kwonlyargs):
                if says_float(argument.annotation):
                    yield node.lineno, f"{node.name}({argument.arg})", argument.arg


@pytest.mark.parametrize("path", [p for p in sources() if room_of(p) in PURE], ids=lambda p: f"{room_of(p)}/{p.name}")
def test_floats_carry_their_unit(path):
    wrong = [f"line {line}: {where}" for line, where, name in float_names(parsed(path)) if not ends_in_unit(name)]
    assert wrong == []


def test_the_check_can_fail():
    module = ast.parse("def f(depth: float, width_mm: float) -> float: ...")
    assert [name for _, _, name in float_names(module) if not ends_in_unit(name)] == ["depth"]
