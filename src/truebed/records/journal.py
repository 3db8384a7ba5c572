"""The journal: an append-only chain of records. Each line carries the hash of the line before."""

from __future__ import annotations

import hashlib
from dataclasses import replace

from truebed.errors import Fault, TruebedError
from truebed.records.codec import (
    UnsoundRecordError,
    as_object,
    canonical,
    corrected,
    decode_object,
    encode_line,
    parse_line,
)
from truebed.records.events import Correction, Event, Unsound, Withdrawal

JOURNAL = "journal.jsonl"
#: A line longer than this in a message is cut: it is for a person.
SHOWN = 60


class RecordRefusedError(TruebedError):
    """A record that cannot be written, or a journal that cannot be written to; says why and what to do."""


def hash_of(event: Event) -> str:
    """SHA-256 over the canonical JSON of the event without its own hash.

    Valid       any event that JSON can hold
    Source      [rfc-8785], [fips-180-4]
    Proved by   tests/records/test_journal.py
    """
    return hashlib.sha256(canonical(as_object(event, with_hash=False))).hexdigest()


def read_journal(data: bytes, known_hash: str = "") -> tuple[tuple[Event, ...], tuple[Fault, ...]]:
    """The events of a journal up to its first broken line, and that line with the reason.

    known_hash  a hash noted elsewhere: it must be in the chain, or the end was cut off (nothing in the file shows that)
    Valid       any bytes
    Source      house (docs/journal.md)
    Proved by   tests/records/test_journal.py
    """
    if not data:
        return (), (_fault(0, "an empty file", "at least one record", _MEND_EMPTY),)
    lines = data.split(b"\n")
    torn = lines.pop()
    events: list[Event] = []
    hashes: set[str] = set()
    ids: set[str] = set()
    for row, line in enumerate(lines, start=1):
        try:
            event = _next_event(line, events[-1].hash if events else "", hashes, ids, lines)
        except UnsoundRecordError as error:
            after = len(lines) - row
            tail = f" (with {after} line{'s' if after != 1 else ''} after it)" if after else ""
            faults = (_fault(row, one.found + tail, one.expected, _MEND_BROKEN, one.column) for one in error.found[:1])
            return tuple(events), tuple(faults)
        events.append(event)
        hashes.add(event.hash)
        ids.add(event.id)
    if torn:
        found = f"an unfinished last line of {len(torn)} bytes: '{_shown(torn)}'"
        return tuple(events), (_fault(len(lines) + 1, found, "a whole line with its line end", _MEND_TORN),)
    if known_hash and known_hash not in hashes:
        found = f"no record with the hash {known_hash[:16]}..., noted elsewhere"
        return tuple(events), (_fault(len(lines), found, "the record that was noted", _MEND_CUT),)
    return tuple(events), ()


def verify_journal(data: bytes, known_hash: str = "") -> tuple[Fault, ...]:
    """The first broken line of a journal and why: changed, removed, moved, repeated, torn; nothing if it is whole.

    Valid       any bytes
    Source      house (docs/journal.md)
    Proved by   tests/records/test_journal.py
    """
    return read_journal(data, known_hash)[1]


def seal(existing: bytes, event: Event) -> Event:
    """The event with the place it takes at the end of a journal: `prev` and `hash` filled in.

    existing    the whole journal; b'' for a journal that does not exist yet
    Valid       an event that is sound by itself and against the journal
    Source      house (docs/journal.md)
    Raises      RecordRefusedError where the journal is broken or the event unsound
    Proved by   tests/records/test_journal.py
    """
    events, faults = read_journal(existing) if existing else ((), ())
    if faults:
        raise RecordRefusedError("Nothing was recorded. " + " ".join(fault.sentence() for fault in faults))
    refusals = _refusals(events, event)
    if refusals:
        raise RecordRefusedError("Nothing was recorded: " + "; ".join(refusals) + ".")
    chained = replace(event, prev=events[-1].hash if events else "", hash="")
    try:
        sealed = replace(chained, hash=hash_of(chained))
        decode_object(parse_line(encode_line(sealed)[:-1]))
    except UnsoundRecordError as error:
        said = "; ".join(f"{one.column} has {one.found}, expected {one.expected}" for one in error.found)
        raise RecordRefusedError(f"Nothing was recorded: {said}. Measure or enter it again.") from error
    return sealed


