"""What is wrong with a campaign as given, and what the supervisor must know about the plan."""

from __future__ import annotations

from datetime import timedelta
from math import isfinite
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from truebed.findings import Finding, Severity
from truebed.programme.campaign_calendar import late_days, open_nights, shift_of
from truebed.programme.campaign_types import BOTH, KINDS, Campaign, CampaignCover, CampaignPlan, Kind
from truebed.programme.network import contradiction


def campaign_faults(campaign: Campaign) -> tuple[Finding, ...]:
    """Everything in the campaign that does not hold together, all at once; () where it can be planned.

    Source      house
    Proved by   tests/programme/test_campaign_findings.py
    """
    return (*_of_names(campaign), *_of_means(campaign), *_of_hours(campaign), *_of_works(campaign))


def _fault(subject: str, what: str, mend: str) -> Finding:
    return Finding("PR-220", Severity.BREAKS, subject, what, mend=mend)


def _of_names(campaign: Campaign) -> list[Finding]:
    found: list[Finding] = []
    streets = [s.street for s in campaign.streets]
    works = [w.work for w in campaign.works]
    for what, names in (("street", streets), ("work", works), ("cover", [c.cover for c in campaign.covers])):
        for name in sorted({n for n in names if names.count(n) > 1}):
            found.append(_fault(name, f"the {what} is given twice", "Keep one of them."))
    for cover in campaign.covers:
        if cover.street not in streets:
            found.append(_fault(cover.cover, f"its street '{cover.street}' is not given", "Add the street."))
        if cover.work not in works:
            found.append(_fault(cover.cover, f"its kind of work '{cover.work}' is not given", "Add the work."))
        if not (isfinite(cover.x_m) and isfinite(cover.y_m)):
            found.append(_fault(cover.cover, "its place is missing, so no travel can be told", "Give x and y."))
        if cover.harm < 1:
            found.append(_fault(cover.cover, "its harm is below 1, so nothing speaks for doing it", "Give 1 or more."))
    return found


def _of_means(campaign: Campaign) -> list[Finding]:
    found: list[Finding] = []
    for what, count in (
        ("crews", campaign.crews),
        ("vans", campaign.vans),
        ("crews in one closure", campaign.most_crews),
    ):
        if count < 1:
            found.append(_fault(campaign.name, f"there are no {what}", "Give at least one."))
    if not (isfinite(campaign.depot_x_m) and isfinite(campaign.depot_y_m)):
        found.append(_fault(campaign.name, "the depot's place is missing, so no travel can be told", "Give x and y."))
    if not campaign.van_m_per_min > 0.0:
        found.append(_fault(campaign.name, "the vans' speed is not above 0", "Give metres per minute."))
    for day, kits in campaign.deliveries:
        if kits < 0:
            found.append(_fault(day.isoformat(), f"a delivery of {kits} kits", "Give 0 or more."))
    return found


def _of_hours(campaign: Campaign) -> list[Finding]:
    found: list[Finding] = []
    if campaign.last < campaign.first:
        found.append(_fault(campaign.name, "the last night lies before the first", "Exchange them."))
    if any(last < first for of in (s.embargoes for s in campaign.streets) for first, last in of) or any(
        last < first for first, last in campaign.embargoes
    ):
        found.append(_fault(campaign.name, "an embargo ends before it begins", "Exchange its dates."))
    try:
        ZoneInfo(campaign.zone)
    except (ZoneInfoNotFoundError, ValueError):
        found.append(
            _fault(campaign.name, f"the time zone '{campaign.zone}' is not known", "Give a name as Europe/Paris.")
        )
    for shift in campaign.shifts:
        used_min = shift.tm_set_min + shift.tm_clear_min
        if shift.open_by_min - shift.shut_at_min <= used_min or shift.lead_days < 0:
            found.append(
                _fault(shift.kind, "its hours leave no time to work, or its lead time is negative", "Mend them.")
            )
    for kind in sorted({s.kind for s in campaign.shifts}):
        if sum(s.kind == kind for s in campaign.shifts) > 1:
            found.append(_fault(kind, "the kind of closure is given twice", "Keep one of them."))
    return found


