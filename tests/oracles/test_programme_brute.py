"""The programme of a closure by two second ways that share nothing with it but the question.

A: a time-indexed mixed-integer programme (scipy.optimize.milp, HiGHS): one 0/1 variable for each step and start minute.
B: every subset of covers and every tuple of start minutes, tried one by one, on closures small enough for that.

Both give the greatest weight and, of that, the earliest opening; the constraint programme must give the same two
numbers and call them proved. Closures are drawn at random from a fixed seed.
"""

import random
from itertools import combinations, product

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from programme.sample import after, job, problem, task, to_open
from truebed.programme.check import check_schedule
from truebed.programme.hand_way import hand_way
from truebed.programme.list_schedule import list_schedules
from truebed.programme.problem import OPEN, Lag, Placed, Schedule
from truebed.programme.solve import solve


def drawn(seed, *, covers, steps, window, longest):
    rng = random.Random(seed)  # noqa: S311
    jobs = []
    for c in range(rng.randint(2, covers)):
        name = f"C{c}"
        tasks = [
            task(
                name, f"s{k}", rng.randint(1, longest), rng.choice((1, 1, 2)), rng.choice(((), (), ("mixer",))),
                rng.choice(("", "", "resin")), noisy=rng.random() < 0.3,
            )
            for k in range(rng.randint(1, steps))
        ]  # fmt: skip
        lags = []
        for a, b in combinations([t.step for t in tasks], 2):
            if rng.random() < 0.6:
                least = rng.randint(0, 3)
                edges = rng.choice(("start", "end")), rng.choice(("start", "end"))
                greatest = least + rng.randint(0, 4) if rng.random() < 0.5 else None
                lags.append(Lag(a, edges[0], b, edges[1], least, greatest, f"{a} {b}"))
        if rng.random() < 0.7:
            lags.append(to_open(tasks[-1].step, rng.randint(1, 6)))
        jobs.append(job(name, rng.randint(1, 4), tasks, lags))
    return problem(
        *jobs, window=window, tm_set=rng.randint(0, 2), tm_clear=rng.randint(0, 2), noise=rng.randint(4, window),
        people=rng.randint(1, 3), skills=(("resin", 1),), tools=(("mixer", 1),),
    )  # fmt: skip


