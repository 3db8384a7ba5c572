"""The model takes a schedule that holds as its hint, whatever the names of identical covers."""

from dataclasses import replace

from programme.sample import job, problem, task, to_open, wet_closure, wet_job
from truebed.programme.list_schedule import list_schedules, schedule_of
from truebed.programme.model import build, hint
from truebed.programme.possible import sort_jobs
from truebed.programme.search import search


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
