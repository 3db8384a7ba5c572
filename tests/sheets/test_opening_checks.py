"""The road never opens on a pour that bears the wheel without that pour's own clock; times never run in a circle."""

from __future__ import annotations

import pytest

from sheets.test_load_method import FIVE, faults_of

BED_OPENS = """from = "set-frame.end"
to = "open"
why = "the bed bears the wheel"
least_clock = { pour = "bed", kind = "strength" }"""
BEFORE = 'from = "strip.end"\nto = "backfill.start"'


@pytest.mark.parametrize(
    ("instead", "after_step"),
    [
        (BED_OPENS.replace('to = "open"', 'to = "prove.end"'), "mix-bed"),
        (BED_OPENS.replace("set-frame.end", "mix-bed.end"), "set-frame"),
        (BED_OPENS.replace("set-frame.end", "set-frame.start"), "mix-bed"),
        (BED_OPENS.replace("set-frame.end", "saw.end"), "set-frame"),
        (BED_OPENS.replace('"strength"', '"set"'), "set-frame"),
        (BED_OPENS.replace('least_clock = { pour = "bed", kind = "strength" }', "least_min = 60.0"), "set-frame"),
        (BED_OPENS.replace('pour = "bed"', 'pour = "fill"'), "set-frame"),
    ],
)
def test_a_bed_without_its_own_clock_to_the_opening_is_refused(instead: str, after_step: str) -> None:
    faults = faults_of(BED_OPENS, instead)
    assert f"no clock of pour 'bed' to the road's opening after step '{after_step}'" in {f.found for f in faults}


def test_a_clock_from_a_later_step_is_enough() -> None:
    assert faults_of(BED_OPENS, BED_OPENS.replace("set-frame.end", "former.end")) == ()


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
