"""Latest starts of a closure: in the method's order, the lift marked, covers that cannot be done left out."""

import pytest

from programme.sample import after, job, problem, task, to_open
from truebed.plan.latest import latest_of, lifts


def chain(cover="C1", wait=30):
    tasks = (
        task(cover, "saw", 10, noisy=True),
        task(cover, "lift", 5),
        task(cover, "lift-again", 5),
        task(cover, "lay", 8),
    )
    lags = [after("saw", "lift"), after("lift", "lift-again"), after("lift-again", "lay"), to_open("lay", wait)]
    return job(cover, 1, tasks, lags)


def test_steps_come_in_the_methods_order_with_their_latest_minutes_and_the_first_lift_is_marked():
    found = latest_of(problem(chain(), window=100, tm_clear=8, noise=100))
    assert [(x.step, x.minute_min, x.lift) for x in found] == [
        ("saw", 42, False), ("lift", 52, True), ("lift-again", 57, False), ("lay", 62, False),
    ]  # fmt: skip


def test_a_longer_wait_for_the_opening_brings_the_lift_forward_by_as_much():
    lift = {
        wait: next(x.minute_min for x in latest_of(problem(chain(wait=wait), window=100)) if x.lift)
        for wait in (30, 37)
    }
    assert lift[30] - lift[37] == 7


def test_a_cover_that_cannot_be_done_has_no_latest_and_does_not_stop_the_others():
    found = latest_of(problem(chain("C1", wait=90), chain("C2"), window=100))
    assert {x.cover for x in found} == {"C2"}
    assert latest_of(problem(chain(), window=100, tm_set=40)) != ()
    assert latest_of(problem(chain(), window=100, tm_set=43)) == ()


@pytest.mark.parametrize(
    ("step", "name", "says"),
    [
        ("lift", "Take it out", True),
        ("out", "Lift the frame", True),
        ("lift-frame", "x", True),
        ("shift", "Shift the lifter", False),
    ],
)
def test_a_step_lifts_where_its_key_or_name_says_so_as_a_word(step, name, says):
    assert lifts(step, name) is says
