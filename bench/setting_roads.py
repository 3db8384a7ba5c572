"""Measures of the verdict: roads known exactly against a scan of the rim, roads read with an error."""

from __future__ import annotations

from time import perf_counter

import numpy as np
from numpy.typing import NDArray

from bench.row import Row, row
from truebed.chamber.plane import Plane
from truebed.chamber.shapes import rectangle_ring
from truebed.errors import NotDesignedError
from truebed.levels.booking import Spot
from truebed.levels.frame_setting import RIM_SPACING_MM, SettingQuestion, set_frame
from truebed.levels.rim_range import quadratic_range_many
from truebed.levels.road_fit import fit_road
from truebed.levels.seat_many import set_many
from truebed.levels.seat_question import SeatSample, edge_points, fold_crossings
from truebed.levels.surface import RoadSurface

Array = NDArray[np.float64]

SEED, COUNT, FOLDS, BLOCK = 71, 100_000, 20_000, 1000
ALONG, ACROSS, BAND = 800.0, 600.0, 6.0
#: Worn roads as in the study: quadratic terms of this spread [1/mm].
BEND = 2.5e-5
SLACK = 1e-6
LOOSE = 1e4
READING_SD, SETTING_SD, READ_S = 2.0, 1.0, 45.0


def terms(x: Array, y: Array) -> Array:
    return np.column_stack([np.ones_like(x), x, y, x * y, x * x, y * y])


def worn(count: int, rng: np.random.Generator) -> Array:
    """Coefficients of 1, x, y, xy, x^2, y^2."""
    slope = rng.normal(0, 0.02, (count, 2))
    return np.column_stack([rng.normal(0, 3, count), slope, rng.normal(0, BEND, (count, 3))])


def set_on(rim: Array, target: Array) -> tuple[Array, Array]:
    """Planes set on samples of the rim without a bed that binds, and their greatest departure at the samples."""
    seat = np.array([[-300.0, -200], [300, -200], [300, 200], [-300, 200]])
    many = set_many(rim, target, seat, np.zeros((len(target), 4)), -LOOSE, LOOSE, BAND)
    return many.plane, many.greatest


def scan(planes: Array, coefficients: Array, edge: Array) -> Array:
    """Greatest departure over a scan of the rim every millimetre, in blocks."""
    table = terms(edge[:, 0], edge[:, 1])
    own = coefficients.copy()
    own[:, :3] -= planes
    return np.concatenate([np.abs(own[k : k + BLOCK] @ table.T).max(axis=1) for k in range(0, len(planes), BLOCK)])


def folded(count: int, rng: np.random.Generator) -> tuple[int, int]:
    """Crowns and channels: false passes against the scan, and passes, samples being corners, sides and the fold."""
    ring = rectangle_ring(ALONG, ACROSS)
    along = np.array(edge_points(ring, RIM_SPACING_MM))
    ridge, slope, fold = rng.uniform(-250, 250, count), rng.normal(0, 0.02, (count, 2)), rng.normal(0, 0.02, count)
    cross = np.array([fold_crossings(ring, "two planes along", float(r)) for r in ridge])
    rim = np.concatenate([np.broadcast_to(along, (count, *along.shape)), cross], axis=1)

    def level(at: Array, part: slice) -> Array:
        x, y = at[..., 0], at[..., 1]
        bent: Array = slope[part, :1] * x + slope[part, 1:] * y + fold[part, None] * np.abs(y - ridge[part, None])
        return bent

    planes, greatest = set_on(rim, level(rim, slice(None)))
    passes = greatest <= BAND + SLACK
    edge, false = np.array(edge_points(ring, 1.0)), 0
    for k in range(0, count, BLOCK):
        part = slice(k, k + BLOCK)
        off = planes[part, :1] + planes[part, 1:2] * edge[:, 0] + planes[part, 2:] * edge[:, 1] - level(edge, part)
        false += int(np.sum(passes[part] & (np.abs(off).max(axis=1) > BAND + SLACK)))
    return false, int(np.sum(passes))


def question(road: RoadSurface) -> SettingQuestion:
    ring = rectangle_ring(ALONG, ACROSS)
    corners = tuple(zip(("back-right", "front-right", "front-left", "back-left"), ring, strict=True))
    seat = tuple(SeatSample(f"seat {i}", x, y, -130.0) for i, (x, y) in enumerate(ring))
    adjacent = tuple((x, y) for x in (-550.0, 550.0) for y in (-450.0, 0.0, 450.0))
    return SettingQuestion(
        road, ring, corners, adjacent, seat, Plane(-130.0, 0.0, 0.0), "measured", 100.0, -LOOSE, LOOSE, -BAND, BAND,
        "bench", SETTING_SD,
    )  # fmt: skip