class ByMilp:
    """x[step, minute] = 1: the step starts then. Sums over minutes give starts, all linear."""

    def __init__(self, given):
        self.given = given
        self.tasks = [(j, t) for j in given.jobs for t in j.tasks]
        self.column = {}
        for j in given.jobs:
            self.column["done", j.cover] = len(self.column)
        for j, t in self.tasks:
            for m in range(given.window_min + 1):
                self.column[j.cover, t.step, m] = len(self.column)
        self.column["open"] = len(self.column)
        self.rows, self.low, self.high = [], [], []
        self.build()

    def row(self, terms, low, high):
        row = np.zeros(len(self.column))
        for key, factor in terms:
            row[self.column[key]] += factor
        self.rows.append(row)
        self.low.append(low)
        self.high.append(high)

    def start(self, cover, step, factor=1.0):
        return [((cover, step, m), factor * m) for m in range(self.given.window_min + 1)]

    def build(self):
        given = self.given
        for j, t in self.tasks:
            every = [((j.cover, t.step, m), 1.0) for m in range(given.window_min + 1)]
            self.row([*every, (("done", j.cover), -1.0)], 0, 0)
            late = min(given.window_min, given.noise_ends_min if t.noisy else given.window_min) - t.minutes
            for m in range(given.window_min + 1):
                if m < given.tm_set_min or m > late:
                    self.row([((j.cover, t.step, m), 1.0)], 0, 0)
            self.row([("open", 1.0), *self.start(j.cover, t.step, -1.0),
                      (("done", j.cover), -float(t.minutes + given.tm_clear_min))], 0, np.inf)  # fmt: skip
        for j in given.jobs:
            length = {t.step: t.minutes for t in j.tasks}
            for lag in j.lags:
                begin = length[lag.from_step] if lag.from_edge == "end" else 0
                if lag.to_step == OPEN:
                    self.row([("open", 1.0), *self.start(j.cover, lag.from_step, -1.0),
                              (("done", j.cover), -float(begin + lag.least_min))], 0, np.inf)  # fmt: skip
                    continue
                finish = length[lag.to_step] if lag.to_edge == "end" else 0
                between = [*self.start(j.cover, lag.to_step), *self.start(j.cover, lag.from_step, -1.0)]
                if lag.least_min is not None:
                    self.row([*between, (("done", j.cover), float(finish - begin - lag.least_min))], 0, np.inf)
                if lag.greatest_min is not None:
                    self.row([*between, (("done", j.cover), float(finish - begin - lag.greatest_min))], -np.inf, 0)
        for m in range(given.window_min):
            self.in_use(m, lambda t: t.people, given.people)
            for kind, count in given.tools:
                self.in_use(m, lambda t, kind=kind: t.tools.count(kind), count)
            for skill, count in given.skills:
                self.in_use(m, lambda t, skill=skill: int(t.skill == skill), count)

    def in_use(self, minute, holds, count):
        terms = [
            ((j.cover, t.step, m), float(holds(t)))
            for j, t in self.tasks
            for m in range(max(0, minute - t.minutes + 1), minute + 1)
            if holds(t)
        ]
        if terms:
            self.row(terms, -np.inf, count)

    def best(self):
        """Greatest weight, earliest opening of it."""
        size = len(self.column)
        weigh = np.zeros(size)
        for j in self.given.jobs:
            weigh[self.column["done", j.cover]] = j.weight
        opening = np.zeros(size)
        opening[self.column["open"]] = 1.0
        upper = np.ones(size)
        upper[self.column["open"]] = self.given.window_min
        bounds = Bounds(np.zeros(size), upper)
        base = LinearConstraint(np.array(self.rows), self.low, self.high)
        first = milp(-weigh, constraints=[base], integrality=np.ones(size), bounds=bounds)
        weight = round(float(weigh @ first.x))
        held = LinearConstraint(weigh[None, :], weight, np.inf)
        second = milp(opening, constraints=[base, held], integrality=np.ones(size), bounds=bounds)
        return weight, round(float(second.x[self.column["open"]]))


@pytest.mark.parametrize("seed", range(40))
def test_the_integer_programme_gives_the_same_weight_and_opening(seed):
    given = drawn(seed, covers=4, steps=4, window=18, longest=4)
    solution = solve(given)
    assert check_schedule(given, solution.schedule) == ()
    assert solution.weight_proven
    assert solution.open_proven
    assert (solution.weight, solution.schedule.open_min) == ByMilp(given).best()


def test_the_drawn_closures_are_not_all_easy():
    kinds = set()
    for seed in range(40):
        given = drawn(seed, covers=4, steps=4, window=18, longest=4)
        done = len(solve(given).schedule.done)
        kinds.add("none" if done == 0 else "all" if done == len(given.jobs) else "some")
    assert {"some", "all"} <= kinds


def by_trying(given):
    """Every subset and every tuple of starts, judged by rules written out here once more."""
    best = (0, 0)
    for size in range(1, len(given.jobs) + 1):
        for chosen in combinations(given.jobs, size):
            weight = sum(j.weight for j in chosen)
            tasks = [t for j in chosen for t in j.tasks]
            spans = [range(given.tm_set_min, given.window_min - t.minutes + 1) for t in tasks]
            for starts in product(*spans):
                opening = opening_if_it_holds(given, chosen, tasks, starts)
                if opening is not None and (-weight, opening) < (-best[0], best[1]):
                    best = (weight, opening)
    return best


