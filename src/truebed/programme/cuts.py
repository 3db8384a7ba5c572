"""Redundant cuts: what the work of the covers done must take, whatever the order. They only help to prove.

For steps that start no sooner than `head` and leave at least `tail` until a sink (the opening, or the end of the noisy
hours), the work they hold of a mean fits between: work <= have * (sink - head - tail).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from truebed.programme.means import Mean, held_with_shadows, with_shadows
from truebed.programme.network import Net
from truebed.programme.problem import Problem

#: Cuts kept for each mean and sink, those that bind most when all covers are done.
KEPT = 12


@dataclass(frozen=True, slots=True)
class Energy:
    """sum over jobs of work[job] * done[job] <= have * (sink - head - tail), for every job with work that is done.

    to_open     True: the sink is the road's opening; False: the end of the noisy hours
    """

    mean: Mean
    have: int
    head_min: int
    tail_min: int
    work: tuple[int, ...]
    to_open: bool

    @property
    def least_sink_min(self) -> int:
        """Where the sink must at least lie if all covers are done."""
        return self.head_min + self.tail_min + -(-sum(self.work) // self.have)


def energy_cuts(problem: Problem, nets: Sequence[Net]) -> tuple[Energy, ...]:
    """The cuts worth adding.

    Valid       jobs without contradiction, each mean they need there at least once
    Source      [baptiste-2001] energy between heads and tails; algebra
    Proved by   tests/programme/test_cuts.py, tests/oracles/test_programme_brute.py
    """
    have = with_shadows(problem)
    cuts: list[Energy] = []
    for mean in sorted(have):
        for to_open in (True, False):
            cuts.extend(_cuts_of(nets, have, mean, to_open))
    return tuple(cuts)


def least_open_of(cuts: Sequence[Energy], nets: Sequence[Net]) -> int:
    """The earliest opening that cuts and chains allow when all these covers are done.

    Source      algebra
    Proved by   tests/programme/test_cuts.py
    """
    chains = [head + tail for net in nets for head, tail in zip(net.heads, net.to_open, strict=True)]
    return max([cut.least_sink_min for cut in cuts if cut.to_open] + chains, default=0)


def _cuts_of(nets: Sequence[Net], have: dict[Mean, int], mean: Mean, to_open: bool) -> list[Energy]:
    steps: list[tuple[int, int, int, int]] = []  # job, head, tail behind its end, work
    for job, net in enumerate(nets):
        tails: Sequence[int | None] = net.to_open if to_open else _to_noise_end(net)
        for i, task in enumerate(net.job.tasks):
            held, tail = held_with_shadows(task, have).get(mean, 0) * task.minutes, tails[i]
            if held and tail is not None:
                steps.append((job, net.heads[i], tail - task.minutes, held))
    heads, tails_seen = sorted({s[1] for s in steps}), sorted({s[2] for s in steps})
    cuts: dict[tuple[int, ...], Energy] = {}
    for head in heads:
        for tail in tails_seen:
            work = [0] * len(nets)
            for job, h, t, w in steps:
                if h >= head and t >= tail:
                    work[job] += w
            if any(work):
                cuts[tuple(work)] = Energy(mean, have[mean], head, tail, tuple(work), to_open)
    return sorted(cuts.values(), key=lambda c: (-c.least_sink_min, c.head_min, c.tail_min))[:KEPT]


def _to_noise_end(net: Net) -> list[int | None]:
    """From each step's start to the end of the last noisy step that must follow it (its own, if noisy)."""
    tails: list[int | None] = []
    for i in range(len(net.job.tasks)):
        behind = [
            net.longest[i][j] + task.minutes
            for j, task in enumerate(net.job.tasks)
            if task.noisy and net.longest[i][j] >= 0
        ]
        tails.append(max((b for b in behind if b >= net.job.tasks[i].minutes), default=None))
    return tails


def identical_groups(nets: Sequence[Net]) -> tuple[tuple[int, ...], ...]:
    """Jobs that differ by name only, in groups of two and more: any of them may be done first, so the first is.

    Source      algebra
    Proved by   tests/programme/test_cuts.py
    """
    groups: dict[tuple[object, ...], list[int]] = {}
    for k, net in enumerate(nets):
        steps = tuple(
            (t.step, t.minutes, t.people, t.tools, t.skill, t.noisy, t.points, t.not_during) for t in net.job.tasks
        )
        varying = tuple(
            (g.from_step, g.from_edge, g.to_step, g.to_edge, g.least_min, g.greatest_min, g.profile, g.greatest_profile)
            for g in net.job.lags
            if g.profile or g.greatest_profile
        )
        alike = (net.job.weight, steps, net.longest, net.to_open, varying, net.job.stage, net.job.kits)
        groups.setdefault(alike, []).append(k)
    return tuple(tuple(group) for group in groups.values() if len(group) > 1)
