"""Spreads: defaults with their sources, records fitted with shrinkage, waits taken once from their clock's range."""

import math

import numpy as np
import pytest
from scipy.optimize import minimize

from truebed.programme.problem import OPEN, Lag
from truebed.programme.spread import (
    TO_LATE_SD,
    Past,
    default_spreads,
    duration_defaults,
    fit_spreads,
    log_sd,
    wait_spread,
)
from truebed.sources import READ_AS


def test_every_default_says_where_it_comes_from():
    assert all(d.source and d.read_as in READ_AS and d.note for d in duration_defaults().values())


def test_the_logarithms_spread_gives_back_the_coefficient_of_variation():
    sd = log_sd(0.25)
    assert math.sqrt(math.exp(sd * sd) - 1.0) == pytest.approx(0.25, rel=1e-12)


def records(count, bias, sd, seed=3):
    rng = np.random.default_rng(seed)
    return [Past("saw", 20.0, 20.0 * bias * math.exp(sd * z)) for z in rng.standard_normal(count)]


def test_the_fit_is_the_greatest_of_the_penalised_likelihood_by_a_general_optimiser():
    spreads, prior = default_spreads(), 8.0
    past = records(12, 1.2, 0.4)
    logs = np.log([p.actual_min / p.planned_min for p in past])
    before = spreads.default.own_sd**2 + spreads.night_sd**2

    def loss(x):
        mu, log_s = x
        v = math.exp(2 * log_s)
        own = float(((logs - mu) ** 2).sum()) / (2 * v) + len(logs) * log_s
        return own + prior * ((before + mu * mu) / (2 * v) + log_s)

    best = minimize(loss, [0.0, -1.0], method="Nelder-Mead", options={"xatol": 1e-10, "fatol": 1e-12, "maxiter": 4000})
    fitted = fit_spreads(past, spreads, prior).of("saw")
    assert math.log(fitted.bias_ratio) == pytest.approx(best.x[0], abs=1e-6)
    assert math.hypot(fitted.own_sd, spreads.night_sd) == pytest.approx(math.exp(best.x[1]), abs=1e-6)


def test_few_records_move_the_default_a_little_and_many_replace_it():
    spreads = default_spreads()
    few = fit_spreads(records(2, 1.5, 0.1), spreads, 8.0).of("saw")
    many = fit_spreads(records(4000, 1.5, 0.4), spreads, 8.0).of("saw")
    assert 1.0 < few.bias_ratio < 1.2
    assert many.bias_ratio == pytest.approx(1.5, rel=0.03)
    assert math.hypot(many.own_sd, spreads.night_sd) == pytest.approx(0.4, rel=0.05)
    assert (few.count, many.count) == (2, 4000)
    assert fit_spreads(records(5, 1.5, 0.1), spreads, 8.0).of("seal") == spreads.default


@pytest.mark.parametrize("wrong", [Past("saw", 0.0, 5.0), Past("saw", 5.0, -1.0), Past("saw", 5.0, math.nan)])
def test_a_record_without_minutes_is_named(wrong):
    with pytest.raises(ValueError, match="'saw'"):
        fit_spreads([wrong], default_spreads(), 8.0)


def lag(least, late=None, middle=None):
    return Lag("pour", "end", OPEN, "start", least, None, "", late_min=late, middle_min=middle)


def test_a_clocks_own_range_is_the_whole_spread_with_the_shared_temperature_taken_out_of_it():
    spreads = default_spreads()
    found = wait_spread(lag(60, late=90), spreads)
    assert found.median_min == 60.0
    assert math.hypot(found.own_sd, found.temperature_sd) == pytest.approx(math.log(1.5) / TO_LATE_SD)
    assert found.temperature_sd == spreads.temperature_sd


def test_a_wait_planned_at_its_late_end_is_not_widened_twice():
    found = wait_spread(lag(90, late=90, middle=60), default_spreads())
    late = found.median_min * math.exp(TO_LATE_SD * math.hypot(found.own_sd, found.temperature_sd))
    assert late == pytest.approx(90.0)
    unknown = wait_spread(lag(90, late=90), default_spreads())
    assert (unknown.median_min, unknown.own_sd, unknown.temperature_sd) == (90.0, 0.0, 0.0)


def test_a_mere_order_of_steps_does_not_vary():
    found = wait_spread(lag(0), default_spreads())
    assert (found.median_min, found.own_sd, found.temperature_sd) == (0.0, 0.0, 0.0)
