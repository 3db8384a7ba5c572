"""Placing crew-nights: against every order of a small campaign; kits, embargoes and hard deadlines hold."""

from dataclasses import replace
from datetime import date
from itertools import permutations

from programme.campaign_sample import FIRST, campaign, cover, nights
from truebed.programme.campaign import oracle_of, plan_campaign, totals_of
from truebed.programme.campaign_calendar import nights_of
from truebed.programme.campaign_check import check_campaign
from truebed.programme.campaign_pack import pack
from truebed.programme.campaign_place import pieces_of, place
from truebed.programme.campaign_sites import sites_of


def test_one_crew_and_six_streets_are_placed_as_the_best_of_all_orders():
    streets = tuple(replace(campaign().streets[2], street=f"S{k}", diversion="") for k in range(6))
    dues = (3, 1, 5, 2, 2, 4)
    harms = (1, 7, 2, 5, 3, 8)
    covers = [
        cover(f"C{k}", f"S{k}", "long", due=date(2027, 3, d), harm=h)
        for k, (d, h) in enumerate(zip(dues, harms, strict=True))
    ]
    made = campaign(*covers, streets=streets, crews=1)
    ours = totals_of(made, plan_campaign(made)).lateness
    days = [night.day for night in nights_of(made)[:6]]
    best = min(
        sum(h * max(0, day - d) for day, d, h in zip(order, dues, harms, strict=True)) for order in permutations(days)
    )
    assert ours == best > 0


def test_a_hard_deadline_goes_before_any_harm():
    made = campaign(
        cover("A", "High", "long", due=FIRST, harm=999), cover("B", "Dock", "long", due=FIRST, hard=True), crews=1
    )
    assert nights(plan_campaign(made)) == {"A": date(2027, 3, 2), "B": FIRST}


def test_kits_are_waited_for():
    made = campaign(
        *(cover(f"C{k}", "Dock", "long") for k in range(4)),
        deliveries=((FIRST, 4), (date(2027, 3, 10), 4)),
        closure_weight=0,
    )
    plan = plan_campaign(made)
    assert check_campaign(made, plan) == ()
    assert sorted(night >= date(2027, 3, 10) for night in nights(plan).values()) == [False, False, True, True]


def test_an_embargoed_street_waits_and_the_others_do_not():
    streets = (
        replace(campaign().streets[0], embargoes=((FIRST, date(2027, 3, 12)),)), campaign().streets[2],
    )  # fmt: skip
    made = campaign(cover("A", due=FIRST), cover("B", "Dock", due=FIRST), streets=streets, crews=1)
    assert nights(plan_campaign(made)) == {"A": date(2027, 3, 15), "B": FIRST}


def test_crews_of_one_site_share_a_night_where_a_closure_weighs_more_than_waiting():
    covers = [cover(f"C{k}", "Dock", "long", due=date(2027, 3, 30)) for k in range(4)]
    plan = plan_campaign(campaign(*covers, closure_weight=50))
    assert [len(closure.crews) for closure in plan.closures] == [2]


def test_two_lanes_of_a_street_are_never_shut_in_one_night():
    covers = [cover(f"C{k}", "Back", "long", lane=("near", "far")[k % 2], due=FIRST, harm=9) for k in range(4)]
    made = campaign(*covers)
    plan = plan_campaign(made)
    assert check_campaign(made, plan) == ()
    assert len({closure.night for closure in plan.closures}) == len(plan.closures) == 2


def test_a_piece_that_no_night_can_have_is_placed_after_the_last_one():
    made = campaign(cover("A", "Dock"), last=FIRST, asked_on=FIRST)
    asked = oracle_of(made)
    sites = sites_of(made, made.covers, join=True)
    pieces = pieces_of(made, sites, [pack(made, site, asked) for site in sites], nights_of(made), asked)
    assert [(piece.nights, t) for piece, t in place(made, sites, pieces, nights_of(made), asked)] == [((), 1)]
