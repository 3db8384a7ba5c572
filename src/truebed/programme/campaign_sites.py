"""Where crew-nights are packed: a street or, with joining, the streets of one diversion; a lane where no full closure
may be had."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, hypot

from truebed.programme.campaign_calendar import Hours, shift_of, usual_hours
from truebed.programme.campaign_types import BOTH, KINDS, Campaign, CampaignCover, Kind

#: (street, work): covers of one class stand for each other but for their urgency
Class = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Site:
    """kinds: closures that serve all of it; lane '' where it is shut in full; covers of each class, most urgent first.

    hop_min  between any two of its streets, the farthest covers taken
    """

    name: str
    kinds: tuple[Kind, ...]
    lane: str
    streets: tuple[str, ...]
    classes: tuple[tuple[Class, tuple[CampaignCover, ...]], ...]
    hop_min: int

    @property
    def covers(self) -> tuple[CampaignCover, ...]:
        """All of its covers."""
        return tuple(cover for _class, of in self.classes for cover in of)


def urgency(cover: CampaignCover) -> tuple[bool, object, int, str]:
    """Hard ones first, then by due date, then by harm.

    Source      house
    Proved by   tests/programme/test_campaign_pack.py
    """
    return not cover.hard, cover.due, -cover.harm, cover.cover


def sites_of(campaign: Campaign, covers: Sequence[CampaignCover], *, join: bool) -> tuple[Site, ...]:
    """The covers sorted into sites: every cover lies in one; one that no closure serves lies in none.

    Source      house (full where the street may have it: it pools lanes, and streets where they share a diversion)
    Proved by   tests/programme/test_campaign_pack.py
    """
    streets = {s.street: s for s in campaign.streets}
    had = {shift.kind for shift in campaign.shifts}
    by_site: dict[tuple[str, str], list[CampaignCover]] = {}
    for cover in sorted(covers, key=urgency):
        street = streets[cover.street]
        if "full" in street.kinds and "full" in had:
            name = f"diversion {street.diversion}" if join and street.diversion else street.street
            by_site.setdefault((name, ""), []).append(cover)
        elif cover.lane != BOTH and had & set(street.kinds):
            by_site.setdefault((street.street, cover.lane), []).append(cover)
    return tuple(_site(campaign, name, lane, of) for (name, lane), of in sorted(by_site.items()))


def _site(campaign: Campaign, name: str, lane: str, covers: list[CampaignCover]) -> Site:
    classes: dict[Class, list[CampaignCover]] = {}
    for cover in covers:
        classes.setdefault((cover.street, cover.work), []).append(cover)
    street = next(s for s in campaign.streets if s.street == covers[0].street)
    had = {shift.kind for shift in campaign.shifts}
    kinds: tuple[Kind, ...] = (
        ("full",) if not lane else tuple(k for k in KINDS if k in had & {*street.kinds} - {"full"})
    )
    return Site(
        name=name,
        kinds=kinds,
        lane=lane,
        streets=tuple(sorted({cover.street for cover in covers})),
        classes=tuple((key, tuple(of)) for key, of in sorted(classes.items())),
        hop_min=hop_min(campaign, covers),
    )


def hop_min(campaign: Campaign, covers: Sequence[CampaignCover]) -> int:
    """Minutes of a move between the streets of these covers, the farthest two in different streets; 0 in one street.

    Source      algebra
    Proved by   tests/programme/test_campaign_pack.py
    """
    far_m = [hypot(a.x_m - b.x_m, a.y_m - b.y_m) for a in covers for b in covers if a.street < b.street]
    return campaign.load_min + ceil(max(far_m) / campaign.van_m_per_min) if far_m else 0


def site_hours(campaign: Campaign, site: Site) -> Hours:
    """The hours in which the site is packed: the shortest of its kinds by the clock.

    Source      house
    Proved by   tests/programme/test_campaign_pack.py
    """
    every = [usual_hours(s) for kind in site.kinds if (s := shift_of(campaign, kind)) is not None]
    return Hours(
        min(h.window_min for h in every),
        min(h.noise_ends_min for h in every),
        max(h.tm_set_min for h in every),
        max(h.tm_clear_min for h in every),
    )
