"""How little is missing for one cover more, known by hand or by trying every shift."""

from dataclasses import replace

import pytest

from programme.sample import after, job, problem, task
from truebed.programme.check import check_schedule
from truebed.programme.one_more import least_shift_c, least_window, short_of_words
from truebed.programme.problem import Lag
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


def cold_night(from_c, to_c):
    """Two covers whose cure takes 60 minutes at 20 degC and 7 % more for each degree less, read at its own hour."""
    points = []
    for minute in range(0, 301, 60):
        temp_c = from_c + (to_c - from_c) * minute / 300.0
        points.append((minute, round(60.0 * 1.07 ** (20.0 - temp_c))))
    worst = max(wait for _minute, wait in points)
    cures = Lag("pour", "end", "fill", "start", worst, None, "cures", profile=tuple(points))
    jobs = [job(n, 1, [task(n, "pour", 20, 2), task(n, "fill", 15, 2)], [cures]) for n in "AB"]
    return problem(*jobs, window=200, people=2)


@pytest.mark.parametrize(("start_c", "covers"), [(8.0, 1), (12.0, 1), (12.0, 2)])
def test_the_least_warmth_for_so_many_covers_is_that_of_trying_every_degree(start_c, covers):
    def at(shift_c):
        return cold_night(start_c + shift_c, 2.0 + shift_c)

    found = least_shift_c(at, -8.0, 14.0, 1.0, covers)
    tried = [s for s in range(-8, 15) if len(solve(at(float(s)), deterministic_limit_s=1.0).schedule.done) >= covers]
    assert found == float(tried[0])
    assert -8 < tried[0] < 14


def test_a_night_that_is_too_cold_at_every_shift_has_none():
    assert least_shift_c(lambda shift_c: cold_night(-9.0 + shift_c, -12.0 + shift_c), 0.0, 3.0, 1.0) is None
