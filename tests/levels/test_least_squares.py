"""Least squares, Huber's estimate and the gross-reading test."""

import numpy as np
import pytest

from truebed.levels.least_squares import (
    carries,
    critical_ratio,
    fit,
    normal_quantile_ratio,
    robust_residuals_mm,
    without_gross,
)


def ring_table(count=12, radius=650.0):
    angle = 2 * np.pi * np.arange(count) / count
    x, y = radius * np.cos(angle), radius * np.sin(angle)
    return np.column_stack([np.ones(count), x, y]), x, y


def test_f6_one_reading_15_mm_off_moves_least_squares_as_algebra_says():
    angle = 2 * np.pi * np.arange(12) / 12
    x, y = 600 * np.cos(angle), 600 * np.sin(angle)
    table = np.column_stack([np.ones(12), x, y])
    level = np.zeros(12)
    level[0] = 15.0
    found = fit(table, level, 2.0, np.ones(12, dtype=bool))
    assert found.coefficients[0] == pytest.approx(1.25)
    assert found.coefficients[1] == pytest.approx(15 * 2 / (12 * 600))
    assert found.residual_mm[0] == pytest.approx(15 * (1 - 3 / 12))


def test_f6_without_the_gross_reading_the_plane_is_exact():
    table, _, _ = ring_table()
    level = np.zeros(12)
    level[0] = 15.0
    found, removed = without_gross(table, level, 2.0, 0.05, 2)
    assert [i for i, _, _ in removed] == [0]
    assert removed[0][1] == pytest.approx(15.0)
    assert found.coefficients == pytest.approx(np.zeros(3), abs=1e-9)


def test_the_statistic_is_the_deleted_residual_over_its_own_error():
    table, _, _ = ring_table()
    rng = np.random.default_rng(3)
    level = rng.normal(0, 2, 12)
    level[4] += 14.0
    _, removed = without_gross(table, level, 2.0, 0.05, 1)
    keep = np.arange(12) != 4
    rest = fit(table[keep], level[keep], 2.0, np.ones(11, dtype=bool))
    off = level[4] - table[4] @ rest.coefficients
    error = 2.0 * np.sqrt(1 + table[4] @ (rest.covariance / 4.0) @ table[4])
    assert removed[0][2] == pytest.approx(off / error)


def test_the_covariance_of_a_ring_is_the_closed_form():
    table, _, _ = ring_table(10, 700.0)
    found = fit(table, np.zeros(10), 2.0, np.ones(10, dtype=bool))
    assert np.diag(found.covariance) == pytest.approx([4 / 10, 2 * 4 / (10 * 700**2), 2 * 4 / (10 * 700**2)])


def test_good_readings_are_called_gross_about_as_often_as_asked():
    table, _, _ = ring_table()
    rng = np.random.default_rng(11)
    alarms = sum(bool(without_gross(table, rng.normal(0, 2, 12), 2.0, 0.05, 2)[1]) for _ in range(1500))
    assert 0.03 <= alarms / 1500 <= 0.065


def test_a_reading_15_mm_off_among_12_is_named_nearly_always():
    table, _, _ = ring_table()
    rng = np.random.default_rng(12)
    named = 0
    for trial in range(400):
        level = rng.normal(0, 2, 12)
        level[trial % 12] += 15.0
        removed = without_gross(table, level, 2.0, 0.05, 2)[1]
        named += bool(removed) and removed[0][0] == trial % 12
    assert named / 400 >= 0.97


def test_a_single_ring_cannot_carry_a_full_quadratic():
    table, x, y = ring_table()
    assert carries(np.column_stack([table, x * y, x**2 - y**2]))
    assert not carries(np.column_stack([table, x * y, x**2, y**2]))


def test_points_in_line_cannot_carry_a_plane():
    x = np.linspace(-500, 500, 9)
    assert not carries(np.column_stack([np.ones(9), x, 2 * x]))


def test_huber_agrees_with_least_squares_where_nothing_is_gross():
    table, _, _ = ring_table()
    level = np.random.default_rng(5).normal(0, 0.5, 12)
    plain = fit(table, level, 2.0, np.ones(12, dtype=bool)).residual_mm
    assert robust_residuals_mm(table, level, 2.0, np.ones(12, dtype=bool)) == pytest.approx(plain, abs=1e-6)


def test_the_critical_value_is_the_two_sided_normal_quantile_shared_over_the_readings():
    assert normal_quantile_ratio(0.975) == pytest.approx(1.959964, abs=1e-6)
    assert critical_ratio(1, 0.05) == pytest.approx(1.959964, abs=1e-6)
    assert critical_ratio(10, 0.05) == pytest.approx(2.807034, abs=1e-6)
