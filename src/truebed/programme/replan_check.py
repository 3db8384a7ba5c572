"""Verifies any answer for the rest of a night, minute by minute; shares nothing with what makes one."""

from __future__ import annotations

from collections import Counter, defaultdict

from truebed.programme.problem import Job, Problem
from truebed.programme.profiles import greatest_at, least_at
from truebed.programme.recovery import Policy
from truebed.programme.replan_types import NightState, Replanned


def check_replanned(problem: Problem, state: NightState, policy: Policy, found: Replanned) -> tuple[str, ...]:
    """Everything wrong with it, a sentence each; () where it holds.

    Every cover begun has one of the three answers (or is held, with what it lacks); what is placed lies after now,
    within people, tools, skills and hours; waits hold or their overrun is told; the opening is not before its time.

    Valid       facts of the problem's own steps
    Source      house
    Proved by   tests/programme/test_replan_check.py
    """
    told = Counter(answer.cover for answer in found.answers)
    wrong = [f"{job.cover} has {told[job.cover]} answers" for job in problem.jobs if told[job.cover] != 1]
    if wrong:
        return tuple(wrong)
    for job in problem.jobs:
        wrong += _cover(problem, job, state, policy, found)
    return (*wrong, *_minute_by_minute(problem, state, policy, found), *_stock(problem, state, found))


def _cover(problem: Problem, job: Job, state: NightState, policy: Policy, found: Replanned) -> list[str]:
    cover, answer = job.cover, found.answer(job.cover)
    facts = {h.step: h for h in state.happened if h.cover == cover}
    allowed = {"finished", "made safe", "late", "held"} if facts else {"chosen", "dropped"}
    if answer.kind not in allowed:
        return [f"{cover} is {'begun' if facts else 'not begun'} and answered '{answer.kind}'"]
    mine = {p.step: p for p in found.placed if p.cover == cover}
    safe = [p for p in found.safe if p.cover == cover]
    if answer.kind == "held":
        return [] if answer.needs and not mine and answer.at_min is None else [f"{cover} is held without what it needs"]
    if answer.kind == "dropped":
        return [f"{cover} is dropped and has steps"] if mine or answer.at_min is not None else []
    if answer.kind == "made safe":
        return _made_safe(problem, job, state, policy, found, [p.start_min for p in safe])
    wanted = {t.step for t in job.tasks} - set(facts)
    if set(mine) != wanted or safe:
        return [f"{cover} is {answer.kind} and has the steps {sorted(mine)} of {sorted(wanted)}"]
    times = {step: (h.start_min, h.end_min) for step, h in facts.items()}
    times |= {step: (p.start_min, p.end_min) for step, p in mine.items()}
    return [*_steps(problem, job, state, times, set(facts)), *_waits(problem, job, found, times, set(facts))]


def _made_safe(
    problem: Problem, job: Job, state: NightState, policy: Policy, found: Replanned, starts: list[int]
) -> list[str]:
    cover, answer = job.cover, found.answer(job.cover)
    order = [t.step for t in job.tasks]
    facts = [h for h in state.happened if h.cover == cover]
    gate = order.index(policy.break_out.get(cover, order[0]))
    opened = any(order.index(h.step) >= gate for h in facts)
    if any(p.cover == cover for p in found.placed):
        return [f"{cover} is made safe and goes on"]
    at = max([state.now_min, *(h.end_min for h in facts)])
    wrong = []
    if opened:
        if cover not in policy.leave_until:
            return [f"{cover} is made safe, which its method does not allow"]
        if any(order.index(h.step) >= order.index(policy.leave_until[cover]) for h in facts):
            wrong.append(f"{cover} is made safe after the last step that allows it")
        if len(starts) != 1 or starts[0] < at:
            return [*wrong, f"{cover} is made safe at {starts}, not after {at}"]
        at = starts[0] + round(policy.make_safe_min)
    elif not answer.left_alone:
        wrong.append(f"{cover} was not opened and its old frame is not said to be left")
    if answer.at_min is None or answer.at_min < at + problem.tm_clear_min or found.open_min < answer.at_min:
        wrong.append(f"{cover} is safe at {at} and told for {answer.at_min}, the road for {found.open_min}")
    return wrong


