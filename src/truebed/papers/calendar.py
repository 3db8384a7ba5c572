"""The programme as a calendar: closures, traffic management, covers, hold points, openings; all in UTC."""

from __future__ import annotations

import uuid
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from truebed.drawings.clock import clock
from truebed.drawings.timeline_rows import rows_of
from truebed.papers.cover_sheet import step_rows
from truebed.papers.writing import DECIDES, DEMO, plain_name
from truebed.plan.result import ClosurePlan, CoverDesign, Plan

if TYPE_CHECKING:
    from icalendar import Event

#: The name space of our identifiers: fixed, so that a new issue of a programme replaces the old one in a calendar.
_SPACE = uuid.UUID("6f0b54d2-5c1e-5b53-9d2a-6f3a5b0f7c11")


def programme_ics(plan: Plan) -> bytes:
    """All closures as iCalendar with UTC times; identifiers from the works, closure and cover.

    Valid       any plan
    Source      [rfc-5545] 3.6.1 (memory-high)
    Proved by   tests/papers/test_calendar.py
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", f"-//Truebed//Truebed {plan.truebed}//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    for closure in plan.closures:
        for event in closure_events(plan, closure):
            calendar.add_component(event)
    return bytes(calendar.to_ical())


def closure_events(plan: Plan, closure: ClosurePlan) -> list[Event]:
    """One closure's events in the order of the night.

    Valid       a closure of the plan
    Source      house (arrangement)
    Proved by   tests/papers/test_calendar.py
    """
    schedule, problem = closure.solution.schedule, closure.problem
    zone = ZoneInfo(plan.time_zone)
    note = f"{DECIDES}{' ' + DEMO + '.' if plan.demo else ''}"
    streets = ", ".join(closure.streets)
    made = _Maker(plan, closure, streets)
    whole = f"{closure.kind}; streets: {streets}. {note}"
    events = [made.event("closure", f"{closure.closure}: road shut", closure.shut, closure.open_by, whole)]
    if not schedule.done:
        return events
    on, off = problem.tm_set_min, problem.tm_clear_min
    events.append(made.span("tm-on", f"{closure.closure}: traffic management on", 0, on, note))
    for row in rows_of(closure):
        design, placed = closure.design(row.cover), schedule.of(row.cover)
        first, last = placed[0].start_min, max(p.end_min for p in placed)
        steps = "\n".join(f"{r['from']}-{r['to']} {r['name']}" for r in step_rows(closure, design, zone))
        events.append(made.span(f"cover/{row.cover}", f"{row.cover}: {design.method_name}", first, last, steps))
        events += _holds(made, closure, design)
    events.append(
        made.span(
            "tm-off", f"{closure.closure}: traffic management off", schedule.open_min - off, schedule.open_min, note
        )
    )
    opening = f"{closure.closure}: planned opening {clock(closure, schedule.open_min, zone)}"
    events.append(made.span("opening", opening, schedule.open_min, schedule.open_min, note))
    return events


def _holds(made: _Maker, closure: ClosurePlan, design: CoverDesign) -> list[Event]:
    ends = {p.step: p.end_min for p in closure.solution.schedule.of(design.cover)}
    out = []
    for hold in design.holds:
        if hold.after_step in ends:
            at_min = ends[hold.after_step]
            key = f"hold/{design.cover}/{hold.after_step}/{hold.name}"
            out.append(made.span(key, f"{design.cover}: HOLD: {plain_name(hold.name)}", at_min, at_min, hold.what))
    return out


class _Maker:
    """Makes events of one closure with their identifiers and stamp."""

    def __init__(self, plan: Plan, closure: ClosurePlan, streets: str) -> None:
        self.plan, self.closure, self.streets = plan, closure, streets

    def span(self, key: str, name: str, start_min: int, end_min: int, text: str) -> Event:
        shut = self.closure.shut.astimezone(UTC)
        start, end = (shut + timedelta(minutes=m) for m in (start_min, end_min))
        return self.event(key, name, start, end, text)

    def event(self, key: str, name: str, start: datetime, end: datetime, text: str) -> Event:
        from icalendar import Event

        event = Event()
        whole = f"{self.plan.reference}/{self.closure.closure}/{key}"
        event.add("uid", f"{uuid.uuid5(_SPACE, whole)}")
        event.add("dtstamp", self.closure.shut.astimezone(UTC))
        event.add("summary", name)
        event.add("description", text)
        event.add("location", self.streets)
        event.add("dtstart", start.astimezone(UTC))
        if end > start:
            event.add("dtend", end.astimezone(UTC))
        return event
