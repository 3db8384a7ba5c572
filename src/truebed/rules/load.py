"""Loads a rule set: reads its file, takes over what it extends, refuses a value without a source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import PurePosixPath

from truebed.errors import Fault
from truebed.rules.packaged import rule_names
from truebed.rules.ruleset import OwnSource, RuleSet, RuleValue
from truebed.rules.schema import RulesFile, SourceTable, ValueTable
from truebed.rules.shape import nearest, shaped
from truebed.rules.toml_file import KeyPath, TomlFile, read_toml
from truebed.rules.value_range import Places, pair_faults, range_faults
from truebed.sources import known_sources
from truebed.units import SUFFIXES


@dataclass(frozen=True, slots=True)
class _Loaded:
    """One file of the chain, the set asked for first."""

    file: TomlFile
    rules: RulesFile


def load_rule_set(
    key: str, own: Mapping[str, bytes], packaged: Mapping[str, bytes]
) -> tuple[RuleSet | None, tuple[Fault, ...]]:
    """The rule set of that key with all it inherits, or every fault found on the way.

    own         the works' own files, keyed 'rules/<key>.toml'; packaged: Truebed's, keyed alike
    Valid       a value replaces the parent's value of the same name and the same `applies`; others are added
    Source      house
    Proved by   tests/test_rules.py
    """
    faults = _shadows(own, packaged)
    chain, chain_faults = _chain(key, own, packaged)
    faults += chain_faults
    values: dict[tuple[str, frozenset[str]], RuleValue] = {}
    sources: dict[str, OwnSource] = {}
    places: Places = {}
    for depth, link in enumerate(reversed(chain)):
        faults += _source_faults(link)
        sources |= {s.key: OwnSource(s.key, s.document, s.edition) for s in link.rules.source}
        faults += _value_faults(link, frozenset(sources))
        values |= {(v.name, frozenset(v.applies)): _rule_value(v) for v in link.rules.value}
        places |= {
            (v.name, frozenset(v.applies)): (depth, link.file, ("value", i)) for i, v in enumerate(link.rules.value)
        }
    if not faults:
        faults = pair_faults(values.values(), places)
    if faults:
        return None, tuple(sorted(set(faults)))
    first = chain[0].rules
    return RuleSet(first.key, first.name, tuple(values.values()), tuple(sources.values())), ()


def _shadows(own: Mapping[str, bytes], packaged: Mapping[str, bytes]) -> tuple[Fault, ...]:
    """Own files that would hide a packaged set without saying so."""
    return tuple(
        Fault(
            file,
            0,
            "key",
            f"the name of a set that comes with Truebed ('{_stem(file)}')",
            "a name of its own",
            f'Rename the file and its key, and write extends = "{_stem(file)}".',
        )
        for file in _rule_files(own)
        if _stem(file) in {_stem(known) for known in packaged}
    )


def _chain(
    key: str, own: Mapping[str, bytes], packaged: Mapping[str, bytes]
) -> tuple[tuple[_Loaded, ...], tuple[Fault, ...]]:
    """The set and its parents, nearest first; stops at the first file that cannot be read."""
    files = {_stem(file): file for file in (*_rule_files(packaged), *_rule_files(own))}
    if key not in files:
        mend = f"{nearest(key, tuple(sorted(files)))} Or add rules/{key}.toml."
        return (), (Fault("works.toml", 0, "rule_set", f"'{key}'", "the key of a rule set", mend),)
    chain: list[_Loaded] = []
    while True:
        file = files[key]
        loaded, faults = _read(file, own[file] if file in own else packaged[file])
        if loaded is None:
            return tuple(chain), faults
        chain.append(loaded)
        parent = loaded.rules.extends
        if parent is None:
            return tuple(chain), ()
        names = " -> ".join([link.rules.key for link in chain] + [parent])
        if parent in [link.rules.key for link in chain]:
            mend = "Let the last of them extend nothing."
            return tuple(chain), (loaded.file.fault(("extends",), f"a circle: {names}", "a chain that ends", mend),)
        if parent not in files:
            mend = nearest(parent, tuple(sorted(files)))
            return tuple(chain), (
                loaded.file.fault(("extends",), f"an unknown set: {names}", "the key of a rule set", mend),
            )
        key = parent


def _read(file: str, content: bytes) -> tuple[_Loaded | None, tuple[Fault, ...]]:
    """One file in its shape."""
    toml, faults = read_toml(file, content)
    if toml is None:
        return None, faults
    rules, faults = shaped(RulesFile, toml)
    if rules is None:
        return None, faults
    if rules.key != toml.stem:
        mend = f'Write key = "{toml.stem}", or rename the file.'
        return None, (toml.fault(("key",), f"'{rules.key}'", f"the file's own name '{toml.stem}'", mend),)
    return _Loaded(toml, rules), ()


def _source_faults(link: _Loaded) -> tuple[Fault, ...]:
    """Documents named twice, or named like one that Truebed knows."""
    faults: list[Fault] = []
    seen: set[str] = set(known_sources())
    for index, source in enumerate(link.rules.source):
        if source.key in seen:
            faults.append(_taken(link, index, source))
        seen.add(source.key)
    return tuple(faults)


def _taken(link: _Loaded, index: int, source: SourceTable) -> Fault:
    """The fault of a document key that is in use."""
    found = f"'{source.key}', which already names a document"
    return link.file.fault(("source", index, "key"), found, "a key of its own", "Give the document another key.")


def _value_faults(link: _Loaded, own_sources: frozenset[str]) -> tuple[Fault, ...]:
    """What is wrong with the values of one file, each with its line."""
    faults: list[Fault] = []
    seen: set[tuple[str, frozenset[str]]] = set()
    for index, value in enumerate(link.rules.value):
        at: KeyPath = ("value", index)
        same = (value.name, frozenset(value.applies))
        if same in seen:
            words = ", ".join(sorted(same[1])) or "everything"
            found = f"a second '{value.name}' for {words}"
            faults.append(link.file.fault((*at, "name"), found, "one value for each name and 'applies'", "Keep one."))
        seen.add(same)
        unit_faults = _unit_faults(link.file, at, value)
        faults += unit_faults if unit_faults else range_faults(link.file, at, value.name, value.value)
        known = (*sorted(own_sources), *sorted(known_sources()))
        if value.source not in known:
            mend = f"{nearest(value.source, known)} Or add a [[source]] with key, document and edition."
            faults.append(link.file.fault((*at, "source"), f"'{value.source}'", "a known document", mend))
    return tuple(faults)


def _unit_faults(file: TomlFile, at: KeyPath, value: ValueTable) -> tuple[Fault, ...]:
    """A name that is nearly a known one, a number whose unit is not its name's, a word with a unit."""
    faults: list[Fault] = []
    known = rule_names()
    if value.name not in known:
        close = get_close_matches(value.name, known, n=1, cutoff=0.88)
        if close:
            mend = f"Did you mean '{close[0]}'? No part of Truebed asks for '{value.name}'."
            faults.append(file.fault((*at, "name"), f"'{value.name}'", "a name that Truebed asks for", mend))
    elif known[value.name].unit and isinstance(value.value, str):
        return (file.fault((*at, "value"), f"'{value.value}'", "a number", "Write it without quotes."),)
    elif not known[value.name].unit and not isinstance(value.value, str):
        return (file.fault((*at, "value"), f"{value.value:g}", "a word in quotes", "Write the word."),)
    if isinstance(value.value, str):
        if value.unit:
            faults.append(file.fault((*at, "unit"), f"'{value.unit}'", "'' for a word", 'Write unit = "".'))
        return tuple(faults)
    if value.unit not in SUFFIXES:
        found = f"'{value.unit}'"
        faults.append(file.fault((*at, "unit"), found, "one of Truebed's units", nearest(value.unit, _units())))
    elif not value.name.endswith(f"_{value.unit}"):
        found = f"unit '{value.unit}' under the name '{value.name}'"
        mend = "Give the value in the unit that ends its name."
        faults.append(file.fault((*at, "unit"), found, "the unit that ends the name", mend))
    return tuple(faults)


def _units() -> tuple[str, ...]:
    return tuple(sorted(SUFFIXES))


def _rule_value(table: ValueTable) -> RuleValue:
    return RuleValue(
        table.name,
        table.value,
        table.unit,
        tuple(table.applies),
        table.source,
        table.clause,
        table.edition,
        table.read_as,
    )


def _rule_files(files: Mapping[str, bytes]) -> tuple[str, ...]:
    """The TOML files of the folder rules/, in order."""
    return tuple(sorted(f for f in files if f.startswith("rules/") and f.endswith(".toml")))


def _stem(file: str) -> str:
    return PurePosixPath(file).stem
