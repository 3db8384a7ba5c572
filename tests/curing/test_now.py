"""Minutes left from probe readings: known histories without doubt, the filter against a full regression, refusals."""

import math

import numpy as np
import pytest

from truebed.curing.arrhenius import equivalent_age_min, rate_ratio
from truebed.curing.binder import Binder, age_to_strength_min
from truebed.curing.binder_band import BinderBand
from truebed.curing.now import ProbeReading, TempAhead, offset_now, remaining_time
from truebed.curing.site_readings import Drift, ProbePlace, site_readings
from truebed.errors import NotDeterminedError

CURVE = Binder("exponential", 45.0, 42.0, 0.9, 0.0, 33500.0, 125.0, 1.2, 2.0)
SURE = BinderBand(CURVE, 0.0, 0.0, 0.0, 0.0)
HERE = ProbePlace("here", 0.0, 0.0, "")
STILL = Drift(0.01, 1e-6, 1e-9, 20.0, "")
ACTIVATION_K = 33500.0 / 8.314462618
PLACES, DRIFT = site_readings().places, site_readings().drift


def steady(temp, until, every=5.0):
    return [ProbeReading(float(t), temp) for t in np.arange(0.0, until + 1e-9, every)]


@pytest.mark.parametrize(("temp", "minutes"), [(2.0, 130.277), (5.0, 111.244), (10.0, 86.137), (25.0, 42.100)])
def test_a_layer_that_keeps_its_temperature_is_ready_at_the_isothermal_time(temp, minutes):
    # isothermal times of the study's own case C5, to 20 N/mm2
    found = remaining_time(steady(temp, 20.0), SURE, 20.0, HERE, STILL)
    assert found.at_min + found.remaining_min == pytest.approx(minutes, abs=0.01)
    assert (found.early_min, found.late_min) == pytest.approx((found.remaining_min,) * 2, abs=0.01)


def test_two_stretches_and_a_path_ahead_add_up_as_the_sum_of_equivalent_ages():
    # study's case C7: 30 min at 12, 30 at 8, then 5 degC: 93.418 min to 20 N/mm2
    readings = [*steady(12.0, 30.0), *(ProbeReading(t + 0.001, 8.0) for t in np.arange(30.0, 61.0, 5.0))]
    ahead = TempAhead((0.0, 30.0, 30.001, 60.001, 60.002), (12.0, 12.0, 8.0, 8.0, 5.0))
    found = remaining_time(readings, SURE, 20.0, HERE, STILL, ahead)
    assert found.age_min == pytest.approx(37.0872, abs=0.02)
    assert found.at_min + found.remaining_min == pytest.approx(93.418, abs=0.6)
    after = equivalent_age_min([12.0, 8.0], [30.0, 30.0], 20.0, ACTIVATION_K)
    left = (age_to_strength_min(CURVE, 20.0) - after) / rate_ratio(5.0, 20.0, ACTIVATION_K)
    assert found.remaining_min == pytest.approx(left, abs=0.6)


def test_the_filter_finds_what_a_full_regression_on_the_same_model_finds():
    times = np.array([0.0, 4.0, 9.0, 11.0, 20.0])
    seen = np.array([1.0, 1.4, 2.2, 2.0, 3.1])
    # the whole path at once: covariance of (o, r) at all times by many small steps of the same process
    from truebed.curing.now import _step

    n = len(times)
    cov = np.zeros((2 * n, 2 * n))
    spread = np.diag([DRIFT.offset_sd**2, DRIFT.rate_sd**2])
    cov[:2, :2] = spread
    for i in range(1, n):
        go, more = _step(DRIFT, float(times[i] - times[i - 1]))
        cov[2 * i : 2 * i + 2, : 2 * i] = go @ cov[2 * i - 2 : 2 * i, : 2 * i]
        cov[: 2 * i, 2 * i : 2 * i + 2] = cov[2 * i : 2 * i + 2, : 2 * i].T
        cov[2 * i : 2 * i + 2, 2 * i : 2 * i + 2] = go @ cov[2 * i - 2 : 2 * i, 2 * i - 2 : 2 * i] @ go.T + more
    see = np.zeros((n, 2 * n))
    see[range(n), range(0, 2 * n, 2)] = 1.0
    gain = cov @ see.T @ np.linalg.inv(see @ cov @ see.T + DRIFT.reading_sd**2 * np.eye(n))
    mean, left = gain @ seen, cov - gain @ see @ cov
    readings = [ProbeReading(float(t), 10.0 + float(s)) for t, s in zip(times, seen, strict=True)]
    off = offset_now(readings, TempAhead((0.0,), (10.0,)), DRIFT)
    assert (off.offset_k, off.rate_k) == pytest.approx(tuple(mean[-2:]), rel=1e-9)
    assert np.array(off.covariance) == pytest.approx(left[-2:, -2:], rel=1e-8)


