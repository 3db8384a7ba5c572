"""The plan as rows for a calendar, a Gantt chart, a map and the comparison: plain values, formatted elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from truebed.programme.campaign_calendar import late_days, shift_of
from truebed.programme.campaign_types import Campaign, CampaignPlan, CampaignTotals, Kind


@dataclass(frozen=True, slots=True)
class CalendarRow:
    """One closure. number from 1 in order of date; shut and open minutes of the clock after the night's midnight.

    ask_by      the last day on which it may still be asked for
    """

    number: int
    night: date
    kind: Kind
    streets: tuple[str, ...]
    lane: str
    shut_at_min: int
    open_by_min: int
    ask_by: date
    crews: tuple[tuple[str, ...], ...]
    kits: int


@dataclass(frozen=True, slots=True)
class GanttRow:
    """One street: the nights on which it is shut, its embargoes' place beside, and when its last cover is done."""

    street: str
    nights: tuple[date, ...]
    kinds: tuple[Kind, ...]
    covers: int
    embargoes: tuple[tuple[date, date], ...]


@dataclass(frozen=True, slots=True)
class MapRow:
    """One cover on the map: closure 0 and night None where it is left out."""

    cover: str
    x_m: float
    y_m: float
    street: str
    closure: int
    night: date | None
    due: date
    late_days: int | None


@dataclass(frozen=True, slots=True)
class CompareRow:
    """One figure of two plans beside each other."""

    figure: str
    ours: int
    theirs: int
    bound: int | None


def calendar_rows(campaign: Campaign, plan: CampaignPlan) -> tuple[CalendarRow, ...]:
    """Closure by closure, by date then street.

    Source      algebra
    Proved by   tests/programme/test_campaign_rows.py
    """
    kits = {w.work: w.kits for w in campaign.works}
    work = {c.cover: c.work for c in campaign.covers}
    rows: list[CalendarRow] = []
    for closure in sorted(plan.closures, key=lambda c: (c.night, c.streets, c.lane)):
        shift = shift_of(campaign, closure.kind)
        if shift is None:
            raise AssertionError("a closure was planned of a kind that the works has not")
        rows.append(
            CalendarRow(
                len(rows) + 1, closure.night, closure.kind, closure.streets, closure.lane, shift.shut_at_min,
                shift.open_by_min, closure.night - timedelta(days=shift.lead_days),
                tuple(crew.covers for crew in closure.crews),
                sum(kits[work[name]] for crew in closure.crews for name in crew.covers),
            )
        )  # fmt: skip
    return tuple(rows)


def gantt_rows(campaign: Campaign, plan: CampaignPlan) -> tuple[GanttRow, ...]:
    """Street by street, the one that is shut first on top; streets that are never shut at the end.

    Source      algebra
    Proved by   tests/programme/test_campaign_rows.py
    """
    street_of = {c.cover: c.street for c in campaign.covers}
    rows: list[GanttRow] = []
    for street in campaign.streets:
        mine = sorted((c.night, c.kind) for c in plan.closures if street.street in c.streets)
        done = [n for c in plan.closures for crew in c.crews for n in crew.covers if street_of[n] == street.street]
        rows.append(
            GanttRow(street.street, tuple(n for n, _k in mine), tuple(k for _n, k in mine), len(done), street.embargoes)
        )
    return tuple(sorted(rows, key=lambda r: (not r.nights, r.nights, r.street)))


def map_rows(campaign: Campaign, plan: CampaignPlan) -> tuple[MapRow, ...]:
    """Cover by cover in the order given.

    Source      algebra
    Proved by   tests/programme/test_campaign_rows.py
    """
    closure_of = {n: (r.number, r.night) for r in calendar_rows(campaign, plan) for crew in r.crews for n in crew}
    rows: list[MapRow] = []
    for c in campaign.covers:
        number, night = closure_of.get(c.cover, (0, None))
        late = None if night is None else late_days(c, night)
        rows.append(MapRow(c.cover, c.x_m, c.y_m, c.street, number, night, c.due, late))
    return tuple(rows)


def compare_rows(ours: CampaignTotals, theirs: CampaignTotals, plan: CampaignPlan) -> tuple[CompareRow, ...]:
    """The levels of the objective of two plans, with the bounds of the first where there are any.

    Source      algebra
    Proved by   tests/programme/test_campaign_rows.py
    """
    bounds = plan.bounds
    return (
        CompareRow("hard covers late", ours.hard_late, theirs.hard_late, None),
        CompareRow("harm x days late", ours.lateness, theirs.lateness, None if bounds is None else bounds.lateness),
        CompareRow("closures", ours.closures, theirs.closures, None if bounds is None else bounds.closures),
        CompareRow("crew-nights", ours.crew_nights, theirs.crew_nights, None if bounds is None else bounds.crew_nights),
        CompareRow("metres driven", round(ours.van_m), round(theirs.van_m), None),
        CompareRow("covers late", ours.covers_late, theirs.covers_late, None),
    )
