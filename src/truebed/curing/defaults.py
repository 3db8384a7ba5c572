"""What curing takes for granted where a sheet is silent (data/curing.toml), each value with its spread and source."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Literal


@dataclass(frozen=True, slots=True)
class Default:
    """One value: central, one standard deviation (of the value or of its logarithm), source, how far it was read."""

    name: str
    value: float
    spread_sd: float
    spread_of: Literal["value", "log"]
    source: str
    read_as: str
    note: str

    def sentence(self) -> str:
        """The value as one line for a person."""
        share = f"{self.spread_sd:.0%}"
        if self.spread_of == "value":
            size = f"{self.value:g} ± {self.spread_sd:g}"
        else:
            size = f"{self.value:g}, give or take {share}" if self.value != 0.0 else share
        return f"{self.note} ({self.name}): {size}, one standard deviation; {self.source} ({self.read_as})"


Defaults = Mapping[str, Default]


def read_defaults(text: str) -> dict[str, Default]:
    """The values of a file shaped like data/curing.toml, by name.

    Source      house
    Raises      ValueError where a value lacks something, has no spread above 0, or stands twice
    Proved by   tests/curing/test_calibrate_defaults.py
    """
    found: dict[str, Default] = {}
    for row in tomllib.loads(text)["value"]:
        try:
            one = Default(
                str(row["name"]),
                float(row["value"]),
                float(row["spread"]),
                row["spread_of"],
                str(row["source"]),
                str(row["read_as"]),
                str(row["note"]),
            )
        except KeyError as missing:
            raise ValueError(f"'{row.get('name', '?')}' has no {missing}") from missing
        if one.spread_of not in ("value", "log") or one.spread_sd <= 0.0 or one.name in found:
            raise ValueError(f"'{one.name}' stands twice, or has no spread above 0 of its value or log")
        found[one.name] = one
    return found


@cache
def curing_defaults() -> dict[str, Default]:
    """The packaged values.

    Source      data/curing.toml, each with its own source
    Proved by   tests/curing/test_calibrate_defaults.py
    """
    return read_defaults(resources.files("truebed").joinpath("data/curing.toml").read_text("utf-8"))
