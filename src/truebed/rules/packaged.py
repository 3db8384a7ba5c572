"""The rule sets that come with Truebed, and the names that its rooms ask for."""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True, slots=True)
class RuleName:
    """A name that some room looks up: its unit, what it means and what is taken for it.

    least, most  range of a number, both included unless least_excluded; words: what a word may be
    not_above    the name whose value this one may not pass, '' for none
    """

    name: str
    unit: str
    meaning: str
    least: float = -math.inf
    most: float = math.inf
    least_excluded: bool = False
    words: tuple[str, ...] = ()
    not_above: str = ""


def packaged_rules() -> dict[str, bytes]:
    """The files of data/rules, keyed 'rules/<key>.toml', in order of their names.

    Source      data/rules
    Proved by   tests/test_rules.py
    """
    folder = resources.files("truebed").joinpath("data/rules")
    files = sorted((item for item in folder.iterdir() if item.name.endswith(".toml")), key=lambda item: item.name)
    return {f"rules/{item.name}": item.read_bytes() for item in files}


@cache
def rule_names() -> dict[str, RuleName]:
    """Every value name that Truebed asks a rule set for (data/rule_names.toml).

    Source      data/rule_names.toml
    Proved by   tests/test_rules.py
    """
    raw = tomllib.loads(resources.files("truebed").joinpath("data/rule_names.toml").read_text("utf-8"))
    return {name: RuleName(name=name, **row | {"words": tuple(row.get("words", ()))}) for name, row in raw.items()}
