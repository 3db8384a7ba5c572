"""Measures of heat and hydration: speed beside SciPy's BDF on the same equations; errors of grid, steps, edge loss."""

from __future__ import annotations

import resource
import sys
import tracemalloc
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

import numpy as np
from numpy.typing import NDArray

from bench.row import Row, row, seconds
from truebed.curing.binder import Binder, age_to_strength_min
from truebed.curing.flange_section import Flange, flange_stack, flange_times
from truebed.curing.heat import Want, cure
from truebed.curing.heat_grid import FAST, Pace, cells_of
from truebed.curing.heat_many import Outsides, Stacks, cure_many
from truebed.curing.section_2d import Around
from truebed.curing.stack import steady_boundary

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

Array = NDArray[np.float64]
GAS = 8.314462618
#: How the section's slowest point closes in as cells are halved: beside a corner of 270 degrees, and elsewhere.
ORDER = {"open": 2.0 / 3.0, "filled": 1.0}
#: Steps so short that nothing of them is left in the grid's error, and the other way about.
SHORT, EASY = Pace(0.02, 1.05, 20.0, 0.005), Pace(0.2, 1.12, 60.0, 0.02)


@dataclass(frozen=True)
class Batch:
    """Random covers: iron, mortar, brick."""

    stacks: Stacks
    outsides: Outsides
    wants: Array

    def minutes(self, fineness: int = 1, pace: Pace = FAST) -> Array:
        return cure_many(self.stacks, self.outsides, self.wants, fineness=fineness, pace=pace).minutes[:, 0]


def random_covers(count: int, seed: int, *, hourly: bool = False) -> Batch:
    """Beds of 15 to 60 mm, roads of -2 to 35 C, mixes of 5 to 30 C, binders and nights at random; 20 of 45 N/mm2.

    hourly      air, film and flux at 13 points of time, and the edge loss of a flange with its upright
    """
    rng = np.random.default_rng(seed)
    lay = np.zeros((count, 1, 3, 10))
    lay[:, 0, 0, :3] = (0.015, 50.0, 3.312e6)
    lay[:, 0, 1, :3] = (0.03, 1.2, 2.0e6)
    lay[:, 0, 2, :3] = (0.5, 0.8, 1.445e6)
    road = rng.uniform(-2, 35, count)
    lay[:, 0, 0, 0], lay[:, 0, 1, 0] = rng.uniform(0.01, 0.02, count), rng.uniform(0.015, 0.06, count)
    lay[:, 0, 1, 1] = rng.uniform(0.9, 1.6, count)
    lay[:, 0, 0, 3], lay[:, 0, 1, 3], lay[:, 0, 2, 3] = road, rng.uniform(5, 30, count), road
    kin = np.zeros((count, 3, 6))
    kin[:, 1, 0], kin[:, 1, 1] = 1.0, rng.uniform(25, 60, count) * 60.0
    kin[:, 1, 2], kin[:, 1, 4] = rng.uniform(0.7, 1.2, count), rng.uniform(25e3, 45e3, count) / GAS
    kin[:, 1, 5] = rng.uniform(60e6, 160e6, count)
    ages = np.log(45.0 / np.array([20.0, 5.0]))[None, :] ** (-1.0 / kin[:, 1, 2:3]) * kin[:, 1, 1:2]
    guard = np.zeros((count, 3))
    guard[:, 1] = ages[:, 1]
    wants = np.zeros((count, 1, 3))
    wants[:, 0, 0], wants[:, 0, 2] = 1.0, ages[:, 0]
    air, film, flux = road + rng.uniform(-4, 4, count), rng.uniform(5, 25, count), rng.uniform(-70, 300, count)
    times, values = np.array([0.0]), np.stack([air, film, flux], axis=1)[:, :, None]
    if hourly:
        times = np.arange(13.0) * 3600.0
        drift = (rng.normal(0, 1, (count, 13)), np.exp(rng.normal(0, 0.2, (count, 13))), rng.normal(0, 30, (count, 13)))
        values = np.stack([air[:, None] + drift[0], film[:, None] * drift[1], flux[:, None] + drift[2]], axis=1)
        lay = _edged(lay, film)
    return Batch(Stacks(lay, kin, guard, np.array([np.nan])), Outsides(times, values), wants)


