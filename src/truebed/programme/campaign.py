"""A campaign of many covers over weeks: packed into crew-nights, placed in the calendar, timed, with its bounds."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from math import hypot

from truebed.errors import TruebedError
from truebed.programme.campaign_by_urgency import by_urgency
from truebed.programme.campaign_calendar import late_days, nights_of, open_nights, shift_of
from truebed.programme.campaign_findings import campaign_faults
from truebed.programme.campaign_late_bound import bounds_of
from truebed.programme.campaign_oracle import Oracle
from truebed.programme.campaign_pack import pack
from truebed.programme.campaign_place import Piece, pieces_of, place
from truebed.programme.campaign_sites import Site, sites_of
from truebed.programme.campaign_timed import fits_tonight, timed
from truebed.programme.campaign_types import (
    KINDS,
    Campaign,
    CampaignCover,
    CampaignPlan,
    CampaignTotals,
    ClosureNight,
    Kind,
)

Crew = tuple[CampaignCover, ...]


def oracle_of(campaign: Campaign) -> Oracle:
    """An empty memory of one-crew answers for this campaign's works.

    Source      house
    Proved by   tests/programme/test_campaign.py
    """
    return Oracle({work.work: work for work in campaign.works})


def plan_campaign(campaign: Campaign, *, join: bool = True, oracle: Oracle | None = None) -> CampaignPlan:
    """The campaign's closures: hard deadlines, then harm x days late with the stated weight of a closure, then travel.

    join        whether streets of one diversion may be shut together

    Valid       lead times, embargoes, crews, vans and stock hold in what is planned;
                covers that cannot be done are left out. Raises where campaign_faults finds anything
    Source      [hooker-2003] packing by cuts; house
    Raises      TruebedError with every fault of the campaign
    Proved by   tests/programme/test_campaign.py, tests/programme/test_campaign_check.py
    """
    faults = campaign_faults(campaign)
    if faults:
        raise TruebedError(" ".join(fault.sentence() for fault in faults))
    asked = oracle_of(campaign) if oracle is None else oracle
    early, nights = _split_nights(campaign)
    before = by_urgency(campaign, asked, early)
    gone = {name for closure in before.closures for crew in closure.crews for name in crew.covers}
    kits = {w.work: w.kits for w in campaign.works}
    rest = [cover for cover in campaign.covers if cover.cover not in gone]
    sites = sites_of(campaign, rest, join=join)
    pieces = pieces_of(campaign, sites, [pack(campaign, site, asked) for site in sites], nights, asked)
    kits_gone = sum(kits[cover.work] for cover in campaign.covers if cover.cover in gone)
    placed = place(campaign, sites, pieces, nights, asked, kits_gone)
    closures = (*before.closures, *_closures(campaign, asked, sites, placed, nights))
    done = {name for closure in closures for crew in closure.crews for name in crew.covers}
    return CampaignPlan(
        closures=tuple(closures),
        left_out=tuple(cover.cover for cover in campaign.covers if cover.cover not in done),
        bounds=bounds_of(campaign, asked, join=join),
        oracle_calls=asked.calls,
        unproven=len(asked.open_keys),
    )


def totals_of(campaign: Campaign, plan: CampaignPlan) -> CampaignTotals:
    """The objective level by level. A cover left out counts as late by the whole calendar and a day.

    Source      algebra
    Proved by   tests/programme/test_campaign.py
    """
    night_of = {name: c.night for c in plan.closures for crew in c.crews for name in crew.covers}
    after = campaign.last + timedelta(days=1)
    late = [(cover, late_days(cover, night_of.get(cover.cover, after))) for cover in campaign.covers]
    return CampaignTotals(
        hard_late=sum(1 for cover, days in late if cover.hard and days),
        lateness=sum(cover.harm * days for cover, days in late),
        closures=len(plan.closures),
        van_m=sum(_van_m(campaign, closure) for closure in plan.closures),
        crew_nights=sum(len(closure.crews) for closure in plan.closures),
        covers_late=sum(1 for _cover, days in late if days),
        last_night=max((closure.night for closure in plan.closures), default=None),
    )


def _van_m(campaign: Campaign, closure: ClosureNight) -> float:
    """From the depot to the first cover of each crew and from its last one back, straight."""
    at = {cover.cover: cover for cover in campaign.covers}
    total_m = 0.0
    for crew in closure.crews:
        for cover in (at[crew.covers[0]], at[crew.covers[-1]]):
            total_m += hypot(cover.x_m - campaign.depot_x_m, cover.y_m - campaign.depot_y_m)
    return total_m


def _split_nights(campaign: Campaign) -> tuple[tuple[date, ...], tuple[date, ...]]:
    """Nights before any full closure may be had (filled by urgency), and the others."""
    nights, full = nights_of(campaign), shift_of(campaign, "full")
    if full is None:
        return (), nights
    ready = campaign.asked_on + timedelta(days=full.lead_days)
    return tuple(n for n in nights if n < ready), tuple(n for n in nights if n >= ready)


def _closures(
    campaign: Campaign,
    oracle: Oracle,
    sites: Sequence[Site],
    placed: Sequence[tuple[Piece, int]],
    nights: Sequence[date],
) -> list[ClosureNight]:
    crews: dict[tuple[int, int], list[Crew]] = {}
    for s, site in enumerate(sites):
        left = {key: list(covers) for key, covers in site.classes}
        mine = sorted((t, p) for p, (piece, t) in enumerate(placed) if piece.site == s)
        for t, p in mine:
            crew = [
                left[key].pop(0)
                for (key, _covers), n in zip(site.classes, placed[p][0].unit, strict=True)
                for _ in range(n)
            ]
            if t < len(nights):
                crews.setdefault((t, s), []).append(tuple(crew))
    closures: list[ClosureNight] = []
    for (t, s), of in sorted(crews.items()):
        for first in range(0, len(of), campaign.most_crews):
            part = of[first : first + campaign.most_crews]
            closures.append(_lightest(campaign, oracle, sites[s], nights[t], part))
    return closures


def _lightest(campaign: Campaign, oracle: Oracle, site: Site, night: date, crews: Sequence[Crew]) -> ClosureNight:
    """The lightest kind of closure in which these crews' covers can be done on that night."""
    for kind in KINDS:
        lane = "" if kind == "full" else crews[0][0].lane
        if all(_serves(campaign, oracle, site, night, kind, crew, lane) for crew in crews) and _one_street(kind, crews):
            return timed(campaign, oracle, night, kind, lane, crews, site.hop_min)
    raise AssertionError("a crew-night was placed where no closure serves it")


def _one_street(kind: Kind, crews: Sequence[Crew]) -> bool:
    return kind == "full" or len({cover.street for crew in crews for cover in crew}) == 1


def _serves(campaign: Campaign, oracle: Oracle, site: Site, night: date, kind: Kind, crew: Crew, lane: str) -> bool:
    if kind != "full" and any(cover.lane != lane for cover in crew):
        return False
    if any(night not in open_nights(campaign, cover.street, kind) for cover in crew):
        return False
    return fits_tonight(campaign, oracle, night, kind, crew, site.hop_min)
