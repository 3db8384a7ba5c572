"""Weather in words: every key of advice has some, and a row tells one hour."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from plan.sample import shelf
from plan.weathered import hour, weathered
from truebed.papers.weather_words import ADVICE, advice_words, hour_rows, hour_words, hours_told, may_words
from truebed.plan.base_hours import REASONS, base_hours, laid_hours

ROOT = Path(__file__).parents[2] / "src/truebed"
KEYS = sorted(
    {
        key
        for file in (ROOT / "curing/dew.py", ROOT / "curing/evaporation.py", ROOT / "curing/freezing.py")
        for key in re.findall(r'"((?:dew|base|drying|frost)-[a-z-]+)"', file.read_text("utf-8"))
    }
)
TOP = shelf().sheets["slate-top"]


@pytest.mark.parametrize("key", [*KEYS, *REASONS])
def test_every_key_that_a_check_gives_has_words(key: str) -> None:
    assert advice_words((key,)).endswith(".")


def test_the_checks_give_keys_at_all() -> None:
    assert len(KEYS) >= 9
    assert set(KEYS) <= set(ADVICE)


def test_advice_is_told_once_and_an_unknown_key_is_no_silence() -> None:
    assert advice_words(("dew-clear", "dew-clear")) == "Clear of dew."
    with pytest.raises(KeyError):
        advice_words(("dew-of-no-kind",))


def test_a_row_tells_the_hour_with_its_margin_rounded_down() -> None:
    hours = base_hours(weathered([hour(0, road_c=12.25), hour(1, road_c=-1.5, rain_mm=1.0, wind_m_per_s=30.0)]))
    first, second = hour_rows(hours, (laid_hours(TOP, hours, 20.0),))
    # dew point 9.256 degC, margin 2.994: never told as 3.0; drying 5e-6 * 0.5 * 38^2.5 * 22 = 0.490
    assert first == {
        "hour": "20:00",
        "air": "20.0",
        "face": "12.2",
        "dew": "9.3",
        "margin": "+2.9",
        "rain": "",
        "may": ["no"],
        "drying": "0.49",
        "cover": "–",
    }
    assert (second["face"], second["rain"], second["margin"]) == ("−1.5", "wet", "−10.8")
    assert second["cover"] == "cover"


def test_what_a_forecast_leaves_out_is_a_question_mark_and_is_told_below() -> None:
    hours = base_hours(
        weathered([hour(0, humidity_pct=None, road_c=None, wind_m_per_s=None, rain_mm=None), hour(1)], mix_c=25.0)
    )
    (row, _) = hour_rows(hours, (laid_hours(TOP, hours, 25.0),))
    assert (row["dew"], row["margin"], row["drying"], row["cover"], row["rain"]) == ("?",) * 5
    assert (row["face"], row["may"]) == ("20.0 (air)", ["measure"])
    told = " ".join(hours_told(hours))
    assert "no road" in told
    assert "no wind" in told
    assert "measure air, humidity and face before laying" in told
    assert "have sheeting and a sprayer" in told
    assert hours_told(()) == ()


def test_words_of_a_verdict_and_of_an_hour() -> None:
    assert (may_words(True), may_words(False), may_words(None)) == ("yes", "no", "measure")
    assert hour_words("2031-05-06T20:00+01:00") == "20:00"
