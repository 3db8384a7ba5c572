"""Odds, limits, latest safe starts and what carries the risk, on a night small enough to reason about."""

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from programme.sample import after, job, problem, task, to_open, wet_closure
from truebed.programme.list_schedule import list_schedules
from truebed.programme.odds import latest_safe_starts, limits_of, odds_of, surely, what_carries_risk
from truebed.programme.problem import Placed, Schedule
from truebed.programme.recovery import usual_policy
from truebed.programme.replay import draw_nights, replay
from truebed.programme.spread import default_spreads

SPREADS = replace(default_spreads(), breakdown_share=0.0)


def two_steps(window=100):
    steps = [task("C1", "break", 20), task("C1", "bed", 30)]
    made = problem(job("C1", 3, steps, [after("break", "bed"), to_open("bed", 1)]), window=window, people=1)
    return made, Schedule(("C1",), (Placed("C1", "break", 0, 20), Placed("C1", "bed", 20, 50)), 51)


def test_odds_count_what_the_nights_hold():
    closure = wet_closure(3, window=190, noise=90)
    plan = list_schedules(closure)[0]
    closure = replace(closure, window_min=plan.open_min + 5)
    nights = replay(closure, plan, SPREADS, usual_policy(closure), draw_nights(closure, SPREADS, 2000, 4))
    odds = odds_of(nights)
    assert odds.open_probability == pytest.approx(np.mean(nights.open_min <= plan.open_min + 5))
    assert 0.3 < odds.open_probability < 0.99
    assert odds.low_probability <= odds.open_probability <= odds.high_probability
    assert odds.covers_mean_count + odds.dropped_mean_count + odds.safe_mean_count == pytest.approx(len(plan.done))
    assert odds.lag_nights_share == np.mean(nights.lag_over > 0)


def test_the_latest_safe_start_is_the_one_that_the_closed_form_gives():
    closure, plan = two_steps()
    only = replace(SPREADS, night_sd=0.0, default=replace(SPREADS.default, own_sd=0.2), wait_sd=0.0, temperature_sd=0.0)
    single = replace(closure, jobs=(replace(closure.jobs[0], tasks=closure.jobs[0].tasks[:1], lags=()),))
    plan = Schedule(("C1",), plan.placed[:1], 20)
    policy = usual_policy(single)
    draws = draw_nights(single, only, 40_000, 2)
    found = latest_safe_starts(single, plan, only, policy, draws, 0.95)[0]
    exact_min = 100.0 - 20.0 * math.exp(0.2 * NormalDist().inv_cdf(0.95))
    assert found.minute_min == math.floor(exact_min) or abs(found.minute_min - exact_min) < 1.2
    assert found.open_probability >= 0.95


def test_a_later_wish_for_certainty_means_an_earlier_last_minute():
    closure, plan = two_steps()
    draws = draw_nights(closure, SPREADS, 4000, 2)
    policy = usual_policy(closure)
    sure, bold = (latest_safe_starts(closure, plan, SPREADS, policy, draws, p)[0].minute_min for p in (0.99, 0.6))
    assert sure < bold


def test_limits_let_a_step_begin_as_long_as_the_rest_fits_on_that_share_of_nights():
    closure, plan = two_steps()
    draws = draw_nights(closure, SPREADS, 4000, 2)
    some, most = limits_of(closure, plan, SPREADS, usual_policy(closure), draws, [0.5, 0.95])
    assert some.limits["C1", "break"] == pytest.approx(100 - 50 - 1, abs=1.5)
    assert most.limits["C1", "break"] < some.limits["C1", "break"]
    assert most.limits["C1", "bed"] > most.limits["C1", "break"]


def test_the_longer_of_two_steps_carries_more_of_the_risk_and_the_night_itself_is_named():
    closure, plan = two_steps(window=60)
    carriers = what_carries_risk(
        closure, plan, SPREADS, usual_policy(closure), draw_nights(closure, SPREADS, 20_000, 3)
    )
    share = {(c.cover, c.what): c.variance_share for c in carriers}
    assert share["C1", "bed"] > share["C1", "break"] > 0.05
    assert share["", "all work of the night"] > 0.05
    assert share["", "temperature of the night"] < 0.01
    assert sum(share.values()) == pytest.approx(1.0, abs=0.05)
    assert next(c for c in carriers if c.what == "bed").late_by_ratio > 1.05


def test_a_chance_is_only_sure_beyond_the_doubt_of_its_sample():
    closure, plan = two_steps(window=75)
    policy = usual_policy(closure)
    odds = odds_of(replay(closure, plan, SPREADS, replace(policy, gates=False), draw_nights(closure, SPREADS, 500, 3)))
    assert not surely(odds, odds.open_probability)
    assert surely(odds, odds.low_probability - 0.01)
