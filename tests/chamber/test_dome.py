"""The mean of x² + y² beside the frame: closed forms and draws."""

import math

import numpy as np
import pytest

from chamber.covers import random_cover, shaped
from chamber.test_roles import V10_SIZES
from truebed.chamber.dome import mean_square_mm2


def test_square_less_square_and_round_less_round():
    total = (1000.0**4 - 660.0**4) / 6.0
    assert mean_square_mm2(shaped(V10_SIZES, 25.0)) == pytest.approx(total / (1000.0**2 - 660.0**2), rel=1e-12)
    rounds = {n: ("round", a, a) for n, (_, a, _) in V10_SIZES.items()}
    found = mean_square_mm2(shaped(rounds))
    assert found == pytest.approx((500.0**2 + 330.0**2) / 2.0, rel=1e-12)


def test_any_mix_of_shapes_agrees_with_a_lattice_of_points():
    rng = np.random.default_rng(31)
    place = (np.arange(1600) + 0.5) - 800.0
    x, y = np.meshgrid(place, place)
    for _ in range(6):
        sizes, turn, _ = random_cover(rng)
        cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        u, v = cos * x + sin * y, cos * y - sin * x
        inside = {
            n: u * u + v * v < a * a / 4 if kind == "round" else (np.abs(u) < a / 2) & (np.abs(v) < b / 2)
            for n, (kind, a, b) in sizes.items()
        }
        beside = inside["cut"] & ~inside["body"]
        assert mean_square_mm2(shaped(sizes, turn)) == pytest.approx(float((x * x + y * y)[beside].mean()), rel=1e-3)


def test_a_cut_that_is_not_about_the_middle():
    from dataclasses import replace

    outlines = shaped(V10_SIZES)
    ring = ((-400.0, -400.0), (900.0, -400.0), (900.0, 700.0), (-400.0, 700.0))
    moved = replace(outlines, cut=ring, shapes=replace(outlines.shapes, cut=None))
    whole = 1300.0 * 1100.0 * ((1300.0**2 + 1100.0**2) / 12 + 250.0**2 + 150.0**2) - 660.0**4 / 6
    assert mean_square_mm2(moved) == pytest.approx(whole / (1300.0 * 1100.0 - 660.0**2), rel=1e-12)


def test_a_round_cut_beside_the_middle_with_its_arc_split_by_the_body():
    from dataclasses import replace

    from truebed.chamber.outline_shapes import OutlineShape

    outlines = shaped(V10_SIZES)
    shapes = replace(outlines.shapes, cut=OutlineShape("round", 1400.0, 1400.0, 0.0, 150.0, -80.0))
    disc = math.pi * 700.0**2
    whole = disc * (700.0**2 / 2 + 150.0**2 + 80.0**2) - 660.0**4 / 6
    assert mean_square_mm2(replace(outlines, shapes=shapes)) == pytest.approx(whole / (disc - 660.0**2), rel=1e-12)
    near = replace(shapes, cut=OutlineShape("round", 700.0, 700.0, 0.0, 100.0, 60.0))
    place = (np.arange(3000) + 0.5) / 3.0 - 500.0
    x, y = np.meshgrid(place, place)
    beside = ((x - 100.0) ** 2 + (y - 60.0) ** 2 < 350.0**2) & ~((np.abs(x) < 330.0) & (np.abs(y) < 330.0))
    drawn = float((x * x + y * y)[beside].mean())
    assert mean_square_mm2(replace(outlines, shapes=near)) == pytest.approx(drawn, rel=1e-3)
