"""What one crew can do in one night: exact, asked once for each mixture of works, remembered as least that fails.

A mixture is works by street: (('large', 'small'), ('small',)) is two covers in one street and one in another.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import combinations

from truebed.programme.campaign_calendar import Hours
from truebed.programme.campaign_types import Work
from truebed.programme.network import Net, arcs_of, contradiction, net_of
from truebed.programme.problem import Problem

Group = tuple[str, ...]
Mixture = tuple[Group, ...]
#: starts[group][cover][step], minutes after the road shuts
Starts = tuple[tuple[tuple[int, ...], ...], ...]
Key = tuple[Hours, Mixture, int]

#: Limit of one question in the solver's deterministic time; what stays open counts as no for plans and yes for bounds.
LIMIT_S = 2.0
#: Wall-clock guard of one question [s].
GUARD_S = 60.0


@dataclass(slots=True)
class Oracle:
    """A memory of answers. least_failing: mixtures that cannot be done though all with one cover less can."""

    works: dict[str, Work]
    known: dict[Key, Starts | None] = field(default_factory=dict)
    least_failing: dict[tuple[Hours, int], list[Mixture]] = field(default_factory=dict)
    open_keys: set[Key] = field(default_factory=set)
    nets: dict[tuple[Hours, str], Net | None] = field(default_factory=dict)
    calls: int = 0

    def fits(self, hours: Hours, mixture: Mixture, hop_min: int, *, doubt: bool = False) -> bool:
        """Whether one crew can do it; doubt: the answer where the solver could not tell (True for bounds)."""
        key = self._key(hours, mixture, hop_min)
        if key not in self.known:
            self._learn(key)
        return self.known[key] is not None or (doubt and key in self.open_keys)

    def starts(self, hours: Hours, mixture: Mixture, hop_min: int) -> Starts:
        """The starts of a mixture that fits, groups and covers in the order in which they were asked for."""
        key = self._key(hours, mixture, hop_min)
        if key not in self.known:
            self._learn(key)
        found = self.known[key]
        if found is None:
            raise AssertionError("starts were asked of a mixture that does not fit")
        by_group = sorted(range(len(mixture)), key=lambda g: tuple(sorted(mixture[g])))
        out: list[tuple[tuple[int, ...], ...]] = [() for _ in mixture]
        for place, g in enumerate(by_group):
            by_cover = sorted(range(len(mixture[g])), key=lambda c: mixture[g][c])
            of_group: list[tuple[int, ...]] = [() for _ in mixture[g]]
            for at, c in enumerate(by_cover):
                of_group[c] = found[place][at]
            out[g] = tuple(of_group)
        return tuple(out)

    def _key(self, hours: Hours, mixture: Mixture, hop_min: int) -> Key:
        sorted_groups = tuple(sorted(tuple(sorted(group)) for group in mixture if group))
        return hours, sorted_groups, hop_min if len(sorted_groups) > 1 else 0

    def _learn(self, key: Key) -> None:
        hours, mixture, hop_min = key
        self.known[key] = None
        failing = self.least_failing.setdefault((hours, hop_min), [])
        if any(_within(less, mixture) for less in failing):
            return
        pooled = self._key(hours, (tuple(w for group in mixture for w in group),), 0)
        if pooled != key and not self.fits(hours, pooled[1], 0, doubt=True):
            return
        nets = [[self._net(hours, work) for work in group] for group in mixture]
        ready = [[net for net in group if net is not None] for group in nets]
        if any(None in group for group in nets) or self._too_much(hours, ready):
            failing.append(mixture)
            return
        self.calls += 1
        proven, starts = _one_crew(ready, hop_min)
        self.known[key] = starts
        if starts is None and proven:
            failing.append(mixture)
        elif starts is None:
            self.open_keys.add(key)

    def _net(self, hours: Hours, work: str) -> Net | None:
        if (hours, work) not in self.nets:
            job = self.works[work].job
            net = None if contradiction(job) is not None else net_of(_problem(hours), job)
            fits = net is not None and all(h <= late for h, late in zip(net.heads, net.latest, strict=True))
            self.nets[hours, work] = net if fits else None
        return self.nets[hours, work]

    @staticmethod
    def _too_much(hours: Hours, nets: list[list[Net]]) -> bool:
        """Noisy work alone, or all work between its earliest start and the least that must follow it, has no room."""
        every = [(net, i) for group in nets for net in group for i in range(len(net.job.tasks))]
        noisy = sum(net.job.tasks[i].minutes for net, i in every if net.job.tasks[i].noisy)
        work = sum(net.job.tasks[i].minutes for net, i in every)
        head = min(net.heads[i] for net, i in every)
        tail = min((net.to_open[i] - net.job.tasks[i].minutes for net, i in every), default=0)
        return noisy > hours.noise_ends_min - hours.tm_set_min or work > hours.window_min - head - tail


def _within(less: Mixture, more: Mixture) -> bool:
    """Whether each group of `less` lies in a group of its own of `more` (groups are few: two at most of each)."""
    if len(less) > len(more):
        return False
    if len(less) == 1:
        return any(_in_group(less[0], group) for group in more)
    return any(
        _in_group(less[0], more[a]) and _in_group(less[1], more[b])
        for pair in combinations(range(len(more)), 2)
        for a, b in (pair, pair[::-1])
    )


def _in_group(less: Group, more: Group) -> bool:
    return all(less.count(work) <= more.count(work) for work in set(less))


def _problem(hours: Hours) -> Problem:
    return Problem(
        "one crew", hours.window_min, hours.tm_set_min, hours.tm_clear_min, hours.noise_ends_min, 1, (), (), ()
    )


def _one_crew(nets: list[list[Net]], hop_min: int) -> tuple[bool, Starts | None]:
    """Whether the answer is proven, and starts of all steps one at a time (a move between streets takes hop_min)."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    starts: list[list[list[cp_model.IntVar]]] = []
    steps: list[tuple[int, cp_model.IntVar, int]] = []
    intervals: list[cp_model.IntervalVar] = []
    for g, group in enumerate(nets):
        starts.append([])
        for net in group:
            at = [model.new_int_var(h, late, "") for h, late in zip(net.heads, net.latest, strict=True)]
            for arc in arcs_of(net.job):
                model.add(at[arc.to] >= at[arc.frm] + arc.minutes)
            for start, task in zip(at, net.job.tasks, strict=True):
                intervals.append(model.new_fixed_size_interval_var(start, task.minutes, ""))
                steps.append((g, start, task.minutes))
            if starts[g] and group[len(starts[g]) - 1] is net:
                model.add(starts[g][-1][0] <= at[0])
            starts[g].append(at)
    model.add_no_overlap(intervals)
    if hop_min:
        for (g, a, a_min), (h, b, b_min) in combinations(steps, 2):
            if g != h:
                first = model.new_bool_var("")
                model.add(b >= a + a_min + hop_min).only_enforce_if(first)
                model.add(a >= b + b_min + hop_min).only_enforce_if(~first)
    solver = cp_model.CpSolver()
    solver.parameters.random_seed = 1
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = LIMIT_S
    solver.parameters.max_time_in_seconds = GUARD_S
    status = solver.solve(model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return True, tuple(tuple(tuple(solver.value(s) for s in at) for at in group) for group in starts)
    return status == cp_model.INFEASIBLE, None
