"""Level one: crew-nights for each site, fewest first, then harm in few of them, then fewest that go to two streets.

A set cover over mixtures that one crew can do, by integer programme; a mixture over two streets is taken on trust first
and put to the oracle when it is used: what fails is cut away with all that holds it, and the site is packed again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations

import numpy as np

from truebed.programme.campaign_calendar import Hours
from truebed.programme.campaign_oracle import Mixture, Oracle
from truebed.programme.campaign_sites import Class, Site, site_hours
from truebed.programme.campaign_types import Campaign

#: How many of each class of the site one crew-night takes
Unit = tuple[int, ...]
#: A class and its harm, while a site is packed: urgent covers are kept together, so that few nights hold them all.
Fine = tuple[str, str, int]
#: A unit over two streets costs so much more than one of a single street.
SECOND_STREET_SHARE = 0.001
#: A unit with the greatest harm of the site costs so much more than one with the least; both together stay below one
#: crew-night on any site of fewer than 30, so they do not buy one.
HARM_SHARE = 0.03
#: Where the integer programme of a site may stop: a tenth of a crew-night in twenty; only the preferences fall short.
GAP_SHARE = 0.005
#: After so many rounds every mixture over two streets is put to the oracle, not only those that are used.
TRUSTING_ROUNDS = 2


def mixture_of(classes: Sequence[Fine | Class], unit: Unit) -> Mixture:
    """The works of a unit by street.

    Source      algebra
    Proved by   tests/programme/test_campaign_pack.py
    """
    by_street: dict[str, list[str]] = {}
    for key, count in zip(classes, unit, strict=True):
        if count:
            by_street.setdefault(key[0], []).extend([key[1]] * count)
    return tuple(tuple(works) for _street, works in sorted(by_street.items()))


def pack(campaign: Campaign, site: Site, oracle: Oracle) -> tuple[Unit, ...]:
    """The site's crew-nights; covers that fit in no night, even alone, are in none.

    Valid       a crew works in at most two streets in one night
    Source      [hooker-2003] cuts from failing subsets; algebra
    Proved by   tests/programme/test_campaign_pack.py
    """
    hours = site_hours(campaign, site)
    counts: dict[Fine, int] = {}
    for (street, work), covers in site.classes:
        for cover in covers:
            counts[street, work, cover.harm] = counts.get((street, work, cover.harm), 0) + 1
    classes = sorted(counts)
    offered = tuple(counts[key] if oracle.fits(hours, ((key[1],),), 0) else 0 for key in classes)
    refused: list[Unit] = []
    rounds = 0
    while True:
        trust = rounds < TRUSTING_ROUNDS
        units = _cover(_columns(site, hours, classes, offered, refused, oracle, trust=trust), classes, offered)
        rounds += 1
        wrong = {u for u in units if not oracle.fits(hours, mixture_of(classes, u), site.hop_min)}
        if not wrong:
            return tuple(_coarse(site, classes, unit) for unit in units)
        refused += [
            _least(u, lambda v: oracle.fits(hours, mixture_of(classes, v), site.hop_min)) for u in sorted(wrong)
        ]


def _coarse(site: Site, classes: Sequence[Fine], unit: Unit) -> Unit:
    counts = {key: 0 for key, _covers in site.classes}
    for key, count in zip(classes, unit, strict=True):
        counts[key[0], key[1]] += count
    return tuple(counts.values())


def _least(unit: Unit, fits: Callable[[Unit], bool]) -> Unit:
    """A least part of the unit that still fails: what is cut away is as much as can be."""
    for k in range(len(unit)):
        while unit[k]:
            less = (*unit[:k], unit[k] - 1, *unit[k + 1 :])
            if not any(less) or fits(less):
                break
            unit = less
    return unit


def greatest_mixtures(streets_of: Sequence[str], offered: Unit, fits: Callable[[Unit], bool]) -> tuple[Unit, ...]:
    """Every mixture in one street or two that fits and to which nothing more can be added.

    streets_of  the street of each class; fits is asked only of mixtures all of whose parts fit

    Source      algebra
    Proved by   tests/programme/test_campaign_pack.py
    """
    streets = sorted(set(streets_of))
    sets = [(street,) for street in streets] if len(streets) == 1 else list(combinations(streets, 2))
    known: dict[Unit, bool] = {}
    found: set[Unit] = set()
    for pair in sets:
        mine = [k for k, street in enumerate(streets_of) if street in pair and offered[k]]
        level: set[Unit] = {(0,) * len(offered)}
        while level:
            above: set[Unit] = set()
            for unit in sorted(level):
                wider = [(*unit[:k], unit[k] + 1, *unit[k + 1 :]) for k in mine if unit[k] < offered[k]]
                for wide in wider:
                    if wide not in known:
                        known[wide] = fits(wide)
                more = [wide for wide in wider if known[wide]]
                above.update(more)
                if not more and any(unit):
                    found.add(unit)
            level = above
    return tuple(sorted(found))


def _columns(
    site: Site,
    hours: Hours,
    classes: list[Fine],
    offered: Unit,
    refused: list[Unit],
    oracle: Oracle,
    *,
    trust: bool,
) -> tuple[Unit, ...]:
    """Every greatest mixture that is not refused; with trust, ways between streets are left out."""

    def fits(unit: Unit) -> bool:
        if any(all(a <= b for a, b in zip(less, unit, strict=True)) for less in refused):
            return False
        if trust:
            return oracle.fits(hours, (pooled(classes, unit),), 0)
        return oracle.fits(hours, mixture_of(classes, unit), site.hop_min)

    return greatest_mixtures([key[0] for key in classes], offered, fits)


def pooled(classes: Sequence[Fine | Class], unit: Unit) -> tuple[str, ...]:
    """The works of a unit as if all lay in one street.

    Source      algebra
    Proved by   tests/programme/test_campaign_pack.py
    """
    return tuple(key[1] for key, count in zip(classes, unit, strict=True) for _ in range(count))


def _cover(columns: tuple[Unit, ...], classes: list[Fine], offered: Unit) -> tuple[Unit, ...]:
    from scipy.optimize import Bounds, LinearConstraint, milp

    if not columns:
        return ()
    counts = np.array(columns, dtype=float).T
    streets = [len({classes[k][0] for k, n in enumerate(unit) if n}) for unit in columns]
    harms = sorted({harm for _street, _work, harm in classes})
    worst = [max(harms.index(classes[k][2]) for k, n in enumerate(unit) if n) for unit in columns]
    cost = 1.0 + SECOND_STREET_SHARE * (np.array(streets, dtype=float) - 1.0)
    cost += HARM_SHARE * np.array(worst, dtype=float) / len(harms)
    answer = milp(
        cost,
        constraints=LinearConstraint(counts, np.array(offered, dtype=float), np.inf),
        integrality=np.ones(len(columns), dtype=np.int64),
        bounds=Bounds(0.0, float(max(offered))),
        options={"mip_rel_gap": GAP_SHARE},
    )
    if answer.x is None:
        raise AssertionError("a site whose covers fit one by one has a packing")
    taken: list[Unit] = []
    left = list(offered)
    for unit, times in zip(columns, np.round(answer.x).astype(int), strict=True):
        for _ in range(int(times)):
            less = tuple(min(n, rest) for n, rest in zip(unit, left, strict=True))
            left = [rest - n for rest, n in zip(left, less, strict=True)]
            if any(less):
                taken.append(less)
    return tuple(taken)
