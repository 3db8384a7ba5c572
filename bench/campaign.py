"""Campaigns on the published maps: time, bounds, and beside interleaving by urgency under the same rules."""

from __future__ import annotations

from dataclasses import dataclass
from time import perf_counter

from bench.campaign_map import campaign_map
from bench.row import Row, row
from truebed.programme.campaign import oracle_of, plan_campaign, totals_of
from truebed.programme.campaign_by_urgency import by_urgency
from truebed.programme.campaign_check import check_campaign
from truebed.programme.campaign_types import CampaignBounds, CampaignPlan, CampaignTotals

#: The published map.
SEED, COVERS = 1, 400


@dataclass(frozen=True)
class _Run:
    """One plan of one map with its measures."""

    plan: CampaignPlan
    totals: CampaignTotals
    bounds: CampaignBounds
    broken: int
    taken_s: float


def _run(seed: int, covers: int, *, join: bool) -> _Run:
    made = campaign_map(seed, covers)
    begun = perf_counter()
    plan = plan_campaign(made, join=join)
    taken_s = perf_counter() - begun
    assert plan.bounds is not None
    return _Run(plan, totals_of(made, plan), plan.bounds, len(check_campaign(made, plan)), taken_s)


def _urgent(seed: int, covers: int) -> _Run:
    made = campaign_map(seed, covers)
    begun = perf_counter()
    plan = by_urgency(made, oracle_of(made))
    taken_s = perf_counter() - begun
    return _Run(plan, totals_of(made, plan), CampaignBounds(0, 0, 0), len(check_campaign(made, plan)), taken_s)


def rows() -> list[Row]:
    """The published map with joining and without, and a second map with joining."""
    joined, apart, urgent = _run(SEED, COVERS, join=True), _run(SEED, COVERS, join=False), _urgent(SEED, COVERS)
    return [
        *_against(joined, urgent, "", SEED, COVERS, goals=True),
        *_gaps(joined, apart, SEED, COVERS),
        *_against(_run(2, COVERS, join=True), _urgent(2, COVERS), "_map_2", 2, COVERS, goals=False),
    ]


def rows_long() -> list[Row]:
    """Four more maps of 400 and maps of 100 and 200, against interleaving by urgency."""
    found: list[Row] = []
    for seed, covers in ((3, 400), (4, 400), (5, 400), (6, 400), (1, 100), (1, 200)):
        name = f"_map_{seed}_of_{covers}"
        found += _against(_run(seed, covers, join=True), _urgent(seed, covers), name, seed, covers, goals=False)
    return found


def _against(ours: _Run, peer: _Run, name: str, seed: int, covers: int, *, goals: bool) -> list[Row]:
    what = f"map {seed}, {covers} covers, 3 crews, joining allowed; peer: interleaving by urgency, same rules and days"
    notes = (
        ("crew_nights", ours.totals.crew_nights, peer.totals.crew_nights, ours.bounds.crew_nights, 0.90, "crew-nights"),
        ("closures", ours.totals.closures, peer.totals.closures, ours.bounds.closures, 0.70, "closures"),
        ("lateness", ours.totals.lateness, peer.totals.lateness, ours.bounds.lateness, 0.70, "harm-days"),
    )
    found = [
        row(
            f"campaign_{figure}_vs_interleaved{name}",
            mine,
            unit,
            f"{what}; nothing that joins can go below {bound}: gap {mine / max(1, bound) - 1.0:.3g}",
            n=covers,
            seed=seed,
            peer=theirs,
            ratio=mine / max(1, theirs),
            goal=goal if goals else None,
            on_ratio=True,
        )
        for figure, mine, theirs, bound, goal, unit in notes
    ]
    hard = f"hard covers late {ours.totals.hard_late}, by urgency {peer.totals.hard_late}"
    late = f"covers late {ours.totals.covers_late}, by urgency {peer.totals.covers_late}"
    left = f"left out {len(ours.plan.left_out)}, by urgency {len(peer.plan.left_out)}"
    found.append(
        row(
            f"campaign_{covers}_s{name}",
            ours.taken_s,
            "s",
            f"{what}; bounds included, {ours.plan.oracle_calls} one-crew questions, {ours.plan.unproven} left open; "
            f"{hard}; {late}; {left}",
            n=covers,
            seed=seed,
            goal=120.0,
        )
    )
    broken = ours.broken + peer.broken
    checked = "both plans minute by minute by a checker that shares no code"
    found.append(row(f"campaign_checker_violations{name}", broken, "rules broken", checked, n=2, seed=seed, goal=0.0))
    return found


def _gaps(joined: _Run, apart: _Run, seed: int, covers: int) -> list[Row]:
    what = f"map {seed}, {covers} covers; crew-nights over a bound on them, less 1"
    return [
        row(
            "campaign_no_join_gap",
            apart.totals.crew_nights / apart.bounds.crew_nights - 1.0,
            "share",
            f"{what}; streets never joined: {apart.totals.crew_nights} against {apart.bounds.crew_nights}; "
            f"closures {apart.totals.closures} ({apart.bounds.closures}), "
            f"harm-days {apart.totals.lateness} ({apart.bounds.lateness}); {apart.broken} rules broken",
            n=covers,
            seed=seed,
            goal=0.05,
        ),
        row(
            "campaign_joined_gap",
            joined.totals.crew_nights / joined.bounds.crew_nights - 1.0,
            "share",
            f"{what}; the bound is valid with joining: {joined.totals.crew_nights} against {joined.bounds.crew_nights}",
            n=covers,
            seed=seed,
        ),
    ]
