"""Measures of the frame's setting: a general linear programme, plain draws and a scan of the rim in one run."""

from __future__ import annotations

import math
from time import perf_counter

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from bench.row import Row, row, seconds
from bench.setting_roads import known_road_rows, read_road_rows
from bench.setting_share import share_rows
from truebed.levels.seat_many import IN_TOLERANCE, NO_PLACE, ManySeats, least_many, set_many

Array = NDArray[np.float64]

COUNT, SEED = 100_000, 51
N_RIM, BED_LEAST, BED_MOST = 16, 10.0, 45.0
#: Seconds that the general solver may take for the comparison of answers.
GENERAL_S, MEND_S = 65.0, 15.0


class Batch:
    """Random covers, by fifths: twisted exactly, gullies, with a least fall, on a high chamber, worn."""

    def __init__(self, count: int, seats: int, seed: int) -> None:
        rng = np.random.default_rng(seed)
        kind = np.arange(count) % 5
        along, across = rng.uniform(250, 450, count), rng.uniform(250, 450, count)
        sides = np.array([[-1, -1], [-0.5, -1], [0, -1], [0.5, -1], [1, -1], [1, -0.5], [1, 0], [1, 0.5], [1, 1],
                          [0.5, 1], [0, 1], [-0.5, 1], [-1, 1], [-1, 0.5], [-1, 0], [-1, -0.5]])  # fmt: skip
        self.rim = sides[None] * np.column_stack([along, across])[:, None, :]
        turn = 2 * np.pi * (np.arange(seats) + 0.5) / seats
        round_seat = np.column_stack([np.cos(turn), np.sin(turn)]) * 1.3
        self.seat = round_seat[None] * np.column_stack([along, across])[:, None, :]
        x, y = self.rim[..., 0], self.rim[..., 1]
        slope, bend = rng.normal(0, 0.02, (count, 2, 1)), rng.normal(0, 2.5e-5, (count, 3, 1))
        road = slope[:, 0] * x + slope[:, 1] * y + bend[:, 0] * x * y
        worn = bend[:, 1] * x * x + bend[:, 2] * y * y + rng.normal(0, 0.5, x.shape)
        road += np.where(kind[:, None] == 0, 0.0, worn)
        self.half_band = np.where(kind == 1, 3.0, 6.0)
        self.target = road - np.where(kind == 1, 3.0, 0.0)[:, None]
        self.fall = np.tile([0.0, 0.0, -1.0], (count, 1))
        self.fall[kind == 2] = [0.0, -1.0, 0.015]
        tilt = rng.normal(0, 0.01, (count, 2, 1)) + slope
        top = tilt[:, 0] * self.seat[..., 0] + tilt[:, 1] * self.seat[..., 1]
        high = np.where(kind == 3, rng.normal(-108, 5, count), rng.normal(-127, 6, count))
        self.ground = top + high[:, None] + 100.0 + rng.normal(0, 2, top.shape)
        self.kind = kind

    def least(self) -> tuple[Array, NDArray[np.int64], Array]:
        return least_many(self.rim, self.target, self.seat, self.ground, BED_LEAST, BED_MOST, fall=self.fall)

    def set(self) -> ManySeats:
        return set_many(
            self.rim, self.target, self.seat, self.ground, BED_LEAST, BED_MOST, self.half_band, fall=self.fall
        )

    def rows(self, i: int) -> tuple[Array, Array]:
        """Cover i's programme written out for a general solver; rows in the order of ManySeats.rows."""
        rim = np.column_stack([np.ones(N_RIM), self.rim[i] / 1000])
        seat = np.column_stack([np.ones(self.seat.shape[1]), self.seat[i] / 1000])
        one, none = np.ones((N_RIM, 1)), np.zeros((len(seat), 1))
        table = np.vstack([
            np.hstack([rim, -one]), np.hstack([-rim, -one]), np.hstack([seat, none]), np.hstack([-seat, none]),
            [[0.0, self.fall[i, 0], self.fall[i, 1], 0.0]],
        ])  # fmt: skip
        target, ground = self.target[i], self.ground[i]
        limits = [target, -target, ground + BED_MOST, -(ground + BED_LEAST), [-1000 * self.fall[i, 2]]]
        return table, np.concatenate(limits)


COST = np.array([0.0, 0.0, 0.0, 1.0])
FREE = [(None, None)] * 4


def general(table: Array, limits: Array) -> float:
    """The same by the general solver; inf where no plane keeps the limits."""
    found = linprog(COST, A_ub=table, b_ub=limits, bounds=FREE, method="highs")
    return float(found.fun) if found.status == 0 else math.inf


def relaxed(batch: Batch, i: int, band: float) -> float:
    """How far beyond its limits the bed must go with the band held, by the general solver."""
    table, limits = batch.rows(i)
    table, limits = table.copy(), limits.copy()
    n, m = N_RIM, batch.seat.shape[1]
    table[: 2 * n, 3], table[2 * n : 2 * (n + m), 3] = 0.0, -1.0
    limits[: 2 * n] += band
    table, limits = np.vstack([table, [[0.0, 0.0, 0.0, -1.0]]]), np.append(limits, 0.0)
    return general(table, limits)


