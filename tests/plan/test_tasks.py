"""A designed cover becomes tasks and lags."""

from dataclasses import replace

import pytest

from plan.sample import case, shelf
from truebed.curing.clocks import ClockReading
from truebed.curing.hour_clocks import HourTime
from truebed.curing.two_clocks import Band
from truebed.plan.clocks import KnownClock, read_clocks
from truebed.plan.tasks import NEVER_MIN, drivers_of, job_of, lag_of, minutes, pour_starts, tasks_of
from truebed.programme.problem import OPEN
from truebed.sheets.method import Clock, Duration, Link
from truebed.why import Why

TARGETS = {"bed": 12.0, "fill": 12.0, "backfill": None, "surface": None, "seal": None}


def known():
    return read_clocks(shelf().methods["five-layer"], shelf().sheets, TARGETS, case().temps, shelf().rules)


def test_durations_add_base_and_drivers_and_round_up():
    assert minutes(Duration(5.0, (("saw_m", 2.6),)), {"saw_m": 4.2}) == 16
    assert minutes(Duration(5.0, (("dig_l", 0.1),)), {"dig_l": 50.0}) == 10
    assert minutes(Duration(0.2, ()), {}) == 1


def test_a_driver_that_is_not_known_is_never_nought_in_silence():
    with pytest.raises(KeyError, match="bed_kitz"):
        minutes(Duration(1.0, (("bed_kitz", 2.0),)), {"bed_kits": 3.0})


def test_least_lags_round_up_and_greatest_round_down():
    method = shelf().methods["five-layer"]
    for link in method.links:
        lag = lag_of(link, known())
        if link.greatest_clock is not None:
            exact = next(k.reading.minutes_min for k in known() if k.clock == link.greatest_clock and not k.wait)
            assert lag.greatest_min <= exact
        if link.least_clock is not None:
            exact = next(k.reading.minutes_min for k in known() if k.clock == link.least_clock and k.wait)
            assert exact <= lag.least_min <= exact + 1


def test_a_job_holds_every_step_and_every_way_to_the_opening():
    method = shelf().methods["five-layer"]
    drivers = drivers_of(case().cover, method.pours(), 4.5, 4.5, 80.0, ())
    assert drivers["bed_kits"] == 0.0
    job = job_of(case().cover, method, method.links, drivers, known())
    assert [t.step for t in job.tasks] == [s.key for s in shelf().methods["five-layer"].steps]
    assert {lag.from_step for lag in job.lags if lag.to_step == OPEN} >= {"set-frame", "pour-fill"}
    assert job.weight == 50
    saw = next(t for t in job.tasks if t.step == "saw")
    assert (saw.noisy, saw.tools, saw.minutes) == (True, ("saw",), pytest.approx(17))


def drivers():
    return drivers_of(case().cover, shelf().methods["five-layer"].pours(), 4.5, 4.5, 80.0, ())


def test_tasks_are_the_methods_steps_with_what_they_hold():
    found = tasks_of(case().cover, shelf().methods["five-layer"], drivers())
    saw = found[0]
    assert (saw.cover, saw.step, saw.minutes, saw.people, saw.skill) == ("X1", "saw", 17, 2, "saw")
    assert [t.step for t in found] == [s.key for s in shelf().methods["five-layer"].steps]


def test_a_pour_begins_no_earlier_than_the_steps_and_the_known_waits_before_it():
    cover, method = case().cover, shelf().methods["five-layer"]
    length = {t.step: t.minutes for t in tasks_of(cover, method, drivers())}
    chain = ("saw", "break-out", "lift", "clean")
    bare = pour_starts(cover, method, drivers(), 35, {})
    # 4 minutes between the measuring and the mixing of the bed; nothing precedes the mixing of the fill
    assert bare["bed"] == 35 + sum(length[s] for s in chain) + 4
    assert bare["fill"] == 35.0
    frame_down = bare["bed"] + length["mix-bed"] + length["set-frame"]
    proved = frame_down + length["read-levels"] + length["former"]
    assert bare["backfill"] == proved + length["pour-fill"] + length["strip"]
    waits = {Clock("bed", "set"): 60.9, Clock("fill", "set"): 20.0}
    waited = pour_starts(cover, method, drivers(), 35, waits)
    assert waited["bed"] == bare["bed"]
    # the bed's set, rounded down, is longer than reading and former; the fill's comes before stripping
    assert waited["backfill"] == frame_down + 60 + length["pour-fill"] + 20 + length["strip"]
    ready = pour_starts(cover, method, drivers(), 35, {**waits, Clock("backfill", "ready"): 80.0})
    assert ready["surface"] == waited["surface"] + 80


def test_waits_for_the_opening_and_lives_hold_no_pour_back():
    cover, method = case().cover, shelf().methods["five-layer"]
    held = {Clock("bed", "strength"): 500.0, Clock("bed", "life"): 300.0, Clock("surface", "ready"): 400.0}
    assert pour_starts(cover, method, drivers(), 35, held) == pour_starts(cover, method, drivers(), 35, {})


def test_a_wait_by_the_hour_is_late_for_the_opening_most_probable_between_steps_and_early_for_what_runs_out():
    hours = (
        HourTime(60.0, Band(80.2, 90.4, 100.1), 10.0, 0.0),
        HourTime(120.0, Band(85.9, 95.0, None), 8.0, 0.1),
    )
    reading = ClockReading("bed", "s", "strength", 12.0, 95.0, 85.9, 120.0, 8.0, "", True, 120.0, hours)
    clock, life = Clock("bed", "strength"), Clock("bed", "life")
    known = (
        KnownClock(clock, True, reading, Why("a", 1.0, "min", "b", "c")),
        KnownClock(
            life, False, replace(reading, kind="life", wait=False, used_min=80.2), Why("a", 1.0, "min", "b", "c")
        ),
    )
    opens = lag_of(Link("set-frame", "end", "open", "start", "why", least_clock=clock), known)
    assert opens.profile == ((60, 101), (120, NEVER_MIN))
    assert (opens.least_min, opens.middle_min) == (120, 95)
    between = lag_of(Link("set-frame", "end", "strip", "start", "why", least_min=91.0, least_clock=clock), known)
    assert between.profile == ((60, 91), (120, 95))
    assert between.middle_min is None
    within = lag_of(Link("mix-bed", "start", "set-frame", "end", "why", greatest_clock=life), known)
    assert within.greatest_profile == ((60, 80), (120, 85))
