"""The page that tells when layers are ready: straight between hours, 'late' past the opening, frost said."""

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from papers.sample_plan import sample_closure
from truebed.curing.clocks import ClockReading
from truebed.curing.hour_clocks import HourTime
from truebed.curing.two_clocks import Band
from truebed.papers.ready_words import (
    NEVER,
    NOT_ASKED,
    base_table,
    frost_words,
    late_at_min,
    latest_rows,
    opening_clocks,
    placed_table,
    ready_words,
    whole_hours,
)
from truebed.plan.releases import LayerRelease, ReleaseLine
from truebed.programme.reach import LatestStart

CLOSURE, ZONE = sample_closure(), ZoneInfo("Europe/London")


def hours(*rows):
    return tuple(HourTime(at, Band(None, None, late), None, frost) for at, late, frost in rows)


def reading(pour="fill", kind="strength", target=20.0, **changes):
    made = ClockReading(pour, "Marl flow", kind, target, 150.0, 128.0, 181.0, 5.0, "air 02:00")
    return replace(made, **{"hours": hours((90.0, 100.0, 0.0), (150.0, 130.0, 0.0), (210.0, None, 0.4)), **changes})


def line(base_c, late, central=50.0, frost=0.0):
    return ReleaseLine(base_c, Band(None, central, late), frost)


ONE_LINE = (line(5.0, 90.2, 70.1),)


def release(pour="fill", kind="strength", target=20.0, lines=ONE_LINE):
    return LayerRelease(pour, "marl-flow", kind, target, lines)


def design(clocks=None, releases=None):
    known = (reading(),) if clocks is None else clocks
    return replace(CLOSURE.designed[0], clocks=known, releases=(release(),) if releases is None else releases)


def test_minutes_are_straight_between_two_hours_and_exact_at_them():
    one = reading(hours=hours((90.0, 100.0, 0.0), (150.0, 130.0, 0.0)))
    assert late_at_min(one, 90.0) == 100.0
    assert late_at_min(one, 150.0) == 130.0
    assert late_at_min(one, 110.0) == pytest.approx(110.0)
    assert late_at_min(one, 120.0) == pytest.approx(115.0)


def test_outside_the_hours_nothing_is_told_but_half_an_hour_before_and_one_hour_after_take_the_end():
    one = reading(hours=hours((90.0, 100.0, 0.0), (150.0, 130.0, 0.0)))
    assert late_at_min(one, 59.9) is None
    assert late_at_min(one, 60.0) == 100.0
    assert late_at_min(one, 210.0) == 130.0
    assert late_at_min(one, 210.1) is None
    assert late_at_min(reading(hours=()), 90.0) is None


def test_beside_an_hour_that_is_never_ready_it_is_never_ready():
    assert late_at_min(reading(), 150.1) == float("inf")
    assert late_at_min(reading(), 150.0) == 130.0
    assert late_at_min(reading(), 149.9) == pytest.approx(129.95)


def test_whole_hours_are_those_of_the_clock_on_the_wall():
    assert whole_hours(CLOSURE, ZONE) == tuple(range(0, 601, 60))
    quarter = replace(CLOSURE, shut=CLOSURE.shut.replace(minute=15))
    assert whole_hours(quarter, ZONE) == tuple(range(45, 586, 60))


def test_a_layer_placed_at_each_hour_is_told_by_the_clock_and_never_where_it_freezes():
    table = placed_table(CLOSURE, design(), ZONE)
    assert table["heads"] == ["Fill: 20 N/mm\u00b2"]
    rows = {row["at"]: row["cells"][0] for row in table["rows"]}
    assert list(rows) == ["21:00", "22:00", "23:00", "00:00"]
    # 20:00 + 60 + 100; 120 + 115; from 22:30 on it is never
    assert rows["21:00"] == {"text": "22:40", "late": ""}
    assert rows["22:00"] == {"text": "23:55", "late": ""}
    assert rows["23:00"] == rows["00:00"] == {"text": NEVER, "late": "late"}


def test_what_is_ready_after_the_opening_is_flagged_and_to_the_minute_not():
    at_last = reading(hours=hours((420.0, 120.0, 0.0), (480.0, 120.0, 0.0), (540.0, 120.0, 0.0)))
    rows = {r["at"]: r["cells"][0] for r in placed_table(CLOSURE, design(clocks=(at_last,)), ZONE)["rows"]}
    assert rows["04:00"] == {"text": "06:00", "late": ""}
    assert rows["05:00"] == {"text": "07:00", "late": "late"}
    over = reading(hours=hours((480.0, 120.01, 0.0)))
    rows = {r["at"]: r["cells"][0] for r in placed_table(CLOSURE, design(clocks=(over,)), ZONE)["rows"]}
    assert rows["04:00"] == {"text": "06:01", "late": "late"}


def test_only_waits_that_the_opening_asks_and_that_go_by_the_hour_have_a_column():
    other = (
        reading(kind="life", target=None, wait=False),
        reading(target=5.0),
        reading(hours=()),
        reading("bed"),
        reading(),
        reading(sheet="again"),
    )
    assert opening_clocks(design(clocks=other)) == (reading(),)


def test_the_base_table_rounds_up_and_tells_frost_from_never():
    fill = release(lines=(line(-2.0, None, None, 0.6), line(5.0, 90.2, 70.1), line(10.0, 60.0, None)))
    surface = release("surface", "ready", None, (line(5.0, None, None),))
    table = base_table((fill, surface, release(lines=(line(5.0, 1.0),)), release("bed", lines=())))
    assert table["heads"] == ["Fill: 20 N/mm\u00b2", "Surface: ready"]
    assert [row["temp"] for row in table["rows"]] == ["-2 \u00b0C", "5 \u00b0C", "10 \u00b0C"]
    cold, cool, mild = (row["cells"] for row in table["rows"])
    assert cold == [{"late": "freezes", "middle": ""}, {"late": NOT_ASKED, "middle": ""}]
    assert cool == [{"late": "91", "middle": "71"}, {"late": NEVER, "middle": ""}]
    assert mild[0] == {"late": "60", "middle": ""}


def test_frost_is_told_with_the_worst_share_and_silent_without_it():
    assert "up to 40% of the believable nights" in frost_words(design())
    dry = reading(hours=hours((90.0, 100.0, 0.0)))
    assert frost_words(design(clocks=(dry,))) == ""


def test_the_latest_minute_is_told_for_the_lift_and_once_for_each_pour_of_that_cover():
    latest = (
        LatestStart("K11", "lift", 90, lift=True),
        LatestStart("K11", "mix-bed", 110),
        LatestStart("K11", "set-frame", 115),
        LatestStart("K11", "clean", 100),
        LatestStart("K12", "mix-bed", 200),
    )
    rows = latest_rows(replace(CLOSURE, latest=latest), "K11", ZONE)
    assert [(r["name"], r["by"], r["lift"]) for r in rows] == [
        ("Lift the frame", "21:30", "lift"),
        ("Mix the bed", "21:50", ""),
    ]
    assert latest_rows(CLOSURE, "K13", ZONE) == []


def test_the_page_carries_the_closures_protection():
    words = ready_words(replace(CLOSURE, protection="blanket"), design(), ZONE)
    assert words["protection"] == "blanket"
    assert words["placed"] == placed_table(CLOSURE, design(), ZONE)