def known(one: Array) -> RoadSurface:
    half = (float(one[4] - one[5]) / 2, float(one[4] + one[5]) / 2)
    sure = tuple(tuple(1e-9 if i == j == 0 else 0.0 for j in range(6)) for i in range(6))
    coefficients = (*(float(v) for v in one[:4]), *half)
    return RoadSurface("full quadratic", coefficients, sure, 0.0, READING_SD, (), (), 1.0, 1.0)


def known_road_rows(singles: int = 500) -> list[Row]:
    """Verdicts on roads known exactly."""
    rng = np.random.default_rng(SEED)
    ring, coefficients = rectangle_ring(ALONG, ACROSS), worn(COUNT, rng)
    samples, edge = np.array(edge_points(ring, RIM_SPACING_MM)), np.array(edge_points(ring, 1.0))
    planes, at_samples = set_on(samples, coefficients @ terms(samples[:, 0], samples[:, 1]).T)
    low, high = quadratic_range_many(ring, coefficients, planes)
    passes, seen = np.maximum(high, -low) <= BAND + SLACK, scan(planes, coefficients, edge) > BAND + SLACK
    false = int(np.sum(passes & seen))
    by_samples = int(np.sum((at_samples <= BAND + SLACK) & seen))
    corners = np.array(ring)
    loose, at_corners = set_on(corners, coefficients @ terms(corners[:, 0], corners[:, 1]).T)
    trap = np.mean((at_corners <= BAND + SLACK) & (scan(loose, coefficients, edge) > BAND + SLACK))
    wrong = sum(
        set_frame(question(known(coefficients[i]))).rim_verdict.passes != bool(passes[i]) for i in range(singles)
    )
    bent, bent_passes = folded(FOLDS, rng)
    note = (
        f"{COUNT} worn roads ({np.mean(passes):.1%} pass) and {FOLDS} crowns and channels ({bent_passes / FOLDS:.1%} "
        f"pass) against a 1 mm scan of the rim; {wrong} of {singles} set one by one with another verdict; samples "
        f"alone would let {by_samples} pass falsely, the four corners alone {trap:.1%}"
    )
    return [
        row(
            "corner_trap_exact_false_passes", false + bent + wrong, "covers", note, n=COUNT + FOLDS, seed=SEED, goal=0.0
        )
    ]


def survey(one: Array, rng: np.random.Generator) -> tuple[Spot, ...]:
    """Twelve readings on a ring of 750 mm and eight nearer in, beside the frame."""
    turn, near = 2 * np.pi * np.arange(12) / 12, 2 * np.pi * np.arange(8) / 8 + 0.2
    x = np.concatenate([750 * np.cos(turn), 520 * np.cos(near)])
    y = np.concatenate([750 * np.sin(turn), 450 * np.sin(near)])
    z = terms(x, y) @ one + rng.normal(0, READING_SD, len(x))
    readings = np.column_stack([x, y, z]).tolist()
    return tuple(Spot(f"P{i}", a, b, c, "road", i + 2) for i, (a, b, c) in enumerate(readings))


def set_error(rng: np.random.Generator) -> Array:
    """Plane of the setting errors at the four corners, by least squares."""
    corners = np.array(rectangle_ring(ALONG, ACROSS))
    table = np.column_stack([np.ones(4), corners])
    plane: Array = np.linalg.lstsq(table, rng.normal(0, SETTING_SD, 4), rcond=None)[0]
    return plane


def read_road_rows() -> list[Row]:
    """Verdicts on roads read with an error: of those called likely to hold, how many do not."""
    rng = np.random.default_rng(SEED + 1)
    edge = np.array(edge_points(rectangle_ring(ALONG, ACROSS), 5.0))
    begun, tried, refused, likely, failed, claimed = perf_counter(), 0, 0, 0, 0, 0.0
    while perf_counter() - begun < READ_S:
        one, tried = worn(1, rng)[0], tried + 1
        try:
            setting = set_frame(question(fit_road(survey(one, rng), READING_SD, 0.05)))
        except NotDesignedError:
            refused += 1
            continue
        share = setting.rim_verdict.probability
        if share is not None and share >= 0.95:
            rim = np.array([setting.rim.level_mm, setting.rim.slope_x_ratio, setting.rim.slope_y_ratio]) + set_error(
                rng
            )
            likely, claimed = likely + 1, claimed + share
            failed += bool(scan(rim[None], one[None], edge)[0] > BAND)
    note = (
        f"{likely} of {tried} worn roads were called true with probability 0.95 or more (mean "
        f"{claimed / max(likely, 1):.3f}), {refused} refused by the fit; reading error 2 mm, twelve readings on a ring "
        "and eight nearer in, setting error 1 mm at each corner"
    )
    share = failed / likely if likely else 1.0
    return [row("corner_trap_noisy_fail_share", share, "share", note, n=likely, seed=SEED + 1, goal=0.05)]
