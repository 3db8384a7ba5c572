"""The model takes a schedule that holds as its hint, whatever the names of identical covers."""

from dataclasses import replace

from programme.sample import job, problem, task, to_open, wet_closure, wet_job
from truebed.programme.check import check_schedule
from truebed.programme.list_schedule import list_schedules, schedule_of
from truebed.programme.model import build, hint
from truebed.programme.model_lags import start_domain
from truebed.programme.possible import sort_jobs
from truebed.programme.problem import Lag
from truebed.programme.profiles import wait_at
from truebed.programme.search import search
from truebed.programme.solve import solve


def test_a_hint_that_does_the_later_of_two_identical_covers_first_is_still_a_solution():
    given = replace(wet_closure(1, window=400, noise=300), jobs=(wet_job("C1"), wet_job("C2")))
    nets = sort_jobs(given).nets
    found = list_schedules(given)[0]
    swapped = {"C1": "C2", "C2": "C1"}
    starts = {(swapped[p.cover], p.step): p.start_min for p in found.placed}
    for placed in (found, schedule_of(given, nets, starts)):
        made = build(given, nets)
        hint(made, placed)
        hinted = dict(zip(made.model.proto.solution_hint.vars, made.model.proto.solution_hint.values, strict=True))
        first = [hinted[starts[0].index] for starts in made.starts]
        assert first == sorted(first)


def test_covers_that_must_be_done_are_done():
    given = wet_closure(2, window=400, noise=300)
    made = build(given, sort_jobs(given).nets, must=frozenset({"C2"}))
    made.model.minimize(made.open)
    found = search(given, made, deterministic_limit_s=2.0)
    assert found.answer == "optimal"
    assert found.schedule is not None
    assert "C2" in found.schedule.done


def test_a_cover_that_must_be_done_but_cannot_makes_it_infeasible():
    given = wet_closure(2, window=400, noise=31)  # two saws of 10 and 11 min from minute 10 just fit
    for noise, answer in ((31, "optimal"), (30, "infeasible")):
        tight = replace(given, noise_ends_min=noise)
        made = build(tight, sort_jobs(tight).nets, must=frozenset({"C1", "C2"}))
        made.model.minimize(made.open)
        assert search(tight, made, deterministic_limit_s=2.0).answer == answer


def test_the_clocks_of_a_cover_that_is_left_do_not_hold_the_road_shut():
    left = job("A", 2, [task("A", "do", 40, 2, noisy=True)], [to_open("do", 50)])
    chosen = job("B", 3, [task("B", "do", 45, 2, noisy=True)], [])
    given = problem(left, chosen, window=100, noise=45)
    made = build(given, sort_jobs(given).nets, must=frozenset({"B"}))
    made.model.minimize(made.open)
    found = search(given, made, deterministic_limit_s=1.0)
    assert (found.answer, found.value) == ("optimal", 45)


def test_an_empty_model_is_no_fault():
    made = build(problem(), ())
    made.model.minimize(made.open)
    assert search(problem(), made, deterministic_limit_s=1.0).value == 0


def test_a_step_may_start_only_where_no_minute_of_it_is_forbidden():
    one = replace(task("C", "s", 5), not_during=((20, 25), (30, 31)))
    domain = start_domain(one, 10, 40)
    for start in range(10, 41):
        free = all(not (a <= minute < b) for minute in range(start, start + 5) for a, b in one.not_during)
        assert domain.contains(start) is free


def test_a_lane_waits_for_the_clocks_of_the_lane_before():
    first = job("A", 1, [task("A", "s", 5)], [to_open("s", 9)])
    given = replace(problem(first, replace(job("B", 1, [task("B", "s", 5)], []), stage=1)), stage_min=7)
    schedule = solve(given).schedule
    assert [(p.cover, p.start_min) for p in schedule.placed] == [("A", 0), ("B", 21)]


def test_a_wait_that_shortens_and_lengthens_again_is_exact_at_every_hour():
    points = ((0, 30), (10, 8), (14, 25), (30, 12), (50, 40))
    wait = Lag("a", "end", "b", "start", 40, None, "cures", profile=points)
    for head in range(0, 40, 3):
        first = replace(task("A", "a", 5), not_during=((0, head),) if head else ())
        given = problem(job("A", 1, [first, task("A", "b", 5)], [wait]), window=200)
        least = min(s + 5 + wait_at(points, s + 5, up=True) for s in range(head, 60)) + 5
        solution = solve(given)
        assert check_schedule(given, solution.schedule) == ()
        assert (solution.schedule.open_min, solution.open_proven) == (least, True)
