"""Every figure of a cover has a why whose value is the figure."""

from dataclasses import replace

import pytest

from plan.sample import case, ring_readings
from truebed.given.survey import Sounding
from truebed.plan.chamber_top import MeasuredTop
from truebed.plan.design import design_cover
from truebed.plan.explain import explain_lines
from truebed.plan.ground import ground_of
from truebed.plan.level_figures import governor_whys, set_sd_at_mm, slope_words


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
    # the frame is set to given levels at its corners: chamber top 8 mm, setting 1 mm a corner carried out to the seat
    setting = 0.25 + 2 * 415.0**2 / (4 * 330.0**2)
    assert found["X1.bed.least"].plus_minus == pytest.approx(1.645 * (64 + setting) ** 0.5, rel=1e-6)
    assert found["X1.volume.bed"].plus_minus > 0.0
    assert all(f.plus_minus > 0.0 for n, f in found.items() if ".clock." in n)


def test_a_corner_tells_what_holds_the_frame_which_shapes_were_tried_and_which_reading_moves_it():
    crown = case(road=lambda x, y: -0.02 * abs(y) + 0.01 * x)
    figures = dict(design_cover(crown).figures)
    told = "\n".join(explain_lines("X1.level.front-left", figures["X1.level.front-left"]))
    assert "shape tried: two planes along" in told
    assert "taken" in told
    assert "holds the frame: " in told
    assert "reading that moves a corner much: R" in told


def test_the_weights_of_what_holds_a_frame_add_up_to_one_over_the_rim():
    # of a Chebyshev fit the multipliers of the departures sum to one (duality)
    ground = ground_of(case(road=lambda x, y: 1e-5 * x * y))
    weights = [why.value for why in governor_whys(ground) if "target" in why.relation]
    assert sum(weights) == pytest.approx(1.0, abs=5e-3)


def test_the_error_of_a_set_corner_is_three_quarters_of_the_variance_of_its_own_reading():
    one = case()
    assert set_sd_at_mm(one, ground_of(one), 330.0, 330.0) == pytest.approx(0.75**0.5)


def test_soundings_and_the_flange_stand_under_the_cuts_size():
    taps = tuple(
        Sounding("X1", f"T{i}", "tap", x, y, found, row=i + 2)
        for i, (x, y, found) in enumerate(
            ((505.0, 0.0, "hollow"), (605.0, 0.0, "sound"), (-515.0, 0.0, "sound"), (0.0, 515.0, "sound"),
             (0.0, -515.0, "sound"))
        )
    )  # fmt: skip
    found = dict(design_cover(replace(case(sound_margin_mm=None), soundings=taps)).figures)
    told = "\n".join(explain_lines("X1.cut.along", found["X1.cut.along"]))
    assert "margin to the front = 140 mm" in told
    assert "soundings.csv row 2" in told


def test_waste_ride_and_forecast_are_figures_with_their_limits():
    found = figures()
    assert {"X1.waste.volume", "X1.waste.mass", "X1.ride.step", "X1.ride.gap", "X1.bed.reset-probability"} <= set(found)
    assert found["X1.waste.mass"].value == pytest.approx(sum(
        layer.mass_t for layer in design_cover(case()).design.waste.layers))  # fmt: skip
