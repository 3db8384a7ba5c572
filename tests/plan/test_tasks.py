"""A designed cover becomes tasks and lags."""

import pytest

from plan.sample import case, shelf
from truebed.plan.clocks import read_clocks
from truebed.plan.tasks import drivers_of, job_of, lag_of, minutes
from truebed.programme.problem import OPEN
from truebed.sheets.method import Duration

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
