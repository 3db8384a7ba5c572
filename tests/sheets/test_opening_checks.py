"""The road never opens on a pour that bears the wheel without that pour's own clock; times never run in a circle."""

from __future__ import annotations

import re

import pytest

from sheets.test_load_method import FIVE, SHEETS, faults_of
from truebed.sheets.load_method import load_methods

BED_OPENS = """from = "set-frame.end"
to = "open"
why = "the bed bears the wheel"
least_clock = { pour = "bed", kind = "strength" }"""
BACKFILL_SURFACE = """[[link]]
from = "backfill.end"
to = "dry-base.start"
why = "the backfill bears the surface"
least_clock = { pour = "backfill", kind = "ready" }

"""
BACKFILL_OPENS = """[[link]]
from = "backfill.end"
to = "open"
why = "the backfill is ready"
least_clock = { pour = "backfill", kind = "ready" }

"""
BEFORE = 'from = "strip.end"\nto = "backfill.start"'


@pytest.mark.parametrize(
    ("instead", "after_step"),
    [
        (BED_OPENS.replace('to = "open"', 'to = "prove.end"'), "mix-bed"),
        (BED_OPENS.replace("set-frame.end", "mix-bed.end"), "set-frame"),
        (BED_OPENS.replace("set-frame.end", "set-frame.start"), "mix-bed"),
        (BED_OPENS.replace("set-frame.end", "saw.end"), "set-frame"),
        (BED_OPENS.replace('"strength"', '"set"'), "set-frame"),
        (BED_OPENS.replace('"strength"', '"ready"'), "set-frame"),
        (BED_OPENS.replace('"strength"', '"strength", strength_n_per_mm2 = 2.0'), "set-frame"),
        (BED_OPENS.replace('least_clock = { pour = "bed", kind = "strength" }', "least_min = 60.0"), "set-frame"),
        (BED_OPENS.replace('pour = "bed"', 'pour = "fill"'), "set-frame"),
    ],
)
def test_a_bed_without_its_own_clock_to_the_opening_is_refused(instead: str, after_step: str) -> None:
    faults = faults_of(BED_OPENS, instead)
    assert f"no clock of pour 'bed' to the road's opening after step '{after_step}'" in {f.found for f in faults}


def test_a_clock_from_a_later_step_is_enough() -> None:
    assert faults_of(BED_OPENS, BED_OPENS.replace("set-frame.end", "former.end")) == ()


@pytest.mark.parametrize("kind", ['"ready"', '"strength", strength_n_per_mm2 = 2.0'])
def test_a_ready_or_lower_clock_may_stand_beside_the_opening_strength(kind: str) -> None:
    beside = BED_OPENS.replace('"strength"', kind)
    assert faults_of(BED_OPENS, f"{BED_OPENS}\n\n[[link]]\n{beside}") == ()


def test_the_fault_of_a_bed_opened_by_ready_says_which_clock_is_wanted() -> None:
    faults = faults_of(BED_OPENS, BED_OPENS.replace('"strength"', '"ready"'))
    assert {f.expected for f in faults} == {"a 'strength' clock without a strength of its own"}
    assert all('pour "bed"' in f.mend for f in faults)


def without(text: str, *links: str) -> str:
    for link in links:
        assert text.count(link) == 1
        text = text.replace(link, "")
    return text


def sentences(text: str) -> list[str]:
    _, faults = load_methods({"methods/five-layer.toml": text.encode()}, SHEETS)
    return [fault.sentence() for fault in faults]


def test_a_backfill_that_nothing_waits_for_is_refused() -> None:
    (told,) = sentences(without(FIVE, BACKFILL_SURFACE, BACKFILL_OPENS))
    wanted = "no clock of pour 'backfill' to the running surface or the road's opening after step 'backfill'"
    assert wanted in told
    assert "'ready', 'strength' or 'set'" in told


@pytest.mark.parametrize("kept", ["surface", "opening"])
def test_a_backfill_may_be_waited_for_before_the_surface_or_before_the_opening(kept: str) -> None:
    assert sentences(without(FIVE, BACKFILL_OPENS if kept == "surface" else BACKFILL_SURFACE)) == []


def test_a_backfill_may_be_waited_for_by_a_step_that_the_surface_follows() -> None:
    wait = BACKFILL_SURFACE.replace("dry-base.start", "strip-side.start").replace('"ready"', '"set"')
    order = '[[link]]\nfrom = "strip-side.end"\nto = "surface.start"\nwhy = "x"\nleast_min = 0.0\n\n'
    step = '[[step]]\nkey = "strip-side"\nname = "Strip the side"\npeople = 1\nduration = { base_min = 3.0 }\n\n'
    text = without(FIVE, BACKFILL_SURFACE, BACKFILL_OPENS).replace("[[step]]", f"{step}[[step]]", 1)
    assert sentences(text.replace("[[link]]", f"{wait}{order}[[link]]", 1)) == []
    (told,) = sentences(text.replace("[[link]]", f"{wait}[[link]]", 1))
    assert "no clock of pour 'backfill'" in told


def test_a_fixed_time_is_no_clock_of_the_backfill() -> None:
    text = without(FIVE, BACKFILL_OPENS)
    fixed = BACKFILL_SURFACE.replace('least_clock = { pour = "backfill", kind = "ready" }', "least_min = 45.0")
    assert "no clock of pour 'backfill'" in sentences(text.replace(BACKFILL_SURFACE, fixed))[0]


def test_a_fill_that_runs_to_the_road_is_driven_on_and_needs_its_clock() -> None:
    text = re.sub(r'\[\[role\]\]\nrole = "(running_surface|edge_seal)"\n.*?\n\n', "", FIVE, flags=re.DOTALL)
    for pour in ("surface", "seal"):
        text = re.sub(rf'\[\[step\]\]\nkey = "{pour}"\n.*?\n\n', "", text, flags=re.DOTALL)
    links = re.findall(r"\[\[link\]\]\n(?:[^\n]+\n)+\n?", text)
    text = without(text, *(link for link in links if '"surface' in link or '"seal' in link))
    text = text.replace("surface_depth_mm = 32.0", "surface_depth_mm = 0.0")
    assert sentences(text) == []
    (told,) = sentences(without(text, BACKFILL_OPENS))
    assert "no clock of pour 'backfill' to the road's opening after step 'backfill'" in told


def test_a_running_surface_needs_its_clock_too() -> None:
    faults = faults_of('why = "the surface takes traffic"\nleast_clock', 'why = "x"\nleast_min = 1.0\n#')
    assert "no clock of pour 'surface' to the road's opening after step 'surface'" in {f.found for f in faults}


def test_a_circle_of_least_times_is_named_edge_by_edge() -> None:
    (fault,) = faults_of(BEFORE, 'from = "strip.end"\nto = "former.start"')
    assert fault.found == (
        "a circle of least times: former.start -> former.end -> pour-fill.start -> pour-fill.end -> strip.start -> "
        "strip.end -> former.start"
    )


def test_a_greatest_time_that_runs_back_makes_no_circle() -> None:
    link = '[[link]]\nfrom = "prove.end"\nto = "saw.start"\nwhy = "x"\ngreatest_min = 5.0\n\n'
    assert faults_of("[[link]]", f"{link}[[link]]") == ()


def test_a_step_that_only_works_on_the_pour_needs_no_clock_after_it() -> None:
    step = '[[step]]\nkey = "comb"\nname = "Comb it"\npeople = 1\npour = "backfill"\nduration = { base_min = 3.0 }\n\n'
    assert step not in FIVE
    assert faults_of("[[step]]", f"{step}[[step]]") == ()
