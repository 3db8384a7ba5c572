"""Teams, rests, points and kits in the programme: each costs what it must, worked out by hand."""

from dataclasses import replace

from programme.sample import after, job, problem, task
from truebed.programme.check import check_schedule
from truebed.programme.solve import solve


def two_steps(name, people=1, points=0.0, weight=1):
    tasks = [replace(task(name, "a", 10, people), points=points), task(name, "b", 10, people)]
    return job(name, weight, tasks, [after("a", "b")])


def solved(given):
    solution = solve(given)
    assert check_schedule(given, solution.schedule) == ()
    assert solution.weight_proven
    return solution.schedule


def test_a_pool_shares_people_between_covers_and_teams_do_not():
    # one step of two, one of one, twice; pool of three: side by side; teams of two and one: the second cover must wait
    jobs = (two_steps("A", 2), two_steps("B", 1), two_steps("C", 1))
    assert solved(problem(*jobs, people=4)).open_min == 20
    assert solved(replace(problem(*jobs, people=4), teams=(2, 2))).open_min == 20
    assert solved(replace(problem(*jobs, people=3), teams=(2, 1))).open_min == 40


def test_no_team_of_enough_people_leaves_the_cover_out():
    assert solved(replace(problem(two_steps("A", 2), people=2), teams=(1, 1))).done == ()


def test_all_of_a_team_rest_at_once():
    assert solved(replace(problem(two_steps("A")), breaks=((5, 12, 6),))).open_min == 26
    assert solved(replace(problem(two_steps("A")), breaks=((5, 30, 6),))).open_min == 20


def test_the_holder_rotates_and_the_budget_of_each_person_bounds_the_covers():
    jobs = [two_steps(name, 1, 20.0) for name in "ABC"]
    # nobody can hold twice with 30 points; two people hold two covers, with 40 each they hold all three
    assert len(solved(replace(problem(*jobs, people=2), most_points=30.0)).done) == 2
    assert len(solved(replace(problem(*jobs, people=2), most_points=40.0)).done) == 3


def test_points_that_would_fit_in_sum_but_not_person_by_person_are_refused():
    jobs = [two_steps(name, 1, 20.0) for name in "ABC"]
    # the crew's sum is 60 of 66, yet a person with 33 holds one step of 20 only
    assert len(solved(replace(problem(*jobs, people=2), most_points=33.0)).done) == 2


def test_turns_are_even_where_more_than_one_is_on_the_step():
    jobs = [two_steps(name, 2, 20.0) for name in "ABC"]
    assert len(solved(replace(problem(*jobs, people=2), most_points=30.0)).done) == 3


def test_kits_are_taken_by_the_covers_that_weigh_most():
    jobs = tuple(replace(two_steps(n, 1, 0.0, w), kits=(("bed", 2),)) for n, w in (("A", 1), ("B", 5), ("C", 3)))
    assert solved(replace(problem(*jobs), stock=(("bed", 5),))).done == ("B", "C")
