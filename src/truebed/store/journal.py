"""The journal on disk: appended under a lock, forced to the disk before the call returns, never rewritten."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from truebed.errors import FaultsError
from truebed.records.codec import encode_line
from truebed.records.events import Event, EventData, new_event
from truebed.records.journal import JOURNAL, RecordRefusedError, read_journal, seal

#: Where an unfinished last line is set aside, beside the journal.
TORN = "journal.torn"


def append_event(
    works: Path, data: EventData, *, author: str, cover: str, at: datetime | None = None, event_id: str | None = None
) -> Event:
    """The event as it now stands at the end of WORKS/journal.jsonl, on the disk when this returns.

    at          the device's time with its offset; now, by this device, where it is None
    event_id    a new one (UUIDv7) where it is None
    Valid       a folder that exists, on a file system with locks
    Source      house (docs/journal.md)
    Raises      RecordRefusedError: the journal is broken or torn, the event unsound, the disk full
    Proved by   tests/store/test_journal.py
    """
    now = datetime.now(UTC)
    event = new_event(
        event_id if event_id is not None else uuid7(int(now.timestamp() * 1000.0), os.urandom(10)),
        at if at is not None else now.astimezone(),
        author,
        cover,
        data,
    )
    try:
        with _locked(works):
            path = works / JOURNAL
            existing = path.read_bytes() if path.exists() else None
            if existing == b"":
                raise RecordRefusedError("Nothing was recorded. " + read_journal(b"")[1][0].sentence())
            sealed = seal(existing if existing is not None else b"", event)
            if existing is None:
                _begin(path, encode_line(sealed))
            else:
                _append(path, encode_line(sealed), len(existing))
    except OSError as error:
        raise RecordRefusedError(
            f"Nothing was recorded: {works.name}/{JOURNAL} could not be written ({error.strerror or error}). "
            "Free some space or check the folder's permissions, then record it again."
        ) from error
    return sealed


def load_journal(works: Path, known_hash: str = "") -> tuple[Event, ...]:
    """All events of WORKS/journal.jsonl; none where there is no journal yet.

    Valid       a folder
    Source      house (docs/journal.md)
    Raises      FaultsError where the journal is broken; read_journal gives the part that is whole
    Proved by   tests/store/test_journal.py
    """
    path = works / JOURNAL
    if not path.exists():
        return ()
    events, faults = read_journal(path.read_bytes(), known_hash)
    if faults:
        raise FaultsError(faults)
    return events


def set_torn_line_aside(works: Path) -> int:
    """Moves an unfinished last line to WORKS/journal.torn so that recording can go on; how many bytes it had.

    The bytes are on the disk in journal.torn before they leave the journal. 0 where the last line is whole.

    Valid       a journal whose other lines are whole
    Source      house (docs/journal.md)
    Raises      RecordRefusedError where the journal is broken in another way: that is not for a tool to mend
    Proved by   tests/store/test_journal.py
    """
    path = works / JOURNAL
    try:
        with _locked(works):
            data = path.read_bytes()
            whole = data.rfind(b"\n") + 1
            faults = read_journal(data[:whole])[1] if whole else ()
            if faults:
                raise RecordRefusedError("Nothing was set aside. " + faults[0].sentence())
            if data[whole:]:
                _set_aside(path, data[whole:], whole)
    except OSError as error:
        raise RecordRefusedError(
            f"Nothing was set aside: {works.name}/{JOURNAL} could not be read or written ({error.strerror or error}). "
            "Check that it is there and that the folder may be written to."
        ) from error
    return len(data) - whole


def uuid7(unix_ms: int, random_bytes: bytes) -> str:
    """A UUID of version 7 from a time in milliseconds and ten random bytes; Python 3.11 has none of its own.

    Valid       0 <= unix_ms < 2^48
    Source      [rfc-9562] 5.7
    Proved by   tests/store/test_journal.py
    """
    random = int.from_bytes(random_bytes, "big")
    high, low = (random >> 62) & 0xFFF, random & (2**62 - 1)
    number = (unix_ms << 80) | (0x7 << 76) | (high << 64) | (0b10 << 62) | low
    text = f"{number:032x}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))


@contextmanager
def _locked(works: Path) -> Iterator[None]:
    """The folder's lock: one writer at a time, also between processes; freed when the process ends, however it ends."""
    folder = os.open(works, os.O_RDONLY)
    try:
        fcntl.flock(folder, fcntl.LOCK_EX)
        yield
    finally:
        os.close(folder)


def _begin(path: Path, line: bytes) -> None:
    """The first line: written beside and renamed, so that an empty journal never stands there."""
    beside = path.with_suffix(".new")
    with beside.open("wb") as new:
        new.write(line)
        new.flush()
        os.fsync(new.fileno())
    beside.replace(path)
    _sync_folder(path.parent)


def _append(path: Path, line: bytes, length: int) -> None:
    """One more line; where the write fails half way, the file is cut back to what it was."""
    file = os.open(path, os.O_WRONLY | os.O_APPEND)
    try:
        try:
            rest = line
            while rest:
                rest = rest[os.write(file, rest) :]
            os.fsync(file)
        except OSError:
            os.ftruncate(file, length)
            raise
    finally:
        os.close(file)


def _set_aside(path: Path, torn: bytes, whole: int) -> None:
    """Copies the torn bytes beside the journal, then cuts it to its whole lines; a journal of none is taken away."""
    with path.with_name(TORN).open("ab") as aside:
        aside.write(torn + b"\n")
        aside.flush()
        os.fsync(aside.fileno())
    if whole:
        with path.open("r+b") as file:
            file.truncate(whole)
            os.fsync(file.fileno())
    else:
        path.unlink()
    _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
