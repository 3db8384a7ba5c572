"""Least squares with known errors, shared or not, and the w-test."""

import numpy as np
import pytest

from truebed.levels.gross_search import search
from truebed.levels.least_squares import (
    carries,
    critical_ratio,
    equal_weights,
    fit,
    normal_quantile_ratio,
    shared_weights,
    statistics_ratio,
    whitener_of,
)


def ring_table(count=12, radius=650.0):
    angle = 2 * np.pi * np.arange(count) / count
    x, y = radius * np.cos(angle), radius * np.sin(angle)
    return np.column_stack([np.ones(count), x, y]), x, y


def every(count):
    return np.ones(count, dtype=bool)


def test_f6_one_reading_15_mm_off_moves_least_squares_as_algebra_says():
    table, _, _ = ring_table(12, 600.0)
    level = np.zeros(12)
    level[0] = 15.0
    found = fit(table, level, equal_weights(12, 2.0), every(12))
    assert found.coefficients[0] == pytest.approx(1.25)
    assert found.coefficients[1] == pytest.approx(15 * 2 / (12 * 600))
    assert found.residual_mm[0] == pytest.approx(15 * (1 - 3 / 12))


def test_f6_without_the_gross_reading_the_plane_is_exact():
    table, _, _ = ring_table()
    level = np.zeros(12)
    level[0] = 15.0
    found, removed = search(table, level, equal_weights(12, 2.0), 0.05, 2)
    assert [r.index for r in removed] == [0]
    assert removed[0].off_mm == pytest.approx(15.0)
    assert found.coefficients == pytest.approx(np.zeros(3), abs=1e-9)


def deleted(table, level, covariance, which):
    """The reading less what the others foretell of it, their shared errors counted, and that difference's own error."""
    keep = np.arange(len(level)) != which
    inverse = np.linalg.inv(covariance[np.ix_(keep, keep)])
    normal = np.linalg.inv(table[keep].T @ inverse @ table[keep])
    coefficients = normal @ table[keep].T @ inverse @ level[keep]
    shared = covariance[which, keep] @ inverse
    foretold = table[which] @ coefficients + shared @ (level[keep] - table[keep] @ coefficients)
    apart = table[which] - shared @ table[keep]
    variance = covariance[which, which] - shared @ covariance[keep, which] + apart @ normal @ apart
    return level[which] - foretold, np.sqrt(variance)


def shared_covariance(count, seed=1):
    rng = np.random.default_rng(seed)
    groups = np.repeat([0, 1, 2], count // 3)
    return np.diag(rng.uniform(1, 6, count)) + 3.0 * (groups[:, None] == groups[None, :])


@pytest.mark.parametrize("covariance", [4.0 * np.eye(12), np.diag(np.arange(1.0, 13.0)), shared_covariance(12)])
def test_the_statistic_is_the_left_out_residual_over_its_own_error_with_any_covariance(covariance):
    table, _, _ = ring_table()
    level = np.random.default_rng(3).normal(0, 3, 12)
    found = fit(table, level, shared_weights(covariance), every(12))
    for i in range(12):
        off, error = deleted(table, level, covariance, i)
        assert found.pull[i] / found.free[i] == pytest.approx(off, rel=1e-9)
        assert statistics_ratio(found)[i] == pytest.approx(off / error, rel=1e-9)


def test_shared_errors_are_weighed_as_the_textbook_formula_says():
    table, x, _ = ring_table()
    covariance = shared_covariance(12)
    level = 1.0 + 0.01 * x + np.random.default_rng(4).normal(0, 2, 12)
    found = fit(table, level, shared_weights(covariance), every(12))
    inverse = np.linalg.inv(covariance)
    normal = np.linalg.inv(table.T @ inverse @ table)
    assert found.coefficients == pytest.approx(normal @ table.T @ inverse @ level, rel=1e-9)
    assert found.covariance == pytest.approx(normal, rel=1e-8)
    assert found.gain == pytest.approx(normal @ table.T @ inverse, rel=1e-8, abs=1e-15)
    left = level - table @ found.coefficients
    assert found.chi_square_ratio == pytest.approx(left @ inverse @ left)


def test_the_gain_is_what_a_millimetre_more_in_each_reading_does():
    table, _, _ = ring_table()
    rng = np.random.default_rng(5)
    level, used = rng.normal(0, 2, 12), every(12)
    used[[2, 7]] = False
    weights = shared_weights(shared_covariance(12))
    before = fit(table, level, weights, used)
    for i in range(12):
        moved = level.copy()
        moved[i] += 1.0
        change = fit(table, moved, weights, used).coefficients - before.coefficients
        assert before.gain[:, i] == pytest.approx(change, abs=1e-12)
    assert not before.gain[:, [2, 7]].any()
    assert before.gain @ shared_covariance(12) @ before.gain.T == pytest.approx(before.covariance, rel=1e-9)


def test_a_reading_left_out_counts_as_if_it_were_not_there():
    table, _, _ = ring_table()
    level, used = np.random.default_rng(6).normal(0, 2, 12), every(12)
    used[4] = False
    covariance = shared_covariance(12)
    found = fit(table, level, shared_weights(covariance), used)
    pick = np.ix_(used, used)
    rest = fit(table[used], level[used], shared_weights(covariance[pick]), every(11))
    assert found.coefficients == pytest.approx(rest.coefficients)
    assert found.pull[4] == found.free[4] == found.own[4] == 0.0
    assert found.residual_mm[4] == pytest.approx(level[4] - table[4] @ rest.coefficients)


def test_the_whitener_makes_the_readings_errors_independent_and_of_one_size():
    covariance, used = shared_covariance(12), every(12)
    used[0] = False
    for weights in (shared_weights(covariance), equal_weights(12, 3.0)):
        whitener = whitener_of(weights, used)
        assert whitener @ weights.covariance[1:, 1:] @ whitener.T == pytest.approx(np.eye(11), abs=1e-12)


def test_the_covariance_of_a_ring_is_the_closed_form():
    table, _, _ = ring_table(10, 700.0)
    found = fit(table, np.zeros(10), equal_weights(10, 2.0), every(10))
    assert np.diag(found.covariance) == pytest.approx([4 / 10, 2 * 4 / (10 * 700**2), 2 * 4 / (10 * 700**2)])


def test_a_single_ring_cannot_carry_a_full_quadratic():
    table, x, y = ring_table()
    assert carries(np.column_stack([table, x * y, x**2 - y**2]))
    assert not carries(np.column_stack([table, x * y, x**2, y**2]))


def test_points_in_line_cannot_carry_a_plane():
    x = np.linspace(-500, 500, 9)
    assert not carries(np.column_stack([np.ones(9), x, 2 * x]))


def test_a_reading_that_the_model_bends_to_is_not_tested():
    table = np.column_stack([np.ones(5), [0.0, 0.0, 0.0, 0.0, 1.0]])
    found = fit(table, np.array([0.0, 1.0, -1.0, 0.0, 50.0]), equal_weights(5, 1.0), every(5))
    assert statistics_ratio(found)[4] == 0.0


def test_the_critical_value_is_the_two_sided_normal_quantile_shared_over_the_readings():
    assert normal_quantile_ratio(0.975) == pytest.approx(1.959964, abs=1e-6)
    assert critical_ratio(1, 0.05) == pytest.approx(1.959964, abs=1e-6)
    assert critical_ratio(10, 0.05) == pytest.approx(2.807034, abs=1e-6)
