"""Chance of tolerance in closed form: a round frame on a flat road, a square frame on a twisted one."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled
from truebed.levels.tolerance_kernel import band_share

Array = NDArray[np.float64]

#: Abscissae and weights of eight-point Gauss-Legendre on (-1, 1).
NODES, WEIGHTS = np.polynomial.legendre.leggauss(8)
#: Beyond so many standard deviations a normal error is not looked for (1e-15).
FAR_RATIO = 8.0
#: A bound on the pieces of one section of the integral, for an error far smaller than the band.
MOST_PIECES = 400.0
ROOT_TWO_PI = math.sqrt(2.0 * math.pi)


@compiled
def _round_side(off_mm: float, half_band_mm: float, level_sd_mm: float, edge_sd_mm: float) -> float:
    """What tilting costs on one side: level error u > 0 from the band's middle, Rayleigh tilt beyond half band - u."""
    both_mm2 = level_sd_mm * level_sd_mm + edge_sd_mm * edge_sd_mm
    mean_mm = (off_mm * edge_sd_mm * edge_sd_mm + half_band_mm * level_sd_mm * level_sd_mm) / both_mm2
    sd_mm = level_sd_mm * edge_sd_mm / math.sqrt(both_mm2)
    away_mm = half_band_mm - off_mm
    share = math.exp(-away_mm * away_mm / (2.0 * both_mm2)) * sd_mm / level_sd_mm
    return share * band_share(-mean_mm / sd_mm, (half_band_mm - mean_mm) / sd_mm)


@compiled
def round_flat_share(off_mm: float, half_band_mm: float, level_sd_mm: float, edge_sd_mm: float) -> float:
    """Chance that a round frame parallel to a plane road lies within the band all round.

    off_mm        departure from the band's middle that is aimed at, with level_sd_mm at the centre
    edge_sd_mm    error at the rim from the slope along any one diameter (the same along all)

    Valid       independent Gaussian errors of level and of two equal slopes; sds > 0
    Source      algebra (a tilt's greatest departure has the Rayleigh law; methods of the study, P1 and P2)
    Proved by   tests/oracles/test_tolerance.py, tests/levels/test_tolerance_closed.py
    """
    flat_share = band_share((-half_band_mm - off_mm) / level_sd_mm, (half_band_mm - off_mm) / level_sd_mm)
    lost_share = _round_side(off_mm, half_band_mm, level_sd_mm, edge_sd_mm)
    lost_share += _round_side(-off_mm, half_band_mm, level_sd_mm, edge_sd_mm)
    return max(flat_share - lost_share, 0.0)


@compiled
def _two_pairs(u_mm: float, twist_mm: float, half_band_mm: float, pair_sd_mm: float) -> float:
    """Chance that both pairs of opposite corners, at u + twist and u - twist, stay within the band."""
    up_ratio = (half_band_mm - abs(u_mm + twist_mm)) / pair_sd_mm
    down_ratio = (half_band_mm - abs(u_mm - twist_mm)) / pair_sd_mm
    return band_share(-up_ratio, up_ratio) * band_share(-down_ratio, down_ratio)


@compiled
def _between(
    a_mm: float, b_mm: float, twist_mm: float, half_band_mm: float, off_mm: float, level_sd_mm: float, pair_sd_mm: float
) -> float:
    total_share, half_mm = 0.0, 0.5 * (b_mm - a_mm)
    for i in range(8):
        u_mm = 0.5 * (a_mm + b_mm) + half_mm * NODES[i]
        z_ratio = (u_mm - off_mm) / level_sd_mm
        density_ratio = math.exp(-0.5 * z_ratio * z_ratio) / (level_sd_mm * ROOT_TWO_PI)
        total_share += WEIGHTS[i] * half_mm * density_ratio * _two_pairs(u_mm, twist_mm, half_band_mm, pair_sd_mm)
    return total_share


@compiled
def square_twist_share(
    twist_mm: float, off_mm: float, half_band_mm: float, level_sd_mm: float, edge_sd_mm: float
) -> float:
    """Chance that a square frame on a twisted road lies within the band all round.

    twist_mm      departure of one pair of opposite corners from the middle of all; the other pair has as much less
    off_mm        departure of the middle from the band's middle, with level_sd_mm
    edge_sd_mm    error at the middle of a side from either slope (half the side x the slope's sd)

    Valid       independent Gaussian errors of level and of two equal slopes, the twist known; sds > 0
    Source      algebra: the diagonals' errors are independent, so one integral over the level is left (study, P4, P5)
    Proved by   tests/oracles/test_tolerance.py, tests/levels/test_tolerance_closed.py
    """
    reach_mm, pair_sd_mm = half_band_mm - abs(twist_mm), math.sqrt(2.0) * edge_sd_mm
    low_mm = max(-reach_mm, off_mm - FAR_RATIO * level_sd_mm)
    high_mm = min(reach_mm, off_mm + FAR_RATIO * level_sd_mm)
    if high_mm <= low_mm:
        return 0.0
    # the integrand is smooth between the kinks at -twist and twist; no piece is wider than what it varies over
    step_mm, total_share, begin_mm = min(level_sd_mm, pair_sd_mm) * 2.0, 0.0, low_mm
    for section in range(3):
        kink_mm = high_mm if section == 2 else (2.0 * section - 1.0) * abs(twist_mm)
        end_mm = min(max(kink_mm, begin_mm), high_mm)
        pieces = int(min((end_mm - begin_mm) / step_mm + 1.0, MOST_PIECES)) if end_mm > begin_mm else 0
        for k in range(pieces):
            width_mm = (end_mm - begin_mm) / pieces
            a_mm = begin_mm + k * width_mm
            total_share += _between(a_mm, a_mm + width_mm, twist_mm, half_band_mm, off_mm, level_sd_mm, pair_sd_mm)
        begin_mm = end_mm
    return total_share


@compiled
def round_flat_each(off: Array, half_band: Array, level_sd: Array, edge_sd: Array, shares: Array) -> None:
    """round_flat_share of each row into shares.

    Valid       arrays of one length
    Source      algebra
    Proved by   tests/levels/test_tolerance_many.py
    """
    for c in range(len(shares)):
        shares[c] = round_flat_share(off[c], half_band[c], level_sd[c], edge_sd[c])


@compiled
def square_twist_each(
    twist: Array, off: Array, half_band: Array, level_sd: Array, edge_sd: Array, shares: Array
) -> None:
    """square_twist_share of each row into shares.

    Valid       arrays of one length
    Source      algebra
    Proved by   tests/levels/test_tolerance_many.py
    """
    for c in range(len(shares)):
        shares[c] = square_twist_share(twist[c], off[c], half_band[c], level_sd[c], edge_sd[c])
