"""What no campaign can go below, with streets joined or without: works pooled by site, and prices for lateness."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations_with_replacement
from math import ceil

import numpy as np
from numpy.typing import NDArray

from truebed.programme.campaign_calendar import late_days, nights_of, open_nights, shift_of, usual_hours
from truebed.programme.campaign_oracle import Oracle
from truebed.programme.campaign_sites import Site, sites_of
from truebed.programme.campaign_types import KINDS, Campaign, CampaignBounds, CampaignCover

#: What rounding of the solvers may have added to a bound.
SLACK_COUNT = 1e-6


@dataclass(frozen=True, slots=True)
class _Pool:
    """A site's crew-nights at least, and the price of each work: no crew-night holds more than 1 of them."""

    least: int
    price: dict[str, float]


def bounds_of(campaign: Campaign, oracle: Oracle, *, join: bool) -> CampaignBounds:
    """Bounds on crew-nights, closures and lateness for any plan that does all covers which can be done.

    Valid       plans whose crew-nights keep to one site each (a street without joining, a diversion with it), in the
                hours that the clock names; ways between streets are left out, which only lowers the bound
    Source      algebra (set cover relaxed to the site's works; its dual prices; transport of priced covers to nights)
    Proved by   tests/programme/test_campaign_bounds.py
    """
    sites = sites_of(campaign, campaign.covers, join=join)
    pools = [(site, _pool(campaign, site, oracle)) for site in sites]
    return CampaignBounds(
        crew_nights=sum(pool.least for _site, pool in pools),
        closures=sum(-(-pool.least // campaign.most_crews) for _site, pool in pools),
        lateness=_lateness(campaign, pools),
    )


def _pool(campaign: Campaign, site: Site, oracle: Oracle) -> _Pool:
    from scipy.optimize import Bounds, LinearConstraint, linprog, milp

    kinds = {k for s in campaign.streets if s.street in site.streets for k in s.kinds}
    every = {usual_hours(s) for k in KINDS if k in kinds and (s := shift_of(campaign, k)) is not None}

    def fits(works: tuple[str, ...]) -> bool:
        return any(oracle.fits(hours, (works,), 0, doubt=True) for hours in every)

    offered: dict[str, int] = {}
    for cover in site.covers:
        if fits((cover.work,)):
            offered[cover.work] = offered.get(cover.work, 0) + 1
    works = sorted(offered)
    if not works:
        return _Pool(0, {})
    columns: list[tuple[str, ...]] = []
    size = 1
    while level := [m for m in combinations_with_replacement(works, size) if fits(m)]:
        columns += level
        size += 1
    counts = np.array([[m.count(work) for m in columns] for work in works], dtype=float)
    wanted = np.array([offered[work] for work in works], dtype=float)
    ones = np.ones(len(columns))
    whole = milp(
        ones,
        constraints=LinearConstraint(counts, wanted, np.inf),
        integrality=np.ones(len(columns), dtype=np.int64),
        bounds=Bounds(0.0, np.inf),
    )
    dual = linprog(-wanted, A_ub=counts.T, b_ub=ones, bounds=(0.0, None), method="highs")
    if whole.mip_dual_bound is None or dual.x is None:
        raise AssertionError("works that fit one by one have a packing and prices")
    return _Pool(
        ceil(float(whole.mip_dual_bound) - SLACK_COUNT),
        {work: float(price) * (1.0 - SLACK_COUNT) for work, price in zip(works, dual.x, strict=True)},
    )


def _lateness(campaign: Campaign, pools: list[tuple[Site, _Pool]]) -> int:
    """Covers weigh their price and go to nights that hold no more than the crews; parts of covers may go apart."""
    crews = min(campaign.crews, campaign.vans)
    nights = nights_of(campaign)
    total_count = sum(pool.price.get(c.work, 0.0) for site, pool in pools for c in site.covers)
    kept = min(len(nights), ceil(total_count / max(1, crews)) + 15) if crews else 0
    groups: dict[tuple[float, int, object, tuple[int, ...]], tuple[CampaignCover, int]] = {}
    free = {s.street: _first_nights(campaign, s.street, nights[:kept]) for s in campaign.streets}
    for site, pool in pools:
        for cover in site.covers:
            if cover.work in pool.price:
                key = (pool.price[cover.work], cover.harm, cover.due, free[cover.street])
                first, times = groups.get(key, (cover, 0))
                groups[key] = (first, times + 1)
    if not groups or not kept:
        return 0
    return _transport(campaign, list(groups.items()), nights[:kept], crews)


def _first_nights(campaign: Campaign, street: str, nights: tuple[object, ...]) -> tuple[int, ...]:
    """Places of the nights on which some closure may be had; the last place stands for that night and all later."""
    some = {night for kind in KINDS for night in open_nights(campaign, street, kind)}
    return tuple(k for k, night in enumerate(nights) if night in some or k == len(nights) - 1)


def _transport(
    campaign: Campaign,
    groups: list[tuple[tuple[float, int, object, tuple[int, ...]], tuple[CampaignCover, int]]],
    nights: tuple[object, ...],
    crews: int,
) -> int:
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    every = nights_of(campaign)
    at: list[tuple[int, int]] = [(g, t) for g, (key, _of) in enumerate(groups) for t in key[3]]
    cost = np.array([groups[g][1][0].harm * late_days(groups[g][1][0], every[t]) for g, t in at], dtype=float)
    group = np.array([g for g, _t in at])
    night = np.array([t for _g, t in at])
    weight: NDArray[np.float64] = np.array([groups[g][0][0] for g, _t in at])
    columns = np.arange(len(at))
    inside = night < len(nights) - 1
    take = coo_array((np.ones(len(at)), (group, columns)), shape=(len(groups), len(at)))
    hold = coo_array((weight[inside], (night[inside], columns[inside])), shape=(len(nights), len(at)))
    times = np.array([of[1] for _key, of in groups], dtype=float)
    answer = milp(
        cost,
        constraints=[LinearConstraint(take, times, times), LinearConstraint(hold, -np.inf, float(crews))],
        bounds=Bounds(0.0, np.inf),
    )
    if answer.x is None or answer.fun is None:
        raise AssertionError("priced covers always have a night: the last one holds all")
    return max(0, ceil(float(answer.fun) - SLACK_COUNT * max(1.0, float(answer.fun))))
