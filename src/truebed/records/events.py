"""What can be recorded on the night: frozen event types, their common envelope, and what makes one unsound."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

#: Names and values this edition does not know, kept so that a record is written back as it was read.
Fields = tuple[tuple[str, Any], ...]

#: The hold point *measure the chamber top at eight points or more* (design).
CHAMBER_POINTS_LEAST = 8


@dataclass(frozen=True, slots=True)
class SurveyReading:
    """One reading of a survey, as in readings.csv."""

    point: str
    x_mm: float
    y_mm: float
    kind: Literal["level", "staff"]
    value_mm: float
    where: str
    set_up: str
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class ChamberPoint:
    """One point of the bared chamber top, in the cover's own axes and above its own zero."""

    x_mm: float
    y_mm: float
    level_mm: float
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class SurveyTaken:
    """The readings around a cover were taken."""

    readings: tuple[SurveyReading, ...]
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class StepStarted:
    """A step of the method was begun."""

    step: str
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class StepDone:
    """A step of the method was ended."""

    step: str
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class HoldTicked:
    """Somebody named has looked at a hold point and lets the work go on."""

    hold: str
    by: str
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class KitMixed:
    """Whole kits of one lot were mixed: measured liquid of all of them, temperatures, begin and end of mixing."""

    pour: str
    sheet: str
    lot: str
    kits: int
    liquid_l: float
    kit_temp_c: float
    air_temp_c: float
    base_temp_c: float
    mix_start: str
    mix_end: str
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class LevelRead:
    """A level was read: 'rim', 'road', ... above the cover's own zero."""

    point: str
    x_mm: float
    y_mm: float
    level_mm: float
    where: str
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class ChamberTopMeasured:
    """The bared chamber top was measured, at eight points or more."""

    points: tuple[ChamberPoint, ...]
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class ProbeRead:
    """A probe's temperature in a layer or in the air, as its own text says.

    pour    whose material it sits in; place: a key of data/site_readings.toml; at: when it was read, where that is not
            when it was recorded. None: not said
    """

    where: str
    temp_c: float
    pour: str | None = None
    place: str | None = None
    at: str | None = None
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class StrengthTested:
    """A strength test of one pour: the mean of so many readings.

    test        a key of data/site_readings.toml
    age_min     the tested thing's own equivalent age at 20 degC; at: when it was tested. One of the two at least
    """

    pour: str
    test: Literal["cube", "rebound", "penetration"]
    strength_n_per_mm2: float
    readings: int
    age_min: float | None = None
    at: str | None = None
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class SiteTestDecided:
    """A person decided whether a strength test is asked for before this cover's opening is judged."""

    decision: Literal["required", "waived"]
    by: str
    why: str
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class PhotoTaken:
    """A photograph: what it shows and the SHA-256 of its file; the picture itself stays in photos/."""

    shot: str
    sha256: str
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class OpeningDecided:
    """A person decided whether the road opens."""

    decision: Literal["open", "keep shut"]
    by: str
    why: str
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class Correction:
    """Other values for fields of an earlier event; the earlier line stays as it is.

    of      id of the corrected event; fields: names of its data and the values that hold instead
    """

    of: str
    why: str
    fields: Fields
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """An earlier event does not count; its line stays as it is."""

    of: str
    why: str
    extra: Fields = ()


@dataclass(frozen=True, slots=True)
class UnknownData:
    """Data of a kind this edition does not know; kept, never used."""

    extra: Fields = ()


EventData = (
    SurveyTaken
    | StepStarted
    | StepDone
    | HoldTicked
    | KitMixed
    | LevelRead
    | ChamberTopMeasured
    | ProbeRead
    | StrengthTested
    | SiteTestDecided
    | PhotoTaken
    | OpeningDecided
    | Correction
    | Withdrawal
    | UnknownData
)

KINDS: dict[str, type[EventData]] = {
    "survey taken": SurveyTaken,
    "step started": StepStarted,
    "step done": StepDone,
    "hold ticked": HoldTicked,
    "kit mixed": KitMixed,
    "level read": LevelRead,
    "chamber top measured": ChamberTopMeasured,
    "probe read": ProbeRead,
    "strength tested": StrengthTested,
    "site test decided": SiteTestDecided,
    "photo taken": PhotoTaken,
    "opening decided": OpeningDecided,
    "correction": Correction,
    "withdrawal": Withdrawal,
}
KIND_OF: dict[type[EventData], str] = {data_type: kind for kind, data_type in KINDS.items()}


@dataclass(frozen=True, slots=True)
class Event:
    """One line of journal.jsonl.

    at      the device's time, ISO with offset, as written; author: role or initials; cover: '' for the whole closure
    prev    hash of the line before, '' on the first; hash: of this line without its own hash; both '' until sealed
    """

    id: str
    kind: str
    at: str
    author: str
    cover: str
    data: EventData
    prev: str = ""
    hash: str = ""
    extra: Fields = ()

    def when(self) -> datetime:
        """The device's time as an instant."""
        return datetime.fromisoformat(self.at)


