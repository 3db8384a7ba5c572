"""What replayed nights say: chance of opening in time its interval, overruns, latest safe starts, risk."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from truebed.programme.night_columns import ALWAYS, COVER, MODE, Factors
from truebed.programme.problem import Problem, Schedule
from truebed.programme.recovery import Policy
from truebed.programme.replay import Draws, Nights, replay, steps_in_order
from truebed.programme.spread import TO_LATE_SD, Spreads, wait_spread

#: Standard deviations of a two-sided 95 % interval (algebra).
BOTH_SIDES_SD = 1.959963984540054
#: Spread of logarithms below which a column does not vary.
LEAST_SPREAD = 1e-5


@dataclass(frozen=True, slots=True)
class Odds:
    """Of one schedule with one policy. low/high: 95 % interval of the chance from the number of replays.

    lag_nights_share    nights on which any workable life of a finished cover was overrun
    noise_nights_share  nights on which any noisy step ran into the ban
    dropped_mean_count, safe_mean_count   covers dropped before break-out, and made safe after it, a night
    """

    open_probability: float
    low_probability: float
    high_probability: float
    covers_mean_count: float
    expected_weight: float
    lag_nights_share: float
    noise_nights_share: float
    dropped_mean_count: float
    safe_mean_count: float
    nights: int


@dataclass(frozen=True, slots=True)
class LatestSafe:
    """Do not begin this step of this cover after this minute: then the cover opens in time with the wanted chance."""

    cover: str
    step: str
    minute_min: int
    open_probability: float


@dataclass(frozen=True, slots=True)
class Carrier:
    """How much of the night's lateness goes with one step or wait, or with what the whole night shares.

    variance_share  squared correlation of its minutes with the opening's
    late_by_ratio   its minutes on the nights that open late over its minutes on all nights, in the mean
    """

    cover: str
    what: str
    variance_share: float
    late_by_ratio: float


def interval(hits: int, of: int) -> tuple[float, float]:
    """The 95 % interval of a chance from so many hits (Wilson's score interval).

    Valid       of above 0
    Source      algebra
    Proved by   tests/published/test_replay_closed_forms.py
    """
    share, z2 = hits / of, BOTH_SIDES_SD**2 / of
    middle = (share + z2 / 2.0) / (1.0 + z2)
    half = BOTH_SIDES_SD / (1.0 + z2) * math.sqrt(share * (1.0 - share) / of + z2 / (4.0 * of))
    return max(0.0, min(share, middle - half)), min(1.0, max(share, middle + half))


def odds_of(nights: Nights) -> Odds:
    """The odds that these nights show.

    Valid       at least one night
    Source      algebra
    Proved by   tests/programme/test_odds.py
    """
    count = len(nights.open_min)
    hits = int(nights.in_time.sum())
    low, high = interval(hits, count)
    return Odds(
        hits / count, low, high, float(nights.covers.mean()), float(nights.weight.mean()),
        float((nights.lag_over > 0).mean()), float((nights.noise_over > 0).mean()),
        float((nights.state == 1).sum(axis=1).mean()), float((nights.state == 2).sum(axis=1).mean()), count,
    )  # fmt: skip


def limits_of(
    problem: Problem, schedule: Schedule, spreads: Spreads, policy: Policy, draws: Draws, sure_shares: Sequence[float]
) -> list[Policy]:
    """The policy with the last minute at which each step is still begun, once for each sureness.

    Replayed without limits: a step may begin as long as the rest of its cover, which that share of nights does not
    exceed, ends before the deadline.

    Valid       sure_shares between 0 and 1; a policy with gates
    Source      house: a quantile of the simulated rest
    Proved by   tests/programme/test_odds.py
    """
    nights = replay(problem, schedule, spreads, replace(policy, limits={}), draws, keep=True)
    cover = nights.tables.step[:, COVER].astype(np.int64)
    rest = nights.ready[:, cover] - nights.starts
    known = [k for k in range(rest.shape[1]) if nights.tables.step[k, MODE] != ALWAYS and np.isfinite(rest[:, k]).any()]
    order = steps_in_order(nights, draws)
    found: list[Policy] = []
    edges = {k: np.quantile(rest[np.isfinite(rest[:, k]), k], list(sure_shares)) for k in known}
    for i in range(len(sure_shares)):
        found.append(replace(policy, limits={order[k]: problem.window_min - float(edges[k][i]) for k in known}))
    return found


def latest_safe_starts(
    problem: Problem, schedule: Schedule, spreads: Spreads, policy: Policy, draws: Draws, wanted_probability: float
) -> tuple[LatestSafe, ...]:
    """For each cover the last minute at which it may be broken out so that it still opens in time with that chance.

    Found by simulation: its break-out is held to a minute, the rest of the night runs as it does, and the minute is
    bisected. Covers that miss the chance even at their own hour are given at that hour with the chance they have.

    Valid       a policy that names each cover's break-out
    Source      house
    Proved by   tests/programme/test_odds.py
    """
    found: list[LatestSafe] = []
    free = replace(policy, limits={}, leave_until={})
    for place, cover in enumerate(schedule.done):
        step = policy.break_out[cover]
        early = next(p.start_min for p in schedule.placed if (p.cover, p.step) == (cover, step))

        def chance(minute: int, key: tuple[str, str] = (cover, step), place: int = place) -> float:
            nights = replay(problem, schedule, spreads, free, draws, keep=True, not_before={key: float(minute)})
            at = nights.starts[:, steps_in_order(nights, draws).index(key)]
            here = at <= minute + 0.5
            if not here.any():
                here = np.isfinite(at)
            return float((nights.ready[here, place] <= problem.window_min).mean()) if here.any() else 0.0

        low, high = early, problem.window_min
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if chance(middle) >= wanted_probability else (low, middle)
        found.append(LatestSafe(cover, step, low, chance(low)))
    return tuple(found)


def what_carries_risk(
    problem: Problem, schedule: Schedule, spreads: Spreads, policy: Policy, draws: Draws
) -> tuple[Carrier, ...]:
    """Steps, waits and shared factors by the share of the opening's variance that goes with them, greatest first.

    Replayed with nothing dropped, so that the answer is about the plan and not about its recovery.

    Valid       at least a few hundred nights
    Source      algebra: squared correlation, conditional mean
    Proved by   tests/programme/test_odds.py
    """
    nights = replay(problem, schedule, spreads, replace(policy, gates=False), draws)
    lags = {job.cover: job.lags for job in problem.jobs}
    work, temperature = draws.work_z * spreads.night_sd, draws.temperature_z
    found = [
        _carrier(("", "all work of the night"), work, work, nights),
        _carrier(("", "temperature of the night"), temperature, temperature * spreads.temperature_sd, nights),
    ]
    for (cover, step), column in draws.columns.steps.items():
        if cover in schedule.done:
            whole = np.log(draws.work[:, column])
            found.append(_carrier((cover, step), whole - work, whole, nights))
    for (cover, i), column in draws.columns.waits.items():
        if cover in schedule.done:
            lag, whole = lags[cover][i], np.log(draws.waits[:, column])
            own = whole - temperature * wait_spread(lag, spreads).temperature_sd
            found.append(_carrier((cover, f"{lag.from_step} to {lag.to_step}"), own, whole, nights))
    return tuple(sorted(found, key=lambda c: (-c.variance_share, c.cover, c.what)))


def _carrier(name: tuple[str, str], own: Factors, whole: Factors, nights: Nights) -> Carrier:
    """own, whole: logarithms of the factor, without and with what the night shares."""
    log, opens, late = own.astype(np.float64), nights.open_min, ~nights.in_time
    spread = float(log.std() * opens.std())
    together = float(((log - log.mean()) * (opens - opens.mean())).mean())
    # Columns that do not vary keep the rounding of single precision; that is no spread.
    share = together / spread if float(log.std()) > LEAST_SPREAD and spread > 0.0 else 0.0
    factor = np.exp(whole.astype(np.float64))
    ratio = float(factor[late].mean() / factor.mean()) if late.any() else 1.0
    return Carrier(*name, share * share, ratio)


def surely(odds: Odds, wanted_probability: float) -> bool:
    """Whether the chance is at least the wanted one beyond what the number of replays can mistake (one-sided 95 %).

    Valid       odds of at least one night
    Source      algebra
    Proved by   tests/programme/test_odds.py
    """
    error = math.sqrt(odds.open_probability * (1.0 - odds.open_probability) / odds.nights)
    return odds.open_probability - TO_LATE_SD * error >= wanted_probability
