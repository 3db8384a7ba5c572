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
class OwnSource:
    """A document that only the user's own rule set names."""

    key: str
    document: str
    edition: str


@dataclass(frozen=True, slots=True)
class RuleSet:
    """All values of one set after inheritance. Several values may share a name and differ in `applies`."""

    key: str
    name: str
    values: tuple[RuleValue, ...]
    own_sources: tuple[OwnSource, ...] = ()

    def find(self, name: str, *words: str) -> RuleValue | None:
        """The value of that name whose `applies` are all among `words`; the most particular one wins.

        Raises      NotDeterminedError where two equally particular values disagree: neither is picked for the user
        Source      house (look-up, no figure of its own)
        Proved by   tests/test_rules.py
        """
        fitting = [v for v in self.values if v.name == name and set(v.applies) <= set(words)]
        if not fitting:
            return None
        most = max(len(v.applies) for v in fitting)
        best = [v for v in fitting if len(v.applies) == most]
        if any(v.value != best[0].value for v in best):
            both = " and ".join(f"{v.value} for {', '.join(v.applies)}" for v in best)
            raise NotDeterminedError(
                f"rule set '{self.key}' gives '{name}' twice for {', '.join(words)}: {both}; say which holds for both"
            )
        return best[0]

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
