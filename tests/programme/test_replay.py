"""The replay: the plan itself where nothing varies, stops and bans where they are, the same nights for every plan."""

from dataclasses import replace

import numpy as np
import pytest

from programme.sample import after, job, problem, task, to_open, wet_closure
from truebed.compiled import plain
from truebed.programme.hold_kernel import known, wait_of
from truebed.programme.list_schedule import list_schedules
from truebed.programme.night_tables import columns_of
from truebed.programme.problem import Placed, Schedule
from truebed.programme.recovery import plain_policy, usual_policy
from truebed.programme.replay import draw_nights, replay, steps_in_order
from truebed.programme.spread import default_spreads

CERTAIN = replace(
    default_spreads(), default=replace(default_spreads().default, own_sd=0.0), night_sd=0.0, wait_sd=0.0,
    temperature_sd=0.0, breakdown_share=0.0,
)  # fmt: skip


def one_step(minutes=20, *, window=60, tools=("saw",), noise=None, **more):
    made = problem(
        job("C1", 1, [task("C1", "saw", minutes, 1, tools)], []), window=window, noise=noise, tools=(("saw", 1),)
    )
    return replace(made, **more), Schedule(("C1",), (Placed("C1", "saw", 0, minutes),), minutes)


@pytest.mark.parametrize("covers", [1, 3, 5])
@pytest.mark.parametrize("hold_sd", [0.0])
def test_a_night_on_which_nothing_varies_is_the_plan_minute_by_minute(covers, hold_sd):
    closure = wet_closure(covers, window=400, noise=200)
    plan = list_schedules(closure)[0]
    draws = draw_nights(closure, CERTAIN, 3, 1)
    policy = replace(plain_policy(), hold_sd=hold_sd)
    nights = replay(closure, plan, CERTAIN, policy, draws, keep=True)
    at = {(p.cover, p.step): p.start_min for p in plan.placed}
    for k, key in enumerate(steps_in_order(nights, draws)):
        assert nights.starts[0, k] <= at[key] + 1e-6
    assert nights.open_min.max() <= plan.open_min + 1e-6
    assert nights.lag_over.sum() == nights.noise_over.sum() == 0
    assert len(plan.done) == nights.covers[0]


def test_the_same_seed_gives_the_same_night_and_another_seed_another():
    closure = wet_closure(2)
    one, same, other = (draw_nights(closure, default_spreads(), 50, seed) for seed in (1, 1, 2))
    assert np.array_equal(one.work, same.work)
    assert np.array_equal(one.waits, same.waits)
    assert not np.array_equal(one.work, other.work)


def test_a_steps_factor_does_not_depend_on_the_plan_it_stands_in():
    closure = wet_closure(3, window=400, noise=200)
    columns = columns_of(closure)
    assert sorted(columns.steps.values()) == list(range(15))
    assert len(set(columns.waits.values())) == 9


def test_a_stop_of_the_saw_lengthens_the_step_that_runs_and_delays_the_one_that_comes():
    closure, plan = one_step()
    draws = draw_nights(closure, CERTAIN, 3, 1)
    draws.stops[:, 0] = [[10.0, 30.0], [0.0, 25.0], [500.0, 30.0]]
    assert list(replay(closure, plan, CERTAIN, plain_policy(), draws).open_min) == [50.0, 45.0, 20.0]


def test_stops_come_on_the_stated_share_of_nights_and_never_on_two_tools_at_once():
    closure = wet_closure(2)
    begins = draw_nights(closure, default_spreads(), 40_000, 5).stops[:, :, 0]
    stopped = (begins < 1e8).sum(axis=1)
    assert stopped.max() == 1
    assert stopped.mean() == pytest.approx(default_spreads().breakdown_share, abs=0.006)


def test_a_forbidden_span_is_waited_for():
    closure, plan = one_step()
    spans = ((5, 12), (15, 18))
    wet = replace(closure, jobs=tuple(
        replace(j, tasks=tuple(replace(t, not_during=spans) for t in j.tasks)) for j in closure.jobs))  # fmt: skip
    draws = draw_nights(wet, CERTAIN, 1, 1)
    assert replay(wet, plan, CERTAIN, plain_policy(), draws).open_min[0] == 38.0


