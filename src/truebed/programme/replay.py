"""Ten thousand nights of one schedule: drawn here with a seed, replayed by the kernel."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.programme.night_columns import COLUMN, Factors, Result, Tables
from truebed.programme.night_tables import Columns, columns_of, tables_of
from truebed.programme.problem import Problem, Schedule
from truebed.programme.recovery import Policy
from truebed.programme.replay_kernel import replay_nights
from truebed.programme.spread import Spreads, wait_spread

#: Threads of a replay, and the nights below which one is quicker.
PARTS, LEAST_TO_PART = 2, 1000


@dataclass(frozen=True, slots=True)
class Draws:
    """Factors of every step and wait of the problem, one row a night; stops: minute and length by night and tool.

    work_z, temperature_z   what each night shares, in standard deviations
    """

    columns: Columns
    work: Factors
    waits: Factors
    safe: Factors
    stops: Factors
    work_z: Factors
    temperature_z: Factors

    @property
    def nights(self) -> int:
        """How many."""
        return len(self.work)


@dataclass(frozen=True, slots=True)
class Nights:
    """What the replays of one schedule gave, one entry a night.

    state   (night, cover of schedule.done): night_columns.DONE, DROPPED or SAFE
    ready, starts  (night, cover / step in the plan's order), nan where not done; empty unless asked for
    """

    schedule: Schedule
    window_min: int
    tables: Tables
    open_min: NDArray[np.float64]
    weight: NDArray[np.float64]
    covers: NDArray[np.int64]
    lag_over: NDArray[np.int64]
    noise_over: NDArray[np.int64]
    state: NDArray[np.int64]
    ready: NDArray[np.float64]
    starts: NDArray[np.float64]

    @property
    def in_time(self) -> NDArray[np.bool_]:
        """Whether the road was open by the deadline."""
        return self.open_min <= self.window_min


def draw_nights(problem: Problem, spreads: Spreads, nights: int, seed: int, *, shared: bool = True) -> Draws:
    """The factors of so many nights: what a night shares, then each step, wait and tool.

    The same seed gives the same nights whatever the plan, so that plans are compared on common random numbers.
    shared      False: the shared part is drawn for each step and wait by itself: same spread, no night factor (for
                showing what that hides)

    Valid       nights above 0
    Source      numpy's PCG64; lognormal: house
    Proved by   tests/programme/test_replay.py, tests/published/test_replay_closed_forms.py
    """
    rng = np.random.Generator(np.random.PCG64(seed))
    columns = columns_of(problem)

    def normal(count: int) -> Factors:
        return rng.standard_normal((nights, count), np.float32)

    work_z, temperature_z = normal(1), normal(1)
    own = [spreads.of(step).own_sd for _cover, step in columns.steps]
    lags = {job.cover: job.lags for job in problem.jobs}
    waits = [wait_spread(lags[cover][i], spreads) for cover, i in columns.waits]
    wait_own, wait_shared = ([w.own_sd for w in waits], [w.temperature_sd for w in waits])
    z_work = normal(len(own)) * np.array(own, np.float32)
    z_waits = normal(len(waits)) * np.array(wait_own, np.float32)
    z_safe = normal(len(problem.jobs)) * np.float32(spreads.default.own_sd)
    z_work += np.float32(spreads.night_sd) * (work_z if shared else normal(len(own)))
    z_safe += work_z * np.float32(spreads.night_sd)
    z_waits += np.array(wait_shared, np.float32) * (temperature_z if shared else normal(len(waits)))
    for factors in (z_work, z_waits, z_safe):
        np.exp(factors, out=factors)
    stops = _stops(problem, spreads, len(columns.tools), nights, rng)
    return Draws(columns, z_work, z_waits, z_safe, stops, work_z[:, 0], temperature_z[:, 0])


def _stops(problem: Problem, spreads: Spreads, tools: int, nights: int, rng: np.random.Generator) -> Factors:
    """When a tool stops and for how long, one of them at most in a night; far after the night where it does not."""
    stops = np.empty((nights, tools, 2), np.float32)
    which = rng.random((nights, 1), np.float32) * np.float32(
        tools / spreads.breakdown_share if spreads.breakdown_share > 0.0 else 0.0
    )
    broken = (
        np.floor(which) == np.arange(tools) if spreads.breakdown_share > 0.0 else np.zeros((nights, tools), np.bool_)
    )
    begins = rng.random((nights, tools), np.float32) * np.float32(problem.window_min)
    span_min = spreads.repair_most_min - spreads.repair_least_min
    stops[:, :, 0] = np.where(broken, begins, np.float32(1e9))
    stops[:, :, 1] = spreads.repair_least_min + span_min * rng.random((nights, tools), np.float32)
    return stops


def replay(
    problem: Problem, schedule: Schedule, spreads: Spreads, policy: Policy, draws: Draws, *, keep: bool = False,
    not_before: Mapping[tuple[str, str], float] | None = None,
) -> Nights:  # fmt: skip
    """The schedule on every night of the draws, with the recovery policy.

    keep        also every cover's ready minute and every step's start
    not_before  (cover, step) -> a minute before which it does not start, however able
    Valid       a schedule that check_schedule passes; draws of the same problem
    Source      house
    Raises      ValueError as night_tables.tables_of
    Proved by   tests/oracles/test_replay_events.py, tests/published/test_replay_closed_forms.py
    """
    tables = tables_of(problem, schedule, spreads, policy, draws.columns, not_before)
    nights, covers = draws.nights, len(schedule.done)
    rows = nights if keep else 0
    out = Result(
        np.zeros(nights), np.zeros(nights), np.zeros(nights, np.int64), np.zeros(nights, np.int64),
        np.zeros(nights, np.int64), np.zeros((nights, covers), np.int64), np.zeros((rows, covers)),
        np.zeros((rows, len(tables.step))),
    )  # fmt: skip
    safe_of = {job.cover: c for c, job in enumerate(problem.jobs)}
    safe = draws.safe[:, [safe_of[cover] for cover in schedule.done]]
    _in_parts(tables, draws, np.ascontiguousarray(safe), out)
    return Nights(
        schedule, problem.window_min, tables, out.open, out.weight, out.covers, out.lag_over, out.noise_over, out.state,
        out.ready, out.starts,
    )  # fmt: skip


def _in_parts(tables: Tables, draws: Draws, safe: Factors, out: Result) -> None:
    """The nights in two halves beside each other: no night knows of another, so the answer is the same."""
    cuts = [draws.nights * part // PARTS for part in range(PARTS + 1)]

    def run(first: int, last: int) -> None:
        replay_nights(
            tables, draws.work[first:last], draws.waits[first:last], safe[first:last], draws.stops[first:last],
            Result._make(values[first:last] for values in out),
        )  # fmt: skip

    if draws.nights < LEAST_TO_PART:
        run(0, draws.nights)
        return
    with ThreadPoolExecutor(PARTS) as threads:
        list(threads.map(run, cuts[:-1], cuts[1:]))


def _order(tables: Tables, draws: Draws) -> list[tuple[str, str]]:
    keys = list(draws.columns.steps)
    return [keys[int(column)] for column in tables.step[:, COLUMN]]


def steps_in_order(nights: Nights, draws: Draws) -> list[tuple[str, str]]:
    """(cover, step) of each column of nights.starts.

    Source      house
    Proved by   tests/programme/test_replay.py
    """
    return _order(nights.tables, draws)
