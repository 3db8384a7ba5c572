"""What a crew lead does when the night runs late: drops the next cover, makes an opened one safe, holds a mix back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from statistics import NormalDist

from truebed.programme.network import net_of
from truebed.programme.possible import sort_jobs
from truebed.programme.problem import OPEN, Problem
from truebed.programme.spread import duration_defaults


@dataclass(frozen=True, slots=True)
class Policy:
    """The recovery policy of a night.

    gates           False: every step of the plan is done however late
    break_out       cover -> the step that opens the road: up to its start the cover is simply dropped
    leave_until     cover -> the last step before which an opened cover can still be made safe and left plated; not
                    named: the method does not allow it
    limits          (cover, step) -> the last minute at which that step is still begun
    noise_sd        standard deviations of a noisy step's length that must fit before the ban
    hold_back       a step that begins a workable life waits until those who use it up will be free
    make_safe_min   with so many people; by those who stand at the step, so much longer where they are fewer
    hold_margin_min in hand when it does; hold_sd: by how much what still runs is then taken longer than its middle
    """

    gates: bool
    break_out: Mapping[str, str] = field(default_factory=dict)
    leave_until: Mapping[str, str] = field(default_factory=dict)
    limits: Mapping[tuple[str, str], float] = field(default_factory=dict)
    noise_sd: float = 0.0
    hold_back: bool = True
    hold_margin_min: float = 0.0
    hold_sd: float = 0.0
    make_safe_min: float = 0.0
    make_safe_people: int = 0


def usual_policy(problem: Problem, *, may_be_plated: bool = True) -> Policy:
    """Drop up to the last noisy step; make safe up to the first step from which a clock to the opening runs.

    A cover without noisy steps is dropped up to its first step. limits are left open: odds.with_limits fills them.

    Valid       any problem
    Source      common practice, no source; data/durations.toml
    Proved by   tests/programme/test_recovery.py
    """
    of = {name: default.value for name, default in duration_defaults().items()}
    break_out: dict[str, str] = {}
    leave: dict[str, str] = {}
    for net in sort_jobs(problem).nets:
        job = net.job
        order = sorted(range(len(job.tasks)), key=lambda k: (net_of(problem, job).heads[k], k))
        noisy = [k for k in order if job.tasks[k].noisy]
        gate = noisy[-1] if noisy else order[0]
        break_out[job.cover] = job.tasks[gate].step
        bears = {lag.from_step for lag in job.lags if lag.to_step == OPEN}
        first = next((k for k in order if job.tasks[k].step in bears), None)
        if may_be_plated and first is not None and order.index(first) > order.index(gate):
            leave[job.cover] = job.tasks[first].step
    sure_sd = NormalDist().inv_cdf(of["noise_sure_share"])
    return Policy(
        True, break_out, leave, {}, sure_sd, hold_back=True, hold_margin_min=of["hold_margin_min"],
        hold_sd=of["hold_sd"],
        make_safe_min=of["make_safe_min"], make_safe_people=round(of["make_safe_people_count"]),
    )  # fmt: skip


def plain_policy(*, hold_back: bool = True) -> Policy:
    """The plan as it stands, however late: nothing dropped, nothing left plated.

    Source      house
    Proved by   tests/programme/test_recovery.py
    """
    of = {name: default.value for name, default in duration_defaults().items()}
    return Policy(False, hold_back=hold_back, hold_margin_min=of["hold_margin_min"], hold_sd=of["hold_sd"])