def opening_if_it_holds(given, chosen, tasks, starts):
    begin = {(t.cover, t.step): s for t, s in zip(tasks, starts, strict=True)}
    end = {(t.cover, t.step): s + t.minutes for t, s in zip(tasks, starts, strict=True)}
    opening = max(end.values()) + given.tm_clear_min
    for t in tasks:
        if t.noisy and end[t.cover, t.step] > given.noise_ends_min:
            return None
    for j in chosen:
        for lag in j.lags:
            a = (begin if lag.from_edge == "start" else end)[j.cover, lag.from_step]
            if lag.to_step == OPEN:
                opening = max(opening, a + lag.least_min)
                continue
            b = (begin if lag.to_edge == "start" else end)[j.cover, lag.to_step]
            if lag.least_min is not None and b - a < lag.least_min:
                return None
            if lag.greatest_min is not None and b - a > lag.greatest_min:
                return None
    for m in range(given.window_min):
        now = [t for t in tasks if begin[t.cover, t.step] <= m < end[t.cover, t.step]]
        if sum(t.people for t in now) > given.people:
            return None
        if sum("mixer" in t.tools for t in now) > 1 or sum(t.skill == "resin" for t in now) > 1:
            return None
    return opening if opening <= given.window_min else None


@pytest.mark.parametrize("seed", range(100, 112))
def test_trying_everything_gives_the_same_weight_and_opening(seed):
    given = drawn(seed, covers=2, steps=2, window=9, longest=3)
    solution = solve(given)
    assert (solution.weight, solution.schedule.open_min) == by_trying(given)


@pytest.mark.parametrize("seed", range(40))
def test_no_rule_and_no_hand_way_beats_the_proved_programme(seed):
    given = drawn(seed, covers=4, steps=4, window=18, longest=4)
    solution = solve(given)
    weights = {j.cover: j.weight for j in given.jobs}
    for other in (hand_way(given)[0], *list_schedules(given)):
        assert check_schedule(given, other) == ()
        weight = sum(weights[cover] for cover in other.done)
        assert (-weight, other.open_min) >= (-solution.weight, solution.schedule.open_min)


def test_a_small_project_has_the_length_found_by_hand():
    """Six steps, three people: a2(2) b3(2) c2(1) d4(1) e3(2) f1(3), c and d after a, e after b and c, f last of all.

    Known thus. The work is 2*2 + 3*2 + 2*1 + 4*1 + 3*2 + 1*3 = 25 person-minutes, so 9 minutes at least with 3 people.
    a, b and e each take two of three people, so they run one after another, 2 + 3 + 3 = 8 minutes; f takes all three
    and comes after e: 9 minutes at least by that too. Nine cannot be: person-minutes would leave 27 - 25 = 2 idle, and
    while the first of a, b runs the third person has nothing to do (c and d wait for a): 2 idle minutes if a is first,
    already all of them, so the third person then works without a gap from minute 2 to 8 on c and d, 6 minutes: c 2-4,
    d 4-8 or d 2-6, c 6-8. b runs 2-5, e 5-8 after b and c: with c 2-4 this holds. So 9 is reached: a 0-2, b 2-5, c 2-4,
    d 4-8, e 5-8, f 8-9. The bound and the schedule meet, so 9 is the optimum.
    """
    steps = [("a", 2, 2), ("b", 3, 2), ("c", 2, 1), ("d", 4, 1), ("e", 3, 2), ("f", 1, 3)]
    tasks = [task("P", s, m, p) for s, m, p in steps]
    before = [("a", "c"), ("a", "d"), ("b", "e"), ("c", "e"), ("d", "f"), ("e", "f")]
    given = problem(job("P", 1, tasks, [after(x, y) for x, y in before]), window=30, people=3)
    solution = solve(given)
    assert (solution.schedule.open_min, solution.open_bound_min, solution.open_proven) == (9, 9, True)
    hand = {"a": 0, "b": 2, "c": 2, "d": 4, "e": 5, "f": 8}
    placed = tuple(Placed("P", s, hand[s], hand[s] + m) for s, m, _ in steps)
    assert check_schedule(given, Schedule(("P",), placed, 9)) == ()
    # one person fewer on hand for f's three is impossible, and a greatest lag of 1 from a to d costs a minute or more
    tight = problem(
        job("P", 1, tasks, [*(after(x, y) for x, y in before), after("c", "d", 0, 1), after("d", "e", 0)]),
        window=30, people=3,
    )  # fmt: skip
    # c 2-4, d 4-8, e after d 8-11, f 11-12: the chain a c d e f is 2 + 2 + 4 + 3 + 1 = 12 with no choice left
    assert solve(tight).schedule.open_min == 12
