"""Bounds of a campaign: no plan goes below, and where work can be counted by hand they are met."""

from dataclasses import replace
from datetime import date
from itertools import combinations

import pytest

from programme.campaign_sample import campaign, cover
from programme.campaign_town import campaign_map
from truebed.programme.campaign import oracle_of, plan_campaign, totals_of
from truebed.programme.campaign_bounds import prices_of
from truebed.programme.campaign_by_urgency import by_urgency
from truebed.programme.campaign_late_bound import bounds_of
from truebed.programme.campaign_sites import site_hours, sites_of


def test_four_short_ones_in_each_of_two_streets_take_four_nights_apart_and_three_together():
    covers = [cover(f"C{k}", ("High", "Mill")[k % 2]) for k in range(8)]
    made = campaign(*covers)
    assert bounds_of(made, oracle_of(made), join=False).crew_nights == 4
    assert bounds_of(made, oracle_of(made), join=True).crew_nights == 3
    assert bounds_of(made, oracle_of(made), join=False).closures == 2
    assert bounds_of(made, oracle_of(made), join=True).closures == 2


def test_lateness_of_more_urgent_work_than_a_night_holds_is_counted():
    first = campaign().first
    covers = [cover(f"C{k}", "Dock", "long", due=first, harm=10) for k in range(4)]
    made = campaign(*covers, crews=1)
    assert bounds_of(made, oracle_of(made), join=True).lateness == 20
    assert totals_of(made, plan_campaign(made)).lateness == 20


@pytest.mark.parametrize("join", [False, True])
@pytest.mark.parametrize(("seed", "crews"), [(3, 1), (4, 2), (8, 1)])
def test_no_plan_of_a_made_town_goes_below_its_bounds(seed, crews, join):
    made = campaign_map(seed, 40, crews=crews)
    asked = oracle_of(made)
    bounds = bounds_of(made, asked, join=join)
    plan = totals_of(made, plan_campaign(made, join=join, oracle=asked))
    urgent = totals_of(made, by_urgency(made, asked))
    for totals in (plan, *(() if join else (urgent,))):
        assert totals.crew_nights >= bounds.crew_nights > 0
        assert totals.closures >= bounds.closures > 0
        assert totals.lateness >= bounds.lateness


def test_urgent_covers_far_apart_cost_a_whole_crew_night_each():
    streets = tuple(replace(campaign().streets[2], street=f"S{k}", diversion="") for k in range(4))
    due = campaign().first
    urgent = [cover(f"U{k}", f"S{k}", due=due, harm=10) for k in range(4)]
    calm = [cover(f"C{k}", f"S{k}", due=date(2027, 4, 30)) for k in range(4)]
    made = campaign(*urgent, *calm, streets=streets, crews=1)
    assert bounds_of(made, oracle_of(made), join=True).lateness == 10 * (1 + 2 + 3)
    assert totals_of(made, plan_campaign(made)).lateness == 60


def test_a_calm_cover_beside_an_urgent_one_of_its_kind_costs_no_crew_night_of_its_own():
    due = campaign().first
    covers = [cover("U", "Dock", due=due, harm=10), *(cover(f"C{k}", "Dock", due=due, harm=1) for k in range(2))]
    made = campaign(*covers, crews=1)
    assert totals_of(made, plan_campaign(made)).lateness == 0
    assert bounds_of(made, oracle_of(made), join=True).lateness == 0


def test_prices_never_pass_one_on_any_mixture_that_one_crew_can_do():
    made = campaign_map(9, 60)
    asked = oracle_of(made)
    for k, site in enumerate(sites_of(made, made.covers, join=True)):
        prices = prices_of(made, k, site, site.covers, asked)
        of = dict(prices.of)
        for size in (1, 2, 3):
            for crew in combinations(site.covers, size):
                fits = asked.fits(site_hours(made, site), (tuple(c.work for c in crew),), 0)
                if fits and len({c.street for c in crew}) <= 2:
                    assert sum(of[c.street, c.work] for c in crew) <= 1.0


def test_nothing_asked_is_bounded_by_nothing():
    made = campaign()
    assert bounds_of(made, oracle_of(made), join=True).crew_nights == 0
