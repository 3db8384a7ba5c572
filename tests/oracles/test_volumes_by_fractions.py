"""Volumes of planes over polygons against rational arithmetic: within 1e-12 of area times greatest thickness.

The kernel, `between` and the closed form for sweeps are each held against it.
"""

import math

import numpy as np
import pytest
from shapely.geometry import Polygon

from oracles.exact_volumes import by_fractions
from truebed.chamber.curved import ring_pieces
from truebed.chamber.integral_kernel import AREA, MOST, VOLUME, wet_integrals
from truebed.chamber.plane import Plane
from truebed.chamber.shapes import rectangle_ring, turned
from truebed.chamber.solids import between
from truebed.chamber.volume_kernel import under


def random_rings(rng):
    """A star-shaped polygon of 3 to 9 corners, up to 700 mm out; half of them with a hole round their middle."""
    count = int(rng.integers(3, 10))
    angle = np.sort(rng.uniform(0, 2 * np.pi, count))
    while np.max(np.diff([*angle, angle[0] + 2 * np.pi])) > 2.8:
        angle = np.sort(rng.uniform(0, 2 * np.pi, count))
    reach = rng.uniform(300, 700, count)
    outer = [(float(r * math.cos(a)), float(r * math.sin(a))) for a, r in zip(angle, reach, strict=True)]
    if rng.random() < 0.5 or not Polygon(outer).buffer(-1.0).contains(Polygon(rectangle_ring(60.0, 40.0))):
        return [outer]
    return [outer, list(turned(rectangle_ring(60.0, 40.0), 20.0))[::-1]]


def random_plane(rng):
    return float(rng.normal(0, 15)), float(rng.normal(0, 0.03)), float(rng.normal(0, 0.03))


def worst_of(count, seed):
    """Greatest error of kernel and of `between`, over area times greatest thickness; how many were cut by u = 0."""
    rng = np.random.default_rng(seed)
    worst, cut = 0.0, 0
    for _ in range(count):
        rings, plane = random_rings(rng), random_plane(rng)
        exact = float(by_fractions(rings, plane))
        pieces = np.vstack([ring_pieces(tuple(r)) for r in rings])
        signs = np.concatenate([np.full(len(r), 1.0 if i == 0 else -1.0) for i, r in enumerate(rings)])
        found = wet_integrals(pieces, signs, np.array((*plane, 0.0, 0.0)))
        if found[MOST] <= 0.0:
            assert exact == 0.0 == found[VOLUME]
            continue
        cut += found[2] < 0.0
        scale = found[AREA] * found[MOST]
        shaped = between(Polygon(rings[0], rings[1:]), Plane(*plane)).volume_l * 1e6
        worst = max(worst, abs(found[VOLUME] - exact) / scale, abs(shaped - exact) / scale)
    return worst, cut


def test_polygons_with_holes_agree_with_rational_arithmetic():
    worst, cut = worst_of(400, 81)
    assert cut > 150
    assert worst < 1e-12


def test_rectangles_for_sweeps_agree_with_rational_arithmetic():
    rng = np.random.default_rng(82)
    for _ in range(400):
        plane, a, b = random_plane(rng), float(rng.uniform(100, 700)), float(rng.uniform(100, 700))
        exact = float(by_fractions([rectangle_ring(2 * a, 2 * b)], plane))
        most = plane[0] + abs(plane[1]) * a + abs(plane[2]) * b
        assert abs(under((a, b, math.inf), plane) - exact) <= 1e-12 * 4 * a * b * max(most, 0.0)


@pytest.mark.parametrize(
    ("rings", "plane", "litres"),
    [([rectangle_ring(1000.0, 1000.0)], (10.0, 0.04, 0.0), 11.25),
     ([rectangle_ring(1000.0, 1000.0)], (-21.0, 0.0, 0.0), 0.0),
     ([rectangle_ring(1000.0, 1000.0), rectangle_ring(200.0, 200.0)[::-1]], (0.0, 0.0, 0.0625), 7.75)],
)  # fmt: skip
def test_the_rational_oracle_knows_wedges(rings, plane, litres):
    assert float(by_fractions(rings, plane)) / 1e6 == pytest.approx(litres, rel=1e-15)
