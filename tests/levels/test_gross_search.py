"""One wrong reading, two, or two that changed places: found by the w-test and by trying every pair."""

from itertools import combinations

import numpy as np
import pytest

from truebed.levels.gross_search import Pair, best_swap, best_two, exchange_wins, search
from truebed.levels.least_squares import critical_ratio, equal_weights, fit, free_information, shared_weights

LIMIT = critical_ratio(12, 0.05)


def ring(count=12, radius=650.0):
    angle = 2 * np.pi * np.arange(count) / count
    x, y = radius * np.cos(angle), radius * np.sin(angle)
    return np.column_stack([np.ones(count), x, y]), x, y


def plain(table, level, weights):
    found = fit(table, level, weights, np.ones(len(level), dtype=bool))
    return found, free_information(found, weights)


def left_without(table, level, weights, out):
    used = np.ones(len(level), dtype=bool)
    used[list(out)] = False
    return fit(table, level, weights, used).chi_square_ratio


def test_the_prices_are_those_of_unknown_sizes_and_of_the_number_of_ways():
    swap, pairs, size = Pair(0, 1, 9.0), 2 * np.log(66), 2 * np.log(100 / (2 * np.pi) ** 0.5)
    single = 9.0 + pairs - 2 * np.log(12)
    assert exchange_wins(swap, single + 0.01, 9.0, 12)
    assert not exchange_wins(swap, single - 0.01, 9.0, 12)
    assert exchange_wins(swap, 1e9, 9.0 - 2 * size + 0.01, 12)
    assert not exchange_wins(swap, 1e9, 9.0 - 2 * size - 0.01, 12)


def weights_of(kind):
    groups = np.repeat([0, 1, 2, 3], 3)
    shared = np.diag(np.linspace(2, 6, 12)) + 2.0 * (groups[:, None] == groups[None, :])
    return equal_weights(12, 2.0) if kind == "equal" else shared_weights(shared)


@pytest.mark.parametrize("kind", ["equal", "shared"])
@pytest.mark.parametrize("seed", range(5))
def test_the_best_two_are_the_pair_that_trying_all_pairs_finds(kind, seed):
    table, _, _ = ring()
    level, weights = np.random.default_rng(seed).normal(0, 4, 12), weights_of(kind)
    found, information = plain(table, level, weights)
    pair = best_two(found.pull, information, found.chi_square_ratio)
    tried = {out: left_without(table, level, weights, out) for out in combinations(range(12), 2)}
    assert (pair.first, pair.second) == min(tried, key=tried.get)
    assert pair.chi_square_ratio == pytest.approx(min(tried.values()))


@pytest.mark.parametrize("kind", ["equal", "shared"])
def test_the_best_exchange_is_the_one_that_trying_all_of_them_finds(kind):
    table, x, _ = ring()
    level, weights = 0.05 * x + np.random.default_rng(2).normal(0, 2, 12), weights_of(kind)
    level[[1, 5]] = level[[5, 1]]
    found, information = plain(table, level, weights)
    swap = best_swap(level, found.pull, information, found.chi_square_ratio, 3.5)
    tried = {}
    for i, j in combinations(range(12), 2):
        other = level.copy()
        other[[i, j]] = other[[j, i]]
        tried[i, j] = plain(table, other, weights)[0].chi_square_ratio
    assert (swap.first, swap.second) == (1, 5) == min(tried, key=tried.get)
    assert swap.chi_square_ratio == pytest.approx(min(tried.values()))


def swapped(seed):
    """Readings on a slope of 5 %, two of them swapped that differ by 25 mm or more; those two, and what was true."""
    _, x, _ = ring()
    truth = 0.05 * x + np.random.default_rng(seed).normal(0, 2, 12)
    pairs = [(i, j) for i, j in combinations(range(12), 2) if abs(truth[i] - truth[j]) >= 25.0]
    i, j = pairs[seed % len(pairs)]
    level = truth.copy()
    level[[i, j]] = level[[j, i]]
    return level, truth, i, j


