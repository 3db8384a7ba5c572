"""A second way to a band: a Markov chain over the posterior, written from its formulas and not from the fit's code.

Ensemble of walkers with stretch moves (Goodman and Weare, 2010, from memory); seeded. Parameters as in curve_fit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
GAS = 8.314462618


class Posterior:
    """ln posterior of one form for one sheet, for many walkers at once."""

    def __init__(
        self,
        form: str,
        strengths: Sequence[tuple[float, float, float]],
        sets: Sequence[tuple[float, float]],
        strength_sd: Sequence[float],
        set_sd: Sequence[float],
    ) -> None:
        self.form = form
        self.temps, self.ages, self.given = (np.array(column) for column in zip(*strengths, strict=True))
        self.set_temps, self.set_times = (np.array(column) for column in zip(*sets, strict=True))
        self.strength_sd, self.set_sd = np.array(strength_sd), np.array(set_sd)
        third = (math.log(0.9), 0.35) if form == "exponential" else (math.log(15.0), 0.7)
        # The priors of methods: printed again here by hand, so that a slip in the data file is seen.
        self.centre = np.array([math.log(45.0), math.log(60.0), third[0], 40.0, 0.0, 0.0])
        self.sd = np.array([0.25, 1.0, third[1], 8.0, 0.6, 4.0])

    def rate(self, energy: Array, temps: Array) -> Array:
        inverse = 1.0 / 293.15 - 1.0 / (273.15 + temps)
        rates: Array = np.exp(1000.0 * energy[:, None] / GAS * inverse)
        return rates

    def __call__(self, theta: Array) -> Array:
        most, tau, third = (np.exp(theta[:, i])[:, None] for i in range(3))
        at_set = np.exp(theta[:, 4])[:, None]
        ages = self.ages * self.rate(theta[:, 3], self.temps)
        with np.errstate(all="ignore"):
            if self.form == "exponential":
                strengths = most * np.exp(-((tau / ages) ** third))
                set_age = tau / np.log(most / at_set) ** (1.0 / third)
            else:
                since = np.maximum(ages - third, 0.0)
                strengths = most * since / (tau + since)
                set_age = third + tau * at_set / (most - at_set)
            sets = set_age / self.rate(theta[:, 3] + theta[:, 5], self.set_temps)
            total = np.sum((np.log(strengths / self.given) / self.strength_sd) ** 2, axis=1)
            total += np.sum((np.log(sets / self.set_times) / self.set_sd) ** 2, axis=1)
            total += np.sum(((theta - self.centre) / self.sd) ** 2, axis=1)
        impossible = ~np.isfinite(total) | (at_set >= most)[:, 0]
        return np.where(impossible, -np.inf, -0.5 * total)

    def time(self, theta: Array, target: float, temp_c: float) -> Array:
        most, tau, third = (np.exp(theta[:, i]) for i in range(3))
        with np.errstate(all="ignore"):
            if self.form == "exponential":
                age = tau / np.log(most / target) ** (1.0 / third)
            else:
                age = third + tau * target / (most - target)
        reached = np.where(most > target, age, np.inf)
        times: Array = reached / self.rate(theta[:, 3], np.array([temp_c]))[:, 0]
        return times


def walk(posterior: Posterior, start: Array, spread: Array, *, steps: int, burn: int, seed: int) -> tuple[Array, float]:
    """Draws of the posterior after a burn-in, and the share of moves taken."""
    rng = np.random.default_rng(seed)
    walkers, size = 80, len(start)
    here = start + 0.5 * spread * rng.standard_normal((walkers, size))
    value = posterior(here)
    half, taken, kept = walkers // 2, 0, []
    for step in range(steps):
        for part in (0, 1):
            own, other = slice(part * half, (part + 1) * half), slice((1 - part) * half, (2 - part) * half)
            stretch = (1.0 + rng.random(half)) ** 2 / 2.0
            partner = here[other][rng.integers(half, size=half)]
            trial = partner + stretch[:, None] * (here[own] - partner)
            fresh = posterior(trial)
            take = np.log(rng.random(half)) < (size - 1) * np.log(stretch) + fresh - value[own]
            here[own] = np.where(take[:, None], trial, here[own])
            value[own] = np.where(take, fresh, value[own])
            taken += int(np.sum(take))
        if step >= burn:
            kept.append(here.copy())
    return np.concatenate(kept), taken / (steps * walkers)
