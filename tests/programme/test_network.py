"""The net of one job: longest paths, heads, tails, latest starts, and the ring that contradicts itself."""

import pytest

from programme.sample import after, job, problem, task, to_open, wet_job
from truebed.programme.network import NO_PATH, arcs_of, contradiction, edge_offset, longest_paths, net_of
from truebed.programme.problem import Lag

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
