"""The page that a cover's layers are watched by: forms that stay on the safe side, minutes rounded up."""

from dataclasses import replace
from functools import cache

import pytest

from papers.sample_plan import designs
from plan.night_case import case_with, parts, plain_clocks
from truebed.papers.probe_words import BELOW_FIRST, LINES_MOST_COUNT, ROWS_MOST_COUNT, form_rules, forms_of, probe_words
from truebed.plan.ground import ground_of
from truebed.plan.strength_aids import CrossingTime, strength_aids


@cache
def aids():
    ground = ground_of(case_with())
    return strength_aids(case_with(), ground.cut, ground.wheel, plain_clocks(), parts()[0], 14.0)


def design(**changes):
    return replace(designs()[0], strength=replace(aids(), **changes))


def forms(of=None):
    made = design() if of is None else of
    return forms_of(made, made.strength)


def test_a_design_without_aids_has_no_page():
    assert probe_words(replace(designs()[0], strength=None)) == {}


def test_a_form_for_each_bearing_pour_says_what_it_waits_for():
    assert [(f["pour"], f["waits_for"]) for f in forms()] == [("Bed", "14 N/mm\u00b2"), ("Fill", "14 N/mm\u00b2")]
    assert all(0 < f["lines"] <= LINES_MOST_COUNT for f in forms())


def test_between_two_printed_rows_the_colder_one_never_gives_more_points_than_the_whole_table():
    for form, points in zip(forms(), aids().points, strict=True):
        printed = [(float(row["temp"]), float(row["points"])) for row in form["rows"]]
        whole = points.table.rows
        assert len(printed) < len(whole)
        assert len(printed) <= ROWS_MOST_COUNT + 1
        for row in whole:
            read = max((p for p in printed if p[0] <= row.temp_c), key=lambda p: p[0])
            assert read[1] <= row.ten_minutes_points + 1e-9


def test_the_coldest_and_the_warmest_row_are_printed_whatever_is_thinned():
    for form, points in zip(forms(), aids().points, strict=True):
        own = points.table.rows
        ends = [float(form["rows"][i]["temp"]) for i in (0, -1)]
        assert ends == [own[0].temp_c, own[-1].temp_c]


@pytest.mark.parametrize("count", [1, 17, 18, 19, 36, 37])
def test_a_short_table_is_printed_whole_and_a_long_one_by_a_step_with_its_last_row(count):
    first = aids().points[0]
    rows = tuple(replace(first.table.rows[0], temp_c=float(i)) for i in range(count))
    short = replace(first, table=replace(first.table, rows=rows))
    (form,) = forms(design(points=(short,)))
    temps = [float(row["temp"]) for row in form["rows"]]
    assert temps[-1] == count - 1
    assert len(temps) == count if count <= ROWS_MOST_COUNT else len(temps) < count
    assert set(range(count)) >= set(temps)


def test_the_rules_say_to_take_the_colder_row_and_to_stop_outside_the_table():
    first, second = form_rules(aids())
    assert "Probe at the middle of the layer" in first
    assert "between two rows of the table the colder row" in first
    assert "not allowed by the sheet: stop" in second
    assert form_rules(replace(aids(), points=())) == []


def test_minutes_to_cross_are_rounded_up_and_never_is_said():
    rows = (
        CrossingTime("a barrow", 0.2, (("bed", 61.01), ("fill", 60.0))),
        CrossingTime("a lorry", 2.0, (("bed", None), ("fill", 75.2))),
        CrossingTime("a bus", None, ()),
    )
    told = str(probe_words(design(crossings=rows))["crossings"])
    assert "bed 62 min, fill 60 min" in told
    assert "bed never, fill 76 min" in told
    assert "a bus" in told


def test_the_note_on_crossing_names_the_pours_and_is_silent_where_nobody_has_minutes():
    note = probe_words(design())["crossing_note"]
    assert "Bed and fill must each have the strength." in note
    assert note.endswith(BELOW_FIRST)
    assert probe_words(design(crossings=()))["crossing_note"] == ""


def test_each_resin_layer_has_its_table_of_doses():
    (layer,) = probe_words(design())["resin"]
    assert layer["name"] == aids().resin.layers[0].name
    assert layer["rows"]
