"""Minutes to lesser strengths are of the same minute of placing as those to the opening's own."""

from dataclasses import replace
from itertools import pairwise

import pytest

from plan.night_case import case_with, clock, parts, plain_clocks
from truebed.curing.hour_clocks import HourTime
from truebed.curing.two_clocks import Band
from truebed.plan.strength_aids import _waits, late_between, share_past


def rows(*late):
    return tuple(HourTime(60.0 * i, Band(None, None, one), None, 0.0) for i, one in enumerate(late))


def test_the_share_is_that_of_the_minute_between_two_hours():
    reading = replace(clock(plain_clocks(), "bed", "strength").reading, hours=rows(100.0, 120.0, None), at_min=0.0)
    assert share_past(replace(reading, late_min=105.0)) == pytest.approx(0.25)
    assert share_past(replace(reading, late_min=100.0)) == 0.0
    assert share_past(replace(reading, late_min=130.0)) == 1.0
    assert share_past(replace(reading, at_min=60.0, late_min=125.0)) == 0.0
    assert share_past(replace(reading, at_min=120.0)) == 0.0


def test_minutes_between_two_hours_are_never_told_where_the_next_has_none():
    assert late_between(rows(40.0, 48.0), 0.25) == pytest.approx(42.0)
    assert late_between(rows(40.0, 48.0), 0.0) == 40.0
    assert late_between(rows(40.0, None), 0.5) is None
    assert late_between(rows(40.0, None), 0.0) == 40.0
    assert late_between(rows(40.0), 0.5) == 40.0
    assert late_between(rows(None, 40.0), 0.5) is None


def test_the_openings_own_strength_comes_out_at_its_own_minutes():
    known = clock(plain_clocks(), "bed", "strength")
    target, hours = known.reading.target_n_per_mm2, known.reading.hours
    own, after = next((a, b) for a, b in pairwise(hours) if b.band.late_min > a.band.late_min + 0.5)
    between = (own.band.late_min + after.band.late_min) / 2.0
    for late_min in (own.band.late_min, between):
        at_minute = replace(known, reading=replace(known.reading, at_min=own.start_min, late_min=late_min))
        found = _waits(case_with(), at_minute, (target,), parts()[0])
        assert found[target] == pytest.approx(late_min, abs=0.05)
