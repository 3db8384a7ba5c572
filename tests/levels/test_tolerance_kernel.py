"""The parts of the chance of tolerance: normal law, factor, extremes of stretches, lattices, compiled and plain."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from truebed.compiled import plain
from truebed.levels import tolerance_kernel
from truebed.levels.tolerance import LATTICES, joint_factor, lattice_for, normal_lattice
from truebed.levels.tolerance_kernel import band_share, factor, folded_share, smooth_share, span


@given(st.floats(-40, 40), st.floats(-40, 40))
def test_the_share_of_a_band_is_the_normal_laws(a, b):
    low, high = min(a, b), max(a, b)
    expected = norm.cdf(high) - norm.cdf(low) if low <= 0 else norm.sf(low) - norm.sf(high)
    assert band_share(low, high) == pytest.approx(expected, rel=1e-9, abs=1e-15)
    assert band_share(high, low) == (0.0 if high >= low else band_share(low, high))


def test_the_share_of_an_endless_band_is_all():
    assert band_share(-np.inf, np.inf) == 1.0


@given(st.integers(0, 2**32 - 1), st.integers(1, 6), st.integers(0, 3))
def test_a_factor_gives_its_covariance_back_even_where_some_directions_are_sure(seed, size, missing):
    rng = np.random.default_rng(seed)
    half = rng.normal(size=(size, max(1, size - missing))) * 10.0 ** rng.integers(-4, 2, (size, 1))
    covariance = half @ half.T
    lower = np.full((size, size), np.nan)
    factor(covariance, lower)
    scale = np.sqrt(np.diag(covariance))
    assert (lower @ lower.T) / np.outer(scale, scale) == pytest.approx(covariance / np.outer(scale, scale), abs=1e-5)
    assert np.all(np.triu(lower, 1) == 0.0)


@given(st.floats(-9, 9), st.floats(-9, 9), st.floats(-9, 9))
def test_the_extremes_of_a_parabola_are_those_of_a_fine_scan(a, middle, b):
    out, s = np.zeros(2), np.linspace(0.0, 1.0, 2001)
    bend, pull = 2 * (a - 2 * middle + b), 4 * middle - 3 * a - b
    scan = a + pull * s + bend * s**2
    span(np.array([a, middle, b]), np.array([[0, 1, 2], [2, 2, 2]]), out)
    assert out == pytest.approx([scan.min(), scan.max()], abs=1e-4)
    assert out[0] <= scan.min() + 1e-12
    assert out[1] >= scan.max() - 1e-12


def test_the_lattices_have_the_normal_laws_moments():
    for lattice, (count, _) in enumerate(LATTICES):
        points = normal_lattice(lattice)
        assert points.shape == (5, count)
        assert points.mean(axis=1) == pytest.approx(np.zeros(5), abs=0.01)
        assert np.cov(points) == pytest.approx(np.eye(5), abs=0.06 if count < 1000 else 0.02)


def test_the_heavier_a_road_the_finer_its_lattice():
    assert [lattice_for(w) for w in (1.0, 0.15, 0.1, 0.01, 0.001)] == [0, 0, 1, 1, 2]


def test_rim_and_road_err_together_in_level_and_slopes_only():
    road = np.diag([4.0, 1e-6, 2e-6, 1e-10])
    rim = np.diag([1.0, 1e-6, 1e-6])
    lower = joint_factor(road, rim, (3, 2, 1, 0))
    assert np.diag(lower) ** 2 == pytest.approx([1e-10, 3e-6, 2e-6, 5.0])


def smooth_case():
    rng = np.random.default_rng(5)
    table = np.array([[0, 4, 1], [1, 5, 2], [2, 6, 3], [3, 7, 0]])
    return rng.normal(0, 1, 8), rng.normal(0, 1, (3, 8)), 0.8, table, -4.0, 5.0, normal_lattice(2)


def folded_case():
    corners = np.array([[330.0, 330], [-330, 330], [-330, -330], [330, -330]])
    lower = np.tril(np.full((5, 5), 1e-3)) + np.diag([40.0, 1e-3, 1e-3, 1e-3, 0.7])
    mean = np.array([20.0, -0.015, 1e-3, 0.0, -2.0])
    sides = np.array([[0, 1], [1, 2], [2, 3], [3, 0]])
    return corners, sides, 1, mean, lower, np.array([-375.0, 375.0]), -6.0, 6.0, normal_lattice(2)


def test_compiled_and_plain_agree(monkeypatch):
    quick = smooth_share(*smooth_case()), folded_share(*folded_case())
    for name in dir(tolerance_kernel):
        if hasattr(getattr(tolerance_kernel, name), "py_func"):
            monkeypatch.setattr(tolerance_kernel, name, plain(getattr(tolerance_kernel, name)))
    slow = tolerance_kernel.smooth_share(*smooth_case()), tolerance_kernel.folded_share(*folded_case())
    assert quick == pytest.approx(slow, rel=1e-12)
    assert 0.05 < quick[0] < 0.95
    assert 0.05 < quick[1] < 0.95


def test_the_spans_of_all_draws_together_are_those_of_draw_by_draw():
    mean, terms, _, stretches, _, _, draws = smooth_case()
    together, one_by_one = np.empty((2, draws.shape[1])), np.empty((2, draws.shape[1]))
    tolerance_kernel._spans(mean, terms, stretches, draws, *together)
    tolerance_kernel._spans_by_draw(mean, terms, stretches, draws, *one_by_one)
    assert np.allclose(together, one_by_one, rtol=1e-12, atol=1e-12)
    assert np.all(together[1] > together[0])


def test_the_folded_spans_of_all_draws_together_are_those_of_draw_by_draw():
    corners, sides, across = folded_case()[:3]
    rng = np.random.default_rng(9)
    plane = rng.normal(size=(3, 400)) * np.array([[2.0], [0.01], [0.01]])
    fold, ridge = rng.normal(0.0, 0.02, 400), rng.uniform(-600.0, 600.0, 400)
    together, one_by_one = np.full((2, 400), np.inf), np.empty((2, 400))
    together[1] = -np.inf
    tolerance_kernel._folded_spans(corners, sides, across, plane, fold, ridge, *together)
    tolerance_kernel._folded_spans_by_draw(corners, sides, across, plane, fold, ridge, *one_by_one)
    assert np.allclose(together, one_by_one, rtol=1e-12, atol=1e-12)
    assert np.all(together[1] > together[0])
