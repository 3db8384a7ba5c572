"""What lateness no campaign can go below: crew-nights of each site on each night, covers that need them.

A linear programme. x: crew-nights of a site on a night; y: the share of a group of like covers done on a night.
Every cover's share is at most its site's crew-nights of that night; and for covers of the greatest harm, of the two
greatest, and so on, the shares by price are too. So an urgent cover costs a whole crew-night where no other is near.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from truebed.programme.campaign_bounds import SLACK_COUNT, Prices, prices_of
from truebed.programme.campaign_calendar import late_days, nights_of, open_nights
from truebed.programme.campaign_oracle import Oracle
from truebed.programme.campaign_sites import Class, Site, sites_of
from truebed.programme.campaign_types import KINDS, Campaign, CampaignBounds, CampaignCover

if TYPE_CHECKING:
    from scipy.sparse import csr_array

#: Nights beyond those that the work needs at least; the last one stands for all that follow.
MORE_NIGHTS = 15


@dataclass(frozen=True, slots=True)
class _Group:
    """Covers alike in site, class, harm, due date."""

    site: int
    key: Class
    first: CampaignCover
    times: int
    nights: tuple[int, ...]


def bounds_of(campaign: Campaign, oracle: Oracle, *, join: bool) -> CampaignBounds:
    """Bounds on crew-nights, closures and lateness for any plan that does all covers which can be done.

    Valid       plans whose crew-nights keep to one site each (a street without joining, a diversion with it) and to two
                of its streets, in the hours that the clock names
    Source      algebra
    Proved by   tests/programme/test_campaign_bounds.py
    """
    sites = sites_of(campaign, campaign.covers, join=join)
    all_of = [prices_of(campaign, k, site, site.covers, oracle) for k, site in enumerate(sites)]
    return CampaignBounds(
        crew_nights=sum(prices.least for prices in all_of),
        closures=sum(-(-prices.least // campaign.most_crews) for prices in all_of),
        lateness=_lateness(campaign, sites, all_of, oracle),
    )


def _lateness(campaign: Campaign, sites: Sequence[Site], all_of: Sequence[Prices], oracle: Oracle) -> int:
    crews = min(campaign.crews, campaign.vans)
    nights = nights_of(campaign)
    if not nights:
        return 0
    nights = nights[: -(-sum(prices.least for prices in all_of) // crews) + MORE_NIGHTS]
    possible = {(prices.site, key) for prices in all_of for key, _price in prices.of}
    groups = _groups(campaign, sites, possible, nights)
    if not groups:
        return 0
    prices = [*all_of, *_by_harm(campaign, sites, oracle)]
    return _solve(groups, prices, len(sites), nights, crews)


def _groups(
    campaign: Campaign, sites: Sequence[Site], possible: set[tuple[int, Class]], nights: Sequence[date]
) -> list[_Group]:
    """Only covers that some of these nights would make late: the others are left out, which lowers the bound."""
    free = {
        s.street: {night for kind in KINDS for night in open_nights(campaign, s.street, kind)} for s in campaign.streets
    }
    found: dict[tuple[int, Class, int, date], list[CampaignCover]] = {}
    for s, site in enumerate(sites):
        for cover in site.covers:
            key = (cover.street, cover.work)
            if (s, key) in possible and late_days(cover, nights[-1]):
                found.setdefault((s, key, cover.harm, cover.due), []).append(cover)
    last = len(nights) - 1
    return [
        _Group(
            s, key, covers[0], len(covers),
            tuple(t for t, night in enumerate(nights) if t == last or night in free[covers[0].street]),
        )
        for (s, key, _harm, _due), covers in sorted(found.items())
    ]  # fmt: skip


def _by_harm(campaign: Campaign, sites: Sequence[Site], oracle: Oracle) -> list[Prices]:
    """Prices of each site's covers of at least some harm, for every harm but the least."""
    found: list[Prices] = []
    for s, site in enumerate(sites):
        for harm in sorted({cover.harm for cover in site.covers})[1:]:
            worse = [cover for cover in site.covers if cover.harm >= harm]
            found.append(prices_of(campaign, s, site, worse, oracle, whole=False))
    return found


def _solve(groups: Sequence[_Group], prices: Sequence[Prices], sites: int, nights: Sequence[date], crews: int) -> int:
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    last = len(nights) - 1
    at = [(g, t) for g, group in enumerate(groups) for t in group.nights]
    x_count = sites * last
    cost = [float(groups[g].times * groups[g].first.harm * late_days(groups[g].first, nights[t])) for g, t in at] + [
        0.0
    ] * x_count
    ones, size = np.ones(len(at)), len(cost)
    once = coo_array((ones, (np.array([g for g, _t in at]), np.arange(len(at)))), shape=(len(groups), size))
    crew_rows = np.arange(x_count) % max(1, last)
    hold = coo_array((np.ones(x_count), (crew_rows, len(at) + np.arange(x_count))), shape=(max(1, last), size))
    held = _held(groups, prices, at, last, size)
    answer = milp(
        np.array(cost),
        constraints=[
            LinearConstraint(once.tocsr(), 1.0, 1.0),
            LinearConstraint(hold.tocsr(), -np.inf, float(crews)),
            *([LinearConstraint(held, -np.inf, 0.0)] if held.shape[0] else []),
        ],
        bounds=Bounds(0.0, np.inf),
    )
    if answer.fun is None:
        return 0  # no answer of the solver: nothing but the bound that always holds
    return max(0, ceil(float(answer.fun) - SLACK_COUNT * max(1.0, float(answer.fun))))


def _held(
    groups: Sequence[_Group], prices: Sequence[Prices], at: Sequence[tuple[int, int]], last: int, size: int
) -> csr_array:
    """Rows: what is held of a site's crew-nights on a night, less those crew-nights, is at most nothing."""
    from scipy.sparse import coo_array

    rows: list[tuple[int, int, float]] = []
    count = 0
    of_site: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for column, (g, t) in enumerate(at):
        if t < last:
            rows += [(count, column, 1.0), (count, len(at) + groups[g].site * last + t, -1.0)]
            count += 1
            of_site.setdefault((groups[g].site, t), []).append((column, g))
    for price in prices:
        of = dict(price.of)
        for t in range(last):
            mine = [(c, groups[g]) for c, g in of_site.get((price.site, t), [])]
            held = [(c, of.get(g.key, 0.0) * g.times) for c, g in mine if g.first.harm >= price.least_harm]
            if any(weight for _column, weight in held):
                rows += [(count, column, weight) for column, weight in held if weight]
                rows.append((count, len(at) + price.site * last + t, -1.0))
                count += 1
    row = np.array([r for r, _c, _v in rows], dtype=np.int64)
    columns = np.array([c for _r, c, _v in rows], dtype=np.int64)
    values = np.array([v for _r, _c, v in rows], dtype=float)
    return coo_array((values, (row, columns)), shape=(count, size)).tocsr()