def _steps(
    problem: Problem, job: Job, state: NightState, times: dict[str, tuple[int, int]], facts: set[str]
) -> list[str]:
    wrong = []
    for task in job.tasks:
        if task.step in facts:
            continue
        a, b = times[task.step]
        name = f"{job.cover}, {task.step}"
        longer = sum(m for c, s, m in state.longer if (c, s) == (job.cover, task.step))
        if b - a != task.minutes + longer:
            wrong.append(f"{name} takes {b - a} min, not {task.minutes + longer}")
        if a < max(state.now_min, problem.tm_set_min):
            wrong.append(f"{name} begins at {a}, before it can")
        if task.noisy and b > problem.noise_ends_min:
            wrong.append(f"{name} is noisy until {b}")
        spans = [*task.not_during, *((x, y) for c, s, x, y in state.barred if (c, s) == (job.cover, task.step))]
        wrong += [f"{name} falls into {x} to {y}" for x, y in spans if a < y and x < b]
    return wrong


def _waits(
    problem: Problem, job: Job, found: Replanned, times: dict[str, tuple[int, int]], facts: set[str]
) -> list[str]:
    wrong, answer = [], found.answer(job.cover)
    ready = max(b for _a, b in times.values()) + problem.tm_clear_min
    for lag in job.lags:
        at = times[lag.from_step][lag.from_edge == "end"]
        least, greatest = least_at(lag, at), greatest_at(lag, at)
        if lag.to_step == "open":
            ready = max(ready, at + (0 if least is None else least))
            continue
        if lag.from_step in facts and lag.to_step in facts:
            continue
        between = times[lag.to_step][lag.to_edge == "end"] - at
        name = f"{job.cover}, {lag.from_step} to {lag.to_step}"
        if least is not None and between < least and lag.to_step not in facts:
            wrong.append(f"{name} waits {between} min of at least {least}")
        pair = (job.cover, lag.from_step, lag.to_step)
        told = max((o.minutes for o in found.overruns if (o.cover, o.from_step, o.to_step) == pair), default=0)
        if greatest is not None and between > greatest + told:
            wrong.append(f"{name} waits {between} min of at most {greatest}, and {told} of it is told")
    if answer.at_min is None or answer.at_min < ready or found.open_min < answer.at_min:
        wrong.append(f"{job.cover} is ready at {ready} and told for {answer.at_min}, the road for {found.open_min}")
    if answer.at_min is not None and (answer.kind == "late") != (answer.at_min > problem.window_min):
        wrong.append(f"{job.cover} is told for {answer.at_min} and answered '{answer.kind}'")
    return wrong


def _minute_by_minute(problem: Problem, state: NightState, policy: Policy, found: Replanned) -> list[str]:
    tasks = {(job.cover, task.step): task for job in problem.jobs for task in job.tasks}
    used: dict[tuple[str, str], Counter[int]] = defaultdict(Counter)
    spans = [(tasks[p.cover, p.step], p.start_min, p.end_min) for p in found.placed]
    spans += [(tasks[h.cover, h.step], state.now_min, h.end_min) for h in state.happened if h.running]
    for task, a, b in spans:
        for minute in range(a, b):
            used["people", ""][minute] += task.people
            for tool in task.tools:
                used["tool", tool][minute] += 1
            if task.skill:
                used["skill", task.skill][minute] += 1
    for p in found.safe:
        for minute in range(p.start_min, p.end_min):
            used["people", ""][minute] += min(policy.make_safe_people, problem.people)
    lost, have = dict(state.lost), {("people", ""): problem.people}
    have |= {("tool", kind): max(0, n - lost.get(kind, 0)) for kind, n in problem.tools}
    have |= {("skill", kind): n for kind, n in problem.skills}
    wrong = []
    for key, by_minute in sorted(used.items()):
        over = [minute for minute, n in by_minute.items() if n > have.get(key, 0)]
        if over:
            wrong.append(f"{' '.join(key).strip()}: more than {have.get(key, 0)} at minute {min(over)}")
    return wrong


def _stock(problem: Problem, state: NightState, found: Replanned) -> list[str]:
    begun = {h.cover for h in state.happened}
    wrong = []
    for kind, count in problem.stock:
        spent = sum(dict(job.kits).get(kind, 0) for job in problem.jobs if job.cover in begun)
        new = sum(dict(j.kits).get(kind, 0) for j in problem.jobs if found.answer(j.cover).kind == "chosen")
        if new and spent + new > count:
            wrong.append(f"{spent + new} kits of {kind} are wanted and there are {count}")
    return wrong