def _of_works(campaign: Campaign) -> list[Finding]:
    found: list[Finding] = []
    for work in campaign.works:
        steps = {task.step for task in work.job.tasks}
        if not steps or any(lag.from_step not in steps for lag in work.job.lags):
            found.append(_fault(work.work, "it has no steps, or a lag that names none of them", "Mend its steps."))
        elif (ring := contradiction(work.job)) is not None:
            what = f"its lags contradict each other by {ring[0]} min"
            found.append(_fault(work.work, what, "Widen the greatest lag or shorten the least."))
    return found


def kinds_for(campaign: Campaign, cover: CampaignCover) -> tuple[Kind, ...]:
    """The closures that reach the cover, lightest first.

    Source      algebra
    Proved by   tests/programme/test_campaign_findings.py
    """
    of = next(s for s in campaign.streets if s.street == cover.street)
    return tuple(
        k for k in KINDS if k in of.kinds and shift_of(campaign, k) is not None and (k == "full" or cover.lane != BOTH)
    )


def plan_findings(campaign: Campaign, plan: CampaignPlan) -> tuple[Finding, ...]:
    """Due dates inside the lead time, due dates with no open night before them, hard ones late, covers left out.

    Valid       a campaign without faults
    Source      house
    Proved by   tests/programme/test_campaign_findings.py
    """
    night_of = {name: c.night for c in plan.closures for crew in c.crews for name in crew.covers}
    found: list[Finding] = []
    for cover in campaign.covers:
        found += _too_soon(campaign, cover)
        night = night_of.get(cover.cover)
        if night is None:
            found.append(_left_out(campaign, cover))
        elif cover.hard and late_days(cover, night):
            what = f"its hard deadline {cover.due.isoformat()} is missed: it is done on {night.isoformat()}"
            found.append(
                Finding("PR-222", Severity.BREAKS, cover.cover, what, float(late_days(cover, night)), "days", "0 days",
                        mend="Tell whoever set the deadline, make the cover safe, or bring another crew.")
            )  # fmt: skip
    return tuple(found)


def _too_soon(campaign: Campaign, cover: CampaignCover) -> list[Finding]:
    leads = [s.lead_days for k in kinds_for(campaign, cover) if (s := shift_of(campaign, k)) is not None]
    if not leads:
        return []
    ready = campaign.asked_on + timedelta(days=min(leads))
    if cover.due < ready:
        what = f"due {cover.due.isoformat()}, but the soonest closure asked for now may be had on {ready.isoformat()}"
        return [
            Finding("PR-221", Severity.BREAKS, cover.cover, what, float(min(leads)), "days",
                    f"{(cover.due - campaign.asked_on).days} days from the asking to the due date",
                    mend="Ask for an emergency closure, make the cover safe, or agree a later date.")
        ]  # fmt: skip
    soonest = min((n for k in kinds_for(campaign, cover) for n in open_nights(campaign, cover.street, k)), default=None)
    if soonest is not None and soonest > cover.due:
        what = f"due {cover.due.isoformat()}, but embargoes and holidays leave no night before {soonest.isoformat()}"
        return [
            Finding(
                "PR-224", Severity.BREAKS, cover.cover, what, mend="Make it safe, or ask for a night in the embargo."
            )
        ]
    return []


def _left_out(campaign: Campaign, cover: CampaignCover) -> Finding:
    kinds = kinds_for(campaign, cover)
    if not kinds:
        what, mend = "no closure that its street may have reaches it", "Allow a full closure in its street."
    elif not any(open_nights(campaign, cover.street, kind) for kind in kinds):
        what, mend = "no night of the campaign is open for its street", "Lengthen the calendar or lift an embargo."
    else:
        what, mend = (
            "no night takes it: it fits in none by itself, or crews, vans, nights or kits run out",
            "Lengthen the calendar, bring kits or a crew, or look at its steps.",
        )
    return Finding("PR-223", Severity.BREAKS, cover.cover, what, mend=mend)
