"""The calendar parses back: times in UTC, fixed identifiers, hold points where they fall."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from icalendar import Calendar

from papers.sample_plan import sample_plan
from truebed.papers.calendar import closure_events, programme_ics
from truebed.programme.problem import Schedule

PLAN = sample_plan()


def events() -> dict[str, dict[str, object]]:
    """Summary -> what the calendar says."""
    parsed = Calendar.from_ical(programme_ics(PLAN))
    return {
        str(e["summary"]): {
            "start": e["dtstart"].dt,
            "end": e["dtend"].dt if "dtend" in e else None,
            "text": str(e["description"]),
        }
        for e in parsed.walk("VEVENT")
    }


def test_the_closure_and_the_opening_stand_at_their_utc_times() -> None:
    found = events()
    assert found["Tenter-1: road shut"]["start"] == datetime(2031, 10, 14, 19, 0, tzinfo=UTC)
    assert found["Tenter-1: road shut"]["end"] == datetime(2031, 10, 15, 5, 0, tzinfo=UTC)
    assert found["Tenter-1: planned opening 03:01"]["start"] == datetime(2031, 10, 15, 2, 1, tzinfo=UTC)
    assert found["Tenter-1: traffic management off"]["end"] == datetime(2031, 10, 15, 2, 1, tzinfo=UTC)


def test_a_cover_s_event_tells_its_steps_in_local_time() -> None:
    cover = next(v for k, v in events().items() if k.startswith("K11: Bed"))
    assert cover["start"] == datetime(2031, 10, 14, 19, 30, tzinfo=UTC)
    assert "20:30-20:46 Saw the square" in str(cover["text"])
    assert len(str(cover["text"]).splitlines()) == 15


def test_a_hold_point_falls_at_the_end_of_its_step() -> None:
    hold = events()["K11: HOLD: Chamber top measured"]
    assert hold["start"] == datetime(2031, 10, 14, 20, 33, tzinfo=UTC)
    assert hold["end"] is None


def test_identifiers_are_each_their_own_and_the_stamp_is_the_closure_s() -> None:
    parsed = list(Calendar.from_ical(programme_ics(PLAN)).walk("VEVENT"))
    assert len({str(e["uid"]) for e in parsed}) == len(parsed) == 1 + 1 + 2 * (1 + 6) + 2
    assert {e["dtstamp"].dt for e in parsed} == {datetime(2031, 10, 14, 19, 0, tzinfo=UTC)}


def test_twice_gives_the_same_bytes_and_every_time_ends_in_z() -> None:
    made = programme_ics(PLAN)
    assert made == programme_ics(PLAN)
    times = [line for line in made.decode().splitlines() if line.startswith(("DTSTART", "DTEND", "DTSTAMP"))]
    assert times
    assert all(line.endswith("Z") for line in times)


def test_a_closure_in_which_nothing_is_done_has_only_its_shutting() -> None:
    closure = PLAN.closures[0]
    empty = replace(closure, solution=replace(closure.solution, schedule=Schedule((), (), 0)))
    assert len(closure_events(PLAN, empty)) == 1
