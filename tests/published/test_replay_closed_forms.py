"""Replays against closed forms: sums and greatest of normal times, lognormal moments, the interval's coverage.

PERT: a path's time is normal with the sum of means and of variances (Malcolm and others 1959, from memory);
the greatest of two normal times by Clark 1961 (from memory; checked here against numerical integration).
"""

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest
from scipy.integrate import quad

from programme.sample import after, job, problem, task
from truebed.programme.odds import interval, odds_of
from truebed.programme.problem import Placed, Schedule
from truebed.programme.recovery import plain_policy
from truebed.programme.replay import draw_nights, replay
from truebed.programme.spread import default_spreads

MINUTES = (40, 60, 30)
CV = 0.15
N = 200_000
WORK_ONLY = replace(default_spreads(), breakdown_share=0.0)


def chain(cover, minutes=MINUTES):
    steps = [task(cover, f"s{k}", m) for k, m in enumerate(minutes)]
    return job(cover, 1, steps, [after(f"s{k}", f"s{k + 1}") for k in range(len(minutes) - 1)])


def plan_of(*jobs):
    placed, last = [], 0
    for one in jobs:
        at = 0
        for step in one.tasks:
            placed.append(Placed(one.cover, step.step, at, at + step.minutes))
            at += step.minutes
        last = max(last, at)
    return Schedule(tuple(one.cover for one in jobs), tuple(placed), last)


def normal_nights(closure, plan, seed):
    """Replays with normal instead of lognormal factors."""
    draws = draw_nights(closure, WORK_ONLY, N, seed)
    z = np.random.default_rng(seed).standard_normal(draws.work.shape)
    draws.work[:] = 1.0 + CV * z
    return replay(closure, plan, WORK_ONLY, plain_policy(), draws)


MEAN, SD = sum(MINUTES), CV * math.sqrt(sum(m * m for m in MINUTES))


@pytest.mark.parametrize("window", [125, 135, 150])
def test_one_path_opens_in_time_with_the_chance_of_the_normal_sum(window):
    one = chain("C1")
    nights = normal_nights(problem(one, window=window, people=1), plan_of(one), 11)
    true = NormalDist(MEAN, SD).cdf(window)
    low, high = interval(int(nights.in_time.sum()), N)
    assert nights.in_time.mean() == pytest.approx(true, abs=4 * math.sqrt(true * (1 - true) / N))
    assert high - low < 0.005
    assert nights.open_min.mean() == pytest.approx(MEAN, abs=5 * SD / math.sqrt(N))


def test_two_paths_open_at_the_greatest_of_two_normal_times():
    one, two = chain("C1"), chain("C2", (55, 70))
    nights = normal_nights(problem(one, two, window=135, people=2), plan_of(one, two), 12)
    a, b = NormalDist(MEAN, SD), NormalDist(125.0, CV * math.hypot(55, 70))
    theta = math.hypot(a.stdev, b.stdev)
    alpha = (a.mean - b.mean) / theta
    clark = a.mean * NormalDist().cdf(alpha) + b.mean * NormalDist().cdf(-alpha) + theta * NormalDist().pdf(alpha)
    lower, _ = quad(lambda t: a.cdf(t) * b.cdf(t), 0.0, 130.0)
    upper, _ = quad(lambda t: 1.0 - a.cdf(t) * b.cdf(t), 130.0, 400.0)
    assert clark == pytest.approx(130.0 + upper - lower, abs=0.01)
    assert nights.open_min.mean() == pytest.approx(clark, abs=0.15)
    assert nights.in_time.mean() == pytest.approx(a.cdf(135) * b.cdf(135), abs=0.005)


def test_a_single_lognormal_step_opens_in_time_with_its_closed_chance():
    spreads = WORK_ONLY
    one = chain("C1", (100,))
    closure = problem(one, window=130, people=1)
    nights = replay(closure, plan_of(one), spreads, plain_policy(), draw_nights(closure, spreads, N, 13))
    true = NormalDist().cdf(math.log(1.3) / math.hypot(spreads.default.own_sd, spreads.night_sd))
    assert nights.in_time.mean() == pytest.approx(true, abs=0.004)


def test_what_a_night_shares_widens_the_sum_as_algebra_says_and_independence_hides_it():
    minutes = (20,) * 12
    one = chain("C1", minutes)
    closure = problem(one, window=300, people=1)
    spreads = WORK_ONLY
    found = {}
    for shared in (True, False):
        draws = draw_nights(closure, spreads, N, 14, shared=shared)
        found[shared] = replay(closure, plan_of(one), spreads, plain_policy(), draws)
    own, night = spreads.default.own_sd**2, spreads.night_sd**2
    mean = math.exp((own + night) / 2)
    each = mean**2 * (math.exp(own + night) - 1)
    pair = mean**2 * (math.exp(night) - 1)
    assert found[True].open_min.std() == pytest.approx(20 * math.sqrt(12 * each + 12 * 11 * pair), rel=0.01)
    assert found[False].open_min.std() == pytest.approx(20 * math.sqrt(12 * each), rel=0.01)
    late = {shared: 1.0 - float(nights.in_time.mean()) for shared, nights in found.items()}
    assert late[True] > 1.5 * late[False]


def test_the_interval_holds_the_true_chance_in_about_ninety_five_of_a_hundred_samples():
    one = chain("C1", (100,))
    closure = problem(one, window=140, people=1)
    true = NormalDist().cdf(math.log(1.4) / math.hypot(WORK_ONLY.default.own_sd, WORK_ONLY.night_sd))
    held = 0
    for seed in range(400):
        nights = replay(closure, plan_of(one), WORK_ONLY, plain_policy(), draw_nights(closure, WORK_ONLY, 500, seed))
        odds = odds_of(nights)
        held += odds.low_probability <= true <= odds.high_probability
    assert 0.92 <= held / 400 <= 0.98
