"""How little is missing for one cover more, known by hand or by trying every shift."""

from dataclasses import replace

import pytest
from bench.instances_night import even, falling, night

from programme.sample import after, job, problem, task
from truebed.programme.check import check_schedule
from truebed.programme.one_more import least_shift_c, least_window, short_of_words
from truebed.programme.solve import solve


def chain(name):
    return job(name, 3, [task(name, "a", 10), task(name, "b", 10)], [after("a", "b", 20)])


def test_the_closure_is_told_how_many_minutes_it_is_short():
    given = problem(chain("A"), chain("B"), people=1, window=45)
    assert solve(given).schedule.done == ("A",)
    more = least_window(given, 2)
    assert (more.window_min, more.bound_min, more.proven) == (50, 50, True)
    assert short_of_words(given, more) == "The closure is 5 min short of 2 covers."
    assert check_schedule(replace(given, window_min=50), more.schedule) == ()


def test_covers_that_fit_have_minutes_to_spare():
    given = problem(chain("A"), people=1, window=45)
    assert short_of_words(given, least_window(given, 1)) == "1 covers fit, with 5 min to spare."


def test_where_the_deadline_is_not_to_blame_no_minutes_are_named():
    noisy = job("A", 1, [task("A", "a", 10, noisy=True)], [])
    given = problem(noisy, replace(noisy, cover="B", tasks=(replace(noisy.tasks[0], cover="B"),)), people=1, noise=15)
    more = least_window(given, 2)
    assert (more.window_min, more.bound_min) == (None, None)
    assert "not the deadline" in short_of_words(given, more)


@pytest.mark.parametrize("start_degc", [8.0, 12.0])
def test_the_least_warmth_for_one_cover_is_that_of_trying_every_degree(start_degc):
    def at(shift_degc):
        return night(5, 2, falling(start_degc + shift_degc, 4.0 + shift_degc))

    found = least_shift_c(at, -4.0, 12.0, 1.0)
    tried = [s for s in range(-4, 13) if solve(at(float(s)), deterministic_limit_s=1.0).schedule.done]
    assert found == float(tried[0])
    assert -4 < tried[0] < 12


def test_a_night_that_is_too_cold_at_every_shift_has_none():
    assert least_shift_c(lambda shift_degc: night(5, 2, even(-2.0 + shift_degc)), 0.0, 3.0, 1.0) is None
