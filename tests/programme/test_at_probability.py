"""The plan at the wanted chance: proved on fresh nights, shown without the luck of the choice."""

from dataclasses import replace
from functools import partial

import pytest

from programme.sample import wet_closure
from truebed.programme.at_probability import (
    best_plain_buffer,
    odds_on,
    plan_at_probability,
    pool,
    wish_of,
    with_slack,
)
from truebed.programme.check import check_schedule
from truebed.programme.possible import sort_jobs
from truebed.programme.solve import solve
from truebed.programme.spread import default_spreads

QUICK = partial(solve, deterministic_limit_s=0.05)
WET = wet_closure(5, window=230, noise=130, people=3)
CLOSURE = replace(WET, jobs=tuple(replace(job, lags=tuple(
    lag if lag.greatest_min is None else replace(lag, greatest_min=lag.greatest_min + 25) for lag in job.lags))
    for job in WET.jobs))  # fmt: skip


@pytest.fixture(scope="module")
def choice():
    return plan_at_probability(CLOSURE, wish_of(0.9), QUICK)


def test_the_chosen_plan_holds_the_wish_on_fresh_nights_as_it_was_shown(choice):
    fresh = odds_on(CLOSURE, choice.schedule, default_spreads(), choice.policy, 100_000, 987_654)
    assert choice.reached
    assert fresh.open_probability >= 0.9
    assert abs(fresh.open_probability - choice.shown.open_probability) <= 0.005
    assert fresh.lag_nights_share <= 0.035
    assert fresh.noise_nights_share <= 0.03


def test_the_chosen_plan_does_something_and_holds_for_the_problem(choice):
    assert choice.schedule.done
    assert choice.shown.expected_weight > 0
    assert check_schedule(CLOSURE, choice.schedule) == ()


def test_asking_for_more_certainty_never_gives_more_weight(choice):
    sure = plan_at_probability(CLOSURE, wish_of(0.99), QUICK)
    assert sure.shown.expected_weight <= choice.shown.expected_weight + 0.02


def test_a_night_in_which_nothing_fits_is_the_empty_plan_and_opens_for_certain():
    none = plan_at_probability(replace(CLOSURE, window_min=60), wish_of(0.95), QUICK)
    assert (none.schedule.done, none.shown.open_probability, none.reached) == ((), 1.0, True)


def test_every_plan_of_the_pool_holds_and_they_differ():
    plans = pool(CLOSURE, QUICK)
    assert len(set(plans)) == len(plans) >= 4
    assert plans[-1].done == ()
    assert all(check_schedule(CLOSURE, plan) == () for plan in plans)


def test_lives_drawn_in_never_fall_below_what_the_steps_need():
    tight = with_slack(CLOSURE, 500, 0, 0)
    assert len(sort_jobs(tight).nets) == len(sort_jobs(CLOSURE).nets)
    some = with_slack(CLOSURE, 3, 5, 10)
    assert (some.noise_ends_min, some.window_min) == (125, 220)
    lag = next(lag for lag in some.jobs[0].lags if lag.greatest_min is not None)
    was = next(lag for lag in CLOSURE.jobs[0].lags if lag.greatest_min is not None)
    assert lag.greatest_min == was.greatest_min - 3


def test_the_plain_buffer_it_is_compared_with_holds_its_own_chance():
    plain = best_plain_buffer(CLOSURE, wish_of(0.9), QUICK, every_min=20)
    assert plain.odds.open_probability >= 0.9
    assert plain.odds.dropped_mean_count == plain.odds.safe_mean_count == 0.0
