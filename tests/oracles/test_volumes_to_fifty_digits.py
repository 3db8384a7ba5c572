"""Volumes of planes over discs, and of twisted heights over polygons and discs, against 50-digit floats.

Within 1e-12 of area times greatest thickness. The oracle itself is held against closed forms first.
"""

import math
from decimal import Decimal

import numpy as np
import pytest

from oracles.exact_volumes import over_disc, over_polygon
from truebed.chamber.curved import ring_pieces
from truebed.chamber.integral_kernel import AREA, LEAST, MOST, VOLUME, wet_integrals
from truebed.chamber.shapes import rectangle_ring, turned
from truebed.chamber.volume_kernel import under

PI = Decimal("3.1415926535897932384626433832795028841971693993751")


def random_height(rng, twisted):
    """Levels of frames and roads; one in ten without slope, one in ten with a pure saddle or twist."""
    h, gx, gy = float(rng.normal(0, 10)), float(rng.normal(0, 0.03)), float(rng.normal(0, 0.03))
    kxy, ks = (float(v) for v in rng.normal(0, 5e-5, 2) * twisted)
    kind = rng.integers(10)
    return (h, *((0.0, 0.0) if kind == 0 else (gx, gy)), 0.0 if kind == 1 else kxy, 0.0 if kind == 2 else ks)


def disc_error(rng, twisted):
    """Error over area times greatest thickness of one disc; None where it is all dry."""
    x, y = (float(v) for v in rng.uniform(-150, 150, 2))
    radius, height = float(rng.uniform(100, 600)), random_height(rng, twisted)
    found = wet_integrals(np.array([[0.0, 1.0, x, y, radius, -math.pi, math.pi]]), np.ones(1), np.array(height))
    if found[MOST] <= 0.0:
        return None
    return abs(found[VOLUME] - float(over_disc(x, y, radius, height))) / (found[AREA] * found[MOST]), found[LEAST] < 0


def polygon_error(rng, twisted):
    """Error over area times greatest thickness of one turned rectangle; None where it is all dry."""
    ring = turned(
        rectangle_ring(float(rng.uniform(200, 1200)), float(rng.uniform(200, 1200))), float(rng.uniform(0, 90))
    )
    height = random_height(rng, twisted)
    found = wet_integrals(ring_pieces(ring), np.ones(4), np.array(height))
    if found[MOST] <= 0.0:
        return None
    return abs(found[VOLUME] - float(over_polygon(ring, height))) / (found[AREA] * found[MOST]), found[LEAST] < 0


@pytest.mark.parametrize(("error", "twisted", "seed"), [
    (disc_error, 0.0, 91), (disc_error, 1.0, 92), (polygon_error, 0.0, 93), (polygon_error, 1.0, 94),
])  # fmt: skip
def test_sixty_random_heights_agree(error, twisted, seed):
    rng = np.random.default_rng(seed)
    found = [e for e in (error(rng, twisted) for _ in range(60)) if e is not None]
    assert sum(crossing for _, crossing in found) > 15
    assert max(e for e, _ in found) < 1e-12


def test_rounds_for_sweeps_agree():
    rng = np.random.default_rng(95)
    for _ in range(40):
        radius, height = float(rng.uniform(100, 600)), random_height(rng, 0.0)
        most = height[0] + math.hypot(height[1], height[2]) * radius
        if most <= 0.0:
            continue
        exact = float(over_disc(0.0, 0.0, radius, height))
        assert abs(under((math.inf, math.inf, radius), height[:3]) - exact) <= 1e-12 * math.pi * radius**2 * most


def test_v5_and_v8_the_oracle_has_twenty_digits():
    hoof = over_disc(0.0, 0.0, 400.0, (0.0, 0.0625, 0.0, 0.0, 0.0))
    assert abs(hoof / (Decimal("0.0625") * 400**3 * 2 / 3) - 1) < Decimal("1e-20")
    whole = over_disc(30.0, -20.0, 400.0, (50.0, 0.03125, 0.0, 0.0, 0.0))
    assert abs(whole / (PI * 160000 * (50 + Decimal("0.03125") * 30)) - 1) < Decimal("1e-20")
    bilinear = over_polygon(rectangle_ring(800.0, 600.0), (0.0, 0.0, 0.0, 2.0**-13, 0.0))
    assert abs(bilinear / (Decimal(2) ** -13 * 400**2 * 300**2 / 2) - 1) < Decimal("1e-20")


def test_v4_v5_and_v8_by_the_kernel():
    pieces = ring_pieces(rectangle_ring(900.0, 700.0))
    twist = (50.0 - 60.0 + 90.0 - 40.0) / (900.0 * 700.0)
    slopes = ((60.0 + 90.0 - 50.0 - 40.0) / 2 / 900.0, (40.0 + 90.0 - 50.0 - 60.0) / 2 / 700.0)
    found = wet_integrals(pieces, np.ones(4), np.array([60.0, *slopes, twist, 0.0]))
    assert found[VOLUME] / 1e6 == pytest.approx(37.8, rel=1e-14)
    assert (found[LEAST], found[MOST]) == pytest.approx((40.0, 90.0))
    disc = np.array([[0.0, 1.0, 0.0, 0.0, 400.0, -math.pi, math.pi]])
    hoof = wet_integrals(disc, np.ones(1), np.array([0.0, 0.03, -0.04, 0.0, 0.0]))
    assert hoof[VOLUME] / 1e6 == pytest.approx(2.0 / 3.0 * 0.05 * 64.0, rel=1e-14)
    bilinear = wet_integrals(
        ring_pieces(rectangle_ring(800.0, 600.0)), np.ones(4), np.array([0.0, 0.0, 0.0, 1e-4, 0.0])
    )
    assert bilinear[VOLUME] / 1e6 == pytest.approx(0.72, rel=1e-14)
