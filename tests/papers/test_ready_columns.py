"""A pour that the road waits for by two clocks has a column for each: neither stands for the other."""

from dataclasses import replace

from papers.sample_plan import sample_closure
from truebed.curing.hour_clocks import HourTime
from truebed.curing.two_clocks import Band
from truebed.papers.ready_words import base_table, opening_clocks
from truebed.plan.releases import LayerRelease, ReleaseLine


def release(kind, target, late):
    return LayerRelease("bed", "harrow-bed", kind, target, (ReleaseLine(8.0, Band(1.0, 2.0, late), 0.0),))


BOTH = (release("strength", 14.0, 90.0), release("ready", None, 120.0))


def test_each_clock_of_a_pour_has_its_column_in_the_table_by_base_temperature():
    found = base_table(BOTH)
    assert [head.split(": ")[1] for head in found["heads"]] == ["14 N/mm²", "ready"]
    assert [cell["late"] for cell in found["rows"][0]["cells"]] == ["90", "120"]


def test_each_clock_of_a_pour_is_told_by_the_hour_of_placing():
    design = sample_closure().designed[0]
    hours = (HourTime(60.0, Band(70.0, 80.0, 90.0), 9.0, 0.0),)
    given = design.clocks[0]
    strength = replace(given, pour="bed", kind="strength", target_n_per_mm2=14.0, wait=True, hours=hours)
    ready = replace(strength, kind="ready", target_n_per_mm2=None)
    inside = replace(ready, wait=False)
    design = replace(design, clocks=(strength, inside, ready), releases=BOTH)
    assert opening_clocks(design) == (strength, ready)
