"""The closed forms of the chance of tolerance against integrals and draws made another way."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from truebed.levels.tolerance_closed import round_flat_share, square_twist_share

SDS = st.floats(0.05, 4.0)


def integral(inside, cuts):
    """Twenty-point Gauss on eighty pieces between each two cuts: far finer than any of the laws here varies."""
    nodes, weights = np.polynomial.legendre.leggauss(20)
    total = 0.0
    for a, b in itertools.pairwise(cuts):
        ends = np.linspace(a, b, 81)
        half, middle = np.diff(ends) / 2, (ends[1:] + ends[:-1]) / 2
        total += float(np.sum(half[:, None] * weights * inside(middle[:, None] + half[:, None] * nodes)))
    return total


def law(x, sd):
    return norm.pdf(x, 0.0, sd)


@given(st.floats(-5, 5), st.floats(0.5, 8), SDS, SDS)
def test_a_round_frames_share_is_its_integral_over_the_level(off, band, level_sd, edge_sd):
    def inside(u):
        return law(u - off, level_sd) * -np.expm1(-((band - np.abs(u)) ** 2) / (2 * edge_sd**2))

    cuts = sorted(
        {-band, band, *(min(max(c, -band), band) for c in (0.0, off, off - 4 * level_sd, off + 4 * level_sd))}
    )
    expected = integral(inside, cuts)
    assert round_flat_share(off, band, level_sd, edge_sd) == pytest.approx(expected, abs=1e-8)


@given(st.floats(-7, 7), st.floats(-4, 4), st.floats(0.5, 8), SDS, SDS)
def test_a_square_frames_share_is_its_integral_over_the_level(twist, off, band, level_sd, edge_sd):
    pair = math.sqrt(2) * edge_sd

    def pairs(u, w):
        return np.maximum(2 * norm.cdf((band - np.abs(u + w)) / pair) - 1, 0.0)

    def inside(u):
        return law(u - off, level_sd) * pairs(u, twist) * pairs(u, -twist)

    reach = band - abs(twist)
    if reach <= 0.0:
        assert square_twist_share(twist, off, band, level_sd, edge_sd) == 0.0
        return
    marks = (0.0, twist, -twist, off, off - 4 * level_sd, off + 4 * level_sd)
    cuts = sorted({-reach, reach, *(min(max(c, -reach), reach) for c in marks)})
    expected = integral(inside, cuts)
    assert square_twist_share(twist, off, band, level_sd, edge_sd) == pytest.approx(expected, abs=1e-6)


def test_plain_draws_of_corner_errors_give_the_square_frames_share():
    rng = np.random.default_rng(11)
    level, across, along = rng.normal(0, 0.7, 2_000_000), *rng.normal(0, 0.9, (2, 2_000_000))
    corners = [level + w + sx * across + sy * along for sx, sy, w in ((1, 1, 3), (-1, -1, 3), (1, -1, -3), (-1, 1, -3))]
    drawn = np.mean(np.max(np.abs(np.array(corners)), axis=0) <= 6.0)
    assert square_twist_share(3.0, 0.0, 6.0, 0.7, 0.9) == pytest.approx(drawn, abs=0.001)


def test_an_error_far_smaller_than_the_band_leaves_no_doubt():
    assert square_twist_share(4.0, 0.0, 6.0, 1e-3, 1e-3) == pytest.approx(1.0, abs=1e-9)
    assert square_twist_share(6.5, 0.0, 6.0, 1e-3, 1e-3) == 0.0
    assert round_flat_share(0.0, 6.0, 1e-3, 1e-3) == pytest.approx(1.0, abs=1e-9)
    assert round_flat_share(6.5, 6.0, 1e-3, 1e-3) == pytest.approx(0.0, abs=1e-9)
