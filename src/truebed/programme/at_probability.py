"""The plan at the wanted probability: a pool judged on the same nights, the best proved on fresh ones."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from truebed.programme.check import check_schedule
from truebed.programme.network import NO_PATH, arcs_of, edge_offset, longest_paths
from truebed.programme.odds import Odds, limits_of, odds_of, surely
from truebed.programme.problem import Job, Lag, Problem, Schedule, Solution
from truebed.programme.recovery import Policy, plain_policy, usual_policy
from truebed.programme.replay import Draws, draw_nights, replay
from truebed.programme.spread import TO_LATE_SD, Spreads, default_spreads, duration_defaults

Solve = Callable[[Problem], Solution]

#: Nights on which the pool is judged, on which the chosen plan is proved, and from which its odds are shown.
JUDGE_NIGHTS, PROVE_NIGHTS, SHOW_NIGHTS = 4000, 50_000, 50_000
#: Sureness of the limits and caution with workable lives that the policy may have.
SURE_SHARES = (0.5, 0.7, 0.8, 0.9, 0.95, 0.98)
HOLD_SD = (0.5, 1.0, 1.5)
#: Minutes by which the pool's plans leave lives, the noise ban and the window unused: variety, not a buffer; the nights
#: decide between them.
LIFE_SLACK_MIN = (20,)
NOISE_SLACK_MIN = (0, 20)
WINDOW_SLACK_MIN = (0, 30, 60, 90, 120)


@dataclass(frozen=True, slots=True)
class Wish:
    """What a released plan must hold: the chance of opening, and on how many nights lives and ban may be overrun."""

    open_probability: float
    lag_nights_share: float
    noise_nights_share: float


@dataclass(frozen=True, slots=True)
class Choice:
    """The plan chosen. reached: it holds the wish on fresh nights; otherwise it is the likeliest of the pool.

    judged      its odds on the nights it was chosen on (too good by the choosing)
    shown       its odds on nights that took no part in any choice: the ones to tell
    tried       plans with a policy that were judged; proved: how many were put to fresh nights
    """

    schedule: Schedule
    policy: Policy
    judged: Odds
    shown: Odds
    reached: bool
    tried: int
    proved: int


@dataclass(frozen=True, slots=True)
class _Judged:
    schedule: Schedule
    policy: Policy
    odds: Odds


def wish_of(wanted_probability: float) -> Wish:
    """The wish at that chance, with the shares of nights of data/durations.toml.

    Source      data/durations.toml
    Proved by   tests/programme/test_at_probability.py
    """
    of = {name: default.value for name, default in duration_defaults().items()}
    return Wish(wanted_probability, of["most_lag_nights_share"], of["most_noise_nights_share"])


def plan_at_probability(
    problem: Problem, wanted: Wish, solve: Solve, *, spreads: Spreads | None = None,
    may_be_plated: bool = True, seed: int = 1,
) -> Choice:  # fmt: skip
    """The plan and recovery policy of most expected weight that open the road in time with the wanted chance.

    No buffer is guessed: plans of several shapes are solved, each is replayed on the same nights with several
    policies, the best that holds the wish is put to fresh nights, and the next one where it fails there. What is shown
    comes from nights of a third seed, so choosing the luckiest of a pool cannot flatter it.

    Valid       any problem; nothing possible: the empty schedule, which opens for certain
    Source      sample-average approximation with fresh validation; house
    Proved by   tests/programme/test_at_probability.py
    """
    about = default_spreads() if spreads is None else spreads
    draws = draw_nights(problem, about, JUDGE_NIGHTS, seed)
    usual = usual_policy(problem, may_be_plated=may_be_plated)
    judged = [one for plan in pool(problem, solve) for one in _judge(problem, plan, about, usual, draws)]
    judged.sort(key=lambda one: (-one.odds.expected_weight, -one.odds.open_probability))
    able = [one for one in judged if _holds(one.odds, wanted)]
    for count, one in enumerate(able, 1):
        fresh = odds_on(problem, one.schedule, about, one.policy, PROVE_NIGHTS, seed + 1000 + count)
        if _surely_holds(fresh, wanted):
            shown = odds_on(problem, one.schedule, about, one.policy, SHOW_NIGHTS, seed + 5000)
            return Choice(one.schedule, one.policy, one.odds, shown, True, len(judged), count)
    best = min(judged, key=lambda one: (-one.odds.open_probability, -one.odds.expected_weight))
    shown = odds_on(problem, best.schedule, about, best.policy, SHOW_NIGHTS, seed + 5000)
    return Choice(best.schedule, best.policy, best.odds, shown, False, len(judged), len(able))


def odds_on(problem: Problem, schedule: Schedule, spreads: Spreads, policy: Policy, nights: int, seed: int) -> Odds:
    """The odds of a plan on that many nights of that seed.

    Source      house
    Proved by   tests/programme/test_at_probability.py
    """
    return odds_of(replay(problem, schedule, spreads, policy, draw_nights(problem, spreads, nights, seed)))


def _holds(odds: Odds, wanted: Wish) -> bool:
    return (
        odds.open_probability >= wanted.open_probability
        and odds.lag_nights_share <= wanted.lag_nights_share
        and odds.noise_nights_share <= wanted.noise_nights_share
    )


def _surely_holds(odds: Odds, wanted: Wish) -> bool:
    """Held beyond what the number of replays can mistake, chance and overruns alike."""
    kept = (
        (odds.lag_nights_share, wanted.lag_nights_share),
        (odds.noise_nights_share, wanted.noise_nights_share),
    )
    sure = all(share + TO_LATE_SD * math.sqrt(share * (1.0 - share) / odds.nights) <= most for share, most in kept)
    return sure and surely(odds, wanted.open_probability)


def _judge(problem: Problem, schedule: Schedule, spreads: Spreads, usual: Policy, draws: Draws) -> Iterator[_Judged]:
    for hold_sd in HOLD_SD:
        plain = replace(usual, hold_sd=hold_sd, gates=False)
        yield _Judged(schedule, plain, odds_of(replay(problem, schedule, spreads, plain, draws)))
        for policy in limits_of(problem, schedule, spreads, replace(usual, hold_sd=hold_sd), draws, SURE_SHARES):
            yield _Judged(schedule, policy, odds_of(replay(problem, schedule, spreads, policy, draws)))


def pool(problem: Problem, solve: Solve) -> tuple[Schedule, ...]:
    """Plans of several shapes for the problem, all of which hold for it, the empty one last.

    Valid       any problem
    Source      house
    Proved by   tests/programme/test_at_probability.py
    """
    found: list[Schedule] = []
    for life_min in LIFE_SLACK_MIN:
        for noise_min in NOISE_SLACK_MIN:
            for window_min in WINDOW_SLACK_MIN:
                if window_min >= problem.window_min:
                    continue
                plan = solve(with_slack(problem, life_min, noise_min, window_min)).schedule
                if plan.done and plan not in found and not check_schedule(problem, plan):
                    found.append(plan)
    return (*found, Schedule((), (), 0))


def with_slack(problem: Problem, life_min: int, noise_min: int, window_min: int) -> Problem:
    """The problem with greatest lags, noise ban and window drawn in; a greatest lag never below what its steps need.

    Valid       minutes at or above 0
    Source      algebra
    Proved by   tests/programme/test_at_probability.py
    """
    return replace(
        problem,
        noise_ends_min=problem.noise_ends_min - noise_min,
        window_min=problem.window_min - window_min,
        jobs=tuple(replace(job, lags=tuple(_drawn_in(job, lag, life_min) for lag in job.lags)) for job in problem.jobs),
    )


def _drawn_in(job: Job, lag: Lag, life_min: int) -> Lag:
    if lag.greatest_min is None:
        return lag
    names = [task.step for task in job.tasks]
    a, b = names.index(lag.from_step), names.index(lag.to_step)
    between = longest_paths(len(job.tasks), arcs_of(job))[a][b]
    needs = 0 if between == NO_PATH else between
    needs += edge_offset(job.tasks[b], lag.to_edge) - edge_offset(job.tasks[a], lag.from_edge)
    return replace(lag, greatest_min=min(lag.greatest_min, max(needs, lag.greatest_min - life_min)))


@dataclass(frozen=True, slots=True)
class Buffered:
    """The best plan with a plain end buffer: nothing dropped, nothing made safe."""

    schedule: Schedule
    buffer_min: int
    odds: Odds


def best_plain_buffer(
    problem: Problem, wanted: Wish, solve: Solve, *, spreads: Spreads | None = None, seed: int = 1, every_min: int = 15,
    keep_lives: bool = True,
) -> Buffered:  # fmt: skip
    """The plan of most weight with a plain end buffer that holds the wish: what ours is compared with.

    The plan is solved for a window cut by the buffer and then done as it stands, nothing dropped or made safe.
    keep_lives  True: lives drawn in and steps held back as for ours, since a plan that overruns them could not be
                released; False: overrun lives and noise are not held against it, the easier task

    Valid       any problem; no buffer is enough: the empty schedule
    Source      common practice, no source
    Proved by   tests/programme/test_at_probability.py
    """
    about = default_spreads() if spreads is None else spreads
    draws = draw_nights(problem, about, JUDGE_NIGHTS * 5, seed + 5000)
    empty = Schedule((), (), 0)
    best = Buffered(empty, problem.window_min, odds_of(replay(problem, empty, about, plain_policy(), draws)))
    policies = (
        [replace(plain_policy(), hold_sd=sd) for sd in HOLD_SD] if keep_lives else [plain_policy(hold_back=False)]
    )
    life_min = LIFE_SLACK_MIN[0] if keep_lives else 0
    for buffer_min in range(0, problem.window_min, every_min):
        plan = solve(with_slack(problem, life_min, 0, buffer_min)).schedule
        for policy in policies:
            odds = odds_of(replay(problem, plan, about, policy, draws))
            good = _holds(odds, wanted) if keep_lives else odds.open_probability >= wanted.open_probability
            if good and odds.expected_weight > best.odds.expected_weight:
                best = Buffered(plan, buffer_min, odds)
        if not plan.done or (best.schedule.done and len(plan.done) <= len(best.schedule.done)):
            break
    return best
