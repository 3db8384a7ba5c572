"""Measures of calibration: how often the 90 % band of a time holds the truth, over sheets made from known truths.

The generator is not the prior: every parameter is uniform, between edges stated below, and half of the truths are
hyperbolas. Where a parameter has a stated default with a band, the edges lie about two of its standard deviations off.
A sheet is printed as sheets are: strengths with 5 % and rounded to 0.5 N/mm2, set with 8 % and rounded to 5 min.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from time import perf_counter

import numpy as np
from numpy.typing import NDArray

from bench.row import Row
from truebed.curing.arrhenius import GAS_J_PER_MOL_K
from truebed.curing.curve_draws import time_bands
from truebed.curing.curve_fit import fit_both, shares_of
from truebed.curing.curve_points import CurvePoints, error_sd, pull_of
from truebed.curing.defaults import curing_defaults

Array = NDArray[np.float64]
SEED = 20260101
SHEETS = 5000
TARGET = 20.0
TEMPS = (2.0, 10.0, 20.0)
#: (temperature, age) of the strengths a sheet may print; those at 5 degC stand on 7 of 10 sheets.
LAYOUT = ((20.0, 60.0), (20.0, 180.0), (20.0, 1440.0), (5.0, 120.0), (5.0, 360.0), (5.0, 1440.0))
COLD_SHARE = 0.7
SET_TEMPS = (20.0, 5.0)
#: A strength below this is not printed.
LEAST_PRINTED = 2.0
STRENGTH_STEP, TIME_STEP = 0.5, 5.0
WITHIN = 0.02
#: Uniform edges: Su, tau, shape, dead time, energy of strength, energy of set less it, ln strength at set.
EDGES = {
    "most": (28.0, 65.0), "tau": (20.0, 120.0), "shape": (0.5, 1.8), "dead": (5.0, 35.0), "energy": (24.0, 56.0),
    "apart": (-8.0, 8.0), "set": (math.log(0.3), math.log(3.3)),
}  # fmt: skip


@dataclass(frozen=True)
class Truths:
    """What is true of each sheet's material."""

    hyperbola: NDArray[np.bool_]
    values: dict[str, Array]

    def age_to(self, strength: Array | float) -> Array:
        """Equivalent minutes to a strength, by the formulas, not by the fit's code."""
        v, share = self.values, strength / self.values["most"]
        exponential = v["tau"] / np.log(1.0 / share) ** (1.0 / v["shape"])
        return np.where(self.hyperbola, v["dead"] + v["tau"] * share / (1.0 - share), exponential)

    def strength(self, age: Array) -> Array:
        v, since = self.values, np.maximum(age - self.values["dead"], 0.0)
        exponential = v["most"] * np.exp(-((v["tau"] / age) ** v["shape"]))
        return np.where(self.hyperbola, v["most"] * since / (v["tau"] + since), exponential)


def rate(energy: Array, temp_c: float) -> Array:
    """How many times faster than at 20 degC."""
    inverse = 1.0 / 293.15 - 1.0 / (273.15 + temp_c)
    rates: Array = np.exp(1000.0 * energy / GAS_J_PER_MOL_K * inverse)
    return rates


def truths(rng: np.random.Generator, count: int) -> Truths:
    hyperbola = rng.random(count) < 0.5
    return Truths(hyperbola, {name: rng.uniform(low, high, count) for name, (low, high) in EDGES.items()})


def printed(rng: np.random.Generator, truth: Truths) -> CurvePoints:
    """Sheets as they are printed: a point left out has an infinite error."""
    count, v = len(truth.hyperbola), truth.values
    cold = rng.random(count) < COLD_SHARE
    strengths, errors = [], []
    for temp_c, age in LAYOUT:
        exact = truth.strength(age * rate(v["energy"], temp_c))
        given = np.round(exact * np.exp(0.05 * rng.standard_normal(count)) / STRENGTH_STEP) * STRENGTH_STEP
        kept = (given >= LEAST_PRINTED) & ((temp_c == 20.0) | cold)
        strengths.append(np.where(kept, given, 1.0))
        errors.append(np.where(kept, error_sd(np.maximum(given, LEAST_PRINTED), 0.05, STRENGTH_STEP), np.inf))
    sets = []
    for temp_c in SET_TEMPS:
        exact = truth.age_to(np.exp(v["set"])) / rate(v["energy"] + v["apart"], temp_c)
        given = np.round(exact * np.exp(0.08 * rng.standard_normal(count)) / TIME_STEP) * TIME_STEP
        sets.append(np.maximum(given, TIME_STEP))
    times = np.stack(sets, axis=1)
    return CurvePoints(
        np.tile(np.log([age for _, age in LAYOUT]), (count, 1)),
        np.tile([pull_of(temp_c) for temp_c, _ in LAYOUT], (count, 1)),
        np.log(np.stack(strengths, axis=1)),
        np.stack(errors, axis=1),
        np.log(times),
        np.tile([pull_of(temp_c) for temp_c in SET_TEMPS], (count, 1)),
        error_sd(times, 0.08, TIME_STEP),
    )


def rows() -> list[Row]:
    """Coverage at each temperature, by both tails."""
    rng = np.random.default_rng(SEED)
    truth = truths(rng, SHEETS)
    points = printed(rng, truth)
    strongest = np.max(np.where(np.isfinite(points.strength_sd), points.strength_log, -np.inf), axis=1)
    asked = strongest >= math.log(TARGET)
    begun = perf_counter()
    fits, factor = fit_both(points, curing_defaults())
    shares = shares_of(fits)
    spent = perf_counter() - begun
    found = []
    for temp_c in TEMPS:
        bands = time_bands(fits, shares, TARGET, temp_c, 256)[asked]
        true = (truth.age_to(TARGET) / rate(truth.values["energy"], temp_c))[asked]
        early, late = float(np.mean(true < bands[:, 0])), float(np.mean(true > bands[:, 2]))
        coverage = 1.0 - early - late
        note = (
            f"share of sheets whose 90 % band of the time to {TARGET:g} N/mm2 at {temp_c:g} C holds the truth; "
            f"met from {0.90 - WITHIN:.2f} to {0.90 + WITHIN:.2f}, both ways; truth before the band {early:.3f}, after "
            f"it {late:.3f}; median late/early {np.median(bands[:, 2] / bands[:, 0]):.2f}; uniform truths (not the "
            f"prior), half hyperbolas; "
            f"{SHEETS - len(bands)} sheets not asked (last datum below the target); errors widened on "
            f"{np.mean(factor > 1.0):.1%}; all fits in {spent:.1f} s"
        )
        name, met = f"calibration_coverage_90_{temp_c:g}c", abs(coverage - 0.90) <= WITHIN
        found.append(Row(name, coverage, None, None, 0.90 - WITHIN, "least", met, "share", len(bands), SEED, note))
    return found
