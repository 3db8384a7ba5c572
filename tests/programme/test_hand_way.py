"""One cover after another, heaviest first."""

from dataclasses import replace

from programme.sample import job, problem, task, to_open, wet_closure
from truebed.programme.check import check_schedule
from truebed.programme.hand_way import hand_way
from truebed.programme.problem import Schedule


def single(cover, weight, minutes, ready=0):
    return job(cover, weight, [task(cover, "do", minutes, 2)], [to_open("do", ready)])


def test_covers_go_by_weight_then_name_and_each_waits_for_the_last_step_of_the_former():
    given = problem(single("B", 3, 10), single("A", 3, 12), single("Z", 9, 20, 50), tm_set=5, tm_clear=4)
    schedule, weight = hand_way(given)
    assert weight == 15
    assert [(p.cover, p.start_min, p.end_min) for p in schedule.placed] == [("Z", 5, 25), ("A", 25, 37), ("B", 37, 47)]
    assert schedule.open_min == 75  # Z's clock runs on: 25 + 50
    assert schedule.done == ("B", "A", "Z")


def test_the_crew_waits_out_a_cure_though_another_cover_could_go_on():
    given = wet_closure(2, window=300, noise=200)
    schedule, _ = hand_way(given)
    first, second = sorted(given.jobs, key=lambda j: -j.weight)
    assert min(p.start_min for p in schedule.of(second.cover)) >= max(p.end_min for p in schedule.of(first.cover))
    assert check_schedule(given, schedule) == ()


def test_a_cover_that_does_not_fit_is_skipped_and_the_next_is_tried():
    given = problem(single("A", 9, 60), single("B", 8, 60), single("C", 1, 30), window=100)
    schedule, weight = hand_way(given)
    assert schedule.done == ("A", "C")
    assert weight == 10


def test_the_noise_ban_holds_by_hand_too():
    given = replace(wet_closure(3), noise_ends_min=25)
    schedule, _ = hand_way(given)
    assert len(schedule.done) == 1
    assert check_schedule(given, schedule) == ()


def test_nothing_that_fits_is_an_empty_schedule():
    assert hand_way(problem()) == (Schedule((), (), 0), 0)
    assert hand_way(problem(single("A", 9, 60), window=50)) == (Schedule((), (), 0), 0)
