"""A small real closure of the demo, planned once: two covers of Tallow Row."""

from dataclasses import replace
from functools import cache

from plan.sample import demo_works, shelf
from truebed.plan.closure import plan_closure


@cache
def small_works():
    works = demo_works()
    return replace(
        works, covers=tuple(c for c in works.covers if c.cover in ("T01", "G01")), closures=works.closures[:1]
    )


@cache
def small_night():
    works = small_works()
    return plan_closure(works, shelf(), works.closures[0], {}, lambda _: None)
