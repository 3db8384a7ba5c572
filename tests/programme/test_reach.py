"""How early and how late steps can start, against every tuple of starts tried one by one."""

import random
from dataclasses import replace
from itertools import combinations, product

import pytest

from programme.sample import after, job, task, to_open, wet_job
from truebed.programme.problem import OPEN, Lag
from truebed.programme.reach import earliest_starts, latest_starts

EDGES = ("start", "end")


def drawn(seed):
    """A small job with lags of every sort, in a window so short that they bind; some admit nothing."""
    rng = random.Random(seed)  # noqa: S311
    tasks = [task("C1", f"s{k}", rng.randint(1, 4), noisy=rng.random() < 0.35) for k in range(rng.randint(1, 4))]
    lags = []
    for a, b in combinations([t.step for t in tasks], 2):
        if rng.random() < 0.7:
            first, then = (a, b) if rng.random() < 0.8 else (b, a)
            least = rng.choice((None, rng.randint(0, 3)))
            greatest = rng.choice((None, (0 if least is None else least) + rng.randint(0, 4)))
            lags.append(Lag(first, rng.choice(EDGES), then, rng.choice(EDGES), least, greatest, "drawn"))
    lags += [to_open(t.step, rng.randint(1, 8)) for t in tasks if rng.random() < 0.4]
    return job("C1", 1, tasks, lags), rng.randint(9, 15), rng.randint(0, 3), rng.randint(4, 15)


def held(one, starts, window, clear, noise):
    """Whether starts keep every lag and end, by rules written out here once more."""
    begin = dict(zip([t.step for t in one.tasks], starts, strict=True))
    end = {t.step: begin[t.step] + t.minutes for t in one.tasks}
    if any(end[t.step] + clear > window or (t.noisy and end[t.step] > noise) for t in one.tasks):
        return False
    for lag in one.lags:
        here = (begin if lag.from_edge == "start" else end)[lag.from_step]
        if lag.to_step == OPEN:
            if here + lag.least_min > window:
                return False
            continue
        apart = (begin if lag.to_edge == "start" else end)[lag.to_step] - here
        if lag.least_min is not None and apart < lag.least_min:
            return False
        if lag.greatest_min is not None and apart > lag.greatest_min:
            return False
    return True


def every(one, window, clear, noise, low):
    spans = [range(low, window - t.minutes + 1) for t in one.tasks]
    return [starts for starts in product(*spans) if held(one, starts, window, clear, noise)]


#: Brute force starts so far before the shutting that a drawn chain is never cut off there.
FAR = -14


@pytest.mark.parametrize("seed", range(60))
def test_the_latest_starts_are_the_latest_of_all_tuples_of_starts_that_hold(seed):
    one, window, clear, noise = drawn(seed)
    found = latest_starts(one, window, clear, noise)
    tried = every(one, window, clear, noise, FAR if len(one.tasks) < 4 else -3)
    if found is None:
        assert tried == []
        return
    latest = tuple(found[t.step] for t in one.tasks)
    if min(latest) >= (FAR if len(one.tasks) < 4 else -3):
        assert tuple(max(column) for column in zip(*tried, strict=True)) == latest
        assert latest in tried  # all at once, not only each for itself
    else:
        assert held(one, latest, window, clear, noise)


def test_the_drawn_jobs_are_not_all_easy():
    kinds = {None: 0, "noise": 0, "free": 0}
    for seed in range(60):
        one, window, clear, noise = drawn(seed)
        found, loud = latest_starts(one, window, clear, noise), latest_starts(one, window, clear, window)
        kinds[None if found is None else "noise" if found != loud else "free"] += 1
    assert min(kinds.values()) >= 3


@pytest.mark.parametrize("seed", range(60))
def test_the_earliest_starts_are_the_earliest_of_all_tuples_that_keep_the_least_lags(seed):
    one, window, _, _ = drawn(seed)
    found = earliest_starts(one.tasks, one.lags, 2)
    least = [lag for lag in one.lags if lag.to_step != OPEN and lag.least_min is not None]
    bare = job(
        "C1", 1, one.tasks, [Lag(x.from_step, x.from_edge, x.to_step, x.to_edge, x.least_min, None, "") for x in least]
    )
    far = 2 + sum(t.minutes for t in one.tasks) + sum(x.least_min for x in least)
    earliest = tuple(found[t.step] for t in one.tasks)
    assert held(bare, earliest, far + window, 0, far + window)
    for starts in product(*(range(2, at + 1) for at in earliest)):
        if any(s < at for s, at in zip(starts, earliest, strict=True)):
            assert not held(bare, starts, far + window, 0, far + window)


