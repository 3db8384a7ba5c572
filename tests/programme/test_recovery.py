"""The usual policy: what may be dropped and what can still be made safe."""

from programme.sample import after, job, problem, task, to_open, wet_closure
from truebed.programme.recovery import plain_policy, usual_policy


def opened_job():
    steps = [
        task("C1", "saw", 5, noisy=True),
        task("C1", "break", 8, noisy=True),
        task("C1", "lift", 4),
        task("C1", "bed", 6),
    ]
    lags = [after("saw", "break"), after("break", "lift"), after("lift", "bed"), to_open("bed", 20)]
    return job("C1", 1, steps, lags)


def test_a_cover_is_dropped_up_to_its_last_noisy_step_and_made_safe_up_to_the_first_that_must_cure():
    policy = usual_policy(problem(opened_job(), window=90))
    assert policy.break_out == {"C1": "break"}
    assert policy.leave_until == {"C1": "bed"}


def test_a_method_that_may_not_be_plated_has_nothing_to_make_safe():
    assert usual_policy(problem(opened_job(), window=90), may_be_plated=False).leave_until == {}


def test_the_plain_policy_gives_nothing_up():
    assert plain_policy().gates is False
    assert usual_policy(wet_closure(2)).gates is True
