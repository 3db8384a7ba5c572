"""Load a works folder: every file read and checked, all faults together."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from truebed.actions.check_weather import with_weather
from truebed.errors import Fault, FaultsError
from truebed.findings import Finding
from truebed.given.folder import parse_works
from truebed.given.works import Works
from truebed.plan.chamber_top import MeasuredTop
from truebed.plan.shelf import Shelf
from truebed.records.journal import JOURNAL, read_journal
from truebed.records.replay import WorksState, replay
from truebed.rules.load import load_rule_set
from truebed.rules.packaged import packaged_rules
from truebed.sheets.load import load_sheets
from truebed.sheets.load_method import load_methods
from truebed.store.works_folder import read_folder


@dataclass(frozen=True, slots=True)
class Loaded:
    """A works without faults, its shelf, the chamber tops and oddities of its record, the digest of its bytes."""

    works: Works
    shelf: Shelf
    measured: dict[str, MeasuredTop]
    oddities: tuple[Finding, ...]
    sha256: str


def digest_of(files: Mapping[str, bytes]) -> str:
    """SHA-256 over names and bytes of all files, in name order."""
    total = hashlib.sha256()
    for name in sorted(files):
        total.update(f"{name}\0{len(files[name])}\0".encode())
        total.update(files[name])
    return total.hexdigest()


def method_faults(works: Works, methods: Mapping[str, object], broken: bool) -> tuple[Fault, ...]:
    """Covers whose method has no file; not asked while method files have faults of their own."""
    if broken:
        return ()
    known = ", ".join(sorted(methods)) if methods else "none"
    return tuple(
        Fault(
            "covers.csv", c.row, "method", f"'{c.method}'", f"a method of the folder methods/ ({known})",
            f"Write methods/{c.method}.toml or name one that is there.",
        )
        for c in works.covers
        if c.method not in methods
    )  # fmt: skip


def record_faults(works: Works, covers: tuple[str, ...]) -> tuple[Fault, ...]:
    """Chamber tops recorded for covers that the works does not have."""
    names = {c.cover for c in works.covers}
    return tuple(
        Fault(
            JOURNAL, 0, "cover", f"'{name}'", "a cover of covers.csv",
            "Withdraw the event, or put the cover back into covers.csv.",
        )
        for name in covers
        if name not in names
    )  # fmt: skip


def measured_tops(whole: WorksState) -> dict[str, MeasuredTop]:
    """The chamber tops that count, by cover: the latest, without those withdrawn."""
    tops = {}
    for state in whole.covers:
        top = state.chamber_top
        if top is not None:
            points = tuple((p.x_mm, p.y_mm, p.level_mm) for p in top.data.points)
            tops[state.cover] = MeasuredTop(points, top.author, top.at, top.event)
    return tops


def load_bytes(files: Mapping[str, bytes]) -> Loaded:
    """A works from its files' bytes. Raises FaultsError with every fault found."""
    works, faults = parse_works(files)
    sheets, sheet_faults = load_sheets(files)
    methods, chain_faults = load_methods(files, sheets)
    found = [*with_weather(faults, files), *sheet_faults, *chain_faults]
    rules = None
    if works is not None:
        own = {n: b for n, b in files.items() if n.startswith("rules/")}
        rules, rule_faults = load_rule_set(works.heading.rule_set, own, packaged_rules())
        found += rule_faults
    tops: dict[str, MeasuredTop] = {}
    oddities: tuple[Finding, ...] = ()
    if JOURNAL in files:
        events, event_faults = read_journal(files[JOURNAL])
        found += event_faults
        state = replay(events)
        tops, oddities = measured_tops(state), state.findings
    if works is not None:
        found += method_faults(works, methods, bool(sheet_faults or chain_faults))
        found += record_faults(works, tuple(sorted(tops)))
    if found or works is None or rules is None:
        raise FaultsError(tuple(found))
    return Loaded(works, Shelf(sheets, methods, rules), tops, oddities, digest_of(files))


def load_works(folder: Path) -> Loaded:
    """A works from its folder. Raises FaultsError with every fault found."""
    return load_bytes(read_folder(folder))
