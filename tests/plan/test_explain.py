"""The why-tree as text."""

from plan.sample import case
from truebed.plan.design import design_cover
from truebed.plan.explain import explain_lines, find_figure, near_names, node_lines, value_text
from truebed.why import Figure, Why


class Holder:
    figures = design_cover(case()).figures


def test_a_figure_is_found_by_name_and_near_names_are_offered():
    assert find_figure(Holder, "X1.bed.least").unit == "mm"
    assert find_figure(Holder, "nothing") is None
    assert all(n.startswith("X1.bed") for n in near_names(Holder, "x1.bed"))
    assert "X1.bed.least" in near_names(Holder, "X1.bed.leest")


def test_the_tree_says_value_interval_relation_source_and_limit():
    text = "\n".join(explain_lines("X1.bed.least", find_figure(Holder, "X1.bed.least")))
    assert text.startswith("X1.bed.least: ")
    assert "± " in text
    assert "rim - frame depth - chamber top" in text
    assert "governed by: 12 to 55 mm, margin" in text
    assert "readings.csv row 2" in text


def test_a_branch_is_opened_once():
    text = "\n".join(explain_lines("X1.bed.least", find_figure(Holder, "X1.bed.least")))
    assert text.count("readings.csv row 2)") == 1
    assert "(as above)" in text


def test_what_is_not_determined_is_said_so():
    lines = explain_lines("a", Figure(None, "N/mm2", Why("strength", "not determined", "", "no value", "house")))
    assert lines[0] == "a: not determined"


def test_numbers_read_plainly():
    assert value_text(12.0, "mm") == "12 mm"
    assert value_text(-0.001, "mm") == "0 mm"
    assert value_text("plane", "") == "plane"
    assert (
        node_lines(Why("w", 1.5, "mm", "r", "s", (), "limit", 2.0), 0)[2].strip() == "governed by: limit, margin 2 mm"
    )
