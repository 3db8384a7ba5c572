"""A rule set: named values, each with its source. Loaded from TOML, inherited by `extends`."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.errors import NotDeterminedError


@dataclass(frozen=True, slots=True)
class RuleValue:
    """One limit. applies: words it applies to ('cover', 'gully', 'carriageway', ...), () = everything.

    value     a number, or a text (load class)
    read_as   one of sources.READ_AS
    """

    name: str
    value: float | str
    unit: str
    applies: tuple[str, ...]
    source: str
    clause: str
    edition: str
    read_as: str

    @property
    def verified(self) -> bool:
        """True only where the text itself was read."""
        return self.read_as == "seen"

    def cite(self) -> str:
        """Source, clause and tag in one short text."""
        clause = f" {self.clause}" if self.clause else ""
        return f"[{self.source}]{clause} ({self.read_as})"


@dataclass(frozen=True, slots=True)
class RuleSet:
    """All values of one set after inheritance. Several values may share a name and differ in `applies`."""

    key: str
    name: str
    values: tuple[RuleValue, ...]

    def find(self, name: str, *words: str) -> RuleValue | None:
        """The value of that name whose `applies` are all among `words`; the most particular one wins.

        Source      house (look-up, no figure of its own)
        Proved by   tests/test_rules.py
        """
        fitting = [v for v in self.values if v.name == name and set(v.applies) <= set(words)]
        return max(fitting, key=lambda v: len(v.applies)) if fitting else None

    def number(self, name: str, *words: str) -> float:
        """The number of that name.

        Raises      NotDeterminedError where the set has none: never a default
        Source      house (look-up, no figure of its own)
        Proved by   tests/test_rules.py
        """
        found = self.find(name, *words)
        if found is None or isinstance(found.value, str):
            raise NotDeterminedError(
                f"rule set '{self.key}' gives no number '{name}' for {', '.join(words) or 'anything'}"
            )
        return found.value
