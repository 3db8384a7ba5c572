"""The nights of a campaign: working days, holidays, embargoes, and how long each night really is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from truebed.programme.campaign_types import Campaign, CampaignCover, Kind, Shift, Span


@dataclass(frozen=True, slots=True)
class Hours:
    """A closure's minutes from the road's shutting: what the one-crew question needs."""

    window_min: int
    noise_ends_min: int
    tm_set_min: int
    tm_clear_min: int


def usual_hours(shift: Shift) -> Hours:
    """The hours by the clock, of a night without a change of it.

    Source      algebra
    Proved by   tests/programme/test_campaign_calendar.py
    """
    return Hours(
        shift.open_by_min - shift.shut_at_min,
        shift.noise_ends_min - shift.shut_at_min,
        shift.tm_set_min,
        shift.tm_clear_min,
    )


def hours_of(shift: Shift, night: date, zone: str) -> Hours:
    """The hours that really pass: an hour less where the clocks go forward. The hour won in autumn is kept in reserve.

    Valid       any zone of the time-zone data; a time that the clock leaves out or strikes twice is read so that the
                window is the shorter one
    Source      house (the hour won is not planned into); algebra
    Proved by   tests/programme/test_campaign_calendar.py
    """
    usual = usual_hours(shift)
    shut = max(_instants(night, shift.shut_at_min, zone))

    def passed(at_min: int) -> int:
        return round((min(_instants(night, at_min, zone)) - shut).total_seconds() / 60)

    return Hours(
        min(usual.window_min, passed(shift.open_by_min)),
        min(usual.noise_ends_min, passed(shift.noise_ends_min)),
        usual.tm_set_min,
        usual.tm_clear_min,
    )


def _instants(night: date, at_min: int, zone: str) -> tuple[datetime, datetime]:
    """The two readings of that time by the clock: the same one but in the hour of a change."""
    day = night + timedelta(days=at_min // 1440)
    clock = time(at_min % 1440 // 60, at_min % 60, tzinfo=ZoneInfo(zone))
    first, second = (datetime.combine(day, clock.replace(fold=fold)).astimezone(UTC) for fold in (0, 1))
    return first, second


def inside(day: date, spans: tuple[Span, ...]) -> bool:
    """Whether the day lies in one of the spans, first and last day included.

    Source      algebra
    Proved by   tests/programme/test_campaign_calendar.py
    """
    return any(first <= day <= last for first, last in spans)


def nights_of(campaign: Campaign) -> tuple[date, ...]:
    """The dates whose evenings may begin a night: working weekdays, no holiday, no embargo of the whole works.

    Valid       a night that runs into an embargo's first morning is allowed: an embargo names evenings
    Source      house
    Proved by   tests/programme/test_campaign_calendar.py
    """
    days = range((campaign.last - campaign.first).days + 1)
    return tuple(
        day
        for day in (campaign.first + timedelta(days=k) for k in days)
        if day.weekday() in campaign.weekdays and day not in campaign.holidays and not inside(day, campaign.embargoes)
    )


def shift_of(campaign: Campaign, kind: Kind) -> Shift | None:
    """The shift of that kind, None where the works has none.

    Source      algebra
    Proved by   tests/programme/test_campaign_calendar.py
    """
    return next((shift for shift in campaign.shifts if shift.kind == kind), None)


def open_nights(campaign: Campaign, street: str, kind: Kind) -> tuple[date, ...]:
    """The nights on which that street may have that closure: kind allowed, lead time run out, no embargo.

    Source      algebra
    Proved by   tests/programme/test_campaign_calendar.py
    """
    shift = shift_of(campaign, kind)
    of = next(s for s in campaign.streets if s.street == street)
    if shift is None or kind not in of.kinds:
        return ()
    ready = campaign.asked_on + timedelta(days=shift.lead_days)
    return tuple(night for night in nights_of(campaign) if night >= ready and not inside(night, of.embargoes))


def late_days(cover: CampaignCover, night: date) -> int:
    """Days from the due date to that night, 0 where it is kept.

    Source      algebra
    Proved by   tests/programme/test_campaign_calendar.py
    """
    return max(0, (night - cover.due).days)


def kits_by(campaign: Campaign, night: date) -> int:
    """Kits delivered up to that night.

    Source      algebra
    Proved by   tests/programme/test_campaign_calendar.py
    """
    return sum(kits for day, kits in campaign.deliveries if day <= night)
