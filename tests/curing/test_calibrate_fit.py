"""The fit of many sheets at once: its curves are the binder's, its answer is a general minimiser's, its odds add up."""

from __future__ import annotations

import math
from dataclasses import fields

import numpy as np
import pytest
from scipy.optimize import minimize

from truebed.curing.binder import Binder, CurveForm, strength_n_per_mm2
from truebed.curing.curve_fit import (
    ENERGY,
    FORMS,
    SET_APART,
    SU,
    TAU,
    THIRD,
    age_log_to,
    fit_both,
    fit_form,
    misfit_factor,
    prior_of,
    shares_of,
    strength_log,
)
from truebed.curing.curve_points import Array, CurvePoints, curve_points
from truebed.curing.defaults import curing_defaults

DEFAULTS = curing_defaults()
STRENGTHS = [(20.0, 60.0, 14.0), (20.0, 180.0, 24.5), (20.0, 1440.0, 36.0), (5.0, 180.0, 13.5), (5.0, 1440.0, 33.0)]
SETS = [(20.0, 25.0), (5.0, 50.0)]
POINTS = curve_points(STRENGTHS, SETS, DEFAULTS)


def joined(*many: CurvePoints) -> CurvePoints:
    return CurvePoints(*(np.concatenate([getattr(one, f.name) for one in many]) for f in fields(CurvePoints)))


def binder(form: CurveForm, theta: Array) -> Binder:
    third = math.exp(theta[THIRD])
    shape, dead = (third, 0.0) if form == "exponential" else (1.0, third)
    energy = 1000.0 * theta[ENERGY]
    return Binder(form, math.exp(theta[SU]), math.exp(theta[TAU]), shape, dead, energy, 125.0, 1.2, 2.0)


def cost(form: CurveForm, points: CurvePoints, theta: Array) -> float:
    """Half the sum of squares, written again from the binder and the sheet's own values."""
    curve, prior, total = binder(form, theta), prior_of(form, DEFAULTS), 0.0
    for i in range(points.age_log.shape[1]):
        age = math.exp(points.age_log[0, i] + theta[ENERGY] * points.age_pull[0, i])
        strength = strength_n_per_mm2(curve, age)
        if strength <= 0.0:
            return 1e9
        total += ((math.log(strength) - points.strength_log[0, i]) / points.strength_sd[0, i]) ** 2
    share = math.exp(theta[4] - theta[SU])
    if share >= 1.0:
        return 1e9
    if form == "exponential":
        set_age = curve.tau_min / math.log(1.0 / share) ** (1.0 / curve.shape_ratio)
    else:
        set_age = curve.dead_min + curve.tau_min * share / (1.0 - share)
    for i in range(points.set_log.shape[1]):
        time = math.log(set_age) - (theta[ENERGY] + theta[SET_APART]) * points.set_pull[0, i]
        total += ((time - points.set_log[0, i]) / points.set_sd[0, i]) ** 2
    return 0.5 * (total + float(np.sum(((theta - prior.centre) / prior.sd) ** 2)))


@pytest.mark.parametrize("form", FORMS)
def test_the_curves_of_the_fit_are_those_of_the_binder(form: CurveForm) -> None:
    theta = np.array([3.7, 4.1, 0.1 if form == "exponential" else 2.8, 35.0, 0.0, 0.0])
    ages = np.array([25.0, 40.0, 90.0, 1440.0])
    own = [strength_n_per_mm2(binder(form, theta), age) for age in ages]
    # The hyperbola's foot is rounded over half a per cent of the age, so that it has a slope everywhere.
    assert np.exp(strength_log(form, theta, np.log(ages))) == pytest.approx(own, rel=5e-4)


@pytest.mark.parametrize("form", FORMS)
def test_the_age_to_a_strength_is_the_inverse_and_infinite_past_the_end(form: CurveForm) -> None:
    theta = np.array([3.7, 4.1, 0.1 if form == "exponential" else 2.8, 35.0, 0.0, 0.0])
    age = math.exp(age_log_to(form, theta, np.log(np.float64(20.0))))
    assert strength_n_per_mm2(binder(form, theta), age) == pytest.approx(20.0)
    assert math.isinf(age_log_to(form, theta, np.array(3.7)))


