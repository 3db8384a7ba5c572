"""What must hold in a method's steps, links and clocks: each broken in turn, and named with its line."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sheets.test_load_method import FIVE, SHEETS, faults_of
from truebed.sheets.load_method import load_methods
from truebed.sheets.sheet import Sheet

LIFE = 'greatest_clock = { pour = "bed", kind = "life" }'
SET = 'least_clock = { pour = "bed", kind = "set" }'
STRENGTH = 'least_clock = { pour = "bed", kind = "strength" }'
BESIDE = f'{STRENGTH}\n\n[[link]]\nfrom = "set-frame.end"\nto = "open"\nwhy = "x"\n'


@pytest.mark.parametrize(
    ("was", "now", "column", "words"),
    [
        ('key = "break-out"', 'key = "saw"', "step[2].key", "a second 'saw'"),
        ('key = "prove"', 'key = "open"', "step[16].key", "'open' is the road's opening"),
        ('tools = ["mixer"]\npour = "bed"', 'tools = ["mixer"]\npour = "bet"', "step[5].pour", "Did you mean 'bed'?"),
        ('pour = "seal"\ncautions', 'pour = ""\ncautions', "step", "no step for pour 'seal'"),
        ("saw_m = 2.6", "sawn_m = 2.6", "step[1].duration.sawn_m", "Did you mean 'saw_m'?"),
        ("bed_batches = 4.0", "beds_batches = 4.0", "step[5].duration.beds_batches", "Did you mean 'bed_batches'?"),
        ("base_min = 5.0, saw_m", "saw_m", "step[1].duration", "Add base_min"),
        ("saw_m = 2.6", "saw_m = -2.6", "step[1].duration.saw_m", "at least 0"),
        ("{ base_min = 13.0 }", "{ base_min = 0 }", "step[4].duration", "a step that takes time"),
        ('from = "saw.end"', 'from = "sew.end"', "link[1].from", "Did you mean 'saw'?"),
        ('to = "lift.start"', 'to = "lifted.start"', "link[2].to", "Did you mean 'lift'?"),
        ('from = "saw.end"', 'from = "open.start"', "link[1].from", "an edge of a step"),
        ('from = "saw.end"', 'from = "break-out.start"', "link[1].to", "'break-out.start' twice"),
        ('break-out"\nleast_min = 0.0', 'break-out"', "link[1]", "a link without a time"),
        ("greatest_min = 40.0", "greatest_min = -1.0", "link[4].greatest_min", "at least 0"),
        ("least_min = 0.0\ngreatest_min = 40.0", "least_min = 41.0\ngreatest_min = 40.0", "link[4].least_min", "41"),
        (SET, f"{SET}\nleast_min = 5.0", "link[11].least_clock", "Write two links."),
        (STRENGTH, f"{STRENGTH}\ngreatest_min = 5.0", "link[19].to", "only a least time"),
        (LIFE, LIFE.replace("life", "ready"), "link[6].greatest_clock.kind", "a deadline runs by life, set"),
        (SET, SET.replace('"set"', '"life"'), "link[11].least_clock.kind", "a wait runs by set, ready, strength"),
        (SET, SET.replace('"bed"', '"fell"'), "link[11].least_clock.pour", "Did you mean 'fill'?"),
        (
            STRENGTH,
            'least_clock = { pour = "seal", kind = "strength" }',
            "link[19].least_clock.kind",
            "a sheet with [[strength]] points",
        ),
        (
            STRENGTH,
            'least_clock = { pour = "bed", kind = "strength", strength_n_per_mm2 = 37.5 }',
            "link[19].least_clock.kind",
            "a strength of 37.5 N/mm² or more",
        ),
        (
            SET,
            'least_clock = { pour = "bed", kind = "set", strength_n_per_mm2 = 5.0 }',
            "link[11].least_clock.strength_n_per_mm2",
            "kind 'strength'",
        ),
    ],
)
def test_a_slip_in_the_chain_is_named(was: str, now: str, column: str, words: str) -> None:
    faults = {fault.column: fault for fault in faults_of(was, now)}
    assert column in faults
    assert words in faults[column].sentence()


def test_a_fault_of_a_link_points_at_its_own_line() -> None:
    (fault,) = faults_of(SET, f"{SET}\nleast_min = 5.0")
    assert FIVE.split("\n")[fault.row - 1] == SET


def test_a_wait_for_a_strength_the_sheet_reaches_is_allowed() -> None:
    assert faults_of(STRENGTH, BESIDE + STRENGTH.replace(" }", ", strength_n_per_mm2 = 37.0 }")) == ()


@pytest.mark.parametrize(
    ("sheet", "kind"),
    [
        (replace(SHEETS["harrow-bed"], life=()), "life"),
        (replace(SHEETS["harrow-bed"], set_=()), "set"),
    ],
    ids=["life", "set"],
)
def test_a_clock_that_the_sheet_cannot_answer_is_refused(sheet: Sheet, kind: str) -> None:
    bare = {**SHEETS, "harrow-bed": sheet}
    methods, faults = load_methods({"methods/five-layer.toml": FIVE.encode()}, bare)
    assert methods == {}
    assert {fault.expected for fault in faults} == {f"a sheet with [[{kind}]] points"}


def test_a_wait_for_readiness_takes_the_traffic_strength_where_the_sheet_gives_no_times() -> None:
    ready = BESIDE + STRENGTH.replace("strength", "ready")
    assert faults_of(STRENGTH, ready) == ()
    silent = {**SHEETS, "harrow-bed": replace(SHEETS["harrow-bed"], traffic_strength_n_per_mm2=None)}
    text = FIVE.replace(STRENGTH, ready)
    methods, faults = load_methods({"methods/five-layer.toml": text.encode()}, silent)
    assert methods == {}
    assert {fault.expected for fault in faults} == {"a sheet with [[ready]] points"}
