"""Check values of the calibration study, each in closed form here and once more from the fit with its priors let go.

A sheet with set 15 min, 20 N/mm² at 1 h and 30 N/mm² at 3 h, all at 20 °C, twice as long at 5 °C.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from truebed.curing.arrhenius import GAS_J_PER_MOL_K, activation_of_times_k, rate_ratio
from truebed.curing.binder import Binder, age_to_strength_min, strength_n_per_mm2
from truebed.curing.curve_draws import time_bands
from truebed.curing.curve_fit import ENERGY, SET_STRENGTH, SU, TAU, THIRD, fit_form
from truebed.curing.curve_points import Array, CurvePoints, curve_points
from truebed.curing.defaults import Default, curing_defaults

STRENGTHS = [(20.0, 60.0, 20.0), (20.0, 180.0, 30.0)]
VAGUE = ("most_n_per_mm2", "shape_ratio", "tau_min", "dead_min", "set_strength_n_per_mm2")


def loose(**held: tuple[float, float]) -> dict[str, Default]:
    """The defaults with wide priors on the curve, but for those that are held at (value, spread)."""
    found = dict(curing_defaults())
    for name in VAGUE:
        found[name] = replace(found[name], spread_sd=30.0)
    for name, (value, spread_sd) in held.items():
        found[name] = replace(found[name], value=value, spread_sd=spread_sd)
    return found


def exact(sets: list[tuple[float, float]]) -> CurvePoints:
    """The points as if they had hardly any error."""
    points = curve_points(STRENGTHS, sets, curing_defaults())
    return replace(points, strength_sd=np.full((1, 2), 1e-5), set_sd=np.full((1, len(sets)), 1e-5))


def curve(form: str, most: float, tau: float, third: float) -> Binder:
    shape, dead = (third, 0.0) if form == "exponential" else (1.0, third)
    return Binder("exponential" if form == "exponential" else "hyperbola", most, tau, shape, dead, 33500, 125, 1.2, 2)


@pytest.mark.parametrize(
    ("times_longer", "j_per_mol"),
    [(2.0, 31328.34), (1.8, 26566.0), (2.2, 35636.0), (1.5, 18326.0), (2.5, 41414.0)],
)
def test_the_energy_of_a_ratio_of_times_at_5_and_20(times_longer: float, j_per_mol: float) -> None:
    energy = activation_of_times_k(5.0, 60.0 * times_longer, 20.0, 60.0) * GAS_J_PER_MOL_K
    assert energy == pytest.approx(j_per_mol, abs=0.6)


@pytest.mark.parametrize(
    ("most", "shape", "tau", "at15", "at24h", "t25", "t35"),
    [
        (35.0, 1.1736, 36.587, 2.03, 34.5, 92.6, math.inf),
        (40.0, 0.8005, 37.957, 4.89, 37.9, 97.5, 470.0),
        (45.0, 0.6309, 43.042, 6.44, 40.4, 99.9, 384.0),
        (60.0, 0.4192, 75.090, 8.41, 44.9, 103.1, 328.0),
    ],
)
def test_two_strengths_and_an_assumed_end_give_the_printed_curve(
    most: float, shape: float, tau: float, at15: float, at24h: float, t25: float, t35: float
) -> None:
    first, second = math.log(most / 20.0), math.log(most / 30.0)
    closed_shape = math.log(first / second) / math.log(3.0)
    closed_tau = 60.0 * first ** (1.0 / closed_shape)
    assert closed_shape == pytest.approx(shape, abs=6e-5)
    assert closed_tau == pytest.approx(tau, abs=6e-4)
    theta = fit_form("exponential", exact([]), loose(most_n_per_mm2=(most, 1e-6))).theta[0]
    assert np.exp(theta[[SU, THIRD, TAU]]) == pytest.approx([most, closed_shape, closed_tau], rel=1e-4)
    own = curve("exponential", most, closed_tau, closed_shape)
    assert strength_n_per_mm2(own, 15.0) == pytest.approx(at15, abs=0.006)
    assert strength_n_per_mm2(own, 1440.0) == pytest.approx(at24h, abs=0.06)
    assert age_to_strength_min(own, 25.0) == pytest.approx(t25, abs=0.06)
    assert age_to_strength_min(own, 35.0) == pytest.approx(t35, abs=0.6)


@pytest.mark.parametrize(
    ("at_set", "most", "shape"),
    [(0.2, 32.3, 1.70), (0.5, 32.9, 1.54), (1.0, 33.6, 1.38), (2.0, 35.0, 1.18), (3.5, 37.2, 0.96), (5.0, 40.3, 0.79)],
)
def test_the_set_time_gives_the_third_equation_through_the_strength_assumed_at_set(
    at_set: float, most: float, shape: float
) -> None:
    fit = fit_form("exponential", exact([(20.0, 15.0)]), loose(set_strength_n_per_mm2=(at_set, 1e-6)))
    assert math.exp(fit.theta[0, SU]) == pytest.approx(most, abs=0.06)
    assert math.exp(fit.theta[0, THIRD]) == pytest.approx(shape, abs=0.006)
    assert math.exp(fit.theta[0, SET_STRENGTH]) == pytest.approx(at_set, rel=1e-3)


def test_the_hyperbola_with_a_dead_time_of_15_is_the_printed_one() -> None:
    # 1/S is straight in 1/(t - 15).
    slope = (1.0 / 20.0 - 1.0 / 30.0) / (1.0 / 45.0 - 1.0 / 165.0)
    most = 1.0 / (1.0 / 20.0 - slope / 45.0)
    assert most == pytest.approx(36.9231, abs=1e-4)
    assert 1.0 / (slope * most) == pytest.approx(0.0262626, abs=1e-6)
    theta = fit_form("hyperbola", exact([]), loose(dead_min=(15.0, 1e-7))).theta[0]
    assert math.exp(theta[SU]) == pytest.approx(most, rel=1e-3)
    assert math.exp(-theta[TAU]) == pytest.approx(0.0262626, rel=2e-3)
    own = curve("hyperbola", most, slope * most, 15.0)
    assert age_to_strength_min(own, 25.0) == pytest.approx(94.84, abs=0.005)
    assert age_to_strength_min(own, 35.0) == pytest.approx(708.0, abs=0.6)
    assert strength_n_per_mm2(own, 1440.0) == pytest.approx(35.96, abs=0.005)


def test_isothermal_ages_to_20_of_45_are_the_printed_ones() -> None:
    own = Binder("exponential", 45.0, 42.0, 0.9, 0.0, 33500.0, 125.0, 1.2, 2.0)
    age = age_to_strength_min(own, 20.0)
    assert age == pytest.approx(53.012557, abs=1e-6)
    printed = {-2: 161.690, 0: 145.021, 2: 130.277, 5: 111.244, 10: 86.137, 12: 77.955, 15: 67.291, 25: 42.100,
               30: 33.688, 35: 27.153}  # fmt: skip
    for temp_c, minutes in printed.items():
        assert age / rate_ratio(temp_c, 20.0, 33500.0 / GAS_J_PER_MOL_K) == pytest.approx(minutes, abs=6e-4)


def test_between_the_data_all_forms_agree_and_past_them_they_do_not() -> None:
    times_25, times_35 = [], []
    for most in (35.0, 40.0, 45.0, 60.0):
        first, second = math.log(most / 20.0), math.log(most / 30.0)
        shape = math.log(first / second) / math.log(3.0)
        own = curve("exponential", most, 60.0 * first ** (1.0 / shape), shape)
        times_25.append(age_to_strength_min(own, 25.0))
        times_35.append(age_to_strength_min(own, 35.0))
    times_25.append(94.84)
    assert max(times_25) / min(times_25) < 1.12
    assert max(times_35) == math.inf
    assert min(times_35) == pytest.approx(328.0, abs=0.6)


def test_the_exact_problem_is_solvable_its_condition_number_is_of_tens() -> None:
    # Logarithms of three strengths (15 min, 1 h, 3 h) over logarithms of Su, tau and shape, at the printed best curve.
    tau, shape = 39.8, 1.22
    rows = []
    for age in (15.0, 60.0, 180.0):
        power = (tau / age) ** shape
        rows.append([1.0, -shape * power, -shape * power * math.log(tau / age)])
    assert np.linalg.cond(np.array(rows)) == pytest.approx(22.6, rel=0.05)


def without_priors(seed: int, count: int) -> dict[str, Array]:
    """Sheets as they might have been printed, each solved exactly, no prior: bisection of Su."""
    rng = np.random.default_rng(seed)
    s1, s2 = 20.0 * np.exp(0.05 * rng.standard_normal(count)), 30.0 * np.exp(0.05 * rng.standard_normal(count))
    sett = 15.0 * np.exp(0.08 * rng.standard_normal(count))
    energy = np.log(2.0 * np.exp(0.1 * rng.standard_normal(count))) / ((1 / 278.15 - 1 / 293.15) / GAS_J_PER_MOL_K)
    at_set = np.exp(rng.uniform(math.log(0.3), math.log(3.0), count))
    low, high = np.log(s2 * 1.0005), np.full(count, math.log(500.0))

    def shape_tau(most: Array) -> tuple[Array, Array]:
        first, second = np.log(most / s1), np.log(most / s2)
        shape = np.log(first / second) / math.log(3.0)
        return shape, 60.0 * first ** (1.0 / shape)

    for _ in range(60):
        middle = 0.5 * (low + high)
        shape, tau = shape_tau(np.exp(middle))
        over = np.exp(middle) * np.exp(-((tau / sett) ** shape)) > at_set
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    most = np.exp(0.5 * (low + high))
    shape, tau = shape_tau(most)
    solved = (s1 < s2) & (most < 400.0)
    age = tau / np.log(most / 20.0) ** (1.0 / shape)
    rate = np.exp(energy / GAS_J_PER_MOL_K * (1 / 293.15 - 1 / 275.15))
    return {"20": age[solved], "2": (age / rate)[solved], "energy": energy / 1000.0, "most": most[solved]}


def test_without_priors_the_bands_are_the_printed_ones() -> None:
    found = without_priors(5, 20000)
    edges = {name: np.quantile(values, (0.05, 0.5, 0.95)) for name, values in found.items()}
    assert edges["20"] == pytest.approx([53.0, 60.0, 67.0], rel=0.03)
    assert edges["2"] == pytest.approx([110.0, 139.0, 175.0], rel=0.03)
    assert edges["energy"] == pytest.approx([23.9, 31.3, 38.8], rel=0.02)
    assert edges["most"] == pytest.approx([29.6, 33.7, 40.4], rel=0.03)


def study() -> tuple[CurvePoints, dict[str, Default]]:
    """The study's own errors: set 8 %, ratio of set times 10 %, set sharing the energy of strength."""
    defaults = dict(curing_defaults())
    apart, tau = "set_activation_apart_j_per_mol", "tau_min"
    defaults[apart] = replace(defaults[apart], spread_sd=1.0)
    defaults[tau] = replace(defaults[tau], spread_sd=10.0)
    points = curve_points(STRENGTHS, [(20.0, 15.0), (5.0, 30.0)], defaults)
    return replace(points, strength_sd=np.full((1, 2), 0.05), set_sd=np.array([[0.08, 0.06]])), defaults


