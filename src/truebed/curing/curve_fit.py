"""Fits the two strength curves to the points of many sheets at once: most probable parameters and their covariance.

Parameters of both forms, in this order: ln Su, ln tau, ln shape (exponential) or ln dead time (hyperbola), activation
energy of strength [kJ/mol], ln strength at set, energy of set less energy of strength [kJ/mol].
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.curing.binder import CurveForm
from truebed.curing.curve_points import Array, CurvePoints
from truebed.curing.defaults import Default, Defaults

FORMS: tuple[CurveForm, ...] = ("exponential", "hyperbola")
SU, TAU, THIRD, ENERGY, SET_STRENGTH, SET_APART = range(6)
#: Half-width in (1 - dead/age) over which the hyperbola's foot is rounded, so that it has a slope everywhere.
FOOT_RATIO = 0.005
#: Least ln(Su / strength): keeps a set strength below Su.
LEAST_LOG = 1e-3
ROUNDS_COUNT = 80
#: No parameter is sought further from its prior's centre than this, so that no figure overflows.
REACH_SD, REACH_MOST = 12.0, 100.0
STEP_RATIO = 1e-5


@dataclass(frozen=True, slots=True)
class Prior:
    """Independent normal priors of the six parameters."""

    centre: Array
    sd: Array


@dataclass(frozen=True, slots=True)
class FormFit:
    """One form fitted to many sheets: rows of parameters, their covariances, misfit, logarithm of the evidence.

    misfit      sum of squared residuals of the sheet's own points, in their standard deviations
    free_count  points less the parameters that the points (not the priors) fix
    """

    form: CurveForm
    theta: Array
    covariance: Array
    misfit: Array
    free_count: Array
    evidence_log: Array


def prior_of(form: CurveForm, defaults: Defaults) -> Prior:
    """The stated priors of a form's parameters.

    Source      data/curing.toml
    Proved by   tests/curing/test_calibrate_fit.py
    """
    third = defaults["shape_ratio" if form == "exponential" else "dead_min"]
    energy, apart = defaults["activation_cement_j_per_mol"], defaults["set_activation_apart_j_per_mol"]
    logs = [defaults["most_n_per_mm2"], defaults["tau_min"], third]
    sett = defaults["set_strength_n_per_mm2"]
    centre = [*(math.log(d.value) for d in logs), energy.value / 1000.0, math.log(sett.value), apart.value / 1000.0]
    spreads: list[Default] = [*logs, energy, sett, apart]
    sd = [d.spread_sd if d.spread_of == "log" else d.spread_sd / 1000.0 for d in spreads]
    return Prior(np.array(centre), np.array(sd))


def strength_log(form: CurveForm, theta: Array, age_log: Array) -> Array:
    """ln strength at equivalent ages; theta's columns broadcast against the ages.

    Source      [schindler-folliard-2005] form of the exponential (from memory); hyperbola: algebra
    Proved by   tests/curing/test_calibrate_fit.py
    """
    most, tau, third = theta[..., SU, None], theta[..., TAU, None], theta[..., THIRD, None]
    if form == "exponential":
        power = np.exp(third) * (tau - age_log)
        return most - np.exp(np.minimum(power, 50.0))
    ratio = 1.0 - np.exp(np.minimum(third - age_log, 50.0))
    root = np.hypot(ratio, 2.0 * FOOT_RATIO)
    # The same number two ways: before the dead time the first would be a difference of nearly equal numbers.
    above, below = 0.5 * (ratio + root), 2.0 * FOOT_RATIO**2 / (np.abs(ratio) + root)
    since = age_log + np.log(np.where(ratio > 0.0, above, below))
    return most + since - np.logaddexp(tau, since)


def age_log_to(form: CurveForm, theta: Array, target_log: Array) -> Array:
    """ln equivalent age at which a strength is reached; infinite where it never is.

    Source      algebra (inverse of the curve)
    Proved by   tests/curing/test_calibrate_fit.py
    """
    short = theta[..., SU] - target_log
    safe = np.maximum(short, 1e-12)
    if form == "exponential":
        age = theta[..., TAU] - np.exp(-theta[..., THIRD]) * np.log(safe)
    else:
        age = np.log(np.exp(theta[..., THIRD]) + np.exp(theta[..., TAU]) / np.expm1(safe))
    return np.where(short > 0.0, age, np.inf)


def fit_form(form: CurveForm, points: CurvePoints, defaults: Defaults) -> FormFit:
    """The most probable parameters of one form for every sheet, by damped Gauss-Newton steps.

    Valid       points with finite logarithms
    Source      algebra (Levenberg-Marquardt; Laplace's approximation of the evidence)
    Proved by   tests/curing/test_calibrate_fit.py, tests/curing/test_calibrate_chain.py
    """
    prior = prior_of(form, defaults)
    theta = _start(points, prior)
    damping = np.full(len(theta), 1e-2)
    residual = _residuals(form, points, prior, theta)
    reach = np.minimum(REACH_SD * prior.sd, REACH_MOST)
    for _ in range(ROUNDS_COUNT):
        slope = _slopes(form, points, prior, theta)
        normal = np.einsum("nri,nrj->nij", slope, slope)
        gradient = np.einsum("nri,nr->ni", slope, residual)
        scaled = normal + damping[:, None, None] * np.eye(6) * np.einsum("nii->ni", normal)[:, None, :]
        step = np.linalg.solve(scaled, gradient[..., None])[..., 0]
        trial = np.clip(theta - step, prior.centre - reach, prior.centre + reach)
        fresh = _residuals(form, points, prior, trial)
        better = np.sum(fresh**2, axis=1) <= np.sum(residual**2, axis=1)
        theta = np.where(better[:, None], trial, theta)
        residual = np.where(better[:, None], fresh, residual)
        damping = np.clip(np.where(better, damping / 5.0, damping * 4.0), 1e-9, 1e9)
        if bool(np.all(np.abs(step / prior.sd) < 1e-7)):
            break
    return _judged(form, points, prior, theta)


def shares_of(fits: tuple[FormFit, ...]) -> Array:
    """How probable each form is for each sheet: shares that add up to one, even odds before the points are seen.

    Source      algebra (Bayes' rule on the Laplace evidence)
    Proved by   tests/curing/test_calibrate_fit.py
    """
    logs = np.stack([fit.evidence_log for fit in fits], axis=1)
    weights = np.exp(logs - np.max(logs, axis=1, keepdims=True))
    shares: Array = weights / np.sum(weights, axis=1, keepdims=True)
    return shares


def misfit_factor(fits: tuple[FormFit, ...]) -> Array:
    """By how much the stated errors must be widened for the better form to pass: 1 where it passes already.

    Widened only where the misfit is beyond its 95 % point (chi-square, Wilson and Hilferty's approximation).

    Source      algebra; house: the 95 % point
    Proved by   tests/curing/test_calibrate_fit.py
    """
    best = np.argmax(np.stack([fit.evidence_log for fit in fits], axis=1), axis=1)
    pick = np.arange(len(best))
    misfit = np.stack([fit.misfit for fit in fits], axis=1)[pick, best]
    free_count = np.maximum(np.stack([fit.free_count for fit in fits], axis=1)[pick, best], 0.5)
    part = 2.0 / (9.0 * free_count)
    limit = free_count * (1.0 - part + 1.6449 * np.sqrt(part)) ** 3
    return np.where(misfit > limit, np.sqrt(misfit / free_count), 1.0)


def fit_both(points: CurvePoints, defaults: Defaults) -> tuple[tuple[FormFit, ...], Array]:
    """Both forms, and the factor by which the errors were widened.

    Source      house
    Proved by   tests/curing/test_calibrate_fit.py
    """
    fits = tuple(fit_form(form, points, defaults) for form in FORMS)
    factor = misfit_factor(fits)
    rows = np.flatnonzero(factor > 1.0)
    if len(rows):
        wider = points.rows(rows).with_errors_times(factor[rows])
        fits = tuple(_with_rows(fit, fit_form(fit.form, wider, defaults), rows) for fit in fits)
    return fits, factor


def _with_rows(fit: FormFit, again: FormFit, rows: NDArray[np.intp]) -> FormFit:
    """The fit with some sheets' rows replaced."""

    def put(old: Array, new: Array) -> Array:
        whole = old.copy()
        whole[rows] = new
        return whole

    return FormFit(
        fit.form, put(fit.theta, again.theta), put(fit.covariance, again.covariance), put(fit.misfit, again.misfit),
        put(fit.free_count, again.free_count), put(fit.evidence_log, again.evidence_log),
    )  # fmt: skip


def _start(points: CurvePoints, prior: Prior) -> Array:
    """The priors' centres, with Su above the strongest datum and tau about the middle age."""
    count = len(points.age_log)
    theta = np.tile(prior.centre, (count, 1))
    known = np.isfinite(points.strength_sd)
    strongest = np.max(np.where(known, points.strength_log, -np.inf), axis=1)
    theta[:, SU] = np.maximum(theta[:, SU], strongest + 0.1)
    ages = points.age_log + prior.centre[ENERGY] * points.age_pull
    middle = np.where(known, np.abs(points.strength_log - (strongest[:, None] - 1.0)), np.inf)
    theta[:, TAU] = np.take_along_axis(ages, np.argmin(middle, axis=1)[:, None], axis=1)[:, 0]
    theta[:, THIRD] = np.minimum(theta[:, THIRD], theta[:, TAU] - 0.7) if prior.centre[THIRD] > 1.0 else theta[:, THIRD]
    return theta


def _model(form: CurveForm, points: CurvePoints, theta: Array) -> tuple[Array, Array]:
    """ln strengths and ln set times that the parameters give."""
    ages = points.age_log + theta[:, ENERGY, None] * points.age_pull
    strengths = strength_log(form, theta, ages)
    least = np.minimum(theta[:, SET_STRENGTH], theta[:, SU] - LEAST_LOG)
    set_age = age_log_to(form, theta, least)
    sets = set_age[:, None] - (theta[:, ENERGY] + theta[:, SET_APART])[:, None] * points.set_pull
    return strengths, sets


def _residuals(form: CurveForm, points: CurvePoints, prior: Prior, theta: Array) -> Array:
    """Residuals in standard deviations: strengths, sets, priors."""
    strengths, sets = _model(form, points, theta)
    return np.concatenate(
        [
            (strengths - points.strength_log) / points.strength_sd,
            (sets - points.set_log) / points.set_sd,
            (theta - prior.centre) / prior.sd,
        ],
        axis=1,
    )


def _slopes(form: CurveForm, points: CurvePoints, prior: Prior, theta: Array) -> Array:
    """Derivatives of the residuals, central differences."""
    columns = []
    for index in range(theta.shape[1]):
        reach = STEP_RATIO * prior.sd[index]
        shift = np.zeros(theta.shape[1])
        shift[index] = reach
        ahead = _residuals(form, points, prior, theta + shift)
        behind = _residuals(form, points, prior, theta - shift)
        columns.append((ahead - behind) / (2.0 * reach))
    return np.stack(columns, axis=2)


def _judged(form: CurveForm, points: CurvePoints, prior: Prior, theta: Array) -> FormFit:
    """Covariance, misfit and evidence at the most probable parameters."""
    residual, slope = _residuals(form, points, prior, theta), _slopes(form, points, prior, theta)
    covariance = np.linalg.inv(np.einsum("nri,nrj->nij", slope, slope))
    data = slice(0, residual.shape[1] - len(prior.sd))
    own = np.einsum("nri,nrj->nij", slope[:, data], slope[:, data])
    fixed_count = np.einsum("nij,nji->n", covariance, own)
    points_count = np.sum(np.isfinite(points.strength_sd), axis=1) + np.sum(np.isfinite(points.set_sd), axis=1)
    evidence = -0.5 * np.sum(residual**2, axis=1) + 0.5 * np.linalg.slogdet(covariance)[1] - np.sum(np.log(prior.sd))
    return FormFit(
        form, theta, covariance, np.sum(residual[:, data] ** 2, axis=1), points_count - fixed_count, evidence
    )
