"""A campaign as a whole: better than interleaving by urgency, checked, the same twice, every kind of closure used."""

from dataclasses import replace
from datetime import date

import pytest

from programme.campaign_sample import FIRST, campaign, cover, nights
from programme.campaign_town import campaign_map
from truebed.programme.campaign import oracle_of, plan_campaign, totals_of
from truebed.programme.campaign_by_urgency import by_urgency
from truebed.programme.campaign_check import check_campaign

TOWN = campaign_map(5, 50)


def test_a_made_town_is_planned_with_fewer_crew_nights_and_closures_and_nothing_broken():
    plan = plan_campaign(TOWN)
    urgent = by_urgency(TOWN, oracle_of(TOWN))
    assert check_campaign(TOWN, plan) == check_campaign(TOWN, urgent) == ()
    ours, theirs = totals_of(TOWN, plan), totals_of(TOWN, urgent)
    assert plan.left_out == ()
    assert ours.crew_nights < theirs.crew_nights
    assert ours.closures <= 0.8 * theirs.closures
    assert ours.hard_late <= theirs.hard_late


def test_two_runs_give_the_same_plan():
    assert plan_campaign(TOWN) == plan_campaign(TOWN)


def test_the_same_seed_gives_the_same_map_and_another_seed_another():
    assert campaign_map(5, 50) == TOWN != campaign_map(6, 50)


def test_joining_two_streets_of_three_and_three_saves_a_closure():
    covers = [cover(f"C{k}", ("High", "Mill")[k % 2]) for k in range(6)]
    made = campaign(*covers)
    apart, joined = plan_campaign(made, join=False), plan_campaign(made, join=True)
    assert (len(apart.closures), len(joined.closures)) == (2, 1)
    assert check_campaign(made, joined) == ()


def test_the_lightest_closure_that_serves_is_asked_for():
    made = campaign(cover("A"), cover("B"))
    assert [(c.kind, c.lane) for c in plan_campaign(made).closures] == [("lane", "near")]
    both = campaign(cover("A"), cover("B", lane="far"))
    assert [(c.kind, c.lane) for c in plan_campaign(both).closures] == [("full", "")]


def test_before_a_full_closure_may_be_had_the_nights_are_filled_with_lanes():
    made = campaign(cover("A", due=date(2027, 3, 9)), cover("B", "Dock"), asked_on=FIRST)
    plan = plan_campaign(made)
    assert nights(plan) == {"A": date(2027, 3, 8), "B": date(2027, 3, 15)}
    assert plan.closures[0].kind == "lane"


def test_a_campaign_of_nothing_is_an_empty_plan():
    plan = plan_campaign(campaign())
    assert plan.closures == plan.left_out == ()
    assert totals_of(campaign(), plan).last_night is None


def test_a_cover_left_out_counts_as_late_past_the_calendar():
    made = campaign(cover("A", work="too long", harm=2, due=date(2027, 4, 28), hard=True))
    totals = totals_of(made, plan_campaign(made))
    assert (totals.lateness, totals.hard_late, totals.covers_late) == (6, 1, 1)


@pytest.mark.parametrize("first", [date(2027, 12, 27), date(2028, 2, 21), date(2028, 3, 20), date(2028, 10, 23)])
def test_campaigns_over_the_years_end_a_leap_day_and_both_changes_of_the_clock_hold(first):
    made = replace(campaign_map(7, 30, first=first), weekdays=(0, 1, 2, 3, 4, 5, 6))
    plan = plan_campaign(made)
    assert check_campaign(made, plan) == ()
    assert plan.left_out == ()
