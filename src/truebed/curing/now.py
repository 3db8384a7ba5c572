"""How many minutes are left, from probe readings since placing: a Kalman filter on temperature, draws of the binder.

The filter follows two things: how far the layer's temperature is off what was expected of it, and how fast that
changes. What the binder is, readings of temperature do not tell: its band is carried as it is (a site test narrows it).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from truebed.curing.arrhenius import GAS_J_PER_MOL_K, ZERO_K
from truebed.curing.binder_band import (
    BinderBand,
    ages_to,
    band_5_50_95,
    band_draws,
    fixed_normals,
    strengths_at,
)
from truebed.curing.site_readings import Drift, ProbePlace
from truebed.errors import NotDeterminedError

Array = NDArray[np.float64]

#: Ages count at this temperature.
REFERENCE_C = 20.0
DRAWS_COUNT = 600
#: So much of a gap without a reading counts, at the most.
GAP_COUNTED_MIN = 30.0
#: Apart from the draws of the binder.
SEED = 20311108
#: Steps ahead: the first, by how much each is longer than the last, the longest, and where nothing is asked any more.
FIRST_MIN, GROWS_RATIO, LONGEST_MIN, END_MIN = 1.0, 1.08, 20.0, 2880.0


@dataclass(frozen=True, slots=True)
class ProbeReading:
    """A temperature of the layer, so many minutes after placing."""

    after_min: float
    temp_c: float


@dataclass(frozen=True, slots=True)
class TempAhead:
    """What was expected of the layer at the probe's place: from a heat calculation or a forecast, since placing.

    Straight between its times, held beyond them.
    """

    after_min: tuple[float, ...]
    temps_c: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Off:
    """Where the filter stands: offset [K] and rate [K/min], with their covariance."""

    offset_k: float
    rate_k: float
    covariance: tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Remaining:
    """Minutes left from the last reading: middle and 90 % range; infinite if not reached in two days.

    at_min        the last reading, after placing
    age_min       equivalent age at 20 degC so far (middle); strength_* likewise, early/late its 5 and 95 % points
    reached_share how probable it is that the strength is there already
    off           the filter's state; longest_gap_min between readings (and before the first, whose value is held)
    froze         a reading at or below 0 degC: no law of strength holds, nothing is counted there
    frost_share   how probable it is that the slowest spot freezes while it is weak; that is never taken as ready
    """

    at_min: float
    remaining_min: float
    early_min: float
    late_min: float
    age_min: float
    strength_n_per_mm2: float
    strength_low_n_per_mm2: float
    reached_share: float
    off: Off
    longest_gap_min: float
    froze: bool
    frost_share: float = 0.0


def _expected(ahead: TempAhead | None, times: Array, held_c: float) -> Array:
    """What was expected at these times; the first reading's own value where nothing was."""
    if ahead is None:
        return np.full(len(times), held_c)
    return np.interp(times, ahead.after_min, ahead.temps_c)


def _step(drift: Drift, span_min: float) -> tuple[Array, Array]:
    """How offset and rate go on over a span, and the covariance that it adds (a rate that fades, driven by noise)."""
    fades = drift.rate_fades_min
    kept = math.exp(-span_min / fades)
    drive = 2.0 * drift.rate_sd**2 / fades
    both = drive * fades**2 / 2.0 * (1.0 - kept) ** 2
    offset = drive * fades**2 * (span_min - 2.0 * fades * (1.0 - kept) + fades / 2.0 * (1.0 - kept**2))
    rate = drive * fades / 2.0 * (1.0 - kept**2)
    return np.array([[1.0, fades * (1.0 - kept)], [0.0, kept]]), np.array([[offset, both], [both, rate]])


