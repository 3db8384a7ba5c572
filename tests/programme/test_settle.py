"""Walks are exact in the schedule that is given out, and the bound is that of a crew that needs none."""

from dataclasses import replace

from programme.sample import after, job, problem, task
from truebed.programme.check import check_schedule
from truebed.programme.settle import pads
from truebed.programme.solve import solve


def chain(name, weight=1):
    return job(name, weight, [task(name, "a", 10), task(name, "b", 10)], [after("a", "b", 20)])


def test_pads_go_from_none_to_the_longest_walk():
    assert pads(problem()) == (0,)
    assert pads(replace(problem(), walk_min=(("A", "B", 7), ("A", "C", 3)))) == (0, 2, 4, 7)


def test_one_person_walks_there_and_back_within_the_waits_or_not_at_all():
    # a 0-10, walk 4, the other's a 14-24, walk back 4, b 30-40, walk, b 44-54
    near = replace(problem(chain("A"), chain("B"), people=1), walk_min=(("A", "B", 4),))
    solution = solve(near)
    assert check_schedule(near, solution.schedule) == ()
    assert (solution.schedule.done, solution.schedule.open_min) == (("A", "B"), 54)
    assert all(p.people == (0,) for p in solution.schedule.placed)
    # nobody at all to walk for: 50 minutes, the bound
    assert solution.open_bound_min == 50
    assert not solution.open_proven


def test_a_walk_longer_than_the_rest_of_the_closure_costs_the_cover_and_the_bound_says_that_it_might_not():
    far = replace(problem(chain("A"), chain("B"), people=1, window=60), walk_min=(("A", "B", 25),))
    solution = solve(far)
    assert check_schedule(far, solution.schedule) == ()
    assert (len(solution.schedule.done), solution.weight_bound, solution.weight_proven) == (1, 2, False)


def test_two_people_need_not_walk():
    given = replace(problem(chain("A"), chain("B"), people=2), walk_min=(("A", "B", 25),))
    solution = solve(given)
    assert check_schedule(given, solution.schedule) == ()
    assert (len(solution.schedule.done), solution.schedule.open_min) == (2, 40)
