"""Where a figure comes from: document, edition, clause, and how far it was read."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

#: How far a source was read. Everything but 'seen' is shown to the user as unverified.
READ_AS = (
    "seen",
    "second-hand",
    "memory-high",
    "memory-medium",
    "memory-low",
    "common-practice",
    "assumption",
    "invented",
)


@dataclass(frozen=True, slots=True)
class Source:
    """A document that figures are taken from. `read_as` is one of READ_AS."""

    key: str
    document: str
    edition: str
    read_as: str

    @property
    def verified(self) -> bool:
        """True only where the text itself was read."""
        return self.read_as == "seen"


@cache
def known_sources() -> dict[str, Source]:
    """The register of documents (data/sources.toml), by key.

    Source      data/sources.toml
    Proved by   tests/house/test_sources.py
    """
    raw = tomllib.loads(resources.files("truebed").joinpath("data/sources.toml").read_text("utf-8"))
    return {
        key: Source(key, str(row["document"]), str(row["edition"]), str(row["read_as"])) for key, row in raw.items()
    }