def test_a_person_walks_between_covers():
    two = problem(*(job(c, 1, [task(c, "saw", 10, 1)], []) for c in ("C1", "C2")), people=1, window=60)
    plan = Schedule(("C1", "C2"), (Placed("C1", "saw", 0, 10), Placed("C2", "saw", 10, 20)), 20)
    far = replace(two, walk_min=(("C1", "C2", 7),))
    draws = draw_nights(two, CERTAIN, 1, 1)
    assert replay(two, plan, CERTAIN, plain_policy(), draws).open_min[0] == 20.0
    assert replay(far, plan, CERTAIN, plain_policy(), draws).open_min[0] == 27.0


def test_a_wait_by_the_hour_is_read_at_its_own_minute():
    lag = replace(to_open("saw", 50), profile=((0, 10), (20, 30), (40, 50)))
    made = problem(job("C1", 1, [task("C1", "saw", 10, 1)], [lag]), window=90)
    plan = Schedule(("C1",), (Placed("C1", "saw", 0, 10),), 30)
    draws = draw_nights(made, CERTAIN, 1, 1)
    at = {("C1", "saw"): 20.0}
    assert replay(made, plan, CERTAIN, plain_policy(), draws).open_min[0] == 30.0  # 10 + 20
    assert replay(made, plan, CERTAIN, plain_policy(), draws, not_before=at).open_min[0] == 70.0  # 30 + 40


def test_a_noisy_step_that_would_not_surely_end_before_the_ban_is_not_begun():
    closure, plan = one_step(noise=25)
    noisy = replace(closure, jobs=tuple(
        replace(j, tasks=tuple(replace(t, noisy=True) for t in j.tasks)) for j in closure.jobs))  # fmt: skip
    draws = draw_nights(noisy, default_spreads(), 4000, 1)
    free = replay(noisy, plan, default_spreads(), plain_policy(), draws)
    kept = replay(noisy, plan, default_spreads(), usual_policy(noisy), draws)
    assert (free.noise_over > 0).mean() > 0.1
    assert kept.noise_over.sum() == 0
    assert kept.covers.max() == 0


def test_a_mix_is_held_back_until_those_who_lay_it_will_be_free():
    wet = job("C1", 1, [task("C1", "mix", 5, 1), task("C1", "lay", 10, 2)],
              [replace(after("mix", "lay", 0, 8), why="the mix's life")])  # fmt: skip
    busy = job("C2", 1, [task("C2", "dig", 30, 2)], [])
    closure = problem(busy, wet, people=3, window=200)
    plan = Schedule(
        ("C2", "C1"), (Placed("C2", "dig", 0, 30), Placed("C1", "mix", 25, 30), Placed("C1", "lay", 30, 40)), 40
    )
    draws = draw_nights(closure, CERTAIN, 1, 1)
    asap = replay(closure, plan, CERTAIN, plain_policy(hold_back=False), draws)
    held = replay(closure, plan, CERTAIN, plain_policy(), draws, keep=True)
    assert asap.lag_over[0] == 1
    assert held.lag_over[0] == 0
    assert held.open_min[0] == 40.0


def test_a_minute_to_come_is_only_known_by_what_was_expected_of_it():
    assert plain(known)(50.0, 40.0, 60.0) == 50.0
    assert plain(known)(90.0, 40.0, 60.0) == 60.0
    assert plain(known)(90.0, 70.0, 60.0) == 70.0
    assert plain(wait_of)(np.zeros((0, 5)), 12.0, -1, 3.0) == 12.0


def test_a_schedule_that_holds_more_than_there_is_is_refused():
    two = problem(*(job(c, 1, [task(c, "saw", 10, 2)], []) for c in ("C1", "C2")), people=2, window=60)
    plan = Schedule(("C1", "C2"), (Placed("C1", "saw", 0, 10), Placed("C2", "saw", 5, 15)), 15)
    with pytest.raises(ValueError, match="people"):
        replay(two, plan, CERTAIN, plain_policy(), draw_nights(two, CERTAIN, 1, 1))
