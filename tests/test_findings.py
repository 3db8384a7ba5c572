"""A finding as a sentence: code, subject, value, limit, source, mend."""

import pytest

from truebed.findings import Finding, Severity, short_number


@pytest.mark.parametrize(("value", "text"), [
    (-18.0883, "-18.1"), (1.66435, "1.66"), (152.971, "153"), (0.789497, "0.789"), (0.0, "0"), (-0.0, "0"), (6.0, "6"),
    (1200.4, "1200"), (0.05, "0.05"), (100.0, "100"), (9.999, "10"),
])  # fmt: skip
def test_numbers_are_short_but_never_coarser_than_whole_ones(value, text):
    assert short_number(value) == text


def test_the_sentence_holds_everything_in_order():
    finding = Finding(
        "LV-002", Severity.BREAKS, "C1, corner front-left", "high", 8.4, "mm", "6 mm", "S2.3.1", "Lower it."
    )
    assert finding.sentence() == "LV-002 C1, corner front-left: high [8.4 mm]; allowed 6 mm (S2.3.1). Lower it."


def test_a_bare_finding_has_no_empty_brackets_and_one_full_stop():
    assert Finding("X-1", Severity.ADVICE, "C1", "as it is.").sentence() == "X-1 C1: as it is."
    assert Finding("X-1", Severity.ADVICE, "C1", "odd", 3.0).sentence() == "X-1 C1: odd [3]."