def test_greatest_lags_and_the_opening_do_not_hold_the_earliest_starts_back():
    tasks = (task("C1", "a", 5), task("C1", "b", 3))
    lags = (after("a", "b", 4, 6), to_open("b", 30), Lag("b", "end", "a", "start", None, 9, ""))
    assert earliest_starts(tasks, lags, 10) == {"a": 10, "b": 19}


def test_the_end_of_the_noisy_hours_holds_noisy_steps_and_what_must_follow_them_soon():
    tasks = (task("C1", "saw", 10, noisy=True), task("C1", "lay", 5))
    free, tied = (job("C1", 1, tasks, [after("saw", "lay", 0, most)]) for most in (None, 20))
    assert latest_starts(free, 100, 8, 40) == {"saw": 30, "lay": 87}
    assert latest_starts(tied, 100, 8, 40) == {"saw": 30, "lay": 60}


def test_taking_the_traffic_management_away_and_the_ready_clock_each_hold_the_last_step():
    tasks = (task("C1", "lay", 5),)
    assert latest_starts(job("C1", 1, tasks, [to_open("lay", 30)]), 100, 8, 100) == {"lay": 65}
    assert latest_starts(job("C1", 1, tasks, [to_open("lay", 3)]), 100, 8, 100) == {"lay": 87}


def test_the_latest_starts_of_a_real_chain_hold_and_none_can_be_a_minute_later():
    one = wet_job("C1")
    latest = latest_starts(one, 120, 8, 60)
    starts = [latest[t.step] for t in one.tasks]
    assert held(one, starts, 120, 8, 60)
    for k, later in enumerate(starts):
        # the others may only be earlier: were there a night with this one later, it would show among them
        others = [range(at - 12, at + 1) for at in starts]
        others[k] = range(later + 1, later + 2)
        assert not any(held(one, tried, 120, 8, 60) for tried in product(*others))


def test_lags_that_admit_no_night_give_none_and_a_circle_of_waits_is_refused():
    tasks = (task("C1", "a", 5), task("C1", "b", 3))
    circle = [after("a", "b", 1), after("b", "a", 1)]
    assert latest_starts(job("C1", 1, tasks, circle), 100, 0, 100) is None
    with pytest.raises(ValueError, match="circle"):
        earliest_starts(tasks, circle, 0)
    short = [after("a", "b", 9), Lag("a", "start", "b", "end", None, 12, "life")]
    assert latest_starts(job("C1", 1, tasks, short), 100, 0, 100) is None


def test_a_wait_that_grows_through_the_night_is_taken_at_the_hour_at_which_it_would_begin():
    tasks = [task("C1", "lay", 5), task("C1", "top", 5)]
    slow = Lag("lay", "end", "top", "start", 30, None, "set", profile=((0, 10), (60, 30)))
    out = Lag("top", "end", OPEN, "start", 40, None, "ready", profile=((0, 20), (60, 20), (120, 40)))
    found = latest_starts(job("C1", 1, tasks, [slow, out]), 120, 0, 120)
    # the top may end at 95, when it takes 32 minutes, no later than 120 - 25: 90 + 30 = 120
    ends = [m for m in range(121) if m + (20 if m <= 60 else -(-(60 * 20 + 20 * (m - 60)) // 60)) <= 120]
    assert found["top"] == max(ends) - 5
    lays = [m for m in range(121) if m + min(30, -(-(600 + 20 * m) // 60)) <= found["top"]]
    assert found["lay"] == max(lays) - 5
    worst = latest_starts(job("C1", 1, tasks, [replace(slow, profile=()), replace(out, profile=())]), 120, 0, 120)
    assert worst["lay"] <= found["lay"]


def test_an_hour_that_is_never_waited_out_is_not_begun_in():
    tasks = [task("C1", "lay", 5)]
    out = Lag("lay", "end", OPEN, "start", 9000, None, "ready", profile=((0, 20), (60, 9000)))
    found = latest_starts(job("C1", 1, tasks, [out]), 120, 0, 120)
    assert found["lay"] == -5  # ends at 0: a minute later it would be 170 minutes


def test_a_life_is_that_of_the_hour_at_which_it_begins():
    tasks = [task("C1", "mix", 5, noisy=True), task("C1", "lay", 5)]
    life = Lag("mix", "end", "lay", "start", 0, 10, "life", greatest_profile=((0, 50), (100, 10)))
    # the noise ends at 50: mixed then, 30 minutes are left
    assert latest_starts(job("C1", 1, tasks, [life]), 120, 0, 50) == {"mix": 45, "lay": 80}