def _edged(lay: Array, film: Array) -> Array:
    """Columns of middle, outer and chamber edge (film 5, 6 C) of a strip of 100 mm with an upright of 85 x 15 mm."""
    edged = np.repeat(lay, 3, axis=1)
    area = edged[:, 0, 0, 0] * 0.1
    edged[:, :, 0, 2] *= (1.0 + 0.085 * 0.015 / area)[:, None]
    edged[:, :, 0, 5] = (film * (0.085 + edged[:, 0, 0, 0]) / area)[:, None]
    edged[:, :, 0, 6] = (5.0 * (0.085 + edged[:, 0, 0, 0]) / area)[:, None]
    edged[:, :, 0, 7] = 6.0
    root = np.sqrt(edged[:, 1, 1:, 1] * edged[:, 1, 1:, 2])
    edged[:, 1, 1:, 8], edged[:, 1, 1:, 9] = film[:, None] / root, np.nan
    edged[:, 2, 1:, 8], edged[:, 2, 1:, 9] = 5.0 / root, 6.0
    return edged


def _bdf(batch: Batch, n: int, rtol: float) -> tuple[float, float]:
    """Minutes by BDF on the same cells, and the seconds it took."""
    from oracles.heat_ode import HeatOde

    cells = cells_of((False, True, False))
    lay, kin = batch.stacks.lay[n, 0][cells.layer_of], batch.stacks.kin[n, 1]
    air, film, flux = batch.outsides.values[n]
    ode = HeatOde(
        lay[:, 0] * cells.fractions, lay[:, 1], lay[:, 2], lay[:, 3], int(cells.first_of[1]), int(cells.first_of[2]),
        kin[1], kin[2], kin[4] * GAS, kin[5], batch.outsides.times, air, film, flux,
    )  # fmt: skip
    begun = perf_counter()
    found, _ = ode.to_age(float(batch.wants[n, 0, 2]), rtol)
    return found / 60.0, perf_counter() - begun


def peer_rows(peers: int = 12, seed: int = 61) -> list[Row]:
    """Beside BDF with its sparse Jacobian's pattern and an event, at about our own accuracy and at rtol 1e-8."""
    batch = random_covers(peers, seed)
    ours_s = seconds(batch.minutes)[0] / peers
    runs = {rtol: np.array([_bdf(batch, n, rtol) for n in range(peers)]) for rtol in (1e-3, 1e-4, 1e-8)}
    exact = runs[1e-8][:, 0]
    off_s = {rtol: float(np.abs(run[:, 0] - exact).max() * 60.0) for rtol, run in runs.items()}
    ours_off_s = float(np.abs(batch.minutes() - exact).max() * 60.0)
    assert ours_off_s < 30.0
    rough = 1e-3 if off_s[1e-3] <= max(1.0, ours_off_s) else 1e-4
    rows = []
    for name, rtol, goal in (("cure_vs_bdf_equal_accuracy", rough, 150.0), ("cure_vs_bdf_tight", 1e-8, 600.0)):
        peer_s = float(runs[rtol][:, 1].mean())
        said = (
            f"constant air and flux, the same cells; greatest error ours {ours_off_s:.1f} s, BDF rtol {rtol:g} "
            f"{off_s[rtol]:.1f} s (against rtol 1e-8); {1 / peer_s:.1f} covers/s"
        )
        rows.append(
            row(name, 1 / ours_s, "covers/s", said, n=peers, seed=seed, peer=1 / peer_s, ratio=peer_s / ours_s,
                goal=goal, sense="least", on_ratio=True)
        )  # fmt: skip
    return rows


def speed_rows(count: int = 6000, seed: int = 62) -> list[Row]:
    """Covers a second, one thread."""
    rows = []
    for name, hourly, goal, said in (
        ("cure_covers_per_s", False, 15_000.0, "constant air and flux, no edge loss; iron, mortar, brick, 33 cells"),
        ("cure_hourly_covers_per_s", True, 5_000.0,
         "13 hourly points of air, film (wind, sky) and flux (sky, sun, rain); edge loss: three columns a cover"),
    ):  # fmt: skip
        batch = random_covers(count, seed, hourly=hourly)
        took_s = min(seconds(batch.minutes, least_s=0.1)[0] for _ in range(6))
        rows.append(
            row(
                name,
                count / took_s,
                "covers/s",
                said + "; quickest of six runs",
                n=count,
                seed=seed,
                goal=goal,
                sense="least",
            )
        )
    return rows


