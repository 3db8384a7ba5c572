"""A short night to record, for the tests of this folder."""

from __future__ import annotations

from datetime import datetime, timedelta

from truebed.records.events import (
    ChamberPoint,
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
    SurveyReading,
    SurveyTaken,
    Withdrawal,
    new_event,
)
from truebed.records.journal import append_line

SHUT = datetime.fromisoformat("2027-06-08T20:00:00+01:00")


def event(number: int, data: EventData, *, minute: int | None = None, cover: str = "T01", author: str = "AR") -> Event:
    """An event with a plain id; by default its minute is its number."""
    at = SHUT + timedelta(minutes=number if minute is None else minute)
    return new_event(f"e{number:03d}", at, author, cover, data)


def top(level_mm: float, count: int = 8) -> ChamberTopMeasured:
    return ChamberTopMeasured(tuple(ChamberPoint(100.0 * i, -50.0, level_mm + i) for i in range(count)))


def kit(**changes: object) -> KitMixed:
    values: dict[str, object] = {
        "pour": "bed",
        "sheet": "harrow-bed",
        "lot": "HB-0304",
        "kits": 2,
        "liquid_l": 6.2,
        "kit_temp_c": 17.5,
        "air_temp_c": 14.0,
        "base_temp_c": -0.5,
        "mix_start": "2027-06-08T22:10:00+01:00",
        "mix_end": "2027-06-08T22:15:00+01:00",
    }
    return KitMixed(**{**values, **changes})  # type: ignore[arg-type]


#: One of every kind.
EVERY_KIND: tuple[EventData, ...] = (
    SurveyTaken((SurveyReading("R1", -650.0, 120.5, "level", 192.0, "road", ""),)),
    StepStarted("saw"),
    StepDone("saw"),
    top(49.0),
    HoldTicked("measure-chamber-top", "crew lead"),
    kit(),
    LevelRead("F1", 325.0, 325.0, 184.5, "rim"),
    ProbeRead("bed", 16.0),
    PhotoTaken("bed, front-left corner", "ab" * 32),
    Correction("e005", "lot misread", (("lot", "HB-0305"),)),
    Withdrawal("e006", "read at the wrong corner"),
    OpeningDecided("open", "crew lead", "every clock has run out"),
    ProbeRead("bed, slowest face", 11.5, "bed", "slowest face", "2027-06-08T22:40:00+01:00"),
    StrengthTested("bed", "rebound", 14.5, 9, at="2027-06-08T23:50:00+01:00"),
    StrengthTested("bed", "cube", 16.0, 3, age_min=64.0),
    SiteTestDecided("waived", "crew lead", "probe all night, no press on site"),
)


def journal_of(events: tuple[Event, ...]) -> bytes:
    data = b""
    for one in events:
        data = append_line(data, one)
    return data


def whole_night() -> bytes:
    return journal_of(tuple(event(i, data) for i, data in enumerate(EVERY_KIND)))
