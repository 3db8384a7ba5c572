"""A binder as the heat calculation knows it: how far it has reacted at an equivalent age, how strong it is then."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

CurveForm = Literal["exponential", "hyperbola"]


@dataclass(frozen=True, slots=True)
class Binder:
    """One set of parameters of a cement-bound layer; a fit gives one, its uncertainty many.

    form                'exponential': S = Su exp(-(tau/te)^shape); 'hyperbola': S = Su (te - dead)/(tau + te - dead)
    most_n_per_mm2      Su, never promised past the sheet's last datum
    tau_min, shape_ratio, dead_min   of the form; shape belongs to the exponential, dead to the hyperbola
    activation_j_per_mol  one energy; equivalent age counts at 20 degC
    heat_kj_per_l       heat of the whole reaction in a litre of mix
    conduct_w_per_m_k, store_kj_per_l_k   of the mix
    """

    form: CurveForm
    most_n_per_mm2: float
    tau_min: float
    shape_ratio: float
    dead_min: float
    activation_j_per_mol: float
    heat_kj_per_l: float
    conduct_w_per_m_k: float
    store_kj_per_l_k: float


def reacted_share(binder: Binder, age_min: float) -> float:
    """How far the reaction has gone at an equivalent age: nought to one.

    Valid       age >= 0
    Source      [schindler-folliard-2005] form of the exponential (from memory); hyperbola: algebra
    Proved by   tests/curing/test_binder.py
    """
    if binder.form == "hyperbola":
        since = max(0.0, age_min - binder.dead_min)
        return since / (binder.tau_min + since)
    return math.exp(-((binder.tau_min / age_min) ** binder.shape_ratio)) if age_min > 0.0 else 0.0


def strength_n_per_mm2(binder: Binder, age_min: float) -> float:
    """Compressive strength at an equivalent age.

    Valid       age >= 0, up to the sheet's last datum
    Source      as reacted_share
    Proved by   tests/curing/test_binder.py
    """
    return binder.most_n_per_mm2 * reacted_share(binder, age_min)


def age_to_strength_min(binder: Binder, target_n_per_mm2: float) -> float:
    """The equivalent age at which a strength is reached; infinite where it never is.

    Valid       target > 0
    Source      algebra (inverse of the curve)
    Proved by   tests/curing/test_binder.py
    """
    share = target_n_per_mm2 / binder.most_n_per_mm2
    if share >= 1.0:
        return math.inf
    if binder.form == "hyperbola":
        return binder.dead_min + binder.tau_min * share / (1.0 - share)
    return binder.tau_min / math.pow(math.log(1.0 / share), 1.0 / binder.shape_ratio)
