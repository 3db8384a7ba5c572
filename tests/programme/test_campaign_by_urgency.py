"""Interleaving by urgency: the most urgent first, its street filled, one street a crew."""

from datetime import date

from programme.campaign_sample import FIRST, campaign, cover, nights
from truebed.programme.campaign import oracle_of
from truebed.programme.campaign_by_urgency import by_urgency
from truebed.programme.campaign_check import check_campaign


def test_each_crew_takes_the_most_urgent_cover_left_and_fills_its_night_in_that_street():
    covers = [
        cover("A", "High", due=date(2027, 3, 5)), cover("B", "Dock", due=date(2027, 3, 6)), cover("C", "Mill"),
        cover("D", "High"), cover("E", "High"), cover("F", "High"),
    ]  # fmt: skip
    made = campaign(*covers)
    plan = by_urgency(made, oracle_of(made))
    assert check_campaign(made, plan) == ()
    assert [(c.night, c.streets, [crew.covers for crew in c.crews]) for c in plan.closures] == [
        (FIRST, ("High",), [("A", "D", "E")]),
        (FIRST, ("Dock",), [("B",)]),
        (date(2027, 3, 2), ("Mill",), [("C",)]),
        (date(2027, 3, 2), ("High",), [("F",)]),
    ]


def test_it_waits_for_the_lead_time_and_for_kits():
    made = campaign(cover("A", "Dock"), asked_on=FIRST, deliveries=((date(2027, 3, 18), 1),))
    assert nights(by_urgency(made, oracle_of(made))) == {"A": date(2027, 3, 18)}


def test_what_no_night_takes_is_left_out():
    made = campaign(cover("A", work="too long"), cover("B", "Back", lane="both"))
    assert by_urgency(made, oracle_of(made)).left_out == ("A", "B")