def new_event(event_id: str, at: datetime, author: str, cover: str, data: EventData) -> Event:
    """An event that is not yet in a journal; id and time come from outside.

    Valid       a known type of data and a time with an offset
    Source      house (docs/journal.md)
    Raises      ValueError for a time without offset or data of an unknown kind
    Proved by   tests/records/test_events.py
    """
    if at.utcoffset() is None:
        raise ValueError("the time of an event needs its offset from UTC")
    if isinstance(data, UnknownData):
        raise ValueError("an event of an unknown kind can be kept, not made")
    return Event(event_id, KIND_OF[type(data)], at.isoformat(timespec="milliseconds"), author, cover, data)


@dataclass(frozen=True, slots=True)
class Unsound:
    """One thing about a record that cannot be: which field, what it says, what it must say."""

    column: str
    found: str
    expected: str


def has_offset(text: str) -> bool:
    """Whether a text is an ISO time with its offset.

    Valid       any text
    Source      house (docs/journal.md)
    Proved by   tests/records/test_events.py
    """
    try:
        return datetime.fromisoformat(text).utcoffset() is not None
    except ValueError:
        return False


def unsound(data: EventData) -> tuple[Unsound, ...]:
    """What is wrong with the values of one event; types are the codec's business.

    Valid       any event data
    Source      house (docs/journal.md)
    Proved by   tests/records/test_events.py
    """
    if isinstance(data, ChamberTopMeasured):
        return _unsound_chamber(data)
    if isinstance(data, KitMixed):
        return _unsound_kit(data)
    if isinstance(data, ProbeRead):
        return (*_empty(data, ("where", "pour", "place")), *_unsound_time(data.at))
    if isinstance(data, StrengthTested):
        return _unsound_test(data)
    if isinstance(data, PhotoTaken) and not re.fullmatch(r"[0-9a-f]{64}", data.sha256):
        return (Unsound("data.sha256", f"'{data.sha256}'", "a SHA-256 of 64 small hexadecimal digits"),)
    if isinstance(data, SurveyTaken) and not data.readings:
        return (Unsound("data.readings", "no reading", "at least one reading"),)
    if isinstance(data, Correction) and not data.fields:
        return (Unsound("data.fields", "nothing", "at least one field with the value that holds instead"),)
    return _empty(data, ("step", "hold", "by", "of", "why"))


def _empty(data: EventData, names: tuple[str, ...]) -> tuple[Unsound, ...]:
    return tuple(Unsound(f"data.{name}", "nothing", "a text") for name in names if getattr(data, name, "given") == "")


def _unsound_time(text: str | None) -> tuple[Unsound, ...]:
    if text is None or has_offset(text):
        return ()
    return (Unsound("data.at", f"'{text}'", "a time with its offset, such as 2027-06-08T22:10:00+01:00"),)


def _unsound_test(data: StrengthTested) -> tuple[Unsound, ...]:
    found = [*_empty(data, ("pour",)), *_unsound_time(data.at)]
    if not data.strength_n_per_mm2 > 0.0:
        found.append(Unsound("data.strength_n_per_mm2", f"{data.strength_n_per_mm2:g}", "N/mm², more than 0"))
    if data.readings < 1:
        found.append(Unsound("data.readings", str(data.readings), "one reading or more"))
    if data.age_min is None and data.at is None:
        found.append(Unsound("data.age_min", "neither an age nor a time", "age_min, at, or both"))
    if data.age_min is not None and not data.age_min > 0.0:
        found.append(Unsound("data.age_min", f"{data.age_min:g}", "minutes, more than 0"))
    return tuple(found)


def _unsound_chamber(data: ChamberTopMeasured) -> tuple[Unsound, ...]:
    places = {(point.x_mm, point.y_mm) for point in data.points}
    if len(places) >= CHAMBER_POINTS_LEAST:
        return ()
    return (
        Unsound(
            "data.points",
            f"{len(places)} different point{'' if len(places) == 1 else 's'}",
            f"at least {CHAMBER_POINTS_LEAST} different points of the chamber top",
        ),
    )


def _unsound_kit(data: KitMixed) -> tuple[Unsound, ...]:
    found = [
        Unsound(f"data.{name}", f"'{text}'", "a time with its offset, such as 2027-06-08T22:10:00+01:00")
        for name, text in (("mix_start", data.mix_start), ("mix_end", data.mix_end))
        if not has_offset(text)
    ]
    if not found and datetime.fromisoformat(data.mix_end) < datetime.fromisoformat(data.mix_start):
        found.append(Unsound("data.mix_end", data.mix_end, f"a time not before mix_start, {data.mix_start}"))
    if data.kits < 1:
        found.append(Unsound("data.kits", str(data.kits), "one whole kit or more"))
    if data.liquid_l < 0.0:
        found.append(Unsound("data.liquid_l", f"{data.liquid_l:g}", "litres, not negative"))
    return tuple(found)
