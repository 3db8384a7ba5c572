"""Measures of the chance of tolerance: closed forms against integrals, any rim against ten million plain draws."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import quad
from scipy.stats import norm

from bench.row import Row, row, seconds
from truebed.chamber.plane import Plane, Ring
from truebed.chamber.shapes import circle_ring, d_ring, rectangle_ring, turned
from truebed.compiled import compiled
from truebed.levels.road_average import fold_reach_mm, rim_share_within
from truebed.levels.road_terms import FOLDED, error_terms, term_table
from truebed.levels.seat_question import edge_points
from truebed.levels.surface import Model, OtherRoad, RoadPoint, RoadSurface
from truebed.levels.tolerance import setting_covariance
from truebed.levels.tolerance_closed import round_flat_share, square_twist_share

Array = NDArray[np.float64]

DRAWS, BLOCK, SEED = 10_000_000, 50_000, 61
SET_POINTS = ((330.0, 330.0), (330.0, -330.0), (-330.0, -330.0), (-330.0, 330.0))
#: A shape of road, its coefficients, a rim, how far apart the draws look at it [mm].
CASES: tuple[tuple[Model, tuple[float, ...], Ring, float], ...] = (
    ("plane", (3.5, 0.001, -0.001), rectangle_ring(660.0, 660.0), 330.0),
    ("plane", (2.0, 0.004, -0.002), circle_ring(700.0), 30.0),
    ("plane and twist", (1.0, 0.0, 0.001, 3e-5), turned(rectangle_ring(900.0, 450.0), 23.0), 75.0),
    ("five terms", (-0.5, 0.001, 0.0, 1e-5, -2e-5), d_ring(700.0, 600.0), 50.0),
    ("two planes along", (0.5, 0.0, 0.001, -0.008), rectangle_ring(660.0, 660.0), 20.0),
)


def as_read(model: Model, coefficients: tuple[float, ...], count: int = 12, sd: float = 2.0) -> RoadSurface:
    """A road as a ring of readings would know it: covariance of a fit to them."""
    turn = 2 * np.pi * np.arange(count) / count
    x, y = 750 * np.cos(turn), 700 * np.sin(turn)
    table = error_terms(model, x, y, 40.0, coefficients)
    size = np.linalg.norm(table, axis=0)
    covariance = sd**2 * np.linalg.inv((table / size).T @ (table / size)) / np.outer(size, size)
    points = tuple(RoadPoint(f"P{i}", x[i], y[i], 0.0, 0.0, True, i) for i in range(count))
    return RoadSurface(model, coefficients, tuple(map(tuple, covariance.tolist())), 40.0, sd, points, (), 1.0, 1.0)


def _root(covariance: Array) -> Array:
    size = np.sqrt(np.diag(covariance))
    root: Array = np.linalg.cholesky(covariance / np.outer(size, size)) * size[:, None]
    return root


@compiled
def _smooth_inside(drawn: Array, table: Array, low: float, high: float) -> int:
    """Draws of coefficients whose departure lies in the band at every point."""
    inside = 0
    for n in range(len(drawn)):
        good = True
        for i in range(len(table)):
            off = 0.0
            for j in range(table.shape[1]):
                off += table[i, j] * drawn[n, j]
            if off < low or off > high:
                good = False
                break
        inside += good
    return inside


@compiled
def _folded_inside(drawn: Array, table: Array, place: Array, reach: Array, low: float, high: float) -> int:
    """The same on a fold: drawn level, slopes, bend and place."""
    inside = 0
    for n in range(len(drawn)):
        good, ridge = True, min(max(drawn[n, 4], reach[0]), reach[1])
        for i in range(len(table)):
            off = drawn[n, 0] + drawn[n, 1] * table[i, 1] + drawn[n, 2] * table[i, 2]
            off += drawn[n, 3] * abs(place[i] - ridge)
            if off < low or off > high:
                good = False
                break
        inside += good
    return inside


def drawn_share(road: RoadSurface, ring: Ring, spacing: float, setting: Array, low: float, high: float) -> float:
    """Ten million draws of road and setting (the rim at nought), the rim looked at point by point."""
    rng = np.random.default_rng(SEED)
    edge = np.array(edge_points(ring, spacing))
    x, y, inside = edge[:, 0], edge[:, 1], 0
    own, rim = _root(np.array(road.covariance)), _root(setting)
    one = OtherRoad(road.model, road.coefficients, road.covariance, road.ridge_mm, 1.0)
    reach, folded = np.array(fold_reach_mm(road, one)), road.model in FOLDED
    aimed = np.array([*road.coefficients, road.ridge_mm] if folded else road.coefficients)
    table = term_table(road.model, x, y, road.ridge_mm)
    place = y if "along" in road.model else x
    for _ in range(DRAWS // BLOCK):
        drawn = aimed + rng.standard_normal((BLOCK, len(own))) @ own.T
        less = -drawn
        less[:, :3] += rng.standard_normal((BLOCK, 3)) @ rim.T
        if folded:
            less[:, 4] = drawn[:, 4]
            inside += _folded_inside(less, table, place, reach, low, high)
        else:
            inside += _smooth_inside(less, table, low, high)
    return inside / (DRAWS // BLOCK * BLOCK)


def by_integral(twist: float, off: float, band: float, level: float, edge: float, *, square: bool) -> float:
    """The same chance by adaptive integration over the level."""
    pair = math.sqrt(2) * edge

    def inside(u: float) -> float:
        density = float(norm.pdf(u, off, level))
        if not square:
            return density * -math.expm1(-((band - abs(u)) ** 2) / (2 * edge**2))
        parts = [max(2 * float(norm.cdf((band - abs(u + w)) / pair)) - 1, 0.0) for w in (twist, -twist)]
        return density * parts[0] * parts[1]

    reach = band - abs(twist) if square else band
    marks = (0.0, twist, -twist, off, off - 4 * level, off + 4 * level)
    cuts = sorted({-reach, reach, *(min(max(m, -reach), reach) for m in marks)})
    return sum(quad(inside, a, b, epsabs=1e-10)[0] for a, b in pairwise(cuts)) if reach > 0.0 else 0.0


def closed_error(count: int) -> float:
    """Greatest error of the closed forms: the study's own figures, and random frames by adaptive integration."""
    side = [400 * 2 * math.sqrt(2 / n) / 750 for n in (8, 12, 16)]
    known = zip((0.894908, 0.964448, 0.987563), (8, 12, 16), side, strict=True)
    worst = max(abs(p - square_twist_share(4.0, 0.0, 6.0, 2 / math.sqrt(n), s)) for p, n, s in known)
    edge = 2 * (2 / 3) * math.sqrt(2 / 8)
    for p, t in ((0.988308, 3.0), (0.836970, 2.0)):
        worst = max(worst, abs(p - round_flat_share(0.0, t, 2 / math.sqrt(8), edge)))
    rng = np.random.default_rng(SEED)
    for _ in range(count):
        twist, off, band = rng.uniform(-5, 5), rng.uniform(-3, 3), rng.uniform(1, 8)
        level, edge = rng.uniform(0.1, 3, 2)
        flat = by_integral(0.0, off, band, level, edge, square=False)
        square = by_integral(twist, off, band, level, edge, square=True)
        worst = max(
            worst,
            abs(flat - round_flat_share(off, band, level, edge)),
            abs(square - square_twist_share(twist, off, band, level, edge)),
        )
    return worst


