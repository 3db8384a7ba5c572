"""Risk of a night: speed of the replay, the released plan on fresh nights, and what gates and a pool are worth."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from time import perf_counter

from bench.instances_programme import closure
from bench.row import Row, row
from truebed.programme.at_probability import (
    Buffered,
    Choice,
    best_plain_buffer,
    odds_on,
    plan_at_probability,
    wish_of,
    with_slack,
)
from truebed.programme.problem import Problem
from truebed.programme.recovery import usual_policy
from truebed.programme.replay import draw_nights, replay
from truebed.programme.solve import solve
from truebed.programme.spread import default_spreads

WANTED = 0.95
FRESH_NIGHTS, FRESH_SEED = 100_000, 424_242
#: (seed of the closure, covers offered, crew, end of noisy work)
QUICK = ((1, 6, 4, 240), (2, 6, 4, 240))
LONG = ((1, 6, 4, 240), (2, 6, 4, 240), (3, 8, 6, 240), (4, 8, 6, 240), (5, 6, 4, 240), (6, 9, 6, 270))


def offered(seed: int, covers: int, crew: int, noise_ends_min: int) -> Problem:
    """A closure of covers of equal weight; a saw, breaker, lifter and mixer for every three of the crew."""
    made = closure(seed, covers, crew=crew, noise_ends_min=noise_ends_min)
    sets = max(1, crew // 3)
    return replace(
        made,
        tools=tuple((kind, sets) for kind, _count in made.tools),
        skills=(("saw", sets), ("lift", crew), ("resin", sets)),
        jobs=tuple(replace(job, weight=1) for job in made.jobs),
    )


def rows() -> list[Row]:
    """The quick rows."""
    return [_speed(), *_released(QUICK, 0.2)]


def rows_long() -> list[Row]:
    """The same on more closures, with longer searches."""
    return _released(LONG, 1.0)


def _speed() -> Row:
    problem, spreads, nights = offered(1, 9, 6, 270), default_spreads(), 10_000
    plan = solve(with_slack(problem, 20, 0, 0), deterministic_limit_s=0.5).schedule
    draws, policy = draw_nights(problem, spreads, nights, 1), usual_policy(problem)
    replay(problem, plan, spreads, policy, draws)
    took: list[float] = []
    for _ in range(15):
        begun = perf_counter()
        replay(problem, plan, spreads, policy, draws)
        took.append(perf_counter() - begun)
    begun = perf_counter()
    draw_nights(problem, spreads, nights, 1)
    drawing_ms = 1000.0 * (perf_counter() - begun)
    note = (
        f"{len(plan.done)} covers, {len(plan.placed)} steps, recovery policy on, two threads, shared factors; "
        f"least of 15; drawing the factors, once for a whole pool of plans, takes {drawing_ms:.0f} ms more"
    )
    return row("risk_10k_ms", 1000.0 * min(took), "ms", note, n=nights, seed=1, goal=50.0)


def _released(cases: tuple[tuple[int, int, int, int], ...], limit_s: float) -> list[Row]:
    quick = partial(solve, deterministic_limit_s=limit_s)
    problems = [offered(*case) for case in cases]
    chosen = [plan_at_probability(problem, wish_of(WANTED), quick) for problem in problems]
    plain = [best_plain_buffer(problem, wish_of(WANTED), quick) for problem in problems]
    loose = [best_plain_buffer(problem, wish_of(WANTED), quick, keep_lives=False) for problem in problems]
    fresh = [
        odds_on(problem, one.schedule, default_spreads(), one.policy, FRESH_NIGHTS, FRESH_SEED)
        for problem, one in zip(problems, chosen, strict=True)
    ]
    worst = min(odds.open_probability for odds in fresh)
    apart = max(abs(o.open_probability - c.shown.open_probability) for o, c in zip(fresh, chosen, strict=True))
    luck = max(c.judged.open_probability - o.open_probability for o, c in zip(fresh, chosen, strict=True))
    n, seed = len(cases), FRESH_SEED
    return [
        row("p_open_fresh", worst, "chance",
            f"worst of {n} closures on {FRESH_NIGHTS} fresh nights, wanted {WANTED}; shown and fresh at most "
            f"{100 * apart:.2f} points apart (goal 0.5); what the choosing flattered: {100 * luck:.2f} points",
            n=n, seed=seed, goal=WANTED, sense="least"),
        row("p_open_fresh_vs_shown", 100.0 * apart, "points", "greatest of the closures", n=n, seed=seed, goal=0.5),
        row("lag_overrun_nights", max(o.lag_nights_share for o in fresh), "share of nights",
            "any greatest lag of a finished cover overrun, worst closure", n=n, seed=seed, goal=0.03),
        row("noise_overrun_nights", max(o.noise_nights_share for o in fresh), "share of nights",
            "any noisy step past the ban, worst closure", n=n, seed=seed, goal=0.03),
        _against_plain("covers_vs_plain_buffer", chosen, plain, [o.covers_mean_count for o in fresh], 1.05),
        _against_plain("covers_vs_plain_lives_ignored", chosen, loose, [o.covers_mean_count for o in fresh], None),
    ]  # fmt: skip


def _against_plain(
    name: str, chosen: list[Choice], plain: list[Buffered], covers: list[float], goal: float | None
) -> Row:
    ours, peer = sum(covers), sum(b.odds.covers_mean_count for b in plain)
    each = "; ".join(
        f"{o:.2f} of {len(c.schedule.done)} planned against {len(b.schedule.done)} at a buffer of {b.buffer_min} min"
        for o, c, b in zip(covers, chosen, plain, strict=True)
    )
    note = (
        f"expected covers on fresh nights over the best plan with a plain end buffer, which overruns "
        f"lives on {max(b.odds.lag_nights_share for b in plain):.0%} of its nights: {each}"
    )
    return row(name, ours, "covers", note, n=len(covers), seed=FRESH_SEED, peer=peer,
               ratio=ours / peer if peer > 0.0 else None, goal=goal, sense="least", on_ratio=True)  # fmt: skip
