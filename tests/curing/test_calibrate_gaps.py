"""What a sheet cannot tell is said, one sentence a gap; strengths that fall with temperature are flagged."""

from __future__ import annotations

from dataclasses import replace

from curing.sample_sheet import sheet, strengths, times
from truebed.curing.sheet_gaps import oddities, other_gaps, strength_gaps
from truebed.sheets.sheet import BaseState, Heat, Shelf, Thermal


def said(gaps: tuple[str, ...], words: str) -> bool:
    return any(words in gap for gap in gaps)


def test_one_point_and_one_temperature_are_told() -> None:
    gaps = strength_gaps(sheet(strength=strengths((20.0, 60.0, 9.5))))
    assert said(gaps, "One strength point (9.5 N/mm² at 60 min, 20 °C) gives no curve")
    assert said(gaps, "at 20 °C only cannot give the activation energy")
    assert said(gaps, "From 5 to 20 °C the sheet allows use but gives no strength")
    assert said(gaps, "From 20 to 30 °C the sheet allows use but gives no strength")
    assert strength_gaps(sheet(strength=())) == ("The sheet gives no strengths: no curve, no strength at any age.",)


def test_a_full_sheet_only_says_where_its_curve_ends() -> None:
    assert len(strength_gaps(sheet())) == 2
    assert said(strength_gaps(sheet()), "Nothing is promised past the last datum, 22.5 N/mm².")


def test_what_the_rest_of_the_sheet_leaves_open_is_told_until_it_is_given() -> None:
    bare = sheet(life=times((20.0, 22.0)), traffic_strength_n_per_mm2=None)
    words = ("working life at 20 °C only", "No traffic strength", "No heat", "No thermal", "dry, damp or wet", "shelf")
    assert all(said(other_gaps(bare), word) for word in words)
    full = replace(
        sheet(), heat=Heat(120.0, "", "p"), thermal=Thermal(1.2, 2.0, "p"),
        base_state=BaseState(False, True, False, "p"), shelf=Shelf(9.0, "p"),
    )  # fmt: skip
    assert other_gaps(full) == ()
    assert said(other_gaps(replace(full, kind="resin")), "No dose table")


def test_a_strength_that_falls_with_temperature_is_flagged_with_both_places() -> None:
    assert oddities(sheet()) == ()
    odd = sheet(strength=strengths((20.0, 1440.0, 37.0), (30.0, 1440.0, 36.0)))
    (sentence,) = oddities(odd)
    assert "At 1440 min the strength falls with temperature: 37 N/mm² at 20 °C (row 20/1440), 36 at 30 °C" in sentence
