"""The programme of one closure: order of wishes, honesty about proof, the same answer twice."""

from dataclasses import replace

from programme.sample import after, job, problem, task, to_open, wet_closure, wet_job
from truebed.programme.check import check_schedule
from truebed.programme.hand_way import hand_way
from truebed.programme.list_schedule import list_schedules, nothing_floats
from truebed.programme.problem import Lag, Schedule
from truebed.programme.solve import solve


def single(cover, weight, minutes, ready=0):
    return job(cover, weight, [task(cover, "do", minutes, 2)], [to_open("do", ready)])


def test_weight_comes_before_opening():
    solution = solve(problem(single("A", 2, 90), single("B", 1, 10), window=90))
    assert solution.schedule.done == ("A",)
    assert (solution.weight, solution.weight_bound, solution.weight_proven) == (2, 2, True)


def test_two_light_covers_beat_a_heavier_one():
    solution = solve(problem(single("A", 4, 80), single("B", 3, 45), single("C", 2, 45), window=90))
    assert solution.schedule.done == ("B", "C")
    assert solution.weight == 5


def test_of_equal_weight_the_earlier_opening_wins():
    solution = solve(problem(single("A", 2, 60), single("B", 2, 50), window=90))
    assert solution.schedule.done == ("B",)
    assert (solution.schedule.open_min, solution.open_bound_min, solution.open_proven) == (50, 50, True)


def test_the_clocks_of_a_cover_that_is_left_do_not_hold_the_road_shut():
    left = job("A", 2, [task("A", "do", 40, 2, noisy=True)], [to_open("do", 50)])
    chosen = job("B", 3, [task("B", "do", 45, 2, noisy=True)], [])
    solution = solve(problem(left, chosen, window=100, noise=45))
    assert solution.schedule.done == ("B",)
    assert (solution.schedule.open_min, solution.open_proven) == (45, True)


def test_the_long_cure_goes_first_so_that_the_road_opens_sooner():
    solution = solve(problem(single("A", 1, 20), single("B", 1, 20, 60), window=200))
    assert [p.cover for p in solution.schedule.placed] == ["B", "A"]
    assert solution.schedule.open_min == 80


def test_other_covers_are_worked_on_while_one_cures():
    given = wet_closure(3)
    solution = solve(given)
    by_hand, weight_by_hand = hand_way(given)
    assert solution.weight == sum(j.weight for j in given.jobs)
    assert solution.weight_proven
    assert solution.open_proven
    assert weight_by_hand < solution.weight or by_hand.open_min > solution.schedule.open_min
    assert check_schedule(given, solution.schedule) == ()


def test_nothing_floats():
    for covers in (2, 4):
        given = wet_closure(covers)
        schedule = solve(given).schedule
        assert nothing_floats(given, schedule) == schedule


def test_nothing_offered_and_nothing_that_fits_are_empty_schedules_that_open_at_once():
    nothing = Schedule((), (), 0)
    for given in (
        problem(),
        problem(tm_set=10, tm_clear=10, window=5),
        problem(single("A", 1, 200)),
        replace(wet_closure(2), tools=()),
        replace(wet_closure(2), people=0),
        replace(wet_closure(2), window_min=0),
        replace(wet_closure(2), noise_ends_min=-5),
    ):
        solution = solve(given)
        assert solution.schedule == nothing
        assert (solution.weight, solution.weight_bound, solution.weight_proven) == (0, 0, True)
        assert check_schedule(given, solution.schedule) == ()


def test_covers_that_fit_alone_are_left_by_contradicting_neighbours_only():
    bad = job("X", 99, [task("X", "a", 5)], [Lag("a", "start", "a", "end", None, 2, "life")])
    solution = solve(problem(bad, single("A", 1, 10)))
    assert solution.schedule.done == ("A",)


def test_a_step_of_no_length_takes_no_room():
    tasks = [task("A", "do", 10, 2), task("A", "sign", 0, 2)]
    given = problem(job("A", 1, tasks, [after("do", "sign")]), single("B", 1, 10), window=20)
    solution = solve(given)
    assert solution.weight == 2
    assert check_schedule(given, solution.schedule) == ()


def test_skills_that_one_person_shares_are_never_wanted_twice_at_once():
    tasks = [("A", "saw"), ("B", "resin")]
    jobs = [job(c, 1, [task(c, "do", 10, 1, (), s)], []) for c, s in tasks]
    skills = (("resin", 1), ("saw", 1))
    apart = solve(problem(*jobs, skills=skills, crew_skills=(("saw", "resin"), ())))
    beside = solve(problem(*jobs, skills=skills, crew_skills=(("saw",), ("resin",))))
    assert apart.schedule.open_min == 20
    assert beside.schedule.open_min == 10


def hard():
    jobs = tuple(wet_job(f"C{k}", weight=1 + k % 3, extra=k % 5) for k in range(9))
    return replace(wet_closure(1, window=260, noise=160, people=4), jobs=jobs)


def test_two_runs_that_end_at_the_limit_give_the_same_schedule():
    first = solve(hard(), deterministic_limit_s=0.3)
    assert not (first.weight_proven and first.open_proven)
    assert solve(hard(), deterministic_limit_s=0.3) == first
    assert not first.guard_hit


def test_what_is_not_proved_is_not_called_proved():
    solution = solve(hard(), deterministic_limit_s=0.3)
    assert solution.weight <= solution.weight_bound
    assert solution.weight_proven == (solution.weight == solution.weight_bound)
    assert solution.open_bound_min <= solution.schedule.open_min
    assert solution.open_proven == (solution.open_bound_min == solution.schedule.open_min)


def test_the_programme_is_never_worse_than_its_rules_or_the_hand_way():
    given = hard()
    solution = solve(given, deterministic_limit_s=0.01)
    weights = {j.cover: j.weight for j in given.jobs}
    for other in (hand_way(given)[0], list_schedules(given)[0]):
        weight = sum(weights[cover] for cover in other.done)
        assert (-solution.weight, solution.schedule.open_min) <= (-weight, other.open_min)


def test_progress_is_told_in_sentences_and_changes_nothing():
    told = []
    given = wet_closure(3)
    assert solve(given, on_progress=told.append) == solve(given)
    assert told[0] == "3 covers offered, 3 of them fit by themselves"
    assert any("by simple rules" in sentence for sentence in told)
