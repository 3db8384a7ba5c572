"""Small campaigns, all invented: three works whose capacities can be counted by hand."""

from dataclasses import replace
from datetime import date

from truebed.programme.campaign_types import Campaign, CampaignCover, Shift, Street, Work
from truebed.programme.problem import OPEN, Job, Lag, Task

FIRST = date(2027, 3, 1)  # a Monday


def work(name, noisy_min, quiet_min, kits=1, wait_min=0):
    """Saw (noisy), then lay, then a wait of the road's opening."""
    tasks = (Task(name, "saw", "saw", noisy_min, 1, (), "", True), Task(name, "lay", "lay", quiet_min, 1))
    lags = (
        Lag("saw", "end", "lay", "start", 0, None, "order"),
        Lag("lay", "end", OPEN, "start", wait_min, None, "the bed sets"),
    )
    return Work(name, Job(name, 1, tasks, lags), kits)


def cover(name, street="High", work="short", due=date(2027, 3, 31), harm=1, lane="near", x_m=0.0, y_m=0.0, hard=False):
    return CampaignCover(name, street, lane, work, x_m, y_m, harm, due, hard)


def campaign(*covers, streets=None, **more):
    """Nights of 120 min of work, noise in the first 60; 'short' 20 + 20 (three fit), 'long' 30 + 30 (two fit)."""
    made = Campaign(
        name="small", zone="Europe/Paris", asked_on=date(2027, 2, 1), first=FIRST, last=date(2027, 4, 30),
        weekdays=(0, 1, 2, 3, 4), holidays=(), embargoes=(),
        shifts=(
            Shift("lane", 7, 20 * 60, 21 * 60 + 10, 22 * 60 + 20, 10, 10),
            Shift("full", 14, 20 * 60, 21 * 60 + 10, 22 * 60 + 20, 10, 10),
        ),
        works=(work("short", 20, 20), work("long", 30, 30, kits=2), work("too long", 30, 100)),
        streets=(
            Street("High", "D1", ("lane", "full")), Street("Mill", "D1", ("lane", "full")),
            Street("Dock", "D2", ("full",)), Street("Back", "", ("lane",)),
        ) if streets is None else streets,
        covers=covers, deliveries=((date(2027, 1, 4), 1000),), crews=2, vans=2, most_crews=2,
        depot_x_m=0.0, depot_y_m=0.0, van_m_per_min=250.0, load_min=0, closure_weight=1,
    )  # fmt: skip
    return replace(made, **more)


def nights(plan):
    return {name: c.night for c in plan.closures for crew in c.crews for name in crew.covers}
