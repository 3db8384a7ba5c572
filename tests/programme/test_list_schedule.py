"""Schedules by simple rules hold, repair greatest lags, and leave nothing floating."""

from dataclasses import replace

import pytest

from programme.sample import after, job, problem, task, wet_closure
from truebed.programme.check import check_schedule
from truebed.programme.list_schedule import (
    RULES,
    by_rule,
    list_schedules,
    nothing_floats,
    schedule_of,
    worth,
)
from truebed.programme.possible import sort_jobs
from truebed.programme.problem import Lag, Placed, Schedule


@pytest.mark.parametrize("covers", [1, 2, 3, 5])
def test_every_rule_gives_a_schedule_that_holds(covers):
    given = wet_closure(covers)
    for schedule in list_schedules(given):
        assert check_schedule(given, schedule) == ()
    assert list_schedules(given)[0].done


def test_a_step_placed_too_soon_for_its_greatest_lag_is_taken_back_and_delayed():
    # mixing could start at once, but laying waits for the one lifter that the other cover holds until minute 30
    first = job("C1", 9, [task("C1", "hold", 30, 1, ("lifter",))], [])
    second = job(
        "C2", 1, [task("C2", "mix", 4), task("C2", "lay", 6, 1, ("lifter",))],
        [after("mix", "lay"), Lag("mix", "start", "lay", "end", None, 12, "life")],
    )  # fmt: skip
    given = problem(first, second, tools=(("lifter", 1),))
    best = list_schedules(given)[0]
    assert best.open_min == 36
    mix = best.of("C2")[0]
    assert (mix.step, mix.start_min) == ("mix", 24)
    assert check_schedule(given, best) == ()


def test_each_rule_by_its_name_is_among_all_of_them_and_another_name_is_refused():
    given = wet_closure(4)
    every = list_schedules(given)
    for rule in RULES:
        assert by_rule(given, rule) in every
    with pytest.raises(ValueError, match="blindly"):
        by_rule(given, "blindly")


def test_the_best_comes_first():
    given = wet_closure(5)
    weights = {j.cover: j.weight for j in given.jobs}
    keys = [worth(schedule, weights) for schedule in list_schedules(given)]
    assert keys == sorted(keys)
    assert len(keys) > 1


def test_a_floating_step_falls_to_its_earliest_hour():
    given = problem(job("C1", 1, [task("C1", "a", 5), task("C1", "b", 5)], [after("a", "b", 3)]))
    loose = Schedule(("C1",), (Placed("C1", "a", 10, 15), Placed("C1", "b", 40, 45)), 45)
    tight = nothing_floats(given, loose)
    assert [(p.step, p.start_min) for p in tight.placed] == [("a", 0), ("b", 8)]
    assert tight.open_min == 13


def test_two_steps_that_hold_each_other_by_a_greatest_lag_fall_together():
    lags = [after("mix", "lay"), Lag("mix", "start", "lay", "end", None, 16, "life")]
    given = problem(job("C1", 1, [task("C1", "mix", 4), task("C1", "lay", 6)], lags))
    loose = Schedule(("C1",), (Placed("C1", "mix", 30, 34), Placed("C1", "lay", 40, 46)), 46)
    assert [(p.step, p.start_min) for p in nothing_floats(given, loose).placed] == [("mix", 0), ("lay", 4)]


def test_nothing_offered_opens_at_minute_zero():
    assert list_schedules(problem()) == (Schedule((), (), 0),) or list_schedules(problem()) == ()
    assert schedule_of(problem(), (), {}) == Schedule((), (), 0)


def test_the_opening_waits_for_traffic_management_and_for_every_clock():
    given = replace(wet_closure(1), tm_clear_min=8)
    net = sort_jobs(given).nets
    starts = {("C1", "saw"): 10, ("C1", "clean"): 20, ("C1", "mix"): 22, ("C1", "lay"): 26, ("C1", "seal"): 64}
    assert schedule_of(given, net, starts).open_min == max(69 + 8, 34 + 45, 69 + 10)
