"""A closure's crew-nights with their minutes, from the covers that each crew takes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from truebed.programme.campaign_calendar import hours_of, shift_of
from truebed.programme.campaign_oracle import Oracle
from truebed.programme.campaign_sites import hop_min
from truebed.programme.campaign_types import Campaign, CampaignCover, ClosureNight, CrewNight, Kind
from truebed.programme.problem import Placed


def timed(
    campaign: Campaign,
    oracle: Oracle,
    night: date,
    kind: Kind,
    lane: str,
    crews: Sequence[tuple[CampaignCover, ...]],
    site_hop_min: int | None = None,
) -> ClosureNight:
    """The closure with its steps placed. site_hop_min: the move that the crew-nights were packed with.

    Valid       crews whose covers fit in that night's hours
    Source      algebra
    Proved by   tests/programme/test_campaign_check.py
    """
    streets = tuple(sorted({cover.street for crew in crews for cover in crew}))
    return ClosureNight(
        night, kind, streets, lane, tuple(_crew(campaign, oracle, night, kind, crew, site_hop_min) for crew in crews)
    )


def fits_tonight(
    campaign: Campaign, oracle: Oracle, night: date, kind: Kind, crew: Sequence[CampaignCover], hop: int
) -> bool:
    """Whether the crew can do these covers in such a closure on that very night.

    Source      algebra
    Proved by   tests/programme/test_campaign_check.py
    """
    shift = shift_of(campaign, kind)
    if shift is None:
        return False
    mixture = tuple(tuple(c.work for c in of) for _street, of in _by_street(crew))
    return oracle.fits(hours_of(shift, night, campaign.zone), mixture, hop)


def _by_street(crew: Sequence[CampaignCover]) -> list[tuple[str, list[CampaignCover]]]:
    return [(s, [c for c in crew if c.street == s]) for s in sorted({c.street for c in crew})]


def _crew(
    campaign: Campaign,
    oracle: Oracle,
    night: date,
    kind: Kind,
    crew: tuple[CampaignCover, ...],
    site_hop_min: int | None,
) -> CrewNight:
    shift = shift_of(campaign, kind)
    if shift is None:
        raise AssertionError("a closure was planned of a kind that the works has not")
    groups = _by_street(crew)
    hop = hop_min(campaign, crew) if site_hop_min is None else site_hop_min
    mixture = tuple(tuple(c.work for c in of) for _street, of in groups)
    starts = oracle.starts(hours_of(shift, night, campaign.zone), mixture, hop)
    placed = [
        Placed(cover.cover, task.step, at, at + task.minutes)
        for (_street, of), of_group in zip(groups, starts, strict=True)
        for cover, of_cover in zip(of, of_group, strict=True)
        for task, at in zip(oracle.works[cover.work].job.tasks, of_cover, strict=True)
    ]
    return CrewNight(tuple(c.cover for c in crew), tuple(sorted(placed, key=lambda p: (p.start_min, p.cover, p.step))))
