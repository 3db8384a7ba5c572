"""A fit's draws as a band that is true to them where it matters: at the strength that is waited for."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from truebed.curing.binder import Binder, age_to_strength_min
from truebed.curing.binder_band import BinderBand, band_of_draws, scaled


def target_band(binders: Sequence[Binder], target_n_per_mm2: float) -> BinderBand:
    """The band of equally probable binders of one form, whose ages to the target are those of the binders themselves.

    Moments of the parameters (band_of_draws) forget how shape and dead time go with the rest, and come out too wide.
    Here each binder's speed is what brings the middle curve, with that binder's greatest strength, to the target at
    that binder's own age; a binder that never reaches the target keeps the speed of its time constant.

    Valid       two binders or more of one form; target > 0
    Source      algebra
    Raises      ValueError as band_of_draws
    Proved by   tests/curing/test_target_band.py
    """
    plain = band_of_draws(binders)
    middle = plain.binder
    most = np.array([math.log(one.most_n_per_mm2 / middle.most_n_per_mm2) for one in binders])
    speed = np.array(
        [_speed_log(middle, one, float(ratio), target_n_per_mm2) for one, ratio in zip(binders, most, strict=True)]
    )
    most_sd, rate_sd = float(most.std()), float(speed.std())
    together = float(np.corrcoef(most, speed)[0, 1]) if most_sd * rate_sd > 0.0 else 0.0
    return BinderBand(
        scaled(middle, 1.0, math.exp(float(speed.mean()))), most_sd, rate_sd, together, plain.activation_sd
    )


def _speed_log(middle: Binder, one: Binder, most_log_ratio: float, target_n_per_mm2: float) -> float:
    own_min = age_to_strength_min(one, target_n_per_mm2)
    middle_min = age_to_strength_min(scaled(middle, math.exp(most_log_ratio), 1.0), target_n_per_mm2)
    if not (math.isfinite(own_min) and math.isfinite(middle_min)):
        return math.log(middle.tau_min / one.tau_min)
    return math.log(middle_min / own_min)
