"""Packing a site: fewest crew-nights, against every partition of the covers; joining where a diversion is shared."""

from itertools import product

from programme.campaign_sample import campaign, cover
from truebed.programme.campaign import oracle_of
from truebed.programme.campaign_pack import mixture_of, pack
from truebed.programme.campaign_sites import hop_min, site_hours, sites_of, urgency


def fewest_by_trying(asked, hours, covers, hop):
    """Every way to put covers into numbered nights, the smallest number of nights that any allowed way uses."""
    best = len(covers)
    for way in product(range(len(covers)), repeat=len(covers)):
        groups = [[c for c, w in zip(covers, way, strict=True) if w == k] for k in set(way)]
        if len(groups) >= best:
            continue
        if all(_fits(asked, hours, group, hop) for group in groups):
            best = len(groups)
    return best


def _fits(asked, hours, group, hop):
    streets = sorted({c.street for c in group})
    mixture = tuple(tuple(c.work for c in group if c.street == s) for s in streets)
    return len(streets) <= 2 and asked.fits(hours, mixture, hop)


def test_the_packing_is_as_small_as_the_best_of_all_partitions_with_a_way_and_without():
    works = ("short", "long", "short", "short", "long", "long")
    for far_m in (0.0, 240.0, 3000.0):
        covers = [
            cover(f"C{k}", ("High", "Mill")[k % 2], w, x_m=far_m * (k % 2), harm=1 + k % 3) for k, w in enumerate(works)
        ]
        made = campaign(*covers)
        asked = oracle_of(made)
        (site,) = sites_of(made, covers, join=True)
        units = pack(made, site, asked)
        assert sum(sum(unit) for unit in units) == len(covers)
        assert len(units) == fewest_by_trying(asked, site_hours(made, site), covers, site.hop_min), far_m


def test_urgent_covers_are_kept_together_where_it_costs_no_night():
    covers = [cover(f"C{k}", harm=harm) for k, harm in enumerate((9, 1, 9, 1, 9, 1))]
    made = campaign(*covers, works=(*campaign().works,))
    (site,) = sites_of(made, covers, join=True)
    assert len(pack(made, site, oracle_of(made))) == 2
    assert [c.harm for c in site.covers] == [9, 9, 9, 1, 1, 1]


def test_a_cover_that_fits_in_no_night_is_in_no_unit():
    covers = [cover("C1", work="too long"), cover("C2")]
    made = campaign(*covers)
    (site,) = sites_of(made, covers, join=True)
    assert sum(sum(unit) for unit in pack(made, site, oracle_of(made))) == 1


def test_streets_of_one_diversion_are_one_site_only_with_joining_and_a_street_without_full_closures_is_its_own_lane():
    covers = [
        cover("C1"),
        cover("C2", "Mill"),
        cover("C3", "Dock"),
        cover("C4", "Back"),
        cover("C5", "Back", lane="far"),
    ]
    made = campaign(*covers)
    joined = sites_of(made, covers, join=True)
    assert [(s.name, s.lane, s.kinds) for s in joined] == [
        ("Back", "far", ("lane",)), ("Back", "near", ("lane",)),
        ("diversion D1", "", ("full",)), ("diversion D2", "", ("full",)),
    ]  # fmt: skip
    assert len(sites_of(made, covers, join=False)) == 5


def test_a_cover_that_no_closure_of_its_street_reaches_lies_in_no_site():
    odd = cover("C1", "Back", lane="both")
    assert sites_of(campaign(odd), [odd], join=True) == ()


def test_the_move_is_that_of_the_farthest_two_covers_in_different_streets():
    made = campaign(load_min=2)
    assert hop_min(made, [cover("A", x_m=0.0), cover("B", "Mill", x_m=300.0, y_m=400.0), cover("C", x_m=9999.0)]) == 41
    assert hop_min(made, [cover("A"), cover("B", x_m=500.0)]) == 0


def test_hard_covers_come_first_then_due_dates_then_harm():
    made = campaign()
    a, b, c = cover("A", harm=5), cover("B", hard=True), cover("C", due=made.first)
    assert [x.cover for x in sorted((a, b, c), key=urgency)] == ["B", "C", "A"]


def test_a_unit_is_told_by_street():
    assert mixture_of([("High", "long"), ("High", "short"), ("Mill", "short")], (1, 0, 2)) == (
        ("long",),
        ("short", "short"),
    )
