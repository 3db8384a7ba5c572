"""The clocks that the programme takes: which edge, which hour, what is refused and with which words."""

from dataclasses import replace
from datetime import timedelta

import pytest

from plan.night_case import case_with, clock, clocks, parts, plain_clocks
from truebed.curing.hour_clocks import HourTime
from truebed.curing.two_clocks import Band
from truebed.errors import NotDesignedError, NotDeterminedError
from truebed.plan.night_clocks import _governing, least_min_of
from truebed.plan.pours import pour_of

WINDOW = 600.0


def test_what_opens_the_road_is_taken_late_what_runs_out_early_and_a_wait_between_steps_in_the_middle():
    known = plain_clocks()
    for pour, kind in (("bed", "strength"), ("fill", "strength"), ("backfill", "ready"), ("seal", "ready")):
        reading = clock(known, pour, kind).reading
        assert reading.planned_min == reading.late_min > reading.minutes_min
    for pour, kind in (("bed", "life"), ("bed", "set"), ("surface", "life")):
        reading = clock(known, pour, kind, wait=False).reading
        assert reading.planned_min == reading.early_min < reading.minutes_min
    for pour in ("bed", "fill", "surface"):
        reading = clock(known, pour, "set").reading
        assert reading.planned_min == reading.minutes_min
        assert reading.early_min < reading.minutes_min < reading.late_min


def test_of_the_hours_that_still_open_the_slowest_governs_and_of_all_hours_the_fastest_a_life():
    too_late = 0
    for one in plain_clocks():
        hours = one.reading.hours
        if one.wait and one.reading.planned_min == one.reading.late_min:
            able = [h.band.late_min for h in hours if h.start_min + h.band.late_min <= WINDOW]
            assert one.reading.late_min == max(able)
            too_late += len(hours) - len(able)
        if not one.wait:
            assert one.reading.early_min == min(h.band.early_min for h in hours)
    assert too_late > 0


def rows(*given):
    return tuple(HourTime(start, Band(*band), 10.0, share) for start, band, share in given)


def bed():
    case, volumes = case_with(), parts()[0]
    return case, pour_of(case, "bed", volumes, 90.0)


def test_an_hour_too_late_to_open_the_road_does_not_govern_however_slow_it_is():
    case, pour = bed()
    hours = rows(
        (90.0, (80.0, 90.0, 100.0), 0.0), (480.0, (85.0, 100.0, 119.0), 0.0), (540.0, (150.0, 200.0, 300.0), 0.0)
    )
    assert _governing(case, pour, hours, 14.0, wait=True, opens=True).start_min == 480.0
    edge = (*hours[:1], replace(hours[1], start_min=482.0))
    assert _governing(case, pour, edge, 14.0, wait=True, opens=True).start_min == 90.0
    assert _governing(case, pour, edge, 14.0, wait=True, opens=False).start_min == 482.0


def test_where_no_hour_opens_the_first_is_told():
    case, pour = bed()
    hours = rows((90.0, (500.0, 550.0, 700.0), 0.0), (150.0, (450.0, 550.0, 700.0), 0.0))
    assert _governing(case, pour, hours, 14.0, wait=True, opens=True).start_min == 90.0


def test_an_hour_that_freezes_is_refused_with_its_share_only_where_it_could_open():
    case, pour = bed()
    hours = rows((90.0, (80.0, 90.0, 100.0), 0.0), (150.0, (80.0, 90.0, None), 0.23), (590.0, (80.0, 90.0, None), 0.9))
    with pytest.raises(NotDesignedError, match="freeze before it has 5 N/mm² in 23% of the believable nights") as lost:
        _governing(case, pour, hours, 14.0, wait=True, opens=True)
    assert "placed 150 minutes after the road shuts" in lost.value.reason
    assert "blanket" in lost.value.mend
    assert _governing(case, pour, (hours[0], hours[2]), 14.0, wait=True, opens=True) is hours[0]
    slow = rows((90.0, (80.0, 90.0, None), 0.0))
    with pytest.raises(NotDesignedError, match="does not believably reach 14 N/mm² within two days"):
        _governing(case, pour, slow, 14.0, wait=True, opens=True)


def test_an_hour_that_most_probably_freezes_is_not_passed_over_for_one_that_does_not():
    case, pour = bed()
    none = (None, None, None)
    hours = rows((90.0, (80.0, 90.0, 100.0), 0.0), (210.0, none, 0.8), (270.0, none, 0.7))
    with pytest.raises(NotDesignedError, match=r"placed 210 minutes .* in 80% of the believable nights"):
        _governing(case, pour, hours, 14.0, wait=True, opens=True)
    too_late = (hours[0], replace(hours[1], start_min=511.0))
    assert _governing(case, pour, too_late, 14.0, wait=True, opens=True) is hours[0]
    with pytest.raises(NotDesignedError, match="in 80% of the believable nights"):
        _governing(case, pour, hours[1:], 14.0, wait=True, opens=True)


