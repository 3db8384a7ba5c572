"""The paper form: its table is the one that was reckoned, its rules are those of the sum, its lines are enough."""

import pytest

from curing.rime_bed import asked
from truebed.curing.points_table import points_table, sum_rows
from truebed.curing.site_readings import site_readings
from truebed.papers.now_words import LINES_MOST_COUNT, form_rows, form_text, points_form

TABLE = points_table(asked("rime-bed").fitted.draws(512), 12.5, site_readings().places["slowest face"], 0.0, 20.0)


def form(coldest_c=None):
    return points_form("T01", "bed", "A mortar", "traffic strength of the sheet", TABLE, coldest_c)


def test_the_form_names_cover_pour_sheet_place_and_the_strength_waited_for():
    found = form()
    assert found.heading == "T01, bed: A mortar, probe at the slowest face"
    assert found.waits_for == "waits for 12.5 N/mm² (traffic strength of the sheet)"
    assert found.columns == ("time", "probe °C", "points", "sum")


def test_every_row_of_the_table_is_on_it_with_one_decimal():
    rows = form_rows(form())
    assert len(rows) == len(TABLE.rows)
    for row, reckoned in zip(rows, TABLE.rows, strict=True):
        assert float(row["temp"]) == reckoned.temp_c
        assert float(row["points"]) == pytest.approx(reckoned.ten_minutes_points, abs=1e-9)


@pytest.mark.parametrize("coldest", [4.0, 8.0, 15.0])
def test_its_lines_are_enough_for_a_hundred_at_the_coldest_expected(coldest):
    lines = form(coldest).lines
    rows = sum_rows(TABLE, [(10.0 * i, coldest) for i in range(lines)])
    assert rows[-1].sum_points >= 100.0
    assert lines <= LINES_MOST_COUNT


def test_where_nothing_counts_or_nothing_is_expected_it_has_a_whole_page():
    assert form(0.0).lines == form(None).lines == LINES_MOST_COUNT


def test_a_table_that_holds_ground_at_which_nothing_counts_says_from_where_on():
    assert "At 0 °C and below nothing counts" in form().cautions[0]
    above = points_table(asked("harrow-bed").fitted.draws(512), 13.0, site_readings().places["slowest face"], 5.0, 30.0)
    assert points_form("T01", "bed", "x", "y", above).cautions[0].startswith("At or below 0 °C nothing counts")


def test_as_plain_text_it_has_its_empty_lines_fits_a_page_and_says_who_decides():
    text = form_text(form(8.0))
    assert sum(line.startswith("|  ") for line in text) == form(8.0).lines
    assert "a competent person decides" in text[-1]
    assert not any(word in " ".join(text).lower() for word in ("the road is open", "open the road"))
    assert any(
        line.split() == ["8", f"{TABLE.points_at(8.0):.1f}", "19", f"{TABLE.points_at(19.0):.1f}"] for line in text
    )
