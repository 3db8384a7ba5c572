"""The usual cautions, from data, for the steps and materials at hand."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True, slots=True)
class CautionText:
    """One caution: key, title, sentence for the crew, source; always: shown on every sheet."""

    key: str
    title: str
    text: str
    source: str
    always: bool


@cache
def all_cautions() -> tuple[CautionText, ...]:
    """Every caution Truebed knows, in the order of data/cautions.toml.

    Source      data/cautions.toml, each with its own source
    Proved by   tests/care/test_cautions.py
    """
    raw = tomllib.loads(resources.files("truebed").joinpath("data/cautions.toml").read_text("utf-8"))
    return tuple(
        CautionText(key, str(row["title"]), str(row["text"]), str(row["source"]), bool(row.get("always", False)))
        for key, row in raw.items()
    )


def cautions_for(keys: tuple[str, ...]) -> tuple[CautionText, ...]:
    """The cautions that these keys ask for and those always shown; a key without a text is shown as itself.

    Valid       keys of steps (methods) and hazards (sheets)
    Source      data/cautions.toml
    Proved by   tests/care/test_cautions.py
    """
    known = tuple(c for c in all_cautions() if c.always or c.key in keys)
    names = {c.key for c in all_cautions()}
    own = tuple(
        CautionText(key, key.replace("-", " ").capitalize(), "See the material's own data sheet.", "data sheet", False)
        for key in sorted(set(keys) - names)
    )
    return known + own