@pytest.mark.parametrize("form", FORMS)
def test_the_most_probable_parameters_are_those_of_a_general_minimiser(form: CurveForm) -> None:
    fit = fit_form(form, POINTS, DEFAULTS)
    found = minimize(  # type: ignore[call-overload]
        lambda theta: cost(form, POINTS, theta), fit.theta[0] + 0.02, method="Nelder-Mead",
        options={"xatol": 1e-7, "fatol": 1e-10, "maxiter": 20000, "maxfev": 20000, "adaptive": True},
    )  # fmt: skip
    assert cost(form, POINTS, fit.theta[0]) <= found.fun + 2e-3
    assert np.all(np.abs(fit.theta[0] - found.x) < 0.05 * np.sqrt(np.diag(fit.covariance[0])))


def test_many_sheets_at_once_give_what_each_gives_alone() -> None:
    other = curve_points([(t, a, round(2.0 * s * 0.8) / 2.0) for t, a, s in STRENGTHS], SETS, DEFAULTS)
    together, _ = fit_both(joined(POINTS, other), DEFAULTS)
    for row, alone in enumerate((POINTS, other)):
        for form, fit in enumerate(fit_both(alone, DEFAULTS)[0]):
            assert together[form].theta[row] == pytest.approx(fit.theta[0], rel=1e-5, abs=1e-5)
            assert together[form].covariance[row] == pytest.approx(fit.covariance[0], rel=1e-4, abs=1e-7)


def test_a_point_with_an_infinite_error_is_no_point() -> None:
    more = curve_points([*STRENGTHS, (20.0, 30.0, 39.0)], SETS, DEFAULTS)
    more.strength_sd[0, -1] = math.inf
    with_pad, without = fit_both(more, DEFAULTS)[0], fit_both(POINTS, DEFAULTS)[0]
    for one, other in zip(with_pad, without, strict=True):
        assert one.theta == pytest.approx(other.theta, rel=1e-6)
        assert one.free_count == pytest.approx(other.free_count)


@pytest.mark.parametrize("form", FORMS)
def test_points_made_of_one_form_choose_that_form(form: CurveForm) -> None:
    truth = binder(form, np.array([3.75, 4.2, math.log(1.4 if form == "exponential" else 25.0), 38.0, 0.0, 0.0]))
    ages = (32.0, 40.0, 60.0, 90.0, 150.0, 240.0, 480.0, 1440.0, 4320.0)
    points = curve_points([(20.0, age, strength_n_per_mm2(truth, age)) for age in ages], SETS, DEFAULTS)
    shares = shares_of(fit_both(points, DEFAULTS)[0])[0]
    assert sum(shares) == pytest.approx(1.0)
    assert shares[FORMS.index(form)] > 0.9


def test_errors_are_widened_only_where_the_better_form_cannot_pass() -> None:
    fits, factor = fit_both(POINTS, DEFAULTS)
    assert factor[0] == 1.0
    wild = curve_points(
        [(t, a, s * (1.5 if t == 20.0 and a == 180.0 else 1.0)) for t, a, s in STRENGTHS], SETS, DEFAULTS
    )
    narrow = tuple(fit_form(form, wild, DEFAULTS) for form in FORMS)
    fits, factor = fit_both(wild, DEFAULTS)
    assert factor[0] == misfit_factor(narrow)[0] > 1.0
    best = int(np.argmax(shares_of(fits)[0]))
    assert fits[best].covariance[0, 0, 0] > narrow[best].covariance[0, 0, 0]


def test_the_priors_are_the_stated_ones() -> None:
    prior = prior_of("exponential", DEFAULTS)
    assert prior.centre[[SU, THIRD, ENERGY]] == pytest.approx([math.log(45.0), math.log(0.9), 40.0])
    assert prior.sd[[SU, THIRD, ENERGY]] == pytest.approx([0.25, 0.35, 8.0])
