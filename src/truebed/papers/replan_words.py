"""The rest of a night in plain words, and a page to hand over in thirty seconds."""

from __future__ import annotations

from collections.abc import Callable

from truebed.programme.problem import OPEN, Problem
from truebed.programme.profiles import least_at
from truebed.programme.replan_types import Answer, NightState, Replanned

Clock = Callable[[int], str]
ADVISES = "Truebed advises; a competent person decides. A road or cover that is not said to be ready stays closed."
NOT_IN_IT = (
    "odds: not worked out for this night's rest; walking, rests and each person's vibration points are not in these "
    "times; neither are probe readings (truebed now) or a chamber top measured since the plan (truebed plan)"
)


def replan_lines(problem: Problem, state: NightState, found: Replanned, clock: Clock) -> list[str]:
    """The plain statement: each cover's answer, when the road opens, what was overrun, what comes next.

    Valid       an answer to that state
    Source      house (writing)
    Proved by   tests/papers/test_replan_words.py
    """
    lines = [f"{problem.closure}, {clock(state.now_min)}", _opening_line(problem, found, clock)]
    lines += _cover_lines(found, clock)
    for over in found.overruns:
        lines.append(
            f"   OVERRUN {over.cover}: {over.to_step} comes {over.minutes} min too late after {over.from_step} "
            f"({over.why}): have it judged before going on"
        )
    kept = [
        a.cover for a in found.answers if a.kind == "held" or (a.at_min is not None and a.at_min > problem.window_min)
    ]
    if kept:
        lines.append(
            f"   tell the road authority and whoever runs the closure now: {', '.join(kept)} closed past the deadline"
        )
    if found.retimed:
        lines.append(f"   moved though not delayed: {', '.join(found.retimed)}")
    if found.guard_hit:
        lines.append("   the search was cut short by the clock: another run may find another plan")
    return [*lines, *_next_lines(found, clock), NOT_IN_IT, ADVISES]


def handover_lines(problem: Problem, state: NightState, found: Replanned, clock: Clock) -> list[str]:
    """For whoever takes over: state, what is curing, opens when, what is missing.

    Valid       an answer to that state
    Source      house (writing)
    Proved by   tests/papers/test_replan_words.py
    """
    running = [f"{h.cover} {h.step} until {clock(h.end_min)}" for h in state.happened if h.running]
    missing = [f"{a.cover}: {', '.join(a.needs)}" for a in found.answers if a.needs]
    missing += [f"{kind} ({count} broken)" for kind, count in state.lost]
    return [
        f"HANDOVER {problem.closure} {clock(state.now_min)}",
        f"begun, so open or curing: {', '.join(dict.fromkeys(h.cover for h in state.happened)) or 'no cover'}",
        *_cover_lines(found, clock),
        f"running: {'; '.join(running) or 'nothing'}",
        f"curing: {'; '.join(_curing(problem, state, clock)) or 'nothing recorded'}",
        _opening_line(problem, found, clock),
        f"missing: {'; '.join(missing) or 'nothing said'}",
        *_safe_lines(found, clock),
        ADVISES,
    ]


def _cover_lines(found: Replanned, clock: Clock) -> list[str]:
    """A line a cover, the worst first; those not begun and left, together."""
    lines: list[str] = []
    for kind in ("held", "late", "made safe", "finished", "chosen"):
        lines += [f"   {_answer_words(answer, clock)}" for answer in found.answers if answer.kind == kind]
    dropped = [answer.cover for answer in found.answers if answer.kind == "dropped"]
    return [*lines, *([f"   left for another night, do not break out: {', '.join(dropped)}"] if dropped else [])]


def _safe_lines(found: Replanned, clock: Clock) -> list[str]:
    """When each cover is made safe: told whatever else comes next."""
    return [f"   MAKE SAFE {p.cover}: {clock(p.start_min)} to {clock(p.end_min)}" for p in found.safe]


def _opening_line(problem: Problem, found: Replanned, clock: Clock) -> str:
    held = [a.cover for a in found.answers if a.kind == "held"]
    if held:
        return f"THE ROAD DOES NOT OPEN in whole: {', '.join(held)} kept closed, no time can be told"
    spare = problem.window_min - found.open_min
    side = "before" if spare >= 0 else "AFTER"
    return (
        f"the road opens {clock(found.open_min)} at the earliest, {max(spare, -spare)} min {side} it must "
        f"({clock(problem.window_min)})"
    )


def _answer_words(answer: Answer, clock: Clock) -> str:
    at = "" if answer.at_min is None else clock(answer.at_min)
    if answer.kind == "held":
        return f"{answer.cover}: KEPT CLOSED, guarded; it needs {', '.join(answer.needs)}"
    if answer.kind == "late":
        return f"{answer.cover}: OPENS LATE, at {at}; kept closed until then"
    if answer.kind == "made safe":
        how = "old frame left where it is" if answer.left_alone else "temporary reinstatement"
        return f"{answer.cover}: made safe ({how}), can be open {at}"
    return f"{answer.cover}: {'finished' if answer.kind == 'finished' else 'begun and finished'}, ready {at}"


def _next_lines(found: Replanned, clock: Clock) -> list[str]:
    steps = sorted(found.placed, key=lambda p: (p.start_min, p.cover, p.step))[:5]
    return [
        *_safe_lines(found, clock),
        *(f"   next: {clock(p.start_min)} {p.cover} {p.step}, until {clock(p.end_min)}" for p in steps),
    ]


def _curing(problem: Problem, state: NightState, clock: Clock) -> list[str]:
    """What waits for a clock to the opening that has begun and not run out."""
    found = []
    for job in problem.jobs:
        facts = state.of(job.cover)
        for lag in job.lags:
            fact = facts.get(lag.from_step)
            if lag.to_step != OPEN or fact is None or (fact.running and lag.from_edge == "end"):
                continue
            edge = fact.end_min if lag.from_edge == "end" else fact.start_min
            ready = edge + (least_at(lag, edge) or 0)
            if ready > state.now_min:
                found.append(f"{job.cover} after {lag.from_step} until {clock(ready)} ({lag.why})")
    return found
