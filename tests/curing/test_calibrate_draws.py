"""Draws fill their distribution evenly and are the same at every run; bands are weighted quantiles."""

from __future__ import annotations

import numpy as np
import pytest

from truebed.curing.curve_draws import band_logs, even_normals, theta_draws, time_bands, time_logs
from truebed.curing.curve_fit import fit_both, shares_of
from truebed.curing.curve_points import curve_points
from truebed.curing.defaults import curing_defaults

POINTS = curve_points([(20.0, 60.0, 14.0), (20.0, 180.0, 24.0), (5.0, 180.0, 13.0)], [(20.0, 25.0)], curing_defaults())


def test_even_normals_have_mean_nought_and_unit_covariance() -> None:
    normals = even_normals(1024, 6)
    assert normals.mean(axis=0) == pytest.approx(0.0, abs=1e-12)
    assert normals.T @ normals / 1024 == pytest.approx(np.eye(6), abs=1e-12)
    assert np.quantile(normals, 0.95, axis=0) == pytest.approx(1.6449, abs=0.05)


def test_draws_are_read_only_so_that_nobody_changes_the_next_ones() -> None:
    with pytest.raises(ValueError, match="read-only"):
        even_normals(8, 2)[0, 0] = 1.0


def test_draws_of_parameters_have_the_fits_centre_and_covariance() -> None:
    fit = fit_both(POINTS, curing_defaults())[0][0]
    draws = theta_draws(fit, 2048)[0]
    sd = np.sqrt(np.diag(fit.covariance[0]))
    assert (draws.mean(axis=0) - fit.theta[0]) / sd == pytest.approx(0.0, abs=1e-9)
    own = np.cov(draws.T, bias=True) / np.outer(sd, sd)
    assert own == pytest.approx(fit.covariance[0] / np.outer(sd, sd), abs=1e-9)


def test_a_weighted_quantile_is_that_of_the_values_repeated() -> None:
    logs = np.array([[5.0, 1.0, 3.0, np.inf]])
    weights = np.array([[0.2, 0.3, 0.4, 0.1]])
    assert band_logs(logs, weights, (0.05, 0.5, 0.9, 0.95)).tolist() == [[1.0, 3.0, 5.0, np.inf]]


def test_a_band_is_ordered_and_colder_is_later() -> None:
    fits, _ = fit_both(POINTS, curing_defaults())
    shares = shares_of(fits)
    warm, cold = (time_bands(fits, shares, 20.0, temp_c, 512)[0] for temp_c in (20.0, 2.0))
    assert warm[0] < warm[1] < warm[2]
    assert np.all(cold > warm)
    assert np.log(cold[2] / cold[0]) > np.log(warm[2] / warm[0])


def test_a_strength_that_a_draw_never_reaches_takes_for_ever() -> None:
    fits, _ = fit_both(POINTS, curing_defaults())
    logs = time_logs(fits[0], theta_draws(fits[0], 256), 35.0, 20.0)
    assert np.isinf(logs).any()
    assert np.isfinite(logs).any()
