"""Times of a sheet that have an activation energy of their own, on a march that counts age by the strength's."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from truebed.curing.arrhenius import GAS_J_PER_MOL_K, ZERO_K
from truebed.curing.curve_points import REFERENCE_C
from truebed.curing.time_line import TimeLine

Array = NDArray[np.float64]
#: Passes by which a time of its own energy settles on the temperature of its point; degrees at which it has.
PASSES_COUNT, SETTLED_K = 8, 0.01


def line_draws(line: TimeLine, normals: Array) -> tuple[Array, Array]:
    """Minutes at 20 degC and energies [J/mol] of one of a sheet's times, the most probable first.

    normals     (draws, 2) standard normal numbers
    Valid       any line
    Source      the line's own covariance
    Proved by   tests/curing/test_hour_clocks.py, tests/curing/test_two_clocks.py
    """
    first, cross, second = line.covariance
    root = np.linalg.cholesky(np.array([[first, cross], [cross, second]]))
    shifts = np.concatenate([np.zeros((1, 2)), normals @ root.T])
    return line.at20_min * np.exp(shifts[:, 0]), line.activation_j_per_mol + 1000.0 * shifts[:, 1]


def rates(temp_c: Array, energy_j_per_mol: Array) -> Array:
    """How many times faster than at 20 degC, by arrays.

    Valid       temperatures above absolute nought
    Source      [astm-c1074] form (memory-high)
    Proved by   tests/curing/test_hour_clocks.py
    """
    pulls = 1.0 / (ZERO_K + REFERENCE_C) - 1.0 / (ZERO_K + temp_c)
    speeds: Array = np.exp(energy_j_per_mol / GAS_J_PER_MOL_K * pulls)
    return speeds


def steady_c(age_min: Array, minutes_min: Array, energy_j_per_mol: Array) -> Array:
    """The steady temperature at which an age at 20 degC takes so many minutes; no number where it is never reached.

    Valid       ages and minutes above 0
    Source      algebra, the inverse of rates
    Proved by   tests/curing/test_hour_clocks.py
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        inverse = 1.0 / (ZERO_K + REFERENCE_C) - np.log(age_min / minutes_min) * GAS_J_PER_MOL_K / energy_j_per_mol
        found: Array = 1.0 / inverse - ZERO_K
    return found


def settled_c(
    march: Callable[[Array], Array],
    at20_min: Array,
    line_j_per_mol: Array,
    own_j_per_mol: Array,
    begin_c: Array,
    passes_count: int = PASSES_COUNT,
) -> Array:
    """The temperature at which a time of the sheet is to be read, after so many passes at most.

    The march counts age by the strength's energy; the sheet's time has its own. It is read at the one temperature that
    makes the point's age in that time, and the march is made again until that temperature stands.

    march       ages by the strength's energy -> minutes at which the point has them; the last pass's stand with it
    Valid       arrays of one shape
    Source      [astm-c1074] form only; fixed point: house
    Proved by   tests/curing/test_hour_clocks.py, tests/curing/test_two_clocks.py
    """
    temp_c = begin_c
    for _ in range(passes_count):
        ages_min = at20_min / rates(temp_c, line_j_per_mol) * rates(temp_c, own_j_per_mol)
        minutes = march(ages_min)
        fresh_c = np.where(np.isfinite(minutes), steady_c(ages_min, minutes, own_j_per_mol), temp_c)
        moved_k = float(np.max(np.abs(fresh_c - temp_c)))
        temp_c = fresh_c
        if moved_k < SETTLED_K:
            break
    return temp_c
