"""Measures of volumes: speed beside the booleans of a solid-modelling library, error beside exact arithmetic."""

from __future__ import annotations

import math
import sys
from dataclasses import dataclass
from pathlib import Path

import manifold3d as m3
import numpy as np

from bench.row import Row, row, seconds
from truebed.chamber.curved import ring_pieces
from truebed.chamber.integral_kernel import AREA, MOST, VOLUME, wet_integrals
from truebed.chamber.many import Covers, litres_of_many
from truebed.chamber.outline_shapes import OutlineKind, OutlineShape, OutlineShapes
from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Plane
from truebed.chamber.shapes import outline_ring, turned
from truebed.chamber.solids import Levels, role_solids
from truebed.chamber.surface import Surface

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

LOW, HIGH = -600.0, 600.0
#: Sides of a round in the peer's solids; of the round's own area. Fewer would be quicker and less exact.
SIDES = 128
NAMES = ("opening", "body", "flange", "wall", "chamber", "cut")
Ring = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Sample:
    """A random cover: kind, half along and half across of each outline, one turn, four planes, the depths."""

    sizes: tuple[tuple[OutlineKind, float, float], ...]
    turn_deg: float
    planes: tuple[Plane, ...]
    depths: tuple[float, ...]

    @property
    def straight(self) -> bool:
        return all(kind == "rectangle" for kind, _, _ in self.sizes)


def random_sample(rng: np.random.Generator) -> Sample:
    """Square or round frame on a square or round chamber, walls inside and outside the flange; tilted surfaces."""
    frame: OutlineKind = "rectangle" if rng.random() < 0.5 else "round"
    chamber: OutlineKind = "rectangle" if rng.random() < 0.5 else "round"
    across = float(rng.uniform(0.8, 1.0)) if frame == "rectangle" else 1.0
    least = {("rectangle", "round"): 860.0, ("round", "rectangle"): 640.0}.get((frame, chamber), 660.0)
    wall = float(rng.uniform(least, 1150.0))
    inner = {"rectangle": 560.0, "round": 620.0}[chamber]
    margin = float(rng.uniform(100, 200))
    sizes: tuple[tuple[OutlineKind, float, float], ...] = (
        (frame, 300.0, 300.0 * across), (frame, 330.0, 330.0 * across), (frame, 420.0, 420.0 * across),
        (chamber, wall / 2, wall / 2), (chamber, inner / 2, inner / 2 * across),
        ("rectangle", 420.0 + margin, 420.0 * across + margin),
    )  # fmt: skip
    if chamber == "round":
        sizes = (*sizes[:4], (chamber, 310.0 * across, 310.0 * across), sizes[5])
    sx, sy, tx, ty = (float(v) for v in rng.normal(0, 0.02, 4))
    top = float(rng.uniform(-160, -110))
    planes = (Plane(0, sx, sy), Plane(1, sx + 0.003, sy), Plane(top, tx, ty), Plane(top - 20, tx, ty))
    return Sample(sizes, float(rng.uniform(-20, 20)), planes, (100.0, 15.0, 12.0, 35.0, 0.0, 0.0))


def rows_of(samples: list[Sample]) -> Covers:
    """Samples as an array of covers."""
    far = math.inf
    outlines = [[(far, far, a) if k == "round" else (a, b, far) for k, a, b in s.sizes] for s in samples]
    planes = [[(p.level_mm, p.slope_x_ratio, p.slope_y_ratio) for p in s.planes] for s in samples]
    depths = [s.depths for s in samples]
    return Covers(np.array(outlines), np.array(planes), np.array(depths), np.array([s.turn_deg for s in samples]))


def outlines_of(sample: Sample) -> Outlines:
    """A sample's outlines with their true shapes."""
    named = {
        n: OutlineShape(k, 2 * a, 2 * b, sample.turn_deg) for n, (k, a, b) in zip(NAMES, sample.sizes, strict=True)
    }
    rings = {n: outline_ring(s.kind, s.along_mm, s.across_mm, s.turn_deg) for n, s in named.items()}
    return Outlines(**rings, shapes=OutlineShapes(**named))


def levels_of(sample: Sample) -> Levels:
    """A sample's levels."""
    return Levels(*sample.planes, *sample.depths)