def test_two_points_swapped_on_a_slope_are_named_with_each_other_nine_times_in_ten():
    table = ring()[0]
    named = both = 0
    for seed in range(400):
        level, _, i, j = swapped(seed)
        removed = search(table, level, equal_weights(12, 2.0), 0.05, 2)[1]
        both += {r.index for r in removed} == {i, j}
        named += {(r.index, r.partner) for r in removed} == {(i, j), (j, i)}
    assert both / 400 >= 0.97
    assert named / 400 >= 0.90


def test_a_swapped_pair_is_left_out_and_said_to_be_off_by_what_it_is():
    table = ring()[0]
    level, truth, i, j = swapped(2)
    fitted, removed = search(table, level, equal_weights(12, 2.0), 0.05, 2)
    assert {(r.index, r.partner) for r in removed} == {(i, j), (j, i)}
    assert list(np.flatnonzero(~fitted.used)) == sorted((i, j))
    assert fitted.coefficients[1] == pytest.approx(0.05, abs=0.008)
    for r in removed:
        assert r.off_mm == pytest.approx(level[r.index] - truth[r.index], abs=9.0)


def test_one_wrong_reading_is_hardly_ever_taken_for_an_exchange():
    table, x, _ = ring()
    rng = np.random.default_rng(3)
    taken = 0
    for trial in range(600):
        level = 0.03 * x + rng.normal(0, 2, 12)
        level[trial % 12] += rng.choice([-1, 1]) * rng.uniform(12, 60)
        removed = search(table, level, equal_weights(12, 2.0), 0.05, 2)[1]
        taken += any(r.partner >= 0 for r in removed)
    assert taken / 600 <= 0.03


def test_an_exchange_costs_no_unknown_and_must_still_beat_one_wrong_reading():
    table, x, _ = ring()
    level = 0.05 * x
    level[3] += 30.0
    found, information = plain(table, level, equal_weights(12, 2.0))
    swap = best_swap(level, found.pull, information, found.chi_square_ratio, LIMIT)
    single = found.chi_square_ratio - found.pull[3] ** 2 / found.free[3]
    assert single == pytest.approx(0.0, abs=1e-9)
    assert not exchange_wins(swap, single, single, 12)
    assert not exchange_wins(None, 1e9, 1e9, 12)


@pytest.mark.parametrize("seed", range(10))
def test_two_wrong_readings_that_hide_each_other_are_both_found(seed):
    table, _, _ = ring()
    level = np.random.default_rng(seed).normal(0, 2, 12)
    level[0] += 40.0
    level[1] += 40.0
    removed = search(table, level, equal_weights(12, 2.0), 0.05, 2)[1]
    assert {r.index for r in removed} == {0, 1}
    assert all(r.partner == -1 for r in removed)


def test_no_more_are_thrown_out_than_allowed():
    table, _, _ = ring()
    level = np.zeros(12)
    level[[0, 1, 2]] = 90.0, -70.0, 120.0
    assert search(table, level, equal_weights(12, 2.0), 0.05, 0)[1] == ()
    assert len(search(table, level, equal_weights(12, 2.0), 0.05, 1, False)[1]) == 1


def test_good_readings_are_called_gross_about_as_often_as_asked():
    table, _, _ = ring()
    rng = np.random.default_rng(11)
    alarms = sum(bool(search(table, rng.normal(0, 2, 12), equal_weights(12, 2.0), 0.05, 2)[1]) for _ in range(1500))
    assert 0.03 <= alarms / 1500 <= 0.065


def test_a_reading_15_mm_off_among_12_is_named_nearly_always():
    table, _, _ = ring()
    rng = np.random.default_rng(12)
    named = 0
    for trial in range(400):
        level = rng.normal(0, 2, 12)
        level[trial % 12] += 15.0
        removed = search(table, level, equal_weights(12, 2.0), 0.05, 2)[1]
        named += bool(removed) and removed[0].index == trial % 12
    assert named / 400 >= 0.97


def test_a_reading_that_the_others_cannot_do_without_stays():
    table = np.column_stack([np.ones(7), [0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0]])
    level = np.array([0.0, 1.0, -1.0, 0.5, 0.0, 0.0, 90.0])
    assert search(table, level, equal_weights(7, 1.0), 0.05, 2)[1] == ()
