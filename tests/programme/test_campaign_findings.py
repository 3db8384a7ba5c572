"""What is wrong with a campaign is named all at once; due dates inside the lead time are a finding, not a surprise."""

from dataclasses import replace
from datetime import date
from math import nan

import pytest

from programme.campaign_sample import FIRST, campaign, cover, work
from truebed.errors import TruebedError
from truebed.programme.campaign import plan_campaign
from truebed.programme.campaign_findings import campaign_faults, kinds_for, plan_findings
from truebed.programme.problem import Lag


def words(made):
    return " ".join(finding.sentence() for finding in campaign_faults(made))


def found(made):
    return [(f.code, f.subject) for f in plan_findings(made, plan_campaign(made))]


def test_a_campaign_that_holds_has_no_faults():
    assert campaign_faults(campaign(cover("A"))) == ()


def test_all_faults_are_told_at_once():
    broken = campaign(
        cover("A"), cover("A"), cover("B", "Nowhere"), cover("C", work="unknown"), cover("D", x_m=nan),
        cover("E", harm=0), crews=0, vans=0, most_crews=0, depot_x_m=nan, van_m_per_min=0.0, zone="Moon/Base",
        deliveries=((FIRST, -1),), last=date(2027, 1, 1), embargoes=((date(2027, 3, 2), FIRST),),
    )  # fmt: skip
    text = words(broken)
    for part in (
        "A: the cover is given twice", "'Nowhere' is not given", "'unknown' is not given", "D: its place is missing",
        "E: its harm is below 1", "there are no crews", "there are no vans", "the depot's place is missing",
        "speed is not above 0", "'Moon/Base' is not known", "a delivery of -1 kits", "lies before the first",
        "embargo ends before it begins",
    ):  # fmt: skip
        assert part in text
    with pytest.raises(TruebedError, match=r"the cover is given twice.*there are no crews"):
        plan_campaign(broken)


def test_hours_without_time_to_work_and_contradictory_lags_are_faults():
    made = campaign(cover("A"))
    short = replace(made.shifts[0], open_by_min=made.shifts[0].shut_at_min + 20)
    assert "no time to work" in words(replace(made, shifts=(short, made.shifts[1])))
    assert "given twice" in words(replace(made, shifts=(made.shifts[0],) * 2))
    ring = work("short", 20, 20)
    ring = replace(
        ring, job=replace(ring.job, lags=(Lag("saw", "end", "lay", "start", 30, 20, "a wait and a wet edge"),))
    )
    assert "contradict each other by 10 min" in words(replace(made, works=(ring, *made.works[1:])))


def test_a_due_date_inside_the_lead_time_is_found_with_the_soonest_day():
    made = campaign(cover("A", "Dock", due=date(2027, 3, 10)), asked_on=FIRST)
    (finding,) = plan_findings(made, plan_campaign(made))
    assert finding.code == "PR-221"
    assert "2027-03-15" in finding.what
    assert finding.value == 14.0


def test_the_lead_time_is_that_of_the_lightest_closure_that_reaches_the_cover():
    made = campaign(cover("A", due=date(2027, 3, 10)), cover("B", lane="both", due=date(2027, 3, 10)), asked_on=FIRST)
    assert found(made) == [("PR-221", "B")]
    assert [kinds_for(made, c) for c in made.covers] == [("lane", "full"), ("full",)]


def test_a_hard_deadline_missed_an_embargo_past_the_due_date_and_a_cover_left_out_are_found():
    streets = tuple(replace(s, embargoes=((FIRST, date(2027, 3, 5)),)) for s in campaign().streets[:1])
    made = campaign(
        cover("A", due=FIRST, hard=True), cover("B", work="too long"), cover("C", "Back", lane="both"),
        cover("D", "Far"), streets=(*streets, campaign().streets[3], replace(campaign().streets[3], street="Far",
        embargoes=((FIRST, date(2027, 4, 30)),))),
    )  # fmt: skip
    assert found(made) == [("PR-224", "A"), ("PR-222", "A"), ("PR-223", "B"), ("PR-223", "C"), ("PR-223", "D")]
    whats = [f.what for f in plan_findings(made, plan_campaign(made)) if f.code == "PR-223"]
    assert len(set(whats)) == 3
