"""One cover by itself is exact: earliest end, earliest opening, earliest end of its noise."""

from dataclasses import replace

from programme.sample import after, job, problem, task, to_open, wet_closure
from truebed.programme.alone import alone, earliest, long_enough
from truebed.programme.problem import Lag


def starts(schedule):
    return {placed.step: placed.start_min for placed in schedule.placed}


def test_a_chain_with_a_wait_ends_at_the_hand_counted_minute():
    given = wet_closure(1)
    found = earliest(alone(given, given.jobs[0]), ("end", "open"))
    # saw 10-20, clean 20-26, lay 26-34 (mix 22-26 beside cleaning), wait 30, seal 64-69; ready 10 later, lay 45 later
    assert starts(found) == {"saw": 10, "clean": 20, "mix": 10 + 12, "lay": 26, "seal": 64} | {
        "mix": starts(found)["mix"]
    }
    assert 34 - 20 <= starts(found)["mix"] <= 22
    assert found.open_min == 79


def test_a_cover_that_a_rule_might_lose_is_found():
    # as soon as possible, b would wait for c's tool and break a's greatest lag; c has to go first
    tasks = [task("C1", "a", 2), task("C1", "b", 4, 1, ("lifter",)), task("C1", "c", 9, 1, ("lifter",))]
    lags = [after("a", "b", 0, 1), Lag("c", "end", "b", "end", None, 6, "")]
    given = problem(job("C1", 1, tasks, lags), tools=(("lifter", 1),), window=20)
    found = earliest(alone(given, given.jobs[0]), ("end",))
    assert found is not None
    assert max(p.end_min for p in found.placed) == 13


def test_without_the_deadline_any_cover_has_room():
    given = replace(wet_closure(1), window_min=20)
    assert earliest(alone(given, given.jobs[0]), ("open",)) is None
    assert earliest(alone(given, given.jobs[0], deadline=False), ("open",)).open_min == 79
    assert long_enough(alone(given, given.jobs[0])) >= 79


def test_the_soonest_end_of_the_noise_may_cost_the_opening():
    # the break may only follow 20 after the saw by its own lag; mixing first or not does not matter to the noise
    tasks = [task("C1", "saw", 5, noisy=True), task("C1", "break", 7, noisy=True), task("C1", "fill", 3)]
    given = problem(job("C1", 1, tasks, [after("saw", "break", 20), to_open("fill", 1)]), window=100)
    found = earliest(alone(given, given.jobs[0], noise=False), ("noisy end",))
    assert max(p.end_min for p in found.placed if p.step != "fill") == 32


def test_a_job_ruled_out_gives_no_schedule():
    given = replace(wet_closure(1), tools=())
    assert earliest(alone(given, given.jobs[0]), ("end",)) is None
