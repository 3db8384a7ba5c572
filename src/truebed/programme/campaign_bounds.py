"""What no campaign can go below, with streets joined or without: prices and crew-nights of each site."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from truebed.programme.campaign_calendar import shift_of, usual_hours
from truebed.programme.campaign_oracle import Oracle
from truebed.programme.campaign_pack import Unit, greatest_mixtures, pooled
from truebed.programme.campaign_sites import Class, Site
from truebed.programme.campaign_types import KINDS, Campaign, CampaignCover

#: What rounding of the solvers may have added to a bound.
SLACK_COUNT = 1e-6


@dataclass(frozen=True, slots=True)
class Prices:
    """Of a site's covers of at least that harm: no crew-night holds more than a price of 1 of them."""

    site: int
    least_harm: int
    of: tuple[tuple[Class, float], ...]
    least: int


def prices_of(
    campaign: Campaign, place: int, site: Site, covers: Sequence[CampaignCover], oracle: Oracle, *, whole: bool = True
) -> Prices:
    """The dual prices of these covers' set cover, and with `whole` its proven bound in whole crew-nights.

    place       the site's place in the caller's list

    Valid       crew-nights in this site and at most two of its streets; ways between streets are left out and what the
                solver left open counts as possible, which only lowers the bound
    Source      algebra (set cover; a dual price is right for any plan as long as no mixture's prices pass 1)
    Proved by   tests/programme/test_campaign_bounds.py
    """
    kinds = {k for s in campaign.streets if s.street in site.streets for k in s.kinds}
    every = {usual_hours(s) for k in KINDS if k in kinds and (s := shift_of(campaign, k)) is not None}
    least_harm = min((cover.harm for cover in covers), default=0)
    counts = Counter((cover.street, cover.work) for cover in covers)

    def possible(works: tuple[str, ...]) -> bool:
        return any(oracle.fits(hours, (works,), 0, doubt=True) for hours in every)

    classes = sorted(key for key in counts if possible((key[1],)))
    if not classes:
        return Prices(place, least_harm, (), 0)
    offered = tuple(counts[key] for key in classes)
    columns = greatest_mixtures([key[0] for key in classes], offered, lambda unit: possible(pooled(classes, unit)))
    price_counts, least = _solved(columns, offered, whole=whole)
    return Prices(place, least_harm, tuple(zip(classes, price_counts, strict=True)), least)


def _solved(columns: tuple[Unit, ...], offered: Unit, *, whole: bool) -> tuple[list[float], int]:
    from scipy.optimize import Bounds, LinearConstraint, linprog, milp

    counts = np.array(columns, dtype=float).T
    wanted = np.array(offered, dtype=float)
    ones = np.ones(len(columns))
    dual = linprog(-wanted, A_ub=counts.T, b_ub=ones, bounds=(0.0, None), method="highs")
    if dual.x is None:
        raise AssertionError("works that fit one by one have prices")
    # The prices are scaled so that no mixture passes 1 whatever the solver's tolerance.
    price_counts = np.where(dual.x > SLACK_COUNT, dual.x, 0.0)
    price_counts = price_counts * (1.0 - SLACK_COUNT) / max(1.0, float((counts.T @ price_counts).max()))
    least = ceil(float(wanted @ price_counts) - len(columns[0]) * SLACK_COUNT)
    if whole:
        answer = milp(
            ones,
            constraints=LinearConstraint(counts, wanted, np.inf),
            integrality=np.ones(len(columns), dtype=np.int64),
            bounds=Bounds(0.0, np.inf),
        )
        if answer.mip_dual_bound is not None:
            least = max(least, ceil(float(answer.mip_dual_bound) - SLACK_COUNT))
    return [float(price) for price in price_counts], least
