"""Clock times in a closure, also over a change of the clocks."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

from papers.sample_plan import sample_closure
from truebed.drawings.clock import clock, clocks_change, moment, noise_ends_min, window_min

CLOSURE = sample_closure()
AUTUMN = replace(
    CLOSURE,
    shut=datetime(2031, 10, 25, 20, 0, tzinfo=timezone(timedelta(hours=1))),
    open_by=datetime(2031, 10, 26, 6, 0, tzinfo=UTC),
)


def test_minutes_after_the_shutting_are_clock_times() -> None:
    assert clock(CLOSURE, 0) == "20:00"
    assert clock(CLOSURE, 421) == "03:01"
    assert window_min(CLOSURE) == 600
    assert noise_ends_min(CLOSURE) == 180


def test_on_the_night_the_clocks_go_back_the_hour_counts_twice() -> None:
    london = ZoneInfo("Europe/London")
    assert window_min(AUTUMN) == 660
    assert clock(AUTUMN, 330, london) == "01:30"
    assert clock(AUTUMN, 390, london) == "01:30"
    assert clock(AUTUMN, 660, london) == "06:00"
    assert clocks_change(AUTUMN, london) == "The clocks go back by 60 minutes in this closure."
    assert clocks_change(AUTUMN, None) == clocks_change(AUTUMN, london)
    assert clocks_change(CLOSURE, london) == ""


def test_a_moment_is_exact_whatever_the_zone() -> None:
    assert moment(CLOSURE, 75, ZoneInfo("Europe/London")) == CLOSURE.shut + timedelta(minutes=75)
