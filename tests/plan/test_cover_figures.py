"""Every figure of a cover has a why whose value is the figure."""

import pytest

from plan.sample import case, ring_readings
from truebed.plan.chamber_top import MeasuredTop
from truebed.plan.design import design_cover
from truebed.plan.level_figures import slope_words


def figures(**changes):
    return dict(design_cover(case(**changes)).figures)


def test_each_figure_is_its_whys_own_value():
    for name, figure in figures().items():
        if figure.value is not None:
            assert figure.why.value == pytest.approx(figure.value), name


def test_the_sheets_numbers_are_all_there():
    names = set(figures())
    assert {"X1.level.front-left", "X1.level.back-right", "X1.bed.least", "X1.bed.most", "X1.departure.greatest",
            "X1.cut.along", "X1.cut.saw-length", "X1.volume.bed", "X1.kits.bed", "X1.spare.bed", "X1.probability.rim",
            "X1.verdict.clause", "X1.opening-strength.bed", "X1.wheel.pressure"} <= names  # fmt: skip
    assert any(n.startswith("X1.clock.bed.strength-14") for n in names)


def test_a_corner_level_leads_to_its_readings_and_the_limit_that_governed():
    whys = [w for _, w in figures()["X1.level.front-left"].why.walk()]
    readings = [w for w in whys if w.source.startswith("readings.csv row")]
    assert len({w.source for w in readings}) == 12
    assert any("Chebyshev" in w.source for w in whys)
    assert any(w.governed_by for w in whys)
    assert any("harrow-bed" in w.source for w in whys)


def test_a_gross_reading_stands_in_the_tree_as_not_used():
    tree = figures(readings=ring_readings(lambda x, y: 0.01 * x - 0.02 * y, off={3: 100.0}))["X1.level.front-left"].why
    assert [w.source for _, w in tree.walk() if "not used" in w.relation][:1] == ["readings.csv row 5"]


def test_a_measured_top_leads_to_its_journal_event():
    points = tuple((x, y, -128.0) for x, y in [(400, 0), (360, 360), (0, 400), (-360, 360), (-400, 0), (-360, -360),
                                               (0, -400), (360, -360)])  # fmt: skip
    tree = figures(measured=MeasuredTop(points, "RK", "t", "ev-1"))["X1.bed.least"].why
    assert any(w.source == "journal event ev-1" for _, w in tree.walk())


def test_a_corners_error_is_larger_than_the_centres_and_the_departures_larger_still():
    found = figures()
    corner = 1.645 * (4.0 / 12 * (1 + 2 * 2 * 330.0**2 / 750.0**2)) ** 0.5
    assert found["X1.road.front-left"].plus_minus == pytest.approx(corner, rel=1e-6)
    assert found["X1.level.front-left"].plus_minus == pytest.approx(corner, rel=1e-6)
    assert found["X1.departure.front-left"].plus_minus > corner


def test_a_slope_is_told_without_a_minus_before_nought():
    assert slope_words(-1e-9) == "+0.00 mm/m"
    assert slope_words(-0.0251) == "-25.10 mm/m"


def test_figures_that_are_uncertain_say_by_how_much():
    found = figures()
    fit = 4.0 / 12 * (1 + 2 * 2 * 415.0**2 / 750.0**2)
    assert found["X1.bed.least"].plus_minus == pytest.approx(1.645 * (64 + fit + 0.75) ** 0.5, rel=1e-6)
    assert found["X1.volume.bed"].plus_minus > 0.0
    assert all(f.plus_minus > 0.0 for n, f in found.items() if ".clock." in n)
