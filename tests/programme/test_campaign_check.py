"""The checker of campaigns: silent on good plans, and each rule broken in turn by hand."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from programme.campaign_sample import FIRST, campaign, cover
from truebed.programme.campaign import oracle_of, plan_campaign
from truebed.programme.campaign_check import check_campaign
from truebed.programme.campaign_timed import fits_tonight, timed
from truebed.programme.campaign_types import CampaignPlan, ClosureNight, CrewNight, Shift, Street

COVERS = (
    cover("A", x_m=0.0), cover("B", "Mill", x_m=250.0), cover("C", "Dock"), cover("D", "Back", lane="far"), cover("E"),
)  # fmt: skip


def made_and_plan():
    made = campaign(*COVERS)
    return made, plan_campaign(made)


def codes(made, plan):
    return {finding.code for finding in check_campaign(made, plan)}


def one(made, *crews, night=FIRST, kind="full", lane=""):
    """A plan of one closure with these crews of covers."""
    closure = timed(made, oracle_of(made), night, kind, lane, [tuple(crew) for crew in crews])
    done = {c.cover for crew in crews for c in crew}
    return CampaignPlan((closure,), tuple(c.cover for c in made.covers if c.cover not in done))


def with_closure(plan, **change):
    return replace(plan, closures=(replace(plan.closures[0], **change), *plan.closures[1:]))


def with_placed(plan, k, **change):
    crew = plan.closures[0].crews[0]
    placed = (*crew.placed[:k], replace(crew.placed[k], **change), *crew.placed[k + 1 :])
    return with_closure(plan, crews=(replace(crew, placed=placed),))


def test_a_good_plan_breaks_nothing():
    made, plan = made_and_plan()
    assert check_campaign(made, plan) == ()
    assert plan.left_out == ()


def test_a_cover_left_unnamed_done_twice_or_never_given_is_told():
    made, plan = made_and_plan()
    assert codes(made, replace(plan, left_out=("A",))) == {"PR-201"}
    assert codes(replace(made, covers=made.covers[:-1]), plan) >= {"PR-201"}
    assert "PR-201" in codes(replace(made, covers=(*made.covers, cover("Z"))), plan)


@pytest.mark.parametrize("night", [date(2027, 3, 6), date(2027, 2, 26), date(2027, 5, 3)])
def test_a_night_at_the_weekend_or_outside_the_campaign_is_told(night):
    made = campaign(COVERS[0])
    assert codes(made, one(made, (COVERS[0],), night=night)) == {"PR-202"}


def test_holidays_and_embargoes_of_all_or_of_one_street_are_told():
    made = campaign(COVERS[0])
    plan = one(made, (COVERS[0],))
    assert codes(replace(made, holidays=(FIRST,)), plan) == {"PR-202"}
    assert codes(replace(made, embargoes=((FIRST, FIRST),)), plan) == {"PR-202"}
    shut = tuple(replace(s, embargoes=((FIRST, FIRST),)) if s.street == "High" else s for s in made.streets)
    assert codes(replace(made, streets=shut), plan) == {"PR-203"}


def test_a_kind_that_the_street_may_not_have_or_a_lead_time_not_run_out_is_told():
    made = campaign(COVERS[0])
    plan = one(made, (COVERS[0],))
    lanes = tuple(replace(s, kinds=("lane",)) for s in made.streets)
    assert codes(replace(made, streets=lanes), plan) == {"PR-204"}
    assert codes(replace(made, asked_on=FIRST - timedelta(days=13)), plan) == {"PR-204"}
    assert codes(replace(made, asked_on=FIRST - timedelta(days=14)), plan) == set()
    assert codes(replace(made, shifts=()), plan) == {"PR-204"}


def test_work_outside_the_lane_that_is_shut_or_streets_not_named_are_told():
    made = campaign(*COVERS)
    assert codes(made, one(made, (COVERS[0],), kind="lane", lane="far")) == {"PR-205"}
    assert codes(made, with_closure(one(made, (COVERS[0],)), streets=("Mill",))) == {"PR-205"}


def test_streets_without_a_common_diversion_are_told():
    made = campaign(*COVERS)
    assert codes(made, one(made, (COVERS[0],), (COVERS[2],))) == {"PR-206"}
    assert codes(made, one(made, (COVERS[0],), (COVERS[1],))) == set()


def test_more_crews_than_there_are_or_than_a_closure_takes_are_told():
    made = campaign(*COVERS)
    plan = one(made, (COVERS[0],), (COVERS[1],))
    assert codes(replace(made, vans=1), plan) == {"PR-207"}
    assert codes(replace(made, most_crews=1), plan) == {"PR-207"}


def test_kits_used_before_they_are_delivered_are_told():
    made = campaign(COVERS[0])
    assert codes(replace(made, deliveries=((FIRST + timedelta(days=1), 9),)), one(made, (COVERS[0],))) == {"PR-208"}


def test_a_street_shut_twice_in_a_night_is_told():
    made = campaign(COVERS[0], COVERS[4])
    first, second = one(made, (COVERS[0],)), one(made, (COVERS[4],))
    assert codes(made, CampaignPlan(first.closures + second.closures, ())) == {"PR-209"}


def test_steps_missing_of_another_length_or_outside_the_hours_are_told():
    made = campaign(COVERS[0])
    plan = one(made, (COVERS[0],))
    crew = plan.closures[0].crews[0]
    assert codes(made, with_closure(plan, crews=(replace(crew, placed=crew.placed[1:]),))) == {"PR-210"}
    assert codes(made, with_placed(plan, 1, end_min=crew.placed[1].end_min + 1)) == {"PR-210"}
    assert "PR-210" in codes(made, with_placed(plan, 0, start_min=9, end_min=29))
    assert "PR-210" in codes(made, with_placed(plan, 0, start_min=51, end_min=71))
    assert "PR-210" in codes(made, with_placed(plan, 1, start_min=111, end_min=131))


def test_two_steps_at_once_and_a_move_without_time_are_told():
    made = campaign(COVERS[0], COVERS[1], van_m_per_min=10.0)
    near = replace(made, van_m_per_min=1000.0)
    plan = one(near, (COVERS[0], COVERS[1]))
    assert codes(near, plan) == set()
    assert codes(made, plan) == {"PR-211"}


def test_a_broken_lag_is_told():
    made = campaign(COVERS[0])
    plan = one(made, (COVERS[0],))
    saw = plan.closures[0].crews[0].placed[0]
    assert "PR-212" in codes(made, with_placed(plan, 1, start_min=saw.end_min - 1, end_min=saw.end_min + 19))


def test_a_crew_in_three_streets_is_told():
    streets = tuple(Street(name, "D1", ("full",)) for name in ("High", "Mill", "Dock"))
    covers = (cover("A"), cover("B", "Mill"), cover("C", "Dock"))
    made = campaign(*covers, streets=streets)
    assert codes(made, one(made, covers)) == {"PR-213"}


def test_a_spring_night_is_an_hour_shorter_for_the_checker_and_for_the_plan():
    spring = date(2027, 3, 27)
    of = (cover("A", work="too long"),)
    late = (Shift("full", 0, 24 * 60, 27 * 60 + 10, 27 * 60 + 10, 10, 10),)
    short = campaign(*of, shifts=late, weekdays=(5,), first=date(2027, 3, 20), last=date(2027, 4, 3))
    asked = oracle_of(short)
    assert fits_tonight(short, asked, date(2027, 3, 20), "full", of, 0)
    assert not fits_tonight(short, asked, spring, "full", of, 0)
    plan = one(short, of, night=date(2027, 3, 20))
    assert codes(short, plan) == set()
    assert "PR-210" in codes(short, with_closure(plan, night=spring))
    assert plan_campaign(replace(short, first=spring)).closures[0].night == date(2027, 4, 3)


def test_a_crew_may_be_checked_that_has_no_covers():
    made = campaign(COVERS[0])
    empty = ClosureNight(FIRST, "full", (), "", (CrewNight((), ()),))
    assert codes(made, CampaignPlan((empty,), ("A",))) == set()
