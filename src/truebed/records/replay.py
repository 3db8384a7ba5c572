"""The state of the works from its events: a pure function of the set of events, whatever order they come in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Generic, TypeVar

from truebed.findings import Finding, Severity
from truebed.records.codec import UnsoundRecordError, as_object, corrected
from truebed.records.events import (
    ChamberTopMeasured,
    Correction,
    Event,
    EventData,
    HoldTicked,
    KitMixed,
    LevelRead,
    OpeningDecided,
    PhotoTaken,
    ProbeRead,
    SiteTestDecided,
    StepDone,
    StepStarted,
    StrengthTested,
    SurveyTaken,
    UnknownData,
    Withdrawal,
)

Data = TypeVar("Data", bound=EventData)


@dataclass(frozen=True, slots=True)
class Noted(Generic[Data]):
    """A record that counts, with corrections applied. corrected_by: ids of the corrections, in order."""

    event: str
    at: str
    author: str
    data: Data
    corrected_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CoverState:
    """What is known of one cover ('' = the whole closure).

    chamber_top  the latest measurement that counts, None before any
    started      by step: the earliest start, so that a working life is never read too long
    done         by step: the latest end, so that a wait is never read too short
    holds        by hold point, the latest; levels: by point and place, the latest
    tests        every strength test; site_test: the latest decision about asking for one
    """

    cover: str
    chamber_top: Noted[ChamberTopMeasured] | None = None
    survey: Noted[SurveyTaken] | None = None
    started: tuple[Noted[StepStarted], ...] = ()
    done: tuple[Noted[StepDone], ...] = ()
    holds: tuple[Noted[HoldTicked], ...] = ()
    kits: tuple[Noted[KitMixed], ...] = ()
    levels: tuple[Noted[LevelRead], ...] = ()
    probes: tuple[Noted[ProbeRead], ...] = ()
    photos: tuple[Noted[PhotoTaken], ...] = ()
    opening: Noted[OpeningDecided] | None = None
    tests: tuple[Noted[StrengthTested], ...] = ()
    site_test: Noted[SiteTestDecided] | None = None

    def is_done(self, step: str) -> bool:
        """Whether a step has an end that counts."""
        return any(one.data.step == step for one in self.done)

    def is_ticked(self, hold: str) -> bool:
        """Whether a hold point was ticked."""
        return any(one.data.hold == hold for one in self.holds)


@dataclass(frozen=True, slots=True)
class WorksState:
    """The state of all covers, and what was odd about the records."""

    covers: tuple[CoverState, ...]
    findings: tuple[Finding, ...]

    def cover(self, name: str) -> CoverState:
        """The state of one cover; a cover nothing was recorded of has an empty state."""
        return next((state for state in self.covers if state.cover == name), CoverState(name))


def in_order(events: Iterable[Event]) -> tuple[Event, ...]:
    """The events in the one order in which they count.

    Within a chain the chain decides, whatever the device's clock did; between chains the clock decides, where a record
    counts as no earlier than the one before it in its chain. Equal times: the shorter chain first, then the id.

    Valid       events of whole chains, in any order, from any number of devices
    Source      house (docs/theory/records.md)
    Proved by   tests/records/test_replay.py
    """
    everything = tuple(events)
    by_hash = {event.hash: event for event in everything if event.hash}
    places: dict[int, tuple[datetime, int]] = {}
    for event in everything:
        walk: dict[int, Event] = {}
        link: Event | None = event
        while link is not None and id(link) not in places and id(link) not in walk:
            walk[id(link)] = link
            link = by_hash.get(link.prev) if link.prev else None
        before = places.get(id(link)) if link is not None else None
        for one in reversed(walk.values()):
            at = one.when() if before is None else max(one.when(), before[0])
            before = places[id(one)] = (at, 0 if before is None else before[1] + 1)
    return tuple(sorted(everything, key=lambda e: (*places[id(e)], e.id, e.hash)))


def replay(events: Iterable[Event]) -> WorksState:
    """The state of the works: withdrawn records do not count, corrections are applied, later ones win.

    Valid       events of whole, verified chains
    Source      house (docs/theory/records.md)
    Proved by   tests/records/test_replay.py
    """
    ordered = in_order(events)
    unique, findings = _without_doubles(ordered)
    findings += _clock_findings(unique, ordered)
    findings += _reference_findings(unique)
    counts = [event for event in unique if not _withdrawn(event.id, unique, frozenset())]
    states: dict[str, CoverState] = {}
    for event in counts:
        if isinstance(event.data, (Correction, Withdrawal, UnknownData)):
            continue
        noted, odd = _corrected(event, counts)
        findings += odd
        states[event.cover] = _with(states.get(event.cover, CoverState(event.cover)), noted)
    return WorksState(tuple(states[name] for name in sorted(states)), tuple(findings))


def _without_doubles(ordered: tuple[Event, ...]) -> tuple[list[Event], list[Finding]]:
    """Each id once: the same record from two journals is one record; two records under one id are a finding."""
    first: dict[str, Event] = {}
    findings: list[Finding] = []
    for event in ordered:
        earlier = first.setdefault(event.id, event)
        if earlier is not event and _content(earlier) != _content(event):
            findings.append(_finding("RC-103", event, "two different records carry this id; only the first counts"))
    return list(first.values()), findings


def _content(event: Event) -> dict[str, object]:
    return {name: value for name, value in as_object(event).items() if name not in ("prev", "hash")}


def _reference_findings(unique: list[Event]) -> list[Finding]:
    known = {event.id: event for event in unique}
    findings = []
    for event in unique:
        if isinstance(event.data, UnknownData):
            findings.append(_finding("RC-104", event, f"records of kind '{event.kind}' are kept but not used"))
        if isinstance(event.data, (Correction, Withdrawal)):
            target = known.get(event.data.of)
            if target is None:
                findings.append(_finding("RC-102", event, f"the record '{event.data.of}' that it names is not there"))
            elif isinstance(event.data, Correction) and isinstance(target.data, (Correction, Withdrawal)):
                findings.append(_finding("RC-105", event, f"a {target.kind} cannot be corrected, only withdrawn"))
    return findings


def _clock_findings(unique: list[Event], ordered: tuple[Event, ...]) -> list[Finding]:
    by_hash = {event.hash: event for event in ordered if event.hash}
    findings = []
    for event in unique:
        before = by_hash.get(event.prev)
        if before is not None and event.when() < before.when():
            what = f"the device's clock went back, from {before.at} to {event.at}; the order of the chain counts"
            findings.append(_finding("RC-101", event, what))
    return findings


def _withdrawn(event_id: str, events: list[Event], asking: frozenset[str]) -> bool:
    """Whether a withdrawal that counts names this event; a withdrawal may itself be withdrawn."""
    return any(
        isinstance(event.data, Withdrawal)
        and event.data.of == event_id
        and event.id not in asking
        and not _withdrawn(event.id, events, asking | {event_id})
        for event in events
    )


def _corrected(event: Event, counts: list[Event]) -> tuple[Noted[EventData], list[Finding]]:
    noted: Noted[EventData] = Noted(event.id, event.at, event.author, event.data)
    findings = []
    for other in counts:
        if not isinstance(other.data, Correction) or other.data.of != event.id:
            continue
        try:
            data = corrected(noted.data, other.data, event.kind)
        except UnsoundRecordError as error:
            findings.append(_finding("RC-105", other, f"its correction cannot be applied: {error}"))
            continue
        noted = replace(noted, data=data, corrected_by=(*noted.corrected_by, other.id))
    return noted, findings


def _finding(code: str, event: Event, what: str) -> Finding:
    subject = f"{event.cover or 'closure'}, record {event.id} of {event.at}"
    severity = Severity.BREAKS if code in ("RC-102", "RC-103", "RC-105") else Severity.ADVICE
    mend = "Look at the journal and record what is true." if severity is Severity.BREAKS else ""
    return Finding(code, severity, subject, what, source="docs/journal.md", mend=mend)


def _with(state: CoverState, noted: Noted[EventData]) -> CoverState:  # noqa: PLR0911, C901 one return a kind of record
    """The state with one more record; records come in the order in which they count."""
    match noted.data:
        case ChamberTopMeasured() as data:
            return replace(state, chamber_top=_as(noted, data))
        case SurveyTaken() as data:
            return replace(state, survey=_as(noted, data))
        case StepStarted() as data:
            known = any(one.data.step == data.step for one in state.started)
            return state if known else replace(state, started=(*state.started, _as(noted, data)))
        case StepDone() as data:
            kept = tuple(one for one in state.done if one.data.step != data.step)
            return replace(state, done=(*kept, _as(noted, data)))
        case HoldTicked() as data:
            ticked = tuple(one for one in state.holds if one.data.hold != data.hold)
            return replace(state, holds=(*ticked, _as(noted, data)))
        case LevelRead() as data:
            read = tuple(one for one in state.levels if (one.data.point, one.data.where) != (data.point, data.where))
            return replace(state, levels=(*read, _as(noted, data)))
        case KitMixed() as data:
            return replace(state, kits=(*state.kits, _as(noted, data)))
        case ProbeRead() as data:
            return replace(state, probes=(*state.probes, _as(noted, data)))
        case StrengthTested() as data:
            return replace(state, tests=(*state.tests, _as(noted, data)))
        case SiteTestDecided() as data:
            return replace(state, site_test=_as(noted, data))
        case PhotoTaken() as data:
            return replace(state, photos=(*state.photos, _as(noted, data)))
        case OpeningDecided() as data:
            return replace(state, opening=_as(noted, data))
        case _:
            return state


def _as(noted: Noted[EventData], data: Data) -> Noted[Data]:
    return Noted(noted.event, noted.at, noted.author, data, noted.corrected_by)
