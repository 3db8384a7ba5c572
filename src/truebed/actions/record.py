"""Record what was done: the chamber top, steps, hold points; withdraw what was recorded wrongly. Nothing is edited."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

from truebed.actions.load import Loaded, load_works
from truebed.errors import TruebedError
from truebed.records.events import (
    ChamberPoint,
    ChamberTopMeasured,
    Event,
    EventData,
    HoldTicked,
    ProbeRead,
    SiteTestDecided,
    StepDone,
    StepStarted,
    StrengthTested,
    Withdrawal,
)
from truebed.records.journal import JOURNAL, RecordRefusedError
from truebed.sheets.method import Method
from truebed.store.journal import append_event, load_journal


class PointsUnreadableError(TruebedError):
    """The points given for a chamber top cannot be read."""


@dataclass(frozen=True, slots=True)
class Recorded:
    """What was recorded (or, on a dry run, would be); event is None on a dry run."""

    event: Event | None
    sentence: str


def numbers_of(row: list[str], place: str) -> tuple[float, float, float]:
    """x, y and level of one row. Raises PointsUnreadableError naming the row."""
    try:
        x, y, level = (float(cell.strip()) for cell in row)
    except ValueError:
        found = ",".join(row)
        raise PointsUnreadableError(
            f"{place}: found '{found}'; expected three numbers x_mm,y_mm,level_mm. Write them in mm with a point."
        ) from None
    return x, y, level


def points_from_file(path: Path) -> tuple[ChamberPoint, ...]:
    """Chamber-top points from a CSV with the header x_mm,y_mm,level_mm. Raises PointsUnreadableError."""
    try:
        rows = list(csv.reader(path.read_text("utf-8-sig").splitlines()))
    except OSError as unreadable:
        raise PointsUnreadableError(f"{path.name} cannot be read: {unreadable.strerror or unreadable}.") from None
    except UnicodeDecodeError:
        raise PointsUnreadableError(f"{path.name} is not UTF-8 text; save it as CSV (UTF-8).") from None
    header = [cell.strip().lower() for cell in rows[0]] if rows else []
    if header != ["x_mm", "y_mm", "level_mm"]:
        raise PointsUnreadableError(
            f"{path.name}, row 1: found '{','.join(header)}'; expected the header x_mm,y_mm,level_mm. Write it first."
        )
    filled = [(i, row) for i, row in enumerate(rows[1:], start=2) if any(cell.strip() for cell in row)]
    return tuple(ChamberPoint(*numbers_of(row, f"{path.name}, row {i}")) for i, row in filled)


def points_from_words(words: tuple[str, ...]) -> tuple[ChamberPoint, ...]:
    """Chamber-top points from 'x,y,level' words. Raises PointsUnreadableError."""
    return tuple(ChamberPoint(*numbers_of(word.split(","), f"point {i}")) for i, word in enumerate(words, start=1))


def known_method(loaded: Loaded, cover: str) -> Method:
    """The method of a cover. Raises RecordRefusedError for a cover that the works does not have."""
    names = sorted(c.cover for c in loaded.works.covers)
    if cover not in names:
        raise RecordRefusedError(f"There is no cover '{cover}' in this works; there are {', '.join(names)}.")
    return loaded.shelf.methods[loaded.works.cover(cover).method]


def add(works: Path, data: EventData, author: str, cover: str, sentence: str, *, dry_run: bool) -> Recorded:
    """Append one event, or only say what would be appended."""
    if dry_run:
        return Recorded(None, f"would record: {sentence}")
    event = append_event(works, data, author=author, cover=cover)
    return Recorded(event, f"recorded: {sentence} (event {event.id})")


def record_chamber_top(
    works: Path, cover: str, points: tuple[ChamberPoint, ...], author: str, *, dry_run: bool
) -> Recorded:
    """Record the measured chamber top of a cover. Raises FaultsError, RecordRefusedError."""
    known_method(load_works(works), cover)
    from truebed.records.events import unsound

    data = ChamberTopMeasured(points)
    wrong = unsound(data)
    if wrong:
        first = wrong[0]
        raise RecordRefusedError(f"Not recorded: {first.column}: found {first.found}; expected {first.expected}.")
    sentence = f"chamber top of {cover} at {len(points)} points"
    return add(works, data, author, cover, sentence, dry_run=dry_run)


def record_step(works: Path, cover: str, step: str, *, done: bool, author: str, dry_run: bool) -> Recorded:
    """Record that a step was started or done. Raises FaultsError, RecordRefusedError."""
    method = known_method(load_works(works), cover)
    keys = [s.key for s in method.steps]
    if step not in keys:
        raise RecordRefusedError(f"The method {method.key} has no step '{step}'; its steps are {', '.join(keys)}.")
    sentence = f"{cover}: step '{step}' {'done' if done else 'started'}"
    return add(works, StepDone(step) if done else StepStarted(step), author, cover, sentence, dry_run=dry_run)


def record_hold(works: Path, cover: str, hold: str, author: str, *, dry_run: bool) -> Recorded:
    """Record that somebody named looked at a hold point. Raises FaultsError, RecordRefusedError."""
    method = known_method(load_works(works), cover)
    holds = [s.hold for s in method.steps if s.hold]
    if hold not in holds:
        raise RecordRefusedError(f"The method {method.key} has no hold point '{hold}'; it has {', '.join(holds)}.")
    return add(works, HoldTicked(hold, author), author, cover, f"{cover}: hold point '{hold}'", dry_run=dry_run)


def record_withdrawal(works: Path, event_id: str, why: str, author: str, *, dry_run: bool) -> Recorded:
    """Withdraw an earlier event; it stays in the journal and no longer counts. Raises RecordRefusedError."""
    events = {event.id: event for event in load_journal(works)}
    if event_id not in events:
        raise RecordRefusedError(f"There is no event '{event_id}' in this journal; `truebed record list` shows them.")
    former = events[event_id]
    if any(isinstance(e.data, Withdrawal) and e.data.of == event_id for e in events.values()):
        raise RecordRefusedError(f"The event '{event_id}' is withdrawn already.")
    sentence = f"withdrawn: {former.kind} of {former.cover or 'the closure'}, because {why}"
    return add(works, Withdrawal(event_id, why), author, former.cover, sentence, dry_run=dry_run)


def journal_lines(works: Path) -> tuple[str, ...]:
    """Every event of the journal as one line for a person. Raises FaultsError."""
    return tuple(
        f"{event.at}  {event.author:<12} {event.cover or '(closure)':<10} {event.kind}{said_of(event)}  {event.id}"
        for event in load_journal(works)
    )


def said_of(event: Event) -> str:
    """What an event says, in a few words: its step, hold point, points, readings, or what it withdraws and why."""
    match event.data:
        case StepStarted() | StepDone() as data:
            return f": {data.step}"
        case HoldTicked() as data:
            return f": {data.hold}"
        case ChamberTopMeasured() as data:
            levels = [point.level_mm for point in data.points]
            return f": {len(levels)} points, {min(levels):g} to {max(levels):g} mm"
        case ProbeRead() as data:
            return f": {data.where} {data.temp_c:g} °C" + ("" if data.at is None else f" at {data.at}")
        case StrengthTested() as data:
            return f": {data.pour}, {data.test} {data.strength_n_per_mm2:g} N/mm² from {data.readings} readings"
        case SiteTestDecided() as data:
            return f": {data.decision} by {data.by}, {data.why}"
        case Withdrawal() as data:
            return f": of {data.of}, {data.why}"
        case _:
            return ""


def mend_torn(works: Path) -> str:
    """Set an unfinished last line of the journal aside, so that recording can go on; says what was done."""
    from truebed.store.journal import TORN, set_torn_line_aside

    if not (works / JOURNAL).exists():
        return "There is no journal in this works folder: nothing to mend."
    moved = set_torn_line_aside(works)
    if moved == 0:
        return "The journal's last line is whole: nothing to mend."
    return f"{moved} bytes of an unfinished last line were set aside in {TORN}; look at them and record it again."
