"""A binder with what is not known of it: most probable parameters and a Gaussian band on their logarithms."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from truebed.curing.binder import Binder

Array = NDArray[np.float64]
SEED = 20311107


@dataclass(frozen=True, slots=True)
class BinderBand:
    """most_sd, rate_sd: standard deviations of ln Su and ln(speed of the reaction); together_ratio their correlation.

    The speed divides tau and the dead time. activation_sd_j_per_mol is apart from both (ages count at 20 degC).
    """

    binder: Binder
    most_sd: float
    rate_sd: float
    together_ratio: float
    activation_sd: float

    def covariance(self) -> Array:
        """Of ln Su and ln speed."""
        both = self.together_ratio * self.most_sd * self.rate_sd
        return np.array([[self.most_sd**2, both], [both, self.rate_sd**2]])


class BinderDraws(NamedTuple):
    """Factors of Su and speed, and activation energies, one of each a draw."""

    most: Array
    speed: Array
    activation: Array


@cache
def fixed_normals(rows_count: int, columns_count: int, seed_count: int = SEED) -> Array:
    """Normal draws that are the same at every run: mean nought and variance one exactly in every column.

    Valid       more than one row
    Source      house (fixed seed)
    Proved by   tests/curing/test_binder_band.py
    """
    draws: Array = np.random.default_rng(seed_count).standard_normal((rows_count, columns_count))
    draws = (draws - draws.mean(axis=0)) / draws.std(axis=0)
    draws.flags.writeable = False
    return draws


def scaled(binder: Binder, most_ratio: float, speed_ratio: float) -> Binder:
    """A binder with another greatest strength and another speed.

    Valid       ratios above nought
    Source      algebra
    Proved by   tests/curing/test_binder_band.py
    """
    return Binder(
        binder.form,
        binder.most_n_per_mm2 * most_ratio,
        binder.tau_min / speed_ratio,
        binder.shape_ratio,
        binder.dead_min / speed_ratio,
        binder.activation_j_per_mol,
        binder.heat_kj_per_l,
        binder.conduct_w_per_m_k,
        binder.store_kj_per_l_k,
    )


def band_draws(band: BinderBand, draws_count: int) -> BinderDraws:
    """Draws of a band, the same at every run.

    Valid       spreads of nought or more; a correlation between -1 and 1
    Source      algebra
    Proved by   tests/curing/test_binder_band.py
    """
    z = fixed_normals(draws_count, 3)
    rest = math.sqrt(max(0.0, 1.0 - band.together_ratio**2))
    most = np.exp(band.most_sd * z[:, 0])
    speed = np.exp(band.rate_sd * (band.together_ratio * z[:, 0] + rest * z[:, 1]))
    activation = np.maximum(0.0, band.binder.activation_j_per_mol + band.activation_sd * z[:, 2])
    return BinderDraws(most, speed, activation)


def band_of_draws(binders: Sequence[Binder]) -> BinderBand:
    """The band of equally probable binders of one form: what a fit's own draws come to.

    Valid       two binders or more, one form and about one shape; its middle is the geometric mean
    Source      algebra (moments)
    Raises      ValueError for binders of both forms, or fewer than two
    Proved by   tests/curing/test_binder_band.py
    """
    if len(binders) < 2 or len({b.form for b in binders}) != 1:
        raise ValueError("a band is made of two binders or more of one form")
    most, speed = np.log([b.most_n_per_mm2 for b in binders]), -np.log([b.tau_min for b in binders])
    energy = np.array([b.activation_j_per_mol for b in binders])
    most_sd, rate_sd = float(most.std()), float(speed.std())
    together = float(np.corrcoef(most, speed)[0, 1]) if most_sd * rate_sd > 0.0 else 0.0
    first = binders[0]
    middle = Binder(
        first.form,
        float(np.exp(most.mean())),
        float(np.exp(-speed.mean())),
        float(np.mean([b.shape_ratio for b in binders])),
        float(np.mean([b.dead_min for b in binders])),
        float(energy.mean()),
        first.heat_kj_per_l,
        first.conduct_w_per_m_k,
        first.store_kj_per_l_k,
    )
    return BinderBand(middle, most_sd, rate_sd, together, float(energy.std()))


def ages_to(band: BinderBand, draws: BinderDraws, target_n_per_mm2: float) -> Array:
    """Equivalent age at which each draw reaches a strength [min]; infinite where it never does.

    Valid       target > 0
    Source      algebra (inverse of the curve)
    Proved by   tests/curing/test_binder_band.py
    """
    binder = band.binder
    share = target_n_per_mm2 / (binder.most_n_per_mm2 * draws.most)
    reached = share < 1.0
    inner = np.where(reached, share, 0.5)
    if binder.form == "hyperbola":
        ages = binder.dead_min + binder.tau_min * inner / (1.0 - inner)
    else:
        ages = binder.tau_min / np.log(1.0 / inner) ** (1.0 / binder.shape_ratio)
    return np.where(reached, ages / draws.speed, np.inf)


def strengths_at(band: BinderBand, draws: BinderDraws, ages: Array) -> Array:
    """Strength of each draw at its own equivalent age [N/mm2].

    Valid       ages of nought or more
    Source      as truebed.curing.binder
    Proved by   tests/curing/test_binder_band.py
    """
    binder, grown = band.binder, ages * draws.speed
    if binder.form == "hyperbola":
        since = np.maximum(0.0, grown - binder.dead_min)
        shares = since / (binder.tau_min + since)
    else:
        shares = np.exp(-((binder.tau_min / np.maximum(grown, 1e-9)) ** binder.shape_ratio))
    return np.asarray(binder.most_n_per_mm2 * draws.most * shares)


def band_5_50_95(values: Array) -> tuple[float, float, float]:
    """The 5, 50 and 95 % points of equally probable values, infinite ones included.

    Valid       one value or more
    Source      algebra (the next value up, so that infinite ones stay infinite)
    Proved by   tests/curing/test_binder_band.py
    """
    low, middle, high = np.quantile(values, (0.05, 0.5, 0.95), method="higher")
    return float(low), float(middle), float(high)
