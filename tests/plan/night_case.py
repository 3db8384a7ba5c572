"""T01 of the demo in its own night: its case, volumes, strengths, drivers and clocks, and steady nights made of it."""

from dataclasses import replace
from functools import cache

from plan.sample import demo_works, shelf
from truebed.curing.night_temps import night_temps
from truebed.plan.closure import case_of
from truebed.plan.design import drivers_for, quantities, strengths
from truebed.plan.ground import ground_of
from truebed.plan.night_clocks import night_clocks


def case_with(*, air_c=None, road_c=None, mix_c=None, method=None, **closure_changes):
    """The demo's first closure; with temperatures given, every hour of the weather is of those."""
    works = demo_works()
    closure = replace(works.closures[0], **closure_changes)
    if mix_c is not None:
        closure = replace(closure, mix_temp_c=mix_c)
    weather = works.weather
    if air_c is not None:
        weather = tuple(replace(h, air_temp_c=air_c, road_temp_c=road_c) for h in weather)
    works = replace(works, weather=weather)
    cover = works.cover("T01") if method is None else replace(works.cover("T01"), method=method)
    return case_of(works, shelf(), cover, night_temps(closure, weather), None, closure)


@cache
def parts(method="five-layer"):
    """Volumes, opening strengths and drivers: none depends on the weather."""
    case = case_with(method=method)
    ground = ground_of(case)
    volumes, kits = quantities(case, ground)
    targets, _ = strengths(case, ground)
    return volumes, targets, drivers_for(case, ground, kits)


def clocks(case, targets=None, **changes):
    volumes, own, drivers = parts(case.method.key)
    return night_clocks(case, {**own, **(targets or {}), **changes}, volumes, drivers)


@cache
def plain_clocks():
    return clocks(case_with())


def clock(known, pour, kind, *, wait=True):
    return next(k for k in known if (k.reading.pour, k.reading.kind, k.wait) == (pour, kind, wait))