def offset_now(readings: Sequence[ProbeReading], ahead: TempAhead | None, drift: Drift) -> Off:
    """The layer's offset from what was expected and its rate at the last reading.

    Valid       readings in order
    Source      algebra (Kalman filter; the rate an Ornstein-Uhlenbeck process)
    Proved by   tests/curing/test_now.py
    """
    times = np.array([r.after_min for r in readings])
    seen = np.array([r.temp_c for r in readings]) - _expected(ahead, times, readings[0].temp_c)
    state, spread = np.zeros(2), np.diag([drift.offset_sd**2, drift.rate_sd**2])
    for i, off in enumerate(seen):
        if i:
            go, more = _step(drift, float(times[i] - times[i - 1]))
            state, spread = go @ state, go @ spread @ go.T + more
        gain = spread[:, 0] / (spread[0, 0] + drift.reading_sd**2)
        state, spread = state + gain * (off - state[0]), spread - np.outer(gain, spread[0])
    (a, b), (_, d) = spread
    return Off(float(state[0]), float(state[1]), ((float(a), float(b)), (float(b), float(d))))


def _speeds(temps: Array, activation: Array) -> Array:
    """How many times faster than at 20 degC, nought at or below 0 degC; temps (time, draw), activation (draw)."""
    pulls = 1.0 / (REFERENCE_C + ZERO_K) - 1.0 / (ZERO_K + np.maximum(temps, 0.0))
    return np.where(temps > 0.0, np.exp(activation / GAS_J_PER_MOL_K * pulls), 0.0)


def _steps_min() -> Array:
    steps: list[float] = []
    total = 0.0
    while total < END_MIN:
        steps.append(min(LONGEST_MIN, FIRST_MIN * GROWS_RATIO ** len(steps)))
        total += steps[-1]
    return np.array(steps)


def _offsets_ahead(off: Off, drift: Drift, steps: Array) -> Array:
    """Offset at the end of each step, for every draw: (time, draw), the present first."""
    z = fixed_normals(DRAWS_COUNT, 2 * len(steps) + 3, SEED)
    state = np.array([[off.offset_k], [off.rate_k]]) + _root(np.array(off.covariance)) @ z[:, :2].T
    path = [state[0]]
    for i, span in enumerate(steps):
        go, more = _step(drift, float(span))
        state = go @ state + _root(more) @ z[:, 2 * i + 2 : 2 * i + 4].T
        path.append(state[0])
    return np.array(path)


def _root(covariance: Array) -> Array:
    """A square root of a 2 by 2 covariance."""
    a = math.sqrt(max(covariance[0, 0], 0.0))
    b = covariance[1, 0] / a if a > 0.0 else 0.0
    return np.array([[a, 0.0], [b, math.sqrt(max(covariance[1, 1] - b * b, 0.0))]])


def _refuse(readings: Sequence[ProbeReading], ahead: TempAhead | None) -> None:
    if not readings:
        raise NotDeterminedError("No probe reading since placing: minutes left cannot be told from readings.")
    times = [r.after_min for r in readings]
    if times[0] < 0.0 or any(b <= a for a, b in pairwise(times)):
        raise NotDeterminedError("Probe readings must run forward in time from placing, no two at one time.")
    for r in readings:
        if not -30.0 <= r.temp_c <= 95.0:
            raise NotDeterminedError(
                f"A layer at {r.temp_c:g} °C at {r.after_min:g} min is not believed (-30 to 95): check the probe, and "
                "whether it reads Fahrenheit."
            )
    if ahead is not None and (len(ahead.after_min) != len(ahead.temps_c) or len(ahead.after_min) < 1):
        raise NotDeterminedError("The temperatures ahead need one time each.")