def _ring(kind: str, a: float, b: float, turn_deg: float) -> Ring:
    if kind != "round":
        return turned(((-a, -b), (a, -b), (a, b), (-a, b)), turn_deg)
    angle = 2.0 * math.pi / SIDES
    radius = a * math.sqrt(angle / math.sin(angle))
    return tuple((radius * math.cos(i * angle), radius * math.sin(i * angle)) for i in range(SIDES))


def _prism(ring: Ring) -> m3.Manifold:
    section = m3.CrossSection([np.array(ring)], m3.FillRule.Positive)
    return m3.Manifold.extrude(section, HIGH - LOW).translate((0.0, 0.0, LOW))


def _trim(solid: m3.Manifold, plane: Plane, side: float) -> m3.Manifold:
    size = math.sqrt(1 + plane.slope_x_ratio**2 + plane.slope_y_ratio**2)
    normal = (side * plane.slope_x_ratio / size, side * plane.slope_y_ratio / size, -side / size)
    return solid.trim_by_plane(normal, -side * plane.level_mm / size)


def by_booleans(sample: Sample) -> tuple[float, float, float, float]:
    """Bed, under-flange fill, surround and running surface by solid booleans, litres."""
    opening, body, flange, wall, chamber, cut = (_prism(_ring(*s, sample.turn_deg)) for s in sample.sizes)
    rim, road, top, floor = sample.planes
    depth, thick, over, deep, _, _ = sample.depths

    def layer(region: m3.Manifold, upper: Plane, lower: Plane) -> float:
        return float(_trim(_trim(region, upper, 1.0), lower, -1.0).volume()) / 1e6

    under = rim.raised(-depth)
    flange_top, fill_top = under.raised(thick), under.raised(thick + over)
    trench, ring = cut - flange, cut - body
    bed = layer((flange ^ wall) - opening - chamber, under, top)
    fill = (
        layer(flange - wall, under, floor)
        + layer(trench ^ wall, fill_top, top)
        + layer(trench - wall, fill_top, floor)
        + layer(flange - body, fill_top, flange_top)
    )
    surround = layer(ring, road.raised(-deep), fill_top)
    return bed, fill, surround, layer(ring, road, fill_top) - surround


def speed_rows(count: int = 20_000, peers: int = 120, seed: int = 41) -> list[Row]:
    """Covers a second, compiled and by arrays, beside booleans of the first `peers` of the same covers."""
    rng = np.random.default_rng(seed)
    samples = [random_sample(rng) for _ in range(count)]
    covers = rows_of(samples)
    looped, arrayed = litres_of_many(covers, by_arrays=False), litres_of_many(covers, by_arrays=True)
    theirs = np.array([by_booleans(s) for s in samples[:peers]])
    off = np.abs(looped[:peers, :4] - theirs).max(axis=1)
    straight = np.array([s.straight for s in samples[:peers]])
    apart = float(np.abs(looped - arrayed).max())
    said = (
        f"four roles of a cover, {peers} of the same covers by booleans ({SIDES} sides a round), one thread; greatest "
        f"difference {off[straight].max():.1e} l where all is straight, {off[~straight].max():.1e} l where the peer's "
        f"rounds have sides; loop and arrays differ by {apart:.1e} l"
    )
    assert off[straight].max() < 1e-8
    assert off[~straight].max() < 0.05
    assert apart < 1e-9
    peer_s = seconds(lambda: [by_booleans(s) for s in samples[:peers]])[0] / peers
    found = []
    for name, by_arrays, goal in (
        ("volumes_vs_solid_booleans", False, 20_000.0), ("volumes_vectorised_vs_solid_booleans", True, 5_000.0),
    ):  # fmt: skip
        ours_s = seconds(lambda by_arrays=by_arrays: litres_of_many(covers, by_arrays=by_arrays))[0] / count
        found.append(
            row(name, 1 / ours_s, "covers/s", said, n=count, seed=seed, peer=1 / peer_s, ratio=peer_s / ours_s,
                goal=goal, sense="least", on_ratio=True)
        )  # fmt: skip
    return found