def append_line(existing: bytes, event: Event) -> bytes:
    """The journal with the event as its new last line; every byte before it is unchanged.

    Valid       as seal
    Source      house (docs/journal.md)
    Raises      RecordRefusedError
    Proved by   tests/records/test_journal.py
    """
    return existing + encode_line(seal(existing, event))


def _next_event(line: bytes, expected: str, hashes: set[str], ids: set[str], lines: list[bytes]) -> Event:
    """The event of one line, checked for its own hash, its place in the chain and its content, in that order."""
    whole = parse_line(line)
    said = whole.pop("hash", None)
    if not isinstance(said, str) or hashlib.sha256(canonical(whole)).hexdigest() != said:
        raise UnsoundRecordError((Unsound("hash", "a changed line: its hash is not its own", "the line as recorded"),))
    if said in hashes:
        raise UnsoundRecordError((Unsound("prev", "a repeated line", "each line once"),))
    if whole.get("prev") != expected:
        raise UnsoundRecordError((Unsound("prev", _why_unchained(whole.get("prev"), lines), "the hash before it"),))
    event = decode_object(whole | {"hash": said})
    if event.id in ids:
        raise UnsoundRecordError((Unsound("id", f"the id '{event.id}' a second time", "a new id for each record"),))
    return event


def _why_unchained(prev: object, lines: list[bytes]) -> str:
    if prev == "":
        return "the first line of a journal, moved from its place or joined on"
    if isinstance(prev, str) and any(_hash_said(line) == prev for line in lines):
        return "a moved line: the line it follows stands elsewhere in the file"
    return "a line whose forerunner is gone: a line before it was removed or replaced"


def _hash_said(line: bytes) -> str | None:
    try:
        said = parse_line(line).get("hash")
    except UnsoundRecordError:
        return None
    return said if isinstance(said, str) else None


def _refusals(events: tuple[Event, ...], event: Event) -> tuple[str, ...]:
    """Why an event cannot follow these events, as parts of a sentence."""
    if any(earlier.id == event.id for earlier in events):
        return (f"a record with the id '{event.id}' is there already",)
    if not isinstance(event.data, (Correction, Withdrawal)):
        return ()
    target = next((earlier for earlier in events if earlier.id == event.data.of), None)
    if target is None:
        return (f"there is no earlier record '{event.data.of}' to put right; give the id of a record in the journal",)
    if target.cover != event.cover:
        return (f"record '{target.id}' is of cover '{target.cover}', not of '{event.cover}'",)
    if isinstance(event.data, Withdrawal):
        return ()
    if isinstance(target.data, (Correction, Withdrawal)):
        return (f"record '{target.id}' is itself a {target.kind}; withdraw it, or correct the first record",)
    try:
        corrected(target.data, event.data, target.kind)
    except UnsoundRecordError as error:
        return tuple(f"{one.column} has {one.found}, expected {one.expected}" for one in error.found)
    return ()


_MEND_EMPTY = "Restore the journal from a copy; if nothing was ever recorded, delete the empty file."
_MEND_BROKEN = (
    "Do not edit the journal. Keep this file as it is, restore an unbroken copy, and record again what came after it."
)
_MEND_TORN = (
    "A write was cut short. `truebed record mend` sets the unfinished line aside; then record that event again."
)
_MEND_CUT = "The end of the journal was cut off or replaced. Restore the copy that holds the noted record."


def _fault(row: int, found: str, expected: str, mend: str, column: str = "") -> Fault:
    return Fault(JOURNAL, row, column, found, expected, mend)


def _shown(line: bytes) -> str:
    text = line.decode("utf-8", errors="replace")
    return text if len(text) <= SHOWN else text[:SHOWN] + "..."
