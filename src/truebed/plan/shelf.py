"""What stands on the shelf: the sheets, methods and rule set that a works names."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.rules.ruleset import RuleSet
from truebed.sheets.method import Method
from truebed.sheets.sheet import Sheet


@dataclass(frozen=True, slots=True)
class Shelf:
    """Sheets and methods by key, and one rule set after inheritance."""

    sheets: dict[str, Sheet]
    methods: dict[str, Method]
    rules: RuleSet
