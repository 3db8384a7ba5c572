"""Interleaving by urgency: each crew goes to the most urgent cover left and fills its night in that street.

It is what Truebed's campaign is compared with, and how the nights are filled before any full closure may be had.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from truebed.programme.campaign_calendar import hours_of, kits_by, nights_of, open_nights, shift_of
from truebed.programme.campaign_oracle import Oracle
from truebed.programme.campaign_sites import urgency
from truebed.programme.campaign_timed import timed
from truebed.programme.campaign_types import (
    BOTH,
    KINDS,
    Campaign,
    CampaignCover,
    CampaignPlan,
    ClosureNight,
    Kind,
)


@dataclass(slots=True)
class _Tonight:
    """A closure under way: its kind, street, lane and the covers of each crew."""

    kind: Kind
    street: str
    lane: str
    crews: list[list[CampaignCover]] = field(default_factory=list)


def by_urgency(campaign: Campaign, oracle: Oracle, nights: Sequence[date] | None = None) -> CampaignPlan:
    """The plan that this rule gives, on all nights or on those named. Full closures where they may be had.

    Valid       one crew-night in one street; same lead times, embargoes, crews, vans and kits as the campaign
    Source      house; common practice, no source
    Proved by   tests/programme/test_campaign_by_urgency.py
    """
    left = sorted(campaign.covers, key=urgency)
    kits = {w.work: w.kits for w in campaign.works}
    open_of = {
        (s.street, kind): frozenset(open_nights(campaign, s.street, kind)) for s in campaign.streets for kind in KINDS
    }
    used = 0
    closures: list[ClosureNight] = []
    for night in nights_of(campaign) if nights is None else nights:
        tonight: list[_Tonight] = []
        for _crew in range(min(campaign.crews, campaign.vans)):
            budget = kits_by(campaign, night) - used
            taken = _fill(campaign, oracle, night, left, tonight, open_of, budget, kits)
            if not taken:
                break
            used += sum(kits[cover.work] for cover in taken)
            left = [cover for cover in left if cover not in taken]
        closures += [timed(campaign, oracle, night, t.kind, t.lane, [tuple(crew) for crew in t.crews]) for t in tonight]
        if not left:
            break
    return CampaignPlan(tuple(closures), tuple(cover.cover for cover in left))


def _fill(
    campaign: Campaign,
    oracle: Oracle,
    night: date,
    left: Sequence[CampaignCover],
    tonight: list[_Tonight],
    open_of: dict[tuple[str, Kind], frozenset[date]],
    budget: int,
    kits: dict[str, int],
) -> list[CampaignCover]:
    for cover in left:
        here = next((t for t in tonight if t.street == cover.street), None)
        kind = _kind(cover, night, open_of) if here is None else here.kind
        if kind is None or (here is not None and not _has_room(campaign, here, cover)):
            continue
        shift = shift_of(campaign, kind)
        if shift is None:
            continue
        hours = hours_of(shift, night, campaign.zone)
        taken: list[CampaignCover] = []
        for other in left:
            same = other.street == cover.street and (kind == "full" or other.lane == cover.lane)
            with_it = (*taken, other)
            if not same or (not taken and other is not cover) or sum(kits[c.work] for c in with_it) > budget:
                continue
            if oracle.fits(hours, (tuple(c.work for c in with_it),), 0):
                taken.append(other)
        if taken:
            if here is None:
                here = _Tonight(kind, cover.street, "" if kind == "full" else cover.lane)
                tonight.append(here)
            here.crews.append(taken)
            return taken
    return []


def _has_room(campaign: Campaign, here: _Tonight, cover: CampaignCover) -> bool:
    return len(here.crews) < campaign.most_crews and (here.kind == "full" or here.lane == cover.lane)


def _kind(cover: CampaignCover, night: date, open_of: dict[tuple[str, Kind], frozenset[date]]) -> Kind | None:
    """Full where it may be had, since it takes both lanes; else the lightest that reaches the cover."""
    order: tuple[Kind, ...] = ("full",) if cover.lane == BOTH else ("full", "lane", "stop-go")
    return next((kind for kind in order if night in open_of[cover.street, kind]), None)
