"""Rows for calendar, Gantt chart, map and comparison: each cover once, dates and closures agree."""

from datetime import date, timedelta

from programme.campaign_sample import FIRST, campaign, cover
from truebed.programme.campaign import plan_campaign, totals_of
from truebed.programme.campaign_rows import calendar_rows, compare_rows, gantt_rows, map_rows

MADE = campaign(
    cover("A", "Dock", "long", due=FIRST), cover("B", "Dock", due=date(2027, 2, 27)), cover("C", "Back"),
    cover("D", "High", "too long"),
)  # fmt: skip
PLAN = plan_campaign(MADE)


def test_the_calendar_is_by_date_with_kind_hours_kits_and_the_last_day_to_ask():
    rows = calendar_rows(MADE, PLAN)
    assert [(r.number, r.night, r.kind, r.streets) for r in rows] == [
        (1, FIRST, "lane", ("Back",)), (2, FIRST, "full", ("Dock",)),
    ]  # fmt: skip
    assert [r.ask_by for r in rows] == [FIRST - timedelta(days=7), FIRST - timedelta(days=14)]
    assert [(r.kits, r.shut_at_min, r.open_by_min) for r in rows] == [(1, 1200, 1340), (3, 1200, 1340)]


def test_the_gantt_has_every_street_and_the_first_shut_on_top():
    rows = gantt_rows(MADE, PLAN)
    assert [(r.street, r.nights, r.covers) for r in rows] == [
        ("Back", (FIRST,), 1), ("Dock", (FIRST,), 2), ("High", (), 0), ("Mill", (), 0),
    ]  # fmt: skip


def test_the_map_has_every_cover_with_its_closure_and_lateness():
    rows = map_rows(MADE, PLAN)
    assert [(r.cover, r.closure, r.night, r.late_days) for r in rows] == [
        ("A", 2, FIRST, 0), ("B", 2, FIRST, 2), ("C", 1, FIRST, 0), ("D", 0, None, None),
    ]  # fmt: skip


def test_the_comparison_puts_every_level_beside_its_bound():
    totals = totals_of(MADE, PLAN)
    rows = {r.figure: (r.ours, r.theirs, r.bound) for r in compare_rows(totals, totals, PLAN)}
    assert rows["crew-nights"] == (2, 2, 2)
    assert rows["closures"] == (2, 2, 2)
    assert rows["hard covers late"] == (0, 0, None)
