"""Verifies any campaign plan from the campaign and the plan alone: it shares no code with what makes plans.

PR-201 a cover is done that was not given, is done twice, or is neither done nor named as left out
PR-202 a night is no working night of the campaign
PR-203 a street is shut in its embargo
PR-204 a street is shut in a kind of closure that it may not have, or before the lead time has run out
PR-205 a lane closure holds more than one street or lane
PR-206 streets are shut together that share no diversion
PR-207 more crew-nights than crews and vans, or too many in one closure
PR-208 more kits are used than were delivered
PR-209 a street is shut twice in one night
PR-210 a step is missing, has another length, or lies outside the night's real hours
PR-211 one crew has two steps at once, or no time for the move between streets
PR-212 a lag between steps, or to the opening, is broken
PR-213 a crew works in more than two streets in one night
"""

from __future__ import annotations

from collections import Counter
from datetime import date, datetime, timedelta
from itertools import pairwise
from math import ceil, sqrt
from zoneinfo import ZoneInfo

from truebed.findings import Finding, Severity
from truebed.programme.campaign_types import (
    Campaign,
    CampaignCover,
    CampaignPlan,
    ClosureNight,
    CrewNight,
    Shift,
    Street,
)
from truebed.programme.problem import OPEN, Placed

Found = list[Finding]


def check_campaign(campaign: Campaign, plan: CampaignPlan) -> tuple[Finding, ...]:
    """Every rule that the plan breaks; () where it holds.

    Valid       any plan for a campaign whose names are known (campaign_faults is ()), by whatever hand it was made
    Source      algebra; the limits are the campaign's own
    Proved by   tests/programme/test_campaign_check.py
    """
    covers = {cover.cover: cover for cover in campaign.covers}
    streets = {street.street: street for street in campaign.streets}
    shifts = {shift.kind: shift for shift in campaign.shifts}
    found = _each_cover_once(campaign, plan)
    for closure in plan.closures:
        shift = shifts.get(closure.kind)
        found += _date(campaign, closure, streets, shift)
        found += _place(campaign, closure, covers, streets)
        for crew in closure.crews:
            if shift is not None and all(name in covers for name in crew.covers):
                found += _steps(campaign, closure, crew, covers, shift)
                found += _moves(campaign, closure, crew, covers)
    return (*found, *_each_night(campaign, plan), *_kits(campaign, plan, covers))


def _breaks(code: str, subject: str, what: str, value: float | None = None, unit: str = "", limit: str = "") -> Finding:
    return Finding(code, Severity.BREAKS, subject, what, value, unit, limit, "", "Take it out of the plan.")


def _name(closure: ClosureNight) -> str:
    return f"{closure.night.isoformat()}, {' and '.join(closure.streets)}"


def _each_cover_once(campaign: Campaign, plan: CampaignPlan) -> Found:
    done = Counter(name for c in plan.closures for crew in c.crews for name in crew.covers)
    known = {cover.cover for cover in campaign.covers}
    found = [_breaks("PR-201", n, "it is done but was not given") for n in sorted(set(done) - known)]
    for name in sorted(known):
        times = done[name] + plan.left_out.count(name)
        if times != 1:
            found.append(_breaks("PR-201", name, "it must be done once or left out", float(times), "times", "1 time"))
    return found


def _date(campaign: Campaign, closure: ClosureNight, streets: dict[str, Street], shift: Shift | None) -> Found:
    found: Found = []
    night, subject = closure.night, _name(closure)
    working = campaign.first <= night <= campaign.last and night.weekday() in campaign.weekdays
    if not working or night in campaign.holidays or any(a <= night <= b for a, b in campaign.embargoes):
        found.append(_breaks("PR-202", subject, "this is no working night"))
    for name in closure.streets:
        street = streets.get(name)
        if street is None or closure.kind not in street.kinds:
            found.append(_breaks("PR-204", subject, f"{name} may not have a {closure.kind} closure"))
        elif any(a <= night <= b for a, b in street.embargoes):
            found.append(_breaks("PR-203", subject, f"{name} is under embargo"))
    days = (night - campaign.asked_on).days
    if shift is None or days < shift.lead_days:
        limit = "" if shift is None else f"{shift.lead_days} days"
        found.append(_breaks("PR-204", subject, "the lead time has not run out", float(days), "days", limit))
    return found


def _place(
    campaign: Campaign, closure: ClosureNight, covers: dict[str, CampaignCover], streets: dict[str, Street]
) -> Found:
    found: Found = []
    subject = _name(closure)
    mine = [covers[name] for crew in closure.crews for name in crew.covers if name in covers]
    if {cover.street for cover in mine} != set(closure.streets):
        found.append(_breaks("PR-205", subject, "the streets it names are not those of its covers"))
    if closure.kind != "full" and (len(closure.streets) != 1 or any(c.lane != closure.lane for c in mine)):
        found.append(_breaks("PR-205", subject, "one lane of one street is shut, and work lies outside it"))
    if len(closure.streets) > 1:
        ways = {streets[name].diversion for name in closure.streets if name in streets}
        if len(ways) != 1 or "" in ways:
            found.append(_breaks("PR-206", subject, "its streets share no diversion"))
    if len(closure.crews) > campaign.most_crews:
        count = float(len(closure.crews))
        found.append(_breaks("PR-207", subject, "too many crews", count, "crews", f"{campaign.most_crews} crews"))
    for crew in closure.crews:
        count = float(len({covers[name].street for name in crew.covers if name in covers}))
        if count > 2:
            found.append(_breaks("PR-213", subject, "a crew works in too many streets", count, "streets", "2 streets"))
    return found