def _polygon_errors(count: int, seed: int) -> float:
    from oracles.exact_volumes import by_fractions

    rng = np.random.default_rng(seed)
    worst = 0.0
    for _ in range(count):
        angle = np.sort(rng.uniform(0, 2 * np.pi, int(rng.integers(4, 10))))
        reach = rng.uniform(300, 700, angle.size)
        ring = [(float(v * math.cos(a)), float(v * math.sin(a))) for v, a in zip(reach, angle, strict=True)]
        hole = [(float(x), float(y)) for x, y in turned(((-60, -40), (60, -40), (60, 40), (-60, 40)), 20.0)][::-1]
        plane = (float(rng.normal(0, 15)), float(rng.normal(0, 0.03)), float(rng.normal(0, 0.03)))
        pieces = np.vstack([ring_pieces(tuple(ring)), ring_pieces(tuple(hole))])
        signs = np.concatenate([np.ones(len(ring)), -np.ones(4)])
        found = wet_integrals(pieces, signs, np.array((*plane, 0.0, 0.0)))
        area = 0.5 * sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(ring, ring[1:] + ring[:1], strict=True))
        if found[MOST] > 0.0 and area > 50_000.0:
            exact = float(by_fractions([ring, hole], plane))
            worst = max(worst, abs(found[VOLUME] - exact) / (found[AREA] * found[MOST]))
    return worst


def _curved_errors(count: int, seed: int) -> tuple[float, float, float]:
    """Discs under planes, twist over rectangles, twist over discs."""
    from oracles.exact_volumes import over_disc, over_polygon

    rng = np.random.default_rng(seed)
    worst = [0.0, 0.0, 0.0]
    for i in range(3 * count):
        kind = i % 3
        twist = (0.0, 0.0) if kind == 0 else tuple(float(v) for v in rng.normal(0, 5e-5, 2))
        height = (float(rng.normal(0, 10)), float(rng.normal(0, 0.03)), float(rng.normal(0, 0.03)), *twist)
        if kind == 1:
            a, b = (float(v) for v in rng.uniform(100, 600, 2))
            ring = turned(((-a, -b), (a, -b), (a, b), (-a, b)), float(rng.uniform(0, 90)))
            found = wet_integrals(ring_pieces(ring), np.ones(4), np.array(height))
        else:
            x, y, radius = (*(float(v) for v in rng.uniform(-150, 150, 2)), float(rng.uniform(100, 600)))
            disc = np.array([[0.0, 1.0, x, y, radius, -math.pi, math.pi]])
            found = wet_integrals(disc, np.ones(1), np.array(height))
        if found[MOST] <= 0.0:
            continue
        exact = float(over_polygon(ring, height) if kind == 1 else over_disc(x, y, radius, height))
        worst[kind] = max(worst[kind], abs(found[VOLUME] - exact) / (found[AREA] * found[MOST]))
    return worst[0], worst[1], worst[2]


def error_rows(polygons: int = 2000, curved: int = 400, seed: int = 45) -> list[Row]:
    """Greatest error over area times greatest thickness, by the three ways."""
    flat = _polygon_errors(polygons, seed)
    discs, twists, twisted_discs = _curved_errors(curved, seed + 1)
    said = (
        f"over area times greatest thickness: {polygons} polygons with a hole against rational arithmetic {flat:.1e}; "
        f"{curved} each against 50-digit floats: discs {discs:.1e}, twist over rectangles {twists:.1e}, over discs "
        f"{twisted_discs:.1e}"
    )
    worst = max(flat, discs, twists, twisted_discs)
    return [row("volume_error", worst, "ratio", said, n=polygons + 3 * curved, seed=seed, goal=1e-12)]


def one_cover_rows(seed: int = 46) -> list[Row]:
    """Time of the solids of one cover: true shapes under a twisted road with a fold."""
    rng = np.random.default_rng(seed)
    sample = next(s for s in (random_sample(rng) for _ in range(99)) if s.sizes[0][0] != s.sizes[3][0])
    outlines, levels = outlines_of(sample), levels_of(sample)
    road = Surface(1.0, 0.02, 0.01, 1e-5, 5e-6, -0.02, 40.0)
    plain_s, n = seconds(lambda: role_solids(outlines, levels))
    curved = Levels(*sample.planes, *sample.depths, None, road)
    curved_s, _ = seconds(lambda: role_solids(outlines, curved))
    said = f"square on round, true arcs, plane road; {1000 * curved_s:.2f} ms with a twisted road that has a fold"
    return [row("volumes_one_cover_ms", 1000 * plain_s, "ms", said, n=n, seed=seed, goal=1.0)]


def rows() -> list[Row]:
    """All measures of volumes."""
    return [*speed_rows(), *error_rows(), *one_cover_rows()]
