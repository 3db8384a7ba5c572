"""Chance of tolerance of many covers at once, for a first look at a network: the closed forms over arrays."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def _same_length(*arrays: Array) -> list[Array]:
    found = np.broadcast_arrays(*(np.atleast_1d(np.asarray(a, dtype=float)) for a in arrays))
    if not all(np.isfinite(a).all() for a in found):
        raise ValueError("a departure, a band or an error is not a finite number")
    if np.any(found[-1] <= 0.0) or np.any(found[-2] <= 0.0):
        raise ValueError("an error's standard deviation must be above nought")
    return [np.ascontiguousarray(a) for a in found]


def round_flat_shares(off: Array, half_band: Array, level_sd: Array, edge_sd: Array) -> Array:
    """round_flat_share of each cover; arrays [mm], or one number for all.

    Valid       as round_flat_share
    Source      see truebed.levels.tolerance_closed
    Raises      ValueError for numbers that are not finite or errors not above nought
    Proved by   tests/levels/test_tolerance_many.py
    """
    from truebed.levels.tolerance_closed import round_flat_each

    offs, bands, levels, edges = _same_length(off, half_band, level_sd, edge_sd)
    shares = np.empty(len(offs))
    round_flat_each(offs, bands, levels, edges, shares)
    return shares


def square_twist_shares(twist: Array, off: Array, half_band: Array, level_sd: Array, edge_sd: Array) -> Array:
    """square_twist_share of each cover; arrays [mm], or one number for all.

    Valid       as square_twist_share
    Source      see truebed.levels.tolerance_closed
    Raises      ValueError for numbers that are not finite or errors not above nought
    Proved by   tests/levels/test_tolerance_many.py
    """
    from truebed.levels.tolerance_closed import square_twist_each

    twists, offs, bands, levels, edges = _same_length(twist, off, half_band, level_sd, edge_sd)
    shares = np.empty(len(offs))
    square_twist_each(twists, offs, bands, levels, edges, shares)
    return shares