def batches(count: int, seed: int) -> list[Batch]:
    return [Batch(count // 5, seats, seed + seats) for seats in (4, 5, 6, 7, 8)]


def greatest_gap(batch: Batch, many: ManySeats) -> float:
    """Departure of the plane itself, its bed's fault, and the multipliers' bound, none of it by the solver."""
    ok = many.status != NO_PLACE
    plane, rows, weights = many.plane[ok], many.rows[ok], many.multipliers[ok]
    rim, seat, target, ground = batch.rim[ok], batch.seat[ok], batch.target[ok], batch.ground[ok]
    at = plane[:, :1] + plane[:, 1:2] * rim[..., 0] + plane[:, 2:] * rim[..., 1] - target
    bed = plane[:, :1] + plane[:, 1:2] * seat[..., 0] + plane[:, 2:] * seat[..., 1] - ground
    primal = np.abs(at).max(axis=1)
    fault = np.maximum(np.maximum(BED_LEAST - bed, bed - BED_MOST).max(axis=1), 0.0)
    n, m = N_RIM, seat.shape[1]
    ones, none = np.ones((len(primal), n, 1)), np.zeros((len(primal), m, 1))
    above = np.concatenate([ones, rim / 1000, -ones], axis=2)
    below = np.concatenate([-ones, -rim / 1000, -ones], axis=2)
    over = np.concatenate([none + 1.0, seat / 1000, none], axis=2)
    under = np.concatenate([none - 1.0, -seat / 1000, none], axis=2)
    slope = np.zeros((len(primal), 1, 4))
    slope[:, 0, 1:3] = batch.fall[ok, :2]
    table = np.concatenate([above, below, over, under, slope], axis=1)
    limits = np.concatenate(
        [target, -target, ground + BED_MOST, -(ground + BED_LEAST), -1000 * batch.fall[ok, 2:]], axis=1
    )
    which = np.arange(len(primal))[:, None]
    pull = np.abs(COST + np.einsum("cs,csj->cj", weights, table[which, rows])).max(axis=1)
    bound = -np.sum(weights * limits[which, rows], axis=1)
    assert np.all(weights >= -1e-12)
    size = np.abs(np.column_stack([plane[:, 0], plane[:, 1] * 1000, plane[:, 2] * 1000])).max(axis=1)
    return float(np.max(np.maximum(np.abs(primal - bound), fault) + pull * size))


def general_rows(count: int = COUNT, seed: int = SEED) -> list[Row]:
    """Answers and speed beside the general solver; the gap that the setting proves of itself."""
    covers = batches(count, seed)
    many = [batch.set() for batch in covers]
    ours = [batch.least()[0] for batch in covers]
    gap = max(greatest_gap(b, m) for b, m in zip(covers, many, strict=True))
    order = [(k, i) for i in range(count // 5) for k in range(5)]
    worst, compared, begun = 0.0, 0, perf_counter()
    for k, i in order:
        if perf_counter() - begun > GENERAL_S:
            break
        other, own = general(*covers[k].rows(i)), ours[k][i]
        both_none = math.isinf(other) and math.isinf(own)
        worst, compared = max(worst, 0.0 if both_none else abs(other - own)), compared + 1
    worst_mend, mended, begun = 0.0, 0, perf_counter()
    for k, i in order:
        if perf_counter() - begun > MEND_S:
            break
        if many[k].status[i] != IN_TOLERANCE:
            band = max(covers[k].half_band[i], many[k].free[i] + 0.01)
            other, own = relaxed(covers[k], i, band), many[k].relax[i]
            both_none = math.isinf(other) and math.isnan(own)
            worst_mend, mended = max(worst_mend, 0.0 if both_none else abs(other - own)), mended + 1
    status = np.concatenate([m.status for m in many])
    held = f"{np.mean(status == 1):.0%} out of tolerance with the bed held, {np.mean(status == 2):.0%} without a place"
    return [
        *speed_rows(covers, count, seed),
        row("setting_gap_mm", gap, "mm", "departure of the set plane itself less the bound that its multipliers prove, "
            f"greatest; twisted exactly, gullies, falls, bed-limited; {held}", n=count, seed=seed, goal=1e-9),
        row("setting_vs_lp_mm", max(worst, worst_mend), "mm", f"greatest difference from the general solver: departure "
            f"with the bed held over {compared} covers {worst:.1e}, bed's relaxation with the band held over {mended} "
            f"covers out of tolerance {worst_mend:.1e}", n=compared, seed=seed, goal=1e-6),
    ]  # fmt: skip


def speed_rows(covers: list[Batch], count: int, seed: int, peers: int = 1500) -> list[Row]:
    """Covers a second: the same programmes, the general solver called through SciPy."""
    programmes = [covers[i % 5].rows(i // 5) for i in range(peers)]
    half = peers // 2
    theirs_s = -perf_counter()
    for table, limits in programmes[:half]:
        general(table, limits)
    theirs_s += perf_counter()
    ours_s, times = seconds(lambda: [batch.least() for batch in covers], least_s=3.0)
    whole_s, _ = seconds(lambda: [batch.set() for batch in covers], least_s=3.0)
    begun = perf_counter()
    for table, limits in programmes[half:]:
        general(table, limits)
    theirs_s += perf_counter() - begun
    ours, theirs = count / ours_s, peers / theirs_s
    note = (
        "least greatest departure, 16 points of the rim, 4 to 8 of the bed; peer: SciPy's linprog with HiGHS on the "
        "same rows, called cover by cover; with the evenest bed, the free fit and both answers to 'by how much' "
        f"{count / whole_s:.0f} covers/s"
    )
    return [
        row("frame_setting_vs_general_lp", ours, "covers/s", note, n=times * count, seed=seed, peer=theirs,
            ratio=ours / theirs, goal=500.0, sense="least", on_ratio=True),
    ]  # fmt: skip


def rows() -> list[Row]:
    """Every measure of this page."""
    return [*general_rows(), *share_rows(), *known_road_rows(), *read_road_rows()]