def test_a_step_of_the_drift_is_the_same_in_one_and_in_many():
    from truebed.curing.now import _step

    go, more = _step(DRIFT, 30.0)
    state, spread = np.eye(2), np.zeros((2, 2))
    for _ in range(60):
        one, add = _step(DRIFT, 0.5)
        state, spread = one @ state, one @ spread @ one.T + add
    assert state == pytest.approx(go, rel=1e-10, abs=1e-14)
    assert spread == pytest.approx(more, rel=1e-9, abs=1e-14)


def test_readings_that_come_in_narrow_the_range_in_clock_time():
    band = BinderBand(CURVE, 0.03, 0.03, 0.0, 1500.0)
    widths = []
    for until in (5.0, 40.0, 90.0):
        found = remaining_time(steady(6.0, until), band, 20.0, PLACES["slowest face"], DRIFT)
        widths.append(found.late_min - found.early_min)
    assert widths[0] > widths[1] > widths[2]


def test_a_colder_spot_and_a_colder_outlook_both_lengthen_the_wait():
    band = BinderBand(CURVE, 0.05, 0.08, 0.0, 3000.0)
    readings = steady(8.0, 30.0)
    plain = remaining_time(readings, band, 20.0, PLACES["slowest face"], DRIFT)
    other = remaining_time(readings, band, 20.0, PLACES["other face"], DRIFT)
    cooling = TempAhead((0.0, 30.0, 60.0, 120.0), (8.0, 8.0, 3.0, 1.0))
    colder = remaining_time(readings, band, 20.0, PLACES["slowest face"], DRIFT, cooling)
    assert plain.remaining_min < min(other.remaining_min, colder.remaining_min)
    assert plain.late_min < min(other.late_min, colder.late_min)


def test_a_strength_that_is_there_leaves_nothing_and_one_never_reached_is_endless():
    done = remaining_time(steady(15.0, 300.0), BinderBand(CURVE, 0.05, 0.05, 0.0, 0.0), 20.0, HERE, DRIFT)
    assert (done.late_min, done.reached_share) == (0.0, 1.0)
    assert done.strength_low_n_per_mm2 > 20.0
    never = remaining_time(steady(15.0, 30.0), BinderBand(CURVE, 0.05, 0.05, 0.0, 0.0), 60.0, HERE, DRIFT)
    assert never.late_min == math.inf
    assert never.reached_share == 0.0


def test_frost_counts_for_nothing_and_is_told():
    found = remaining_time(steady(-1.0, 60.0), SURE, 20.0, HERE, STILL)
    assert found.froze
    assert found.age_min == 0.0
    assert found.remaining_min == math.inf


def test_the_gap_before_the_first_reading_is_told():
    readings = [ProbeReading(25.0, 9.0), ProbeReading(30.0, 9.0)]
    assert remaining_time(readings, SURE, 20.0, HERE, STILL).longest_gap_min == 25.0


@pytest.mark.parametrize(
    ("readings", "says"),
    [
        ([], "No probe reading"),
        ([ProbeReading(5.0, 9.0), ProbeReading(5.0, 9.0)], "forward in time"),
        ([ProbeReading(5.0, 9.0), ProbeReading(3.0, 9.0)], "forward in time"),
        ([ProbeReading(-1.0, 9.0)], "forward in time"),
        ([ProbeReading(5.0, 104.0)], "Fahrenheit"),
        ([ProbeReading(5.0, math.nan)], "not believed"),
    ],
)
def test_readings_that_cannot_be_are_refused(readings, says):
    with pytest.raises(NotDeterminedError, match=says):
        remaining_time(readings, SURE, 20.0, HERE, DRIFT)


def test_the_same_readings_give_the_same_minutes_again():
    band = BinderBand(CURVE, 0.05, 0.08, 0.0, 3000.0)
    assert remaining_time(steady(8.0, 30.0), band, 20.0, HERE, DRIFT) == remaining_time(
        steady(8.0, 30.0), band, 20.0, HERE, DRIFT
    )


def test_frost_of_the_slowest_spot_counts_while_it_is_weak_and_not_once_it_stands_it():
    there = ProbePlace("there", 2.0, 0.0, "")
    weak = [*steady(15.0, 10.0), ProbeReading(20.0, 1.0), *(ProbeReading(t, 15.0) for t in (30.0, 60.0))]
    lost = remaining_time(weak, SURE, 20.0, there, STILL, None, 5.0)
    assert (lost.frost_share, lost.remaining_min, lost.late_min) == (1.0, math.inf, math.inf)
    assert remaining_time(weak, SURE, 20.0, there, STILL).remaining_min < math.inf
    strong = [*steady(15.0, 90.0), ProbeReading(100.0, 1.0), ProbeReading(110.0, 15.0)]
    stood = remaining_time(strong, SURE, 30.0, there, STILL, None, 5.0)
    assert stood.strength_n_per_mm2 > 10.0
    assert stood.frost_share == 0.0
    assert math.isfinite(stood.late_min)
