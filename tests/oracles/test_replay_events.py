"""The replay against a plain event loop: time goes from event to event, steps queue for people and tools.

No general discrete-event library is among the project's packages, so the second way is this loop, written apart from
the kernel: it knows no order of steps but the queues at each person and tool, and no future.
"""

from dataclasses import replace

import pytest

from programme.sample import wet_closure
from truebed.programme.list_schedule import list_schedules
from truebed.programme.night_columns import FROM, GUARD, LIMIT, MODE, SAFES, UNITS
from truebed.programme.odds import limits_of
from truebed.programme.problem import OPEN
from truebed.programme.recovery import plain_policy, usual_policy
from truebed.programme.replay import draw_nights, replay, steps_in_order
from truebed.programme.spread import default_spreads

EPS = 1e-9


class Loop:
    """One night: an instant at a time, whatever can start is started."""

    def __init__(self, closure, nights, draws, night, policy):
        self.closure, self.t, self.draws, self.night = closure, nights.tables, draws, night
        self.keys = steps_in_order(nights, draws)
        self.jobs = {j.cover: j for j in closure.jobs}
        self.task = [next(t for t in self.jobs[c].tasks if t.step == s) for c, s in self.keys]
        self.holds = [self._of(k, UNITS) for k in range(len(self.keys))]
        self.queue = {}
        for k, units in enumerate(self.holds):
            for u in units:
                self.queue.setdefault(u, []).append(k)
        self.begin, self.end, self.gone, self.ready = {}, {}, {}, {}
        self.busy_until, self.policy, self.making_safe = {}, policy, {}

    def _of(self, k, sort):
        return [int(e) for e in self.t.entry[self.t.ptr[k, sort] : self.t.ptr[k + 1, sort], FROM]]

    def wait(self, cover, i, lag):
        column = self.draws.columns.waits.get((cover, i))
        return lag.least_min * (1.0 if column is None else float(self.draws.waits[self.night, column]))

    def lags_done(self, k, now):
        """The minute at which the last of its waits runs out; None while a step before it is not finished."""
        cover, step = self.keys[k]
        at = float(self.closure.tm_set_min)
        for i, lag in enumerate(self.jobs[cover].lags):
            if lag.to_step != step or lag.least_min is None:
                continue
            before = (self.begin if lag.from_edge == "start" else self.end).get((cover, lag.from_step))
            if before is None or before > now + EPS:
                return None
            at = max(at, before + self.wait(cover, i, lag))
        return at

    def run(self):
        left, now = set(range(len(self.keys))), 0.0
        while left:
            moved = True
            while moved:
                moved = False
                for k in sorted(left):
                    if self.try_start(k, now):
                        left = {j for j in left if j not in self.finished_with}
                        moved = True
                        break
            later = [m for m in self.moments(left, now) if m > now + EPS]
            if not left:
                break
            now = min(later)
        return self.result()

    def moments(self, left, now):
        found = list(self.end.values()) + list(self.busy_until.values()) + [float(self.closure.tm_set_min)]
        for k in left:
            at = self.lags_done(k, now)
            if at is not None:
                found.append(at)
        return found

    def try_start(self, k, now):
        cover, step = self.keys[k]
        self.finished_with = set()
        units = self.making_safe.get(k, self.holds[k])
        if any(self.queue[u][0] != k or self.busy_until.get(u, 0.0) > now + EPS for u in units):
            return False
        if k in self.making_safe:
            self.make_safe(k, now)
            return True
        at = self.lags_done(k, now)
        if at is None or at > now + EPS:
            return False
        row = self.t.step[k]
        if row[MODE] and (
            now > row[LIMIT] + EPS or (row[GUARD] >= 0 and now + row[GUARD] > self.closure.noise_ends_min)
        ):
            self.give_up(k)
            return True
        length = self.task[k].minutes * float(self.draws.work[self.night, self.draws.columns.steps[cover, step]])
        self.begin[cover, step], self.end[cover, step] = now, now + length
        for u in self.holds[k]:
            self.queue[u].pop(0)
            self.busy_until[u] = now + length
        self.finished_with = {k}
        return True

    def give_up(self, k):
        """Its steps leave every queue; making safe takes the step's turn in the queues of those who do it."""
        cover = self.keys[k][0]
        self.gone[cover] = 1
        mine = {j for j in range(len(self.keys)) if self.keys[j][0] == cover and self.keys[j] not in self.begin}
        for j in mine:
            for u in self.holds[j]:
                self.queue[u].remove(j)
        if self.t.step[k, MODE] == 2:
            self.gone[cover] = 2
            self.making_safe[k] = self._of(k, SAFES)
            for u in self.making_safe[k]:
                self.queue[u] = sorted([*self.queue[u], k])
            mine -= {k}
        self.finished_with = mine

    def safe_min(self, k):
        return self.policy.make_safe_min * 2 / min(2, self.task[k].people)

    def make_safe(self, k, now):
        cover = self.keys[k][0]
        place = next(c for c, job in enumerate(self.closure.jobs) if job.cover == cover)
        done = now + self.safe_min(k) * float(self.draws.safe[self.night, place])
        for u in self.making_safe[k]:
            self.queue[u].pop(0)
            self.busy_until[u] = done
        self.ready[cover] = done + self.closure.tm_clear_min
        self.finished_with = {k}

    def result(self):
        opens = [0.0]
        for (cover, step), end in self.end.items():
            if self.gone.get(cover) == 2:
                continue
            opens.append(end + self.closure.tm_clear_min)
            for i, lag in enumerate(self.jobs[cover].lags):
                if lag.to_step == OPEN and lag.from_step == step:
                    edge = self.begin[cover, step] if lag.from_edge == "start" else end
                    opens.append(edge + self.wait(cover, i, lag))
        done = [c for c in {k[0] for k in self.keys} if c not in self.gone]
        return max(opens + list(self.ready.values())), len(done), self.lives(done), self.noise()

    def lives(self, done):
        count = 0
        for cover in done:
            for lag in self.jobs[cover].lags:
                if lag.greatest_min is not None:
                    a = (self.begin if lag.from_edge == "start" else self.end)[cover, lag.from_step]
                    b = (self.begin if lag.to_edge == "start" else self.end)[cover, lag.to_step]
                    count += b - a > lag.greatest_min + 1e-6
        return count

    def noise(self):
        noisy = {(t.cover, t.step) for t in self.task if t.noisy}
        return sum(end > self.closure.noise_ends_min + 1e-6 for key, end in self.end.items() if key in noisy)


@pytest.mark.parametrize("covers", [2, 4, 6])
@pytest.mark.parametrize("gates", [False, True])
def test_every_night_ends_as_in_the_event_loop(covers, gates):
    closure = wet_closure(covers, window=210, noise=150, people=4)
    spreads = replace(default_spreads(), breakdown_share=0.0)
    plan = list_schedules(closure)[0]
    last_noisy = max(p.end_min for p in plan.placed if p.step == "saw")
    closure = replace(closure, window_min=plan.open_min + 4, noise_ends_min=last_noisy + 2)
    draws = draw_nights(closure, spreads, 150, covers)
    policy = plain_policy(hold_back=False)
    if gates:
        usual = replace(usual_policy(closure), hold_back=False, noise_sd=1.0)
        policy = limits_of(closure, plan, spreads, usual, draws, [0.6])[0]
    nights = replay(closure, plan, spreads, policy, draws)
    for night in range(draws.nights):
        found = Loop(closure, nights, draws, night, policy).run()
        assert nights.open_min[night] == pytest.approx(found[0], abs=1e-3)
        assert (nights.covers[night], nights.lag_over[night], nights.noise_over[night]) == found[1:]
    if gates and covers == 6:
        assert {0, 1, 2} == set(nights.state.flatten())
