"""The programme of one closure: most weight, then earliest opening, then nothing that floats."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from truebed.programme.cuts import energy_cuts, least_open_of
from truebed.programme.hand_way import hand_way
from truebed.programme.hands import are_named
from truebed.programme.list_schedule import RULES, by_rule, list_schedules, nothing_floats, worth
from truebed.programme.model import build, hint
from truebed.programme.network import Net, net_of
from truebed.programme.possible import sort_jobs
from truebed.programme.problem import Problem, Schedule, Solution
from truebed.programme.search import search
from truebed.programme.settle import pads, settled

Say = Callable[[str], None]

#: Default of the limit: about ten seconds of the clock on two cores where nothing is proved sooner.
DEFAULT_LIMIT_S = 4.0
#: Most that the search for weight, and the search that only tidies, may take of the limit; the opening has the rest,
#: and never less than its own share, because a search of several workers overshoots.
WEIGHT_SHARE, OPEN_SHARE, TIDY_SHARE = 0.4, 0.4, 0.05
#: Of a search's own limit, for the walks of the schedule that it found.
SETTLE_SHARE = 0.5

EMPTY = Schedule((), (), 0)


@dataclass(frozen=True, slots=True)
class _State:
    """The best schedule so far and what is known about it."""

    schedule: Schedule
    weight_bound: int
    open_bound_min: int
    guard_hit: bool
    spent_s: float = 0.0


def solve(
    problem: Problem, *, deterministic_limit_s: float = DEFAULT_LIMIT_S, on_progress: Say | None = None
) -> Solution:
    """The programme of the closure: greatest sum of weights, then earliest opening, then least sum of starts.

    deterministic_limit_s  of all searches together, in the solver's own deterministic time (about 2.5 s of the clock
                           on two cores), so two runs give the same schedule
    on_progress            called with a sentence now and then; never part of the answer

    Where nothing is offered or nothing fits, the schedule is empty and opens at minute 0: no road is shut for nothing.

    Valid       whole minutes; a problem of any number of jobs. weight_proven/open_proven say what was proved
    Source      [baptiste-2001] energy cuts; algebra
    Proved by   tests/oracles/test_programme_brute.py, tests/properties/test_programme.py, tests/programme/test_solve.py
    """
    say: Say = on_progress if on_progress is not None else _silent
    nets = sort_jobs(problem).nets
    say(f"{len(problem.jobs)} covers offered, {len(nets)} of them fit by themselves")
    if not nets:
        return Solution(EMPTY, 0, 0, True, 0, True)
    weights = {net.job.cover: net.job.weight for net in nets}
    first = by_rule(problem, RULES[0])
    say(f"a first programme: {len(first.done)} covers, road open at minute {first.open_min}")
    start = _first_schedule(problem, weights)
    say(f"by simple rules: {len(start.done)} covers, road open at minute {start.open_min}")
    state = _State(start, sum(weights.values()), 0, False)
    state = _most_weight(problem, nets, state, deterministic_limit_s * WEIGHT_SHARE, say)
    weight = _weight(state.schedule, weights)
    if state.schedule.done:
        rest_s = max(deterministic_limit_s * (1.0 - TIDY_SHARE) - state.spent_s, deterministic_limit_s * OPEN_SHARE)
        state = _earliest_open(problem, nets, state, rest_s, say)
        state = _tidy(problem, nets, state, deterministic_limit_s * TIDY_SHARE)
    return Solution(
        schedule=state.schedule,
        weight=weight,
        weight_bound=state.weight_bound,
        weight_proven=state.weight_bound == weight,
        open_bound_min=state.open_bound_min,
        open_proven=state.open_bound_min == state.schedule.open_min,
        guard_hit=state.guard_hit,
    )


def _silent(_sentence: str) -> None:
    return


def _weight(schedule: Schedule, weights: dict[str, int]) -> int:
    return sum(weights[cover] for cover in schedule.done)


def _first_schedule(problem: Problem, weights: dict[str, int]) -> Schedule:
    """The best of all simple rules and of one cover after another: the answer is never worse than these."""
    by_hand, _weight_by_hand = hand_way(problem)
    return min((*list_schedules(problem), by_hand), key=lambda schedule: worth(schedule, weights))


def _most_weight(problem: Problem, nets: Sequence[Net], state: _State, limit_s: float, say: Say) -> _State:
    """The search for weight: its bound holds for all that the model leaves to be settled afterwards, too."""
    weights = {net.job.cover: net.job.weight for net in nets}
    rounds = pads(problem)
    for place, pad_min in enumerate(rounds):
        if _weight(state.schedule, weights) == state.weight_bound:
            return state
        made = build(problem, nets, pad_min=pad_min)
        hint(made, state.schedule)
        made.model.maximize(sum(net.job.weight * done for net, done in zip(nets, made.done, strict=True)))
        share_s = limit_s / len(rounds)
        found = search(problem, made, deterministic_limit_s=share_s, on_better=lambda w: say(f"a weight of {w}"))
        bound = state.weight_bound
        if place == 0 and found.bound is not None:
            bound = min(bound, found.bound)
        best = _better(weights, state.schedule, settled(problem, nets, found, share_s * SETTLE_SHARE))
        spent_s = state.spent_s + found.spent_s
        guard_hit = state.guard_hit or found.guard_hit
        state = replace(state, schedule=best, weight_bound=bound, guard_hit=guard_hit, spent_s=spent_s)
    return state


def _earliest_open(problem: Problem, nets: Sequence[Net], state: _State, limit_s: float, say: Say) -> _State:
    weights = {net.job.cover: net.job.weight for net in nets}
    weight = _weight(state.schedule, weights)
    if weight == sum(weights.values()):
        least = least_open_of(energy_cuts(problem, nets), nets)
        if least >= state.schedule.open_min:
            return replace(state, open_bound_min=least)
    shortest = min(least_open_of((), [net]) for net in nets)  # something is done: a bound where a search ends without
    state = replace(state, open_bound_min=shortest)
    if state.open_bound_min >= state.schedule.open_min:
        return state
    by_min = state.schedule.open_min
    made = build(replace(problem, window_min=by_min), _within(problem, nets, by_min))
    hint(made, state.schedule)
    made.model.add(sum(net.job.weight * done for net, done in zip(made.nets, made.done, strict=True)) >= weight)
    made.model.minimize(made.open)
    found = search(problem, made, deterministic_limit_s=limit_s, on_better=lambda m: say(f"road open at minute {m}"))
    best = _better(weights, state.schedule, settled(problem, nets, found, limit_s * SETTLE_SHARE))
    bound = shortest if found.bound is None else max(shortest, found.bound)
    return replace(state, schedule=best, open_bound_min=bound, guard_hit=state.guard_hit or found.guard_hit)


def _better(weights: dict[str, int], known: Schedule, found: Schedule | None) -> Schedule:
    return min((s for s in (known, found) if s is not None), key=lambda s: worth(s, weights))


def _within(problem: Problem, nets: Sequence[Net], window_min: int) -> tuple[Net, ...]:
    """The jobs that still fit when the road must be open by then, with their latest starts drawn in."""
    tighter = [net_of(replace(problem, window_min=window_min), net.job) for net in nets]
    return tuple(net for net in tighter if all(h <= late for h, late in zip(net.heads, net.latest, strict=True)))


def _tidy(problem: Problem, nets: Sequence[Net], state: _State, limit_s: float) -> _State:
    """Same covers, no later opening, least sum of starts. One worker: four would not end near so short a limit."""
    tight = replace(problem, window_min=state.schedule.open_min)
    if are_named(problem):  # their people stand, so only their hours are drawn forward
        return replace(state, schedule=nothing_floats(problem, state.schedule))
    kept = [net for net in _within(problem, nets, tight.window_min) if net.job.cover in state.schedule.done]
    made = build(tight, kept, must=frozenset(state.schedule.done))
    hint(made, state.schedule)
    made.model.minimize(sum(start for starts in made.starts for start in starts))
    found = search(tight, made, deterministic_limit_s=limit_s, workers=1)
    best = nothing_floats(problem, state.schedule if found.schedule is None else found.schedule)
    return replace(state, schedule=best, guard_hit=state.guard_hit or found.guard_hit)
