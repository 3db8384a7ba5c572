"""The strength that a bearing layer must have before the road opens on it."""

from __future__ import annotations

from collections.abc import Sequence

from truebed.errors import NotDeterminedError
from truebed.rules.ruleset import RuleSet, RuleValue
from truebed.sheets.sheet import Sheet
from truebed.why import Why

NAME = "opening_strength_n_per_mm2"
WHAT = "strength at which the road may open"


def opening_strength(
    rules: RuleSet, words: Sequence[str], sheet: Sheet, wheel_demand_n_per_mm2: float | None
) -> tuple[float | None, Why]:
    """The rule set's opening strength, else the sheet's traffic strength; the wheel's own demand where it is greater.

    words       what the cover is: kind, place, load class
    wheel_demand_n_per_mm2  greatest bearing pressure under the wheel; None where it is not known
    Valid       None means not determined: with neither rule value nor traffic strength there is no default, and a
                material's qualification strength never releases a road
    Source      house (which limit governs); the value's own source stands in the why
    Raises      NotDeterminedError where the rule set's value is no number, or two of its values disagree
    Proved by   tests/curing/test_opening_strength.py
    """
    value = rules.find(NAME, *words)
    if value is not None and isinstance(value.value, str):
        raise NotDeterminedError(f"rule set '{rules.key}': '{NAME}' is '{value.value}', which is no number")
    rule_n_per_mm2 = None if value is None or isinstance(value.value, str) else value.value
    inputs = (_rule_why(rules, value), _sheet_why(sheet), _demand_why(wheel_demand_n_per_mm2))
    governing = inputs[0] if rule_n_per_mm2 is not None else inputs[1]
    own_n_per_mm2 = rule_n_per_mm2 if rule_n_per_mm2 is not None else sheet.traffic_strength_n_per_mm2
    if own_n_per_mm2 is None:
        relation = "neither the rule set's value nor the sheet's traffic strength is given; there is no default"
        return None, Why(WHAT, "not determined", "", relation, "house", inputs)
    margin_n_per_mm2 = None if wheel_demand_n_per_mm2 is None else own_n_per_mm2 - wheel_demand_n_per_mm2
    if wheel_demand_n_per_mm2 is not None and wheel_demand_n_per_mm2 > own_n_per_mm2:
        own_n_per_mm2, governing = wheel_demand_n_per_mm2, inputs[2]
    relation = "the rule set's value, else the sheet's traffic strength; the wheel's demand where it is greater"
    return own_n_per_mm2, Why(
        WHAT, own_n_per_mm2, "n_per_mm2", relation, governing.source, inputs, governing.what, margin_n_per_mm2
    )


def _rule_why(rules: RuleSet, value: RuleValue | None) -> Why:
    what = "opening strength of the rule set"
    if value is None:
        return Why(what, "not given", "", f"rule set '{rules.key}' has no {NAME} here", f"rules/{rules.key}.toml")
    return Why(what, value.value, value.unit, f"rule set '{rules.key}', {value.edition}", value.cite())


def _sheet_why(sheet: Sheet) -> Why:
    what, file = "traffic strength of the sheet", sheet.file or sheet.key
    if sheet.traffic_strength_n_per_mm2 is None:
        return Why(what, "not given", "", "the sheet has no [traffic]", file)
    source = f"{file}: {sheet.traffic_place}" if sheet.traffic_place else file
    return Why(what, sheet.traffic_strength_n_per_mm2, "n_per_mm2", "as on the sheet", source)


def _demand_why(wheel_demand_n_per_mm2: float | None) -> Why:
    what = "what the wheel asks of the bed"
    if wheel_demand_n_per_mm2 is None:
        return Why(what, "not given", "", "no wheel demand was worked out", "house")
    return Why(what, wheel_demand_n_per_mm2, "n_per_mm2", "greatest bearing pressure under the wheel", "algebra")
