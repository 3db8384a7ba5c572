"""The rule sets that come with Truebed, and the names that its rooms ask for."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True, slots=True)
class RuleName:
    """A name that some room looks up: its unit and what it means."""

    name: str
    unit: str
    meaning: str


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
    return {name: RuleName(name, str(row["unit"]), str(row["meaning"])) for name, row in raw.items()}