def _steps(
    campaign: Campaign, closure: ClosureNight, crew: CrewNight, covers: dict[str, CampaignCover], shift: Shift
) -> Found:
    found: Found = []
    noise_min, open_min = (
        _real_minutes(closure.night, shift.shut_at_min, at, campaign.zone)
        for at in (shift.noise_ends_min, shift.open_by_min)
    )
    jobs = {work.work: work.job for work in campaign.works}
    wanted = Counter((name, task.step) for name in crew.covers for task in jobs[covers[name].work].tasks)
    if Counter((p.cover, p.step) for p in crew.placed) != wanted:
        return [_breaks("PR-210", _name(closure), "the steps placed are not those of its covers")]
    for name in crew.covers:
        job = jobs[covers[name].work]
        at = {p.step: p for p in crew.placed if p.cover == name}
        for task in job.tasks:
            placed = at[task.step]
            last_min = min(noise_min, open_min - shift.tm_clear_min) if task.noisy else open_min - shift.tm_clear_min
            wrong = placed.end_min - placed.start_min != task.minutes
            if wrong or placed.start_min < shift.tm_set_min or placed.end_min > last_min:
                found.append(
                    _breaks(
                        "PR-210", f"{name}, {task.name}", "it has another length or lies outside the hours",
                        float(placed.end_min), "min", f"{last_min} min",
                    )
                )  # fmt: skip
        for lag in job.lags:
            start = _edge(at[lag.from_step], lag.from_edge)
            end = open_min if lag.to_step == OPEN else _edge(at[lag.to_step], lag.to_edge)
            short = lag.least_min is not None and end - start < lag.least_min
            over = lag.greatest_min is not None and end - start > lag.greatest_min
            if short or over:
                found.append(_breaks("PR-212", f"{name}, {lag.why}", "the lag is broken", float(end - start), "min"))
    return found


def _edge(placed: Placed, edge: str) -> int:
    return placed.start_min if edge == "start" else placed.end_min


def _moves(campaign: Campaign, closure: ClosureNight, crew: CrewNight, covers: dict[str, CampaignCover]) -> Found:
    found: Found = []
    for before, after in pairwise(sorted(crew.placed, key=lambda p: (p.start_min, p.end_min))):
        if before.cover not in covers or after.cover not in covers:
            continue
        a, b = covers[before.cover], covers[after.cover]
        way_min = 0
        if a.street != b.street:
            far_m = sqrt((a.x_m - b.x_m) ** 2 + (a.y_m - b.y_m) ** 2)
            way_min = campaign.load_min + ceil(far_m / campaign.van_m_per_min)
        gap = after.start_min - before.end_min
        if gap < way_min:
            what = f"no time between {before.step} and {after.cover}, {after.step}"
            found.append(
                _breaks("PR-211", f"{_name(closure)}, {before.cover}", what, float(gap), "min", f"{way_min} min")
            )
    return found


def _real_minutes(night: date, from_min: int, to_min: int, zone: str) -> int:
    """Least minutes that really pass between two times of the clock, both counted from the night's own midnight."""

    def stamp(at_min: int, fold: int) -> float:
        day = night + timedelta(days=at_min // 1440)
        hour, minute = divmod(at_min % 1440, 60)
        return datetime(day.year, day.month, day.day, hour, minute, tzinfo=ZoneInfo(zone), fold=fold).timestamp()

    return min(round((stamp(to_min, b) - stamp(from_min, a)) / 60.0) for a in (0, 1) for b in (0, 1))


def _each_night(campaign: Campaign, plan: CampaignPlan) -> Found:
    found: Found = []
    most = min(campaign.crews, campaign.vans)
    for night in sorted({closure.night for closure in plan.closures}):
        tonight = [closure for closure in plan.closures if closure.night == night]
        crews = sum(len(closure.crews) for closure in tonight)
        if crews > most:
            what = "more crew-nights than crews and vans"
            found.append(_breaks("PR-207", night.isoformat(), what, float(crews), "crews", f"{most} crews"))
        for street, times in sorted(Counter(s for closure in tonight for s in closure.streets).items()):
            if times > 1:
                subject = f"{night.isoformat()}, {street}"
                found.append(_breaks("PR-209", subject, "the street is shut twice", float(times), "times", "1 time"))
    return found


def _kits(campaign: Campaign, plan: CampaignPlan, covers: dict[str, CampaignCover]) -> Found:
    need = {work.work: work.kits for work in campaign.works}
    found: Found = []
    used = 0
    for night in sorted({closure.night for closure in plan.closures}):
        tonight = [
            c for closure in plan.closures if closure.night == night for crew in closure.crews for c in crew.covers
        ]
        used += sum(need[covers[name].work] for name in tonight if name in covers)
        had = sum(kits for day, kits in campaign.deliveries if day <= night)
        if used > had:
            found.append(
                _breaks("PR-208", night.isoformat(), "kits run out", float(used), "kits", f"{had} kits delivered")
            )
    return found
