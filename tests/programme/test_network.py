"""The net of one job: longest paths, heads, tails, latest starts, and the ring that contradicts itself."""

from dataclasses import replace

import pytest

from programme.sample import after, job, problem, task, to_open, wet_job
from truebed.programme.network import (
    NO_PATH,
    arcs_of,
    contradiction,
    edge_offset,
    lag_holds,
    longest_paths,
    net_of,
    opening_of,
    traffic_from,
)
from truebed.programme.problem import OPEN, Lag

CHAIN = job(
    "C1", 1, [task("C1", "a", 5, noisy=True), task("C1", "b", 3), task("C1", "c", 2)],
    [after("a", "b", 4, 9, "wet edge"), after("b", "c"), to_open("b", 20)],
)  # fmt: skip


def test_an_end_edge_lies_a_length_behind_the_start():
    assert edge_offset(CHAIN.tasks[0], "end") == 5
    assert edge_offset(CHAIN.tasks[0], "start") == 0


@pytest.mark.parametrize(("from_edge", "to_edge", "minutes"), [
    ("end", "start", 5 + 4), ("start", "start", 4), ("end", "end", 5 + 4 - 3), ("start", "end", 4 - 3),
])  # fmt: skip
def test_each_pair_of_edges_becomes_the_right_start_to_start_arc(from_edge, to_edge, minutes):
    lag = Lag("a", from_edge, "b", to_edge, 4, 4, "exactly four")
    forth, back = arcs_of(job("C1", 1, CHAIN.tasks, [lag]))
    assert (forth.frm, forth.to, forth.minutes) == (0, 1, minutes)
    assert (back.frm, back.to, back.minutes) == (1, 0, -minutes)


def test_longest_paths_add_lengths_and_waits_and_know_no_path():
    paths = longest_paths(3, arcs_of(CHAIN))
    assert paths[0] == (0, 9, 12)
    assert paths[1] == (-14, 0, 3)
    assert paths[2] == (NO_PATH, NO_PATH, 0)


def test_heads_tails_and_latest_starts_of_a_chain_are_those_of_the_hand_count():
    net = net_of(problem(CHAIN, window=60, tm_set=7, tm_clear=6, noise=15), CHAIN)
    assert net.heads == (7, 16, 19)
    # b ends 3 after its start and 20 more until the opening; c takes 2 and 6 for the traffic management
    assert net.to_open == (9 + 23, 23, 8)
    # a is noisy: by 15 - 5; b at most 9 after a's end, so by 10 + 14
    assert net.latest == (10, 24, 52)


def test_a_chain_that_can_hold_has_no_contradiction():
    assert contradiction(CHAIN) is None
    assert contradiction(wet_job("C1")) is None


def test_two_clocks_that_contradict_are_both_in_the_ring():
    lags = [after("a", "b", 12, None, "the bed sets"), after("a", "b", None, 9, "wet edge")]
    found = contradiction(job("C1", 1, CHAIN.tasks, lags))
    assert found is not None
    over, ring = found
    assert over == 3
    assert {arc.lag.why for arc in ring} == {"the bed sets", "wet edge"}


def test_a_life_shorter_than_the_steps_inside_it_is_a_contradiction():
    lags = [after("a", "b"), after("b", "c"), Lag("a", "start", "c", "end", None, 9, "working life")]
    found = contradiction(job("C1", 1, CHAIN.tasks, lags))
    assert found is not None
    assert found[0] == 1
    assert len(found[1]) == 3


def falling(step, other, points):
    worst = max(wait for _minute, wait in points)
    return Lag(step, "end", other, "start", worst, None, "it cures", profile=points)


def test_heads_and_latest_starts_follow_the_wait_of_their_own_hour():
    points = ((0, 10), (100, 60))
    net = net_of(
        problem(job("C1", 1, [task("C1", "a", 10), task("C1", "b", 10)], [falling("a", "b", points)]), window=100),
        job("C1", 1, [task("C1", "a", 10), task("C1", "b", 10)], [falling("a", "b", points)]),
    )
    # a ends at 10 at the soonest: 15 more; b starts at 90 at the latest: an end at 53 waits 36.5, 54 waits 37
    assert net.heads == (0, 25)
    assert net.latest == (43, 90)


def test_heads_and_latest_starts_lie_outside_forbidden_hours():
    one = replace(task("C1", "a", 10), not_during=((0, 5), (12, 20), (80, 95)))
    net = net_of(problem(job("C1", 1, [one], []), window=90), job("C1", 1, [one], []))
    assert (net.heads, net.latest) == ((20,), (70,))


def test_the_opening_and_the_traffic_read_each_clock_at_its_own_hour():
    ready = Lag("a", "end", OPEN, "start", 60, None, "ready", profile=((0, 10), (100, 60)))
    of = job("C1", 1, [task("C1", "a", 10)], [ready])
    given = problem(of, window=200, tm_clear=20)
    assert [traffic_from(of, {"a": start}) for start in (0, 40)] == [25, 85]
    assert [opening_of(given, of, {"a": start}) for start in (0, 40)] == [30, 85]


def test_a_lag_holds_by_the_minute_of_its_from_edge():
    of = job("C1", 1, [task("C1", "a", 10), task("C1", "b", 10)], [falling("a", "b", ((0, 10), (100, 60)))])
    assert [lag_holds(of, of.lags[0], 0, then) for then in (24, 25)] == [False, True]
    assert [lag_holds(of, of.lags[0], 40, then) for then in (84, 85)] == [False, True]
