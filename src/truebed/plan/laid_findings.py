"""Whether the programme lays a resin in an hour in which, by the forecast, its base does not allow it."""

from __future__ import annotations

from datetime import timedelta

from truebed.findings import Finding
from truebed.plan.design import Designed
from truebed.plan.resin_figures import placed_findings
from truebed.plan.result import ClosurePlan


def laid_findings(plan: ClosurePlan, designed: tuple[Designed, ...]) -> tuple[Finding, ...]:
    """A finding for each resin pour of each cover done tonight that meets a barred hour.

    Valid       a plan of these covers
    Source      truebed.plan.resin_figures
    Proved by   tests/plan/test_laid_findings.py
    """
    found: list[Finding] = []
    for one in designed:
        aids = one.design.strength
        if aids is None or one.case is None or one.design.cover not in plan.solution.schedule.done:
            continue
        texts = plan.texts(one.design.cover)
        for layer in aids.resin.layers:
            placed = [
                p for p in plan.solution.schedule.of(one.design.cover)
                if p.step in texts and texts[p.step].pour == layer.pour
            ]  # fmt: skip
            if placed:
                start = plan.shut + timedelta(minutes=min(p.start_min for p in placed))
                end = plan.shut + timedelta(minutes=max(p.end_min for p in placed))
                found += placed_findings(one.case, layer, start, end)
    return tuple(found)
