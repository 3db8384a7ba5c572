"""What a rule value may be: the range or the words of its name, and a low limit not above its high one."""

from __future__ import annotations

from collections.abc import Iterable

from truebed.errors import Fault, NotDeterminedError
from truebed.rules.packaged import RuleName, rule_names
from truebed.rules.ruleset import RuleSet, RuleValue
from truebed.rules.shape import nearest
from truebed.rules.toml_file import KeyPath, TomlFile

#: Where a value stands: how far from the root of the chain, its file, its table in it.
Places = dict[tuple[str, frozenset[str]], tuple[int, TomlFile, KeyPath]]
#: The value of a low limit and that of its high one.
Pair = tuple[RuleValue, RuleValue]


def range_faults(file: TomlFile, at: KeyPath, name: str, value: float | str) -> tuple[Fault, ...]:
    """The fault of a value outside what its name takes; () for a name that Truebed does not ask for.

    at          the value's table
    Valid       a word for a name of words and a number for any other (told elsewhere)
    Source      data/rule_names.toml
    Proved by   tests/test_rules.py
    """
    known = rule_names().get(name)
    if known is None:
        return ()
    if isinstance(value, str):
        if not known.words or value in known.words:
            return ()
        expected = f"one of {', '.join(known.words)}"
        return (file.fault((*at, "value"), f"'{value}'", expected, nearest(value, known.words)),)
    too_low = value < known.least or (known.least_excluded and value == known.least)
    if not too_low and value <= known.most:
        return ()
    mend = f"Check the figure, its sign and its unit; it is the {known.meaning}."
    return (file.fault((*at, "value"), f"{value:g} {known.unit}", range_text(known), mend),)


def range_text(name: RuleName) -> str:
    """The range of a number's name in words.

    Valid       a name that takes numbers
    Source      data/rule_names.toml
    Proved by   tests/test_rules.py
    """
    if name.least_excluded:
        return f"more than {name.least:g} and at most {name.most:g} {name.unit}"
    return f"from {name.least:g} to {name.most:g} {name.unit}"


def pair_faults(values: Iterable[RuleValue], places: Places) -> tuple[Fault, ...]:
    """A low limit above the high limit that governs the same thing, once a pair, in the file that is nearest the user.

    values      of the whole set, inherited ones included
    Valid       numbers under the names of pairs (told elsewhere)
    Source      data/rule_names.toml, not_above
    Proved by   tests/test_rules.py
    """
    rules = RuleSet("", "", tuple(values))
    pairs = dict.fromkeys(pair for value in rules.values for pair in _pairs(rules, value))
    return tuple(_pair_fault(low, high, places) for low, high in pairs if _number(low) > _number(high))


def _pairs(rules: RuleSet, value: RuleValue) -> tuple[Pair, ...]:
    """A value with the other of its pair that is found for its words; none for a value outside pairs."""
    for low_name, known in rule_names().items():
        if known.not_above and value.name in (low_name, known.not_above):
            low, high = _found(rules, low_name, value), _found(rules, known.not_above, value)
            return () if low is None or high is None else ((low, high),)
    return ()


def _pair_fault(low: RuleValue, high: RuleValue, places: Places) -> Fault:
    """The fault of one pair, at the value that was written last over what it extends."""
    _, file, at = max((places[_key(value)] for value in (low, high)), key=lambda place: place[0])
    words = ", ".join(sorted({*low.applies, *high.applies})) or "everything"
    found = f"'{low.name}' {_number(low):g} above '{high.name}' {_number(high):g} for {words}"
    return file.fault((*at, "value"), found, f"'{low.name}' not above '{high.name}'", "Mend one of the two.")


def _key(value: RuleValue) -> tuple[str, frozenset[str]]:
    return value.name, frozenset(value.applies)


def _number(value: RuleValue) -> float:
    """The number of a value; a word in its place was told before."""
    if isinstance(value.value, str):
        raise TypeError(f"{value.name} holds a word")
    return value.value


def _found(rules: RuleSet, name: str, value: RuleValue) -> RuleValue | None:
    """The value of that name for the words of another; None where two disagree, which is told when it is asked for."""
    if name == value.name:
        return value
    try:
        return rules.find(name, *value.applies)
    except NotDeterminedError:
        return None
