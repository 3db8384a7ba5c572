"""Roads of many covers at once: plane, twist or five terms, one gross reading each; for sweeps over a network."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.levels.least_squares import critical_ratio
from truebed.levels.road_choice import misfit_limit_ratio
from truebed.levels.road_fit import RIM_WITHIN_SHARE
from truebed.levels.road_rules import RoadRules
from truebed.levels.surface import Model

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

#: The models of the network's fit; `model` of Roads counts them from 0.
NETWORK_MODELS: tuple[Model, ...] = ("plane", "plane and twist", "five terms")
#: Why a cover has no road: `refused` of Roads counts them from 0.
REFUSALS = (
    "",
    "the road readings do not surround the frame",
    "no model holds the road round the rim",
    "the road readings fit no surface",
)


@dataclass(frozen=True, slots=True)
class Roads:
    """Roads of many covers, one row a cover.

    model         index into NETWORK_MODELS; -1 where refused (index into REFUSALS)
    coefficients  5 columns, those beyond the model's terms 0; covariance 5 x 5 alike
    removed       index of the gross reading, -1 for none; off_mm how far off it is
    """

    model: Whole
    refused: Whole
    coefficients: Array
    covariance: Array
    removed: Whole
    off_mm: Array
    loo_mm: Array
    misfit_ratio: Array


def fit_roads(
    x_mm: Array,
    y_mm: Array,
    level_mm: Array,
    sd_mm: float,
    false_alarm_share: float,
    rules: RoadRules | None = None,
    rim: tuple[Array, Array] | None = None,
) -> Roads:
    """The roads of many covers, each from the same number of readings; the same answers as fit_road's.

    The same as fit_road with models NETWORK_MODELS and at most one reading removed. Rows are independent of each other:
    a network too large for memory is fitted in slices. Nothing but the answers is allocated a cover (280 bytes).

    x_mm, y_mm, level_mm  one row a cover, one column a reading
    rim         places of the rim's points, one row a cover or one row for all; None: as fit_road
    Valid       finite numbers; readings at least as many as the rules ask
    Source      see truebed.levels.road_fit.fit_road
    Raises      ValueError where the arrays do not match or the readings are too few
    Proved by   tests/levels/test_road_network.py
    """
    from truebed.levels.road_kernel import roads_kernel

    limits = RoadRules() if rules is None else rules
    x, y, z = (np.ascontiguousarray(a, dtype=np.float64) for a in (x_mm, y_mm, level_mm))
    if not x.ndim == 2 or not x.shape == y.shape == z.shape:
        raise ValueError("x, y and level must be tables of one shape, one row a cover")
    count, readings = z.shape
    if readings < limits.least_readings_count:
        raise ValueError(f"{readings} readings a cover; at least {limits.least_readings_count}")
    if not (np.isfinite(x).all() and np.isfinite(y).all() and np.isfinite(z).all()):
        raise ValueError("a place or level is no number")
    rim_x, rim_y = (np.empty((1, 0)), np.empty((1, 0))) if rim is None else (np.ascontiguousarray(a) for a in rim)
    misfit = [np.inf] + [misfit_limit_ratio(f, limits.refuse_share) for f in range(1, readings)]
    model, refused, removed = (np.zeros(count, dtype=np.int64) for _ in range(3))
    figures, coefficients, covariance = np.zeros((count, 3)), np.zeros((count, 5)), np.zeros((count, 5, 5))
    roads_kernel(
        x, y, z, rim_x, rim_y, sd_mm, critical_ratio(readings, false_alarm_share), limits.worth_a_term_ratio,
        limits.widest_gap_deg, RIM_WITHIN_SHARE, min(1, limits.most_removed_count), np.array(misfit), model, refused,
        removed, figures, coefficients, covariance,
    )  # fmt: skip
    return Roads(model, refused, coefficients, covariance, removed, figures[:, 0], figures[:, 1], figures[:, 2])