def test_frost_between_the_last_hour_that_opens_and_the_next_is_not_passed_over():
    case, pour = bed()
    # the last that opens at 450 has 50 minutes to spare; the next, too late itself, freezes in 30 % of the nights
    hours = rows(
        (390.0, (80.0, 90.0, 100.0), 0.0), (450.0, (80.0, 90.0, 100.0), 0.02), (510.0, (80.0, 95.0, None), 0.30)
    )
    with pytest.raises(NotDesignedError, match=r"placed 500 minutes .* in 25% of the believable nights"):
        _governing(case, pour, hours, 14.0, wait=True, opens=True)
    seldom = (*hours[:2], replace(hours[2], frost_share=0.055))
    assert _governing(case, pour, seldom, 14.0, wait=True, opens=True).start_min in (390.0, 450.0)
    tight = rows((390.0, (80.0, 90.0, 100.0), 0.0), (499.0, (80.0, 90.0, 100.0), 0.0), (559.0, (80.0, 95.0, None), 0.3))
    assert _governing(case, pour, tight, 14.0, wait=True, opens=True).start_min in (390.0, 499.0)


def test_a_night_outside_the_sheets_temperatures_is_not_allowed_by_the_sheet_and_the_temperature_is_named():
    with pytest.raises(NotDeterminedError, match=r"not allowed by the sheet: .*mix 31 °C.* from 5 to 30 °C"):
        clocks(case_with(mix_c=31.0))
    with pytest.raises(NotDeterminedError, match="not allowed by the sheet: air 4 °C, base 4 °C"):
        clocks(case_with(air_c=4.0, road_c=12.0))


def test_a_hot_day_is_not_let_pass_because_the_forecast_leaves_the_road_out():
    closure = case_with().closure
    day = {
        name: getattr(closure, name) - timedelta(hours=10)
        for name in ("road_shut_from", "road_open_by", "noisy_work_ends")
    }
    hot = case_with(air_c=27.0, road_c=None, **day)
    said = r"not allowed by the sheet: base .* °C.*; the road is not given, so the base is as warm as the sun can make"
    with pytest.raises(NotDeterminedError, match=said):
        clocks(hot)
    assert clock(clocks(case_with(air_c=27.0, road_c=29.0, **day)), "bed", "strength").reading.late_min > 0.0


def test_of_waits_between_steps_the_hour_with_the_longest_probable_wait_governs():
    case, pour = bed()
    hours = rows((90.0, (80.0, 90.0, 140.0), 0.0), (150.0, (80.0, 100.0, 120.0), 0.0))
    assert _governing(case, pour, hours, 14.0, wait=True, opens=False).start_min == 150.0
    assert _governing(case, pour, hours, 14.0, wait=True, opens=True).start_min == 90.0


def test_a_frosty_night_under_zero_is_refused_by_the_sheet_or_by_frost():
    with pytest.raises(NotDeterminedError, match="not allowed by the sheet: air -3 °C"):
        clocks(case_with(air_c=-3.0, road_c=-1.0, mix_c=8.0, method="winter"))


def test_a_strength_past_the_sheets_last_datum_is_never_promised():
    with pytest.raises(NotDeterminedError, match="nothing past it is promised"):
        clocks(case_with(), bed=38.0)


def test_no_pour_is_placed_before_the_steps_and_the_least_waits_before_it():
    known = plain_clocks()
    first = {k.reading.pour: k.reading.hours[0].start_min for k in known}
    least = least_min_of(clock(known, "backfill", "ready").reading)
    assert first["surface"] >= first["backfill"] + least - 1.0
    assert first["bed"] > 35.0


def test_the_least_minutes_are_the_earliest_of_any_hour():
    reading = clock(plain_clocks(), "bed", "strength").reading
    assert least_min_of(reading) == min(h.band.early_min for h in reading.hours) < reading.early_min


def test_a_colder_night_waits_longer_and_leaves_more_working_life():
    cold, warm = (
        clocks(case_with(air_c=8.0, road_c=8.0, mix_c=12.0)),
        clocks(case_with(air_c=16.0, road_c=16.0, mix_c=18.0)),
    )
    for one, other in zip(cold, warm, strict=True):
        assert one.clock == other.clock
        assert one.reading.minutes_min > other.reading.minutes_min


def test_each_clock_is_there_once_in_the_order_in_which_the_method_asks():
    keys = [(k.clock, k.wait) for k in plain_clocks()]
    assert len(keys) == len(set(keys)) == 13
