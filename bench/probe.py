"""From a new probe reading to new minutes left: time of one update, how often the 90 % range holds a known truth."""

from __future__ import annotations

import math
from time import perf_counter

import numpy as np

from bench.row import Row, row
from truebed.curing.binder import Binder, age_to_strength_min
from truebed.curing.binder_band import BinderBand, scaled
from truebed.curing.now import ProbeReading, TempAhead, remaining_time
from truebed.curing.site_readings import site_readings

SEED, TRIALS, READINGS = 71, 1000, 60
CURVE = Binder("exponential", 45.0, 42.0, 0.9, 0.0, 33500.0, 125.0, 1.2, 2.0)
BAND = BinderBand(CURVE, 0.08, 0.12, -0.3, 3500.0)
TIMES = np.arange(0.0, 1200.0, 0.5)
AHEAD = TempAhead((0.0, 30.0, 60.0, 120.0, 240.0), (14.0, 10.5, 8.3, 6.2, 5.2))
PLACE, DRIFT = site_readings().places["slowest face"], site_readings().drift


def night(rng: np.random.Generator) -> tuple[np.ndarray, float]:
    """A layer that cools to an unknown ground, warms itself and feels gusts, as the probe has it; true minutes."""
    ground, start, fades = rng.uniform(1, 8), rng.uniform(8, 20), rng.uniform(30, 120)
    own = rng.uniform(0, 8) * (TIMES / 45) * np.exp(1 - TIMES / 45)
    gust = rng.uniform(0, 1) * np.sin(TIMES / rng.uniform(10, 40) + rng.uniform(0, 6))
    probe = ground + (start - ground) * np.exp(-TIMES / fades) + own + gust
    slow = np.maximum(probe - PLACE.slower_c - PLACE.slower_sd * rng.standard_normal(), 0.0)
    a, b = np.linalg.cholesky(BAND.covariance()) @ rng.standard_normal(2)
    energy_k = (CURVE.activation_j_per_mol + BAND.activation_sd * rng.standard_normal()) / 8.314462618
    speed = np.where(slow > 0.0, np.exp(energy_k * (1 / 293.15 - 1 / (273.15 + slow))), 0.0)
    age = np.concatenate([[0.0], np.cumsum((speed[1:] + speed[:-1]) / 2 * 0.5)])
    wanted = age_to_strength_min(scaled(CURVE, math.exp(a), math.exp(b)), 20.0)
    return probe, float(np.interp(wanted, age, TIMES)) if age[-1] > wanted else math.inf


def coverage(at_min: float) -> tuple[float, float]:
    """Share of nights whose 90 % range holds the true minutes left; share that are later than its late side."""
    rng, held, later = np.random.default_rng(SEED), 0, 0
    at = np.arange(0.0, at_min + 0.1, 5.0)
    for _ in range(TRIALS):
        probe, truth = night(rng)
        seen = np.interp(at, TIMES, probe) + DRIFT.reading_sd * rng.standard_normal(len(at))
        readings = [ProbeReading(float(t), float(v)) for t, v in zip(at, seen, strict=True)]
        found = remaining_time(readings, BAND, 20.0, PLACE, DRIFT, AHEAD)
        left = max(0.0, truth - at_min)
        held += found.early_min <= left <= found.late_min
        later += left > found.late_min
    return held / TRIALS, later / TRIALS


def rows() -> list[Row]:
    """probe_update_ms: the slowest tenth of updates as one reading after another comes in."""
    probe, _ = night(np.random.default_rng(SEED))
    readings = [ProbeReading(2.0 * i, float(np.interp(2.0 * i, TIMES, probe))) for i in range(READINGS)]
    remaining_time(readings[:1], BAND, 20.0, PLACE, DRIFT, AHEAD)
    taken = []
    for _ in range(3):
        for i in range(1, READINGS + 1):
            begun = perf_counter()
            remaining_time(readings[:i], BAND, 20.0, PLACE, DRIFT, AHEAD)
            taken.append(perf_counter() - begun)
    slow_ms = float(np.quantile(taken, 0.9)) * 1e3
    held = [coverage(at) for at in (10.0, 40.0)]
    note = (
        f"nine in ten are quicker, middle {np.median(taken) * 1e3:.1f} ms, slowest {max(taken) * 1e3:.1f} ms; "
        f"1 to {READINGS} readings, all worked through anew. On {TRIALS} nights of another kind than the method "
        f"believes the 90 % range held the true minutes left in {held[0][0]:.1%} ten and {held[1][0]:.1%} forty "
        f"minutes after placing ({held[0][1]:.1%} and {held[1][1]:.1%} later than its late side)"
    )
    return [row("probe_update_ms", slow_ms, "ms", note, n=len(taken), seed=SEED, goal=20.0)]
