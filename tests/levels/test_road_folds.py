"""The fold of a two-plane road: closed form for all places at once, against least squares at each."""

import numpy as np
import pytest

from truebed.levels.least_squares import equal_weights, shared_weights
from truebed.levels.road_folds import best_ridge_mm, fold_reductions
from truebed.levels.road_terms import fold_span_mm, term_table


def ring(seed=0, count=12):
    rng = np.random.default_rng(seed)
    angle = 2 * np.pi * np.arange(count) / count + rng.normal(0, 0.1, count)
    x, y = 700 * np.cos(angle), 650 * np.sin(angle)
    return x, y, -0.03 * np.abs(y - 90.0) + 0.01 * x + rng.normal(0, 2, count)


@pytest.mark.parametrize("weights", [equal_weights(12, 2.0), shared_weights(np.diag(np.arange(2.0, 14.0)) + 1.5)])
def test_what_a_fold_takes_away_is_the_difference_of_two_least_squares_fits(weights):
    x, y, z = ring()
    white = weights.whitener @ term_table("plane", x, y, 0.0)
    base, level = np.linalg.qr(white)[0], weights.whitener @ z
    places = np.linspace(-300, 300, 13)
    found = fold_reductions(base, level - base @ (base.T @ level), weights.whitener, y, places)
    plain = level - white @ np.linalg.lstsq(white, level, rcond=None)[0]
    for place, reduction in zip(places, found, strict=True):
        table = weights.whitener @ term_table("two planes along", x, y, place)
        scale = np.linalg.norm(table, axis=0)
        left = level - table / scale @ np.linalg.lstsq(table / scale, level, rcond=None)[0]
        assert reduction == pytest.approx(plain @ plain - left @ left, rel=1e-7, abs=1e-7)


def test_a_fold_beyond_all_readings_takes_nothing_away():
    x, y, z = ring()
    base = np.linalg.qr(term_table("plane", x, y, 0.0))[0]
    assert fold_reductions(base, z - base @ (base.T @ z), np.eye(12), y, np.array([5000.0]))[0] == 0.0


@pytest.mark.parametrize("seed", range(8))
def test_no_whole_millimetre_in_the_span_fits_better_by_a_hundredth_of_a_square(seed):
    x, y, z = ring(seed)

    def squares(place):
        table = term_table("two planes along", x, y, float(place))
        scale = np.linalg.norm(table, axis=0)
        return np.sum((z - table / scale @ np.linalg.lstsq(table / scale, z, rcond=None)[0]) ** 2)

    low, high = fold_span_mm("two planes along", x, y)
    best = min(squares(p) for p in range(int(low) + 1, int(high)))
    assert squares(best_ridge_mm("two planes along", x, y, z)) <= best + 0.3
