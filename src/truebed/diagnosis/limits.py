"""The limits that a diagnosis judges by, taken from the rule set once."""

from __future__ import annotations

from dataclasses import dataclass, fields

from truebed.errors import NotDeterminedError
from truebed.rules.ruleset import RuleSet


@dataclass(frozen=True, slots=True)
class Limits:
    """Rule values of one cover; every field but fixed_feature_... has the meaning in data/rule_names.toml."""

    fixed_feature_low_mm: float
    fixed_feature_high_mm: float
    step_sd_mm: float
    lid_step_low_mm: float
    lid_step_high_mm: float
    rock_most_mm: float
    rock_sd_mm: float
    hollow_most_pct: float
    hollow_sd_pct: float
    seats_worn_class_count: float
    seats_through_class_count: float
    courses_failed_class_count: float
    crack_seal_mm: float
    crack_renew_mm: float
    crack_sd_mm: float
    sure_probability: float
    tap_step_mm: float
    margin_gap_most_mm: float
    reading_sd_mm: float
    cites: tuple[tuple[str, str], ...] = ()

    def cite(self, name: str) -> str:
        """Source, clause and tag of a value, '' for one that the rule set does not hold."""
        return dict(self.cites).get(name, "")


def limits_of(rules: RuleSet, *words: str) -> Limits:
    """The limits for a cover of that kind, place and load class.

    Valid       a rule set that holds every name, as the packaged ones do
    Source      the rule set
    Raises      NotDeterminedError naming the value that is not there
    Proved by   tests/diagnosis/test_facts.py
    """
    names = [f.name for f in fields(Limits) if f.name != "cites"]
    found = {name: rules.find(name, *words) for name in names}
    missing = [name for name, value in found.items() if value is None]
    if missing:
        raise NotDeterminedError(
            f"rule set '{rules.key}' gives no {', '.join(missing)}: no cover can be diagnosed; extend a set that does"
        )
    cites = tuple((name, value.cite()) for name, value in found.items() if value is not None)
    numbers = {name: rules.number(name, *words) for name in names}
    return Limits(**numbers, cites=cites)