def error_rows(count: int = 500, seed: int = 63) -> list[Row]:
    """Time to a strength against the limits of grid and step."""
    batch = random_covers(count, seed)
    coarse, finer, finest = (batch.minutes(f, EASY) for f in (1, 4, 8))
    limit = finest + (finest - finer) / 3.0
    space = np.abs(coarse - limit)
    steps = np.abs(batch.minutes() - batch.minutes(1, SHORT)) * 60.0
    said = f"constant air and flux; 20 N/mm2 in {limit.min():.0f} to {limit.max():.0f} min; 95 % under "
    return [
        row("cure_space_error_min", space.max(), "min", said + f"{np.percentile(space, 95):.3f}; limit by Richardson "
            f"of 4 and 8 times as many cells (they differ by {np.abs(finer - finest).max():.3f})",
            n=count, seed=seed, goal=0.25),
        row("cure_step_error_s", steps.max(), "s", said + f"{np.percentile(steps, 95):.2f}; beside steps of 0.02 s to "
            "20 s", n=count, seed=seed, goal=2.0),
    ]  # fmt: skip


def edge_rows() -> list[Row]:
    """Stack with edge loss against the section in two directions, open and filled."""
    mortar = Binder("exponential", 45.0, 42.0, 0.9, 0.0, 33500.0, 125.0, 1.2, 2.0)
    fill = Binder("exponential", 40.0, 60.0, 0.9, 0.0, 33500.0, 90.0, 1.6, 2.3)
    night = Around(-2.0, 12.0, -60.0, 6.0, 5.0)
    age_min = age_to_strength_min(mortar, 20.0)
    off: dict[str, list[float]] = {"open": [], "filled": []}
    without = []
    for name, inside in (("open", None), ("filled", fill)):
        for bed_mm in (20.0, 30.0, 40.0, 50.0):
            for mix_c in (5.0, 20.0):
                flange = Flange(bed_mm, mix_c, 2.0, mortar, 0.8, 1.445, inside)
                coarse, fine = (flange_times(flange, night, age_min, first_mm=f).slowest_min for f in (1.0, 0.5))
                limit_min = fine + (fine - coarse) / (2.0 ** ORDER[name] - 1.0)
                stack, want = flange_stack(flange, night), (Want("bed", "slowest", age_min),)
                air = steady_boundary(-2.0, 12.0, -60.0)
                ours, bare = (
                    cure(s, air, want, guard_n_per_mm2=5.0).minutes_min[0] for s in (stack, type(stack)(stack.layers))
                )
                assert ours is not None
                assert bare is not None
                off[name].append(ours - limit_min)
                without.append(bare - limit_min)
    worst = max(abs(v) for values in off.values() for v in values)
    said = (
        f"frosty night, constant; beds of 20, 30, 40, 50 mm, mix 5 and 20 C, 100 mm flange with upright; open "
        f"{min(off['open']):+.1f} to {max(off['open']):+.1f} min, filled {min(off['filled']):+.1f} to "
        f"{max(off['filled']):+.1f}; without edge loss {min(without):+.1f} to {max(without):+.1f}; section by "
        "extrapolation of first cells of 1 and 0.5 mm (order 2/3 at the open corner, 1 filled)"
    )
    return [row("cure_edge_effect_min", worst, "min", said, n=16, goal=5.0)]


def memory_rows(count: int = 100_000, seed: int = 64) -> list[Row]:
    """Greatest memory of a hundred thousand covers."""
    tracemalloc.start()
    begun = perf_counter()
    batch = random_covers(count, seed, hourly=True)
    built_s = perf_counter() - begun
    found = batch.minutes()
    peak_gib = tracemalloc.get_traced_memory()[1] / 2**30
    tracemalloc.stop()
    assert np.isfinite(found).all()
    whole_gib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
    said = (
        f"hourly, with edge loss: arrays made and computed; {perf_counter() - begun - built_s:.1f} s; whole process, "
        f"all measures before it included, {whole_gib:.2f} GiB"
    )
    return [row("cure_1e5_gib", peak_gib, "GiB", said, n=count, seed=seed, goal=1.0)]


def rows() -> list[Row]:
    """All measures of heat and hydration."""
    return [*speed_rows(), *peer_rows(), *error_rows(), *edge_rows(), *memory_rows()]