def test_with_the_studys_errors_the_most_probable_curve_and_the_band_are_the_printed_ones() -> None:
    points, defaults = study()
    fit = fit_form("exponential", points, defaults)
    theta = fit.theta[0]
    assert np.exp(theta[[SU, TAU, THIRD]]) == pytest.approx([36.0, 39.8, 1.22], rel=0.04)
    assert theta[ENERGY] == pytest.approx(33.4, rel=0.03)
    (band,) = time_bands((fit,), np.ones((1, 1)), 20.0, 2.0, 2048)
    assert band == pytest.approx([124.6, 151.4, 188.3], rel=0.03)
    assert band == pytest.approx([120.6, 149.0, 183.8], rel=0.06)


def test_rounding_and_an_energy_of_sets_own_make_the_band_wider_than_the_studys() -> None:
    points, defaults = study()
    narrow = time_bands((fit_form("exponential", points, defaults),), np.ones((1, 1)), 20.0, 2.0, 2048)[0]
    own = curve_points(STRENGTHS, [(20.0, 15.0), (5.0, 30.0)], curing_defaults())
    wide = time_bands((fit_form("exponential", own, curing_defaults()),), np.ones((1, 1)), 20.0, 2.0, 2048)[0]
    assert wide[2] / wide[0] > 1.1 * narrow[2] / narrow[0]
