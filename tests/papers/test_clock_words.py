"""Clocks in words: minutes on the safe side, pour by pour."""

from __future__ import annotations

from dataclasses import replace

from papers.sample_plan import sample_closure
from truebed.curing.hour_clocks import HourTime
from truebed.curing.two_clocks import Band
from truebed.papers.clock_words import clock_table, clock_words, whole_minutes

K11, K12, K13 = sample_closure().designed


def test_a_life_is_rounded_down_and_a_wait_up() -> None:
    life, ready = replace(K11.clocks[0], wait=False), K11.clocks[1]
    assert whole_minutes(replace(life, minutes_min=18.9)) == 18
    assert whole_minutes(replace(ready, minutes_min=34.1)) == 35
    assert clock_words(K11.clocks[6])["what"] == "wait: reaches 20 N/mm\u00b2"
    assert clock_words(replace(ready, wait=False))["what"].startswith("within: last levels")
    assert clock_words(ready)["what"].startswith("wait:")


def test_clocks_stand_pour_by_pour_what_must_be_done_within_before_what_is_waited_for() -> None:
    table = clock_table((*K11.clocks, K11.clocks[1]))
    heads, rows = table["heads"], table["rows"]
    assert isinstance(heads, list)
    assert isinstance(rows, list)
    assert heads[0] == "within: mixed, placed, set to level"
    assert [r["pour"] for r in rows] == ["Bed", "Fill", "Surface"]
    fill = dict(zip(heads, rows[1]["cells"], strict=True))
    assert fill["wait: reaches 20 N/mm\u00b2"] == [{"minutes": "150", "range": "128 to 181"}]
    assert [k["minutes"] for k in dict(zip(heads, rows[0]["cells"], strict=True))["wait: has set"]] == ["34", "34"]
    told = sum(len(cell) for row in rows for cell in row["cells"])
    assert told == len(K11.clocks) + 1


def test_each_temperature_of_the_clocks_says_what_is_read_at_it() -> None:
    life, ready = K11.clocks[0], K11.clocks[1]
    assert clock_table((life,))["temps"] == ["16.0 \u00b0C, mix"]
    two = clock_table((life, ready, replace(ready, pour="fill", temp_c=5.0)))["temps"]
    assert two == [
        "16.0 \u00b0C, mix (within)",
        "7.5 \u00b0C, air 23:00 (wait: Bed)",
        "5.0 \u00b0C, air 23:00 (wait: Fill)",
    ]


def test_clocks_from_heat_say_which_edge_the_programme_takes_and_print_that_one() -> None:
    hours = (HourTime(60.0, Band(100.0, 120.0, 150.0), 9.0, 0.0),)
    waited = replace(K11.clocks[6], minutes_min=120.0, early_min=100.0, late_min=150.0, used_min=150.0, hours=hours)
    table = clock_table((waited,))
    assert table["temps"] == []
    assert "late end (95 %)" in str(table["heat"])
    assert clock_words(waited)["minutes"] == "150"
    assert clock_words(waited)["range"] == "100 to 150"
    assert clock_table((K11.clocks[0],))["heat"] == ""