def share_rows(closed_count: int = 150) -> list[Row]:
    """Error and time of the chance of tolerance."""
    setting = setting_covariance(SET_POINTS, 1.0)
    worst, slowest, said = 0.0, 0.0, []
    for model, coefficients, ring, spacing in CASES:
        road, rim = as_read(model, coefficients), Plane(0.0, 0.0, 0.0)

        def own(road: RoadSurface = road, ring: Ring = ring, rim: Plane = rim) -> float:
            return rim_share_within(road, (), ring, rim, setting, -5.0, 6.0)

        drawn = drawn_share(road, ring, spacing, setting, -5.0, 6.0)
        worst, slowest = max(worst, abs(own() - drawn)), max(slowest, seconds(own, least_s=0.3)[0])
        said.append(f"{model} {drawn:.4f}")
    closed = closed_error(closed_count)
    both = [
        seconds(lambda: square_twist_share(4.0, 0.1, 6.0, 0.6, 0.6), least_s=0.3)[0],
        seconds(lambda: round_flat_share(0.1, 3.0, 0.6, 0.6), least_s=0.3)[0],
    ]
    note = (
        f"rims with setting error 1 mm against {DRAWS} plain draws ({', '.join(said)}): {worst:.1e}; "
        f"closed forms against the study's figures and {2 * closed_count} adaptive integrals: {closed:.1e}; "
        f"{slowest * 1e3:.2f} ms and {max(both) * 1e6:.1f} us a call"
    )
    return [
        row("p_tolerance_error", max(worst, closed), "probability", note, n=len(CASES), seed=SEED, goal=1e-3),
        row("p_tolerance_closed_us", max(both) * 1e6, "us", "slower of the two closed forms, called from Python",
            n=2, goal=10.0),
        row("p_tolerance_other_ms", slowest * 1e3, "ms", "slowest of the rims of p_tolerance_error", n=len(CASES),
            goal=2.0),
    ]  # fmt: skip
