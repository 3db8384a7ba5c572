"""Edges of the band of a time lie within 5 % of those of a Markov chain, on several sheets and for both forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from curing.posterior_chain import Posterior, walk
from truebed.curing.binder import CurveForm
from truebed.curing.curve_draws import band_logs, theta_draws, time_logs
from truebed.curing.curve_fit import FORMS, fit_form
from truebed.curing.curve_points import curve_points
from truebed.curing.defaults import curing_defaults

Sheet = tuple[list[tuple[float, float, float]], list[tuple[float, float]]]
SHEETS: dict[str, Sheet] = {
    "two strengths at 20, set at 20 and 5": ([(20, 60, 20), (20, 180, 30)], [(20, 15), (5, 30)]),
    "one temperature": ([(20, 60, 14), (20, 180, 24), (20, 1440, 36)], [(20, 25)]),
    "two temperatures": ([(20, 60, 14), (20, 180, 24.5), (5, 180, 13), (5, 1440, 33)], [(20, 25), (5, 50)]),
    "four ages at three temperatures": (
        [(5, 90, 4.5), (5, 180, 13.5), (5, 360, 21), (5, 1440, 33), (20, 45, 5.5), (20, 90, 15), (20, 180, 22.5),
         (20, 1440, 37), (30, 45, 11), (30, 90, 20), (30, 1440, 36)],
        [(5, 64), (20, 34), (30, 23)],
    ),
}  # fmt: skip
CASES = [(name, form) for name in SHEETS for form in FORMS]


@pytest.mark.parametrize(("name", "form"), CASES)
def test_both_edges_agree_with_the_chain_within_5_pct(name: str, form: CurveForm) -> None:
    strengths, sets = SHEETS[name]
    points = curve_points(strengths, sets, curing_defaults())
    fit = fit_form(form, points, curing_defaults())
    posterior = Posterior(form, strengths, sets, points.strength_sd[0].tolist(), points.set_sd[0].tolist())
    spread = np.sqrt(np.diag(fit.covariance[0]))
    chain, taken = walk(posterior, fit.theta[0], spread, steps=2500, burn=600, seed=11)
    assert 0.2 < taken < 0.8
    draws = theta_draws(fit, 1024)
    weights = np.full((1, 1024), 1.0 / 1024.0)
    for temp_c in (2.0, 10.0, 20.0):
        edges = np.quantile(np.log(posterior.time(chain, 20.0, temp_c)), (0.05, 0.95))
        early, late = band_logs(time_logs(fit, draws, 20.0, temp_c), weights, (0.05, 0.95))[0]
        assert abs(math.expm1(early - edges[0])) < 0.05
        assert abs(math.expm1(late - edges[1])) < 0.05


def test_a_chain_over_strengths_a_tenth_lower_does_not_agree() -> None:
    strengths, sets = SHEETS["two temperatures"]
    points = curve_points(strengths, sets, curing_defaults())
    fit = fit_form("exponential", points, curing_defaults())
    lower = [(temp_c, age, 0.9 * strength) for temp_c, age, strength in strengths]
    posterior = Posterior("exponential", lower, sets, points.strength_sd[0].tolist(), points.set_sd[0].tolist())
    spread = np.sqrt(np.diag(fit.covariance[0]))
    chain, _ = walk(posterior, fit.theta[0], spread, steps=1500, burn=500, seed=3)
    late = np.quantile(posterior.time(chain, 20.0, 20.0), 0.95)
    own = np.exp(band_logs(time_logs(fit, theta_draws(fit, 1024), 20.0, 20.0), np.full((1, 1024), 1 / 1024), (0.95,)))
    assert late > 1.05 * float(own[0, 0])