def remaining_time(
    readings: Sequence[ProbeReading],
    band: BinderBand,
    target_n_per_mm2: float,
    place: ProbePlace,
    drift: Drift,
    ahead: TempAhead | None = None,
    frost_safe_n_per_mm2: float | None = None,
) -> Remaining:
    """Minutes left to a strength at the slowest spot, with a 90 % range, from all readings since placing.

    So far: the readings themselves, straight between them; half an hour of a longer gap. From now on: what was expected
    (or, without it, the first reading's value) and the offset that the filter found, whose rate fades; each draw goes
    its own way.

    frost_safe_n_per_mm2  a draw whose slowest spot is at 0 degC or below with less than this is never ready; None:
                          frost only stops what grows
    Valid       a target not past the sheet's last datum (the caller's to see to); readings no more than about 30 min
                apart
    Source      [astm-c1074] form only; algebra; data/site_readings.toml
    Raises      NotDeterminedError for readings out of order, none, or beyond belief
    Proved by   tests/curing/test_now.py, tests/curing/test_now_coverage.py
    """
    _refuse(readings, ahead)
    draws, steps = band_draws(band, DRAWS_COUNT), _steps_min()
    colder = place.slower_c + place.slower_sd * fixed_normals(DRAWS_COUNT, 2 * len(steps) + 3, SEED)[:, -1]
    times, temps = np.array([r.after_min for r in readings]), np.array([r.temp_c for r in readings])
    ages = _ages_at(times, temps[:, None] - colder, draws.activation)
    so_far = ages[-1]
    off = offset_now(readings, ahead, drift)
    later = times[-1] + np.concatenate([[0.0], np.cumsum(steps)])
    paths = _expected(ahead, later, readings[0].temp_c)[:, None] + _offsets_ahead(off, drift, steps) - colder
    speeds = _speeds(paths, draws.activation)
    grown = np.vstack([so_far, so_far + np.cumsum((speeds[1:] + speeds[:-1]) / 2.0 * steps[:, None], axis=0)])
    left = _first_time(later - times[-1], grown, ages_to(band, draws, target_n_per_mm2))
    frosted = np.zeros(DRAWS_COUNT, dtype=np.bool_)
    if frost_safe_n_per_mm2 is not None:
        safe_age = ages_to(band, draws, frost_safe_n_per_mm2)
        frosted = _freezes(ages, temps[:, None] - colder, safe_age)
        frosted |= _freezes(grown, paths, safe_age)
        left = np.where(frosted, np.inf, left)
    strengths = strengths_at(band, draws, so_far)
    early, middle, late = band_5_50_95(left)
    low, usual, _ = band_5_50_95(strengths)
    gaps = np.diff(np.concatenate([[0.0], times]))
    return Remaining(
        float(times[-1]), middle, early, late, float(np.median(so_far)), usual, low, float(np.mean(left <= 0.0)), off,
        float(np.max(gaps)), bool(np.min(temps) <= 0.0), float(np.mean(frosted)),
    )  # fmt: skip


def _ages_at(times: Array, temps: Array, activation: Array) -> Array:
    """Equivalent age of every draw at each reading; before the first reading its value is held.

    Of a longer gap nobody knows what the layer was: GAP_COUNTED_MIN of it count, at the colder of its ends.
    """
    speeds = _speeds(temps, activation)
    spans = np.diff(times)[:, None]
    straight = (speeds[1:] + speeds[:-1]) / 2.0 * spans
    known = np.minimum(speeds[1:], speeds[:-1]) * GAP_COUNTED_MIN
    between = np.where(spans > GAP_COUNTED_MIN, known, straight)
    return np.cumsum(np.vstack([speeds[:1] * min(float(times[0]), GAP_COUNTED_MIN), between]), axis=0)


def _freezes(ages: Array, spots: Array, safe_age: Array) -> NDArray[np.bool_]:
    """Draws whose slowest spot is at 0 degC or below, at one of the times, before the age at which frost is stood."""
    return np.asarray(np.any((spots <= 0.0) & (ages < safe_age), axis=0))


def _first_time(times: Array, grown: Array, wanted: Array) -> Array:
    """When each draw's age first reaches what it wants; nought if it has already, infinite if it never does."""
    ahead = grown >= wanted
    reached, first = ahead[-1], np.argmax(ahead, axis=0)
    column, before = np.arange(grown.shape[1]), np.maximum(first - 1, 0)
    start, end = grown[before, column], grown[first, column]
    span = np.where(end > start, end - start, 1.0)
    with np.errstate(invalid="ignore"):
        share = np.where(first > 0, (np.where(reached, wanted, start) - start) / span, 0.0)
    return np.where(reached, times[before] + share * (times[first] - times[before]), np.inf)
