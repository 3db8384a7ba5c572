"""Even draws of fitted parameters, the same at every run, and the band of a time that they give."""

from __future__ import annotations

from functools import cache
from statistics import NormalDist

import numpy as np

from truebed.curing.curve_fit import ENERGY, FormFit, age_log_to
from truebed.curing.curve_points import Array, pull_of

#: Edges of the 90 % band.
EARLY_SHARE, LATE_SHARE = 0.05, 0.95
#: From this many draws a parameter on, their moments are made exact.
MATCHED_COUNT = 10


@cache
def even_normals(draw_count: int, parameter_count: int) -> Array:
    """Standard normal numbers that fill space evenly (additive recurrence on the generalised golden ratio).

    Where there are many, they are turned so that their mean is nought and their covariance is one, exactly.

    Valid       at least one draw of one parameter
    Source      algebra (Kronecker sequence); inverse of the normal distribution: statistics.NormalDist
    Proved by   tests/curing/test_calibrate_draws.py
    """
    golden = 1.5
    for _ in range(60):
        golden = (1.0 + golden) ** (1.0 / (parameter_count + 1.0))
    steps = (1.0 / golden) ** np.arange(1, parameter_count + 1)
    even = np.mod(0.5 + np.arange(1, draw_count + 1)[:, None] * steps, 1.0)
    inverse = NormalDist().inv_cdf
    normals = np.array([[inverse(min(max(float(u), 1e-9), 1.0 - 1e-9)) for u in row] for row in even])
    if draw_count >= MATCHED_COUNT * parameter_count:
        normals -= normals.mean(axis=0)
        root = np.linalg.cholesky(normals.T @ normals / draw_count)
        normals = np.asarray(np.linalg.solve(root, normals.T).T, dtype=np.float64)
    normals.flags.writeable = False
    return normals


def theta_draws(fit: FormFit, draw_count: int) -> Array:
    """Parameters drawn from a form's normal approximation: (sheet, draw, parameter).

    Source      algebra (Laplace's approximation)
    Proved by   tests/curing/test_calibrate_draws.py
    """
    roots = np.linalg.cholesky(fit.covariance)
    normals = even_normals(draw_count, fit.theta.shape[1])
    draws: Array = fit.theta[:, None, :] + np.einsum("nij,mj->nmi", roots, normals)
    return draws


def time_logs(fit: FormFit, draws: Array, target_n_per_mm2: float, temp_c: float) -> Array:
    """ln minutes to a strength at a steady temperature, for every draw; infinite where it is never reached.

    Source      [astm-c1074] form only; inverse of the curve
    Proved by   tests/curing/test_calibrate_draws.py
    """
    ages = age_log_to(fit.form, draws, np.log(np.float64(target_n_per_mm2)))
    times: Array = ages - draws[..., ENERGY] * pull_of(temp_c)
    return times


def band_logs(logs: Array, weights: Array, parts: tuple[float, ...]) -> Array:
    """Weighted quantiles of each row: the least value at which the weights below it reach the part.

    logs, weights  (sheet, draw); weights of a row add up to one
    Source      algebra
    Proved by   tests/curing/test_calibrate_draws.py
    """
    order = np.argsort(logs, axis=1)
    sorted_logs = np.take_along_axis(logs, order, axis=1)
    reached = np.cumsum(np.take_along_axis(weights, order, axis=1), axis=1)
    columns = []
    for part in parts:
        at = np.minimum(np.sum(reached < part - 1e-12, axis=1), logs.shape[1] - 1)
        columns.append(np.take_along_axis(sorted_logs, at[:, None], axis=1)[:, 0])
    return np.stack(columns, axis=1)


def time_bands(
    fits: tuple[FormFit, ...], shares: Array, target_n_per_mm2: float, temp_c: float, draw_count: int
) -> Array:
    """Early, middle and late minutes (5, 50, 95 %) of every sheet, both forms weighed by their shares.

    Source      algebra; house: 90 % band
    Proved by   tests/curing/test_calibrate_draws.py
    """
    logs = [time_logs(fit, theta_draws(fit, draw_count), target_n_per_mm2, temp_c) for fit in fits]
    weights = np.repeat(shares / draw_count, draw_count, axis=1)
    bands: Array = np.exp(band_logs(np.concatenate(logs, axis=1), weights, (EARLY_SHARE, 0.5, LATE_SHARE)))
    return bands
