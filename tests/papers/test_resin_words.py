"""Resin in words: the least never rounded down, the most never up, work never long, waits never short."""

from __future__ import annotations

from dataclasses import replace

from plan.sample import shelf
from plan.weathered import hour, weathered
from truebed.mixing.kits import RoleVolume
from truebed.papers.resin_words import (
    degrees_words,
    dose_rows,
    dose_words,
    grams_words,
    minutes_down_words,
    minutes_up_words,
    resin_told,
)
from truebed.plan.resin_layers import ResinLayer, resin_layers
from truebed.sheets.sheet import DoseAt, Heat, Sheet

TOP = shelf().sheets["slate-top"]


def layer_of(sheet: Sheet = TOP, **sky: float) -> ResinLayer:
    made = weathered([hour(0), hour(1, **sky)], sheets={"slate-top": sheet})
    (layer,) = resin_layers(
        made, (RoleVolume("running_surface", "slate-top", "surface", 30.0, 1.0, 28.0, 32.0),)
    ).layers
    return layer


def test_a_row_of_the_table_keeps_inside_the_sheet() -> None:
    five, ten, *_ = dose_rows(layer_of())
    # 1.85 kg: 3 % is 55.5 g, 5 % is 92.5 g
    assert five == {
        "temp": "5",
        "least": "3.00",
        "usual": "4.00",
        "most": "5.00",
        "least_g": "56",
        "usual_g": "74",
        "most_g": "92",
        "gel": "19",
        "cure": "94",
    }
    assert (ten["least"], ten["most"]) == ("2.54", "4.26")  # 2.533 and 4.267


def test_numbers_are_rounded_to_the_side_that_is_safe() -> None:
    assert (grams_words(0.0555, "least"), grams_words(0.0555, "most"), grams_words(0.0554)) == ("56", "55", "55")
    assert (dose_words(2.3, "least"), dose_words(2.3, "most"), dose_words(None)) == ("2.30", "2.30", "–")
    assert (minutes_down_words(15.99), minutes_up_words(15.01), minutes_up_words(15.0)) == ("15", "16", "15")
    assert (grams_words(None), minutes_down_words(None), minutes_up_words(None)) == ("–", "–", "–")
    assert degrees_words(-1.25) == "−1.25"


def test_the_night_is_told_with_grams_gel_cure_lift_and_hours() -> None:
    told = resin_told(layer_of())
    assert told[0] == (
        "Coldest of the night, 20 °C (air at 20:00): 2.20 % hardener, 41 g a kit (30 to 51 g); gel in 13 min, "
        "cured in 54 min."
    )
    assert "Between two rows keep to a dose that both rows allow." in told[2]
    assert told[3].startswith("By the forecast the base lets it be laid at every hour")
    assert told[4].startswith("One lift: 32.0 mm gets to ")
    assert told[4].endswith("the sheet allows 75 °C.")


def test_barred_hours_lifts_and_gaps_are_told() -> None:
    some = resin_told(layer_of(road_c=10.0))
    assert any("may be laid from 20:00 to 21:00 only. Too near the dew point" in text for text in some)
    hot = resin_told(layer_of(replace(TOP, heat=Heat(105.0, "", "p3", 45.0))))
    assert any(text.startswith("2 lifts of 16.0 mm, each let cool: in one, 32.0 mm may get to") for text in hot)
    bare = layer_of(replace(TOP, dose=(), gel=(), cure=()))
    assert dose_rows(bare) == []
    assert any("no table of doses" in text for text in resin_told(bare))
    assert "Weigh out" not in " ".join(resin_told(bare))
    assert "no dose" in resin_told(bare)[0]


def test_rows_that_share_no_dose_are_not_read_between() -> None:
    steep = replace(TOP, dose=(DoseAt(15.0, 4.0, 5.0, "t"), DoseAt(20.0, 2.0, 3.0, "t")))
    assert "share no dose" in resin_told(layer_of(steep))[2]
