"""The bed before the top is measured: spans and chances against closed forms and plain draws."""

import math

import numpy as np
import pytest
from scipy.stats import norm

from truebed.chamber.plane import Plane
from truebed.chamber.shapes import rectangle_ring
from truebed.errors import NotDesignedError
from truebed.levels.bed_forecast import bed_forecast
from truebed.levels.frame_setting import SettingQuestion, set_frame
from truebed.levels.rims import set_points
from truebed.levels.seat_question import SeatSample
from truebed.levels.surface import RoadSurface


def question(top=-130.0, slope=0.0, setting_sd=1.0):
    covariance = tuple(tuple(1e-12 if i == j else 0.0 for j in range(3)) for i in range(3))
    road = RoadSurface("plane", (0.0, slope, 0.0), covariance, 0.0, 2.0, (), (), 1.0, 1.0)
    seat = tuple(SeatSample(f"seat {i}", x, y, top) for i, (x, y) in enumerate(rectangle_ring(820.0, 820.0)))
    return SettingQuestion(
        road, rectangle_ring(660.0, 660.0), set_points("rectangle", 660.0, 660.0, 0.0), ((500.0, 0.0),), seat,
        Plane(top, 0.0, 0.0), "estimate", 100.0, 12.0, 55.0, -6.0, 6.0, "[sroh-4] S2.3.1 (seen)", setting_sd,
    )  # fmt: skip


def forecast(sd, **given):
    asked = question(**given)
    return bed_forecast(asked, set_frame(asked), sd)


def test_the_span_is_nine_in_ten_of_the_tops_and_the_settings_error_together():
    found = forecast(8.0)
    # setting error of a corner of the seat: plane through 4 points at 330: 1/4 + 2 x (410/330)^2 / 4
    wide = norm.ppf(0.95) * math.sqrt(64.0 + 0.25 + 0.5 * (410.0 / 330.0) ** 2)
    for span in found.spans:
        assert span.bed_mm == pytest.approx(30.0, abs=1e-4)
        assert (span.low_mm, span.high_mm) == pytest.approx((30.0 - wide, 30.0 + wide), abs=1e-4)


def test_on_a_flat_road_the_chance_after_measuring_is_that_of_the_closed_form():
    # bed 30 in 12 to 55, frame may move 6 either way: top up by 18 + 6 = 24, down by 25 + 6 = 31
    found = forecast(12.0)
    assert (found.higher_most_mm, found.lower_most_mm) == pytest.approx((24.0, 31.0), abs=1e-4)
    assert found.reset_probability == pytest.approx(norm.cdf(24.0 / 12.0) - norm.cdf(-31.0 / 12.0), abs=1e-6)


def test_the_chance_as_set_is_that_of_plain_draws_and_less_than_after_setting_anew():
    found = forecast(10.0, slope=0.01, setting_sd=2.0)
    rng = np.random.default_rng(11)
    corners = np.array([p for _, p in set_points("rectangle", 660.0, 660.0, 0.0)])
    table = np.column_stack([np.ones(4), corners])
    n = 200_000
    plane = rng.normal(0.0, 2.0, (n, 4)) @ np.linalg.pinv(table).T
    seat = np.array([[1.0, x, y] for x, y in rectangle_ring(820.0, 820.0)])
    bed = 30.0 + 0.01 * seat[:, 1] + plane @ seat.T - rng.normal(0.0, 10.0, (n, 1))
    share = np.mean(np.all((bed >= 12.0) & (bed <= 55.0), axis=1))
    assert found.as_set_probability == pytest.approx(share, abs=0.005)
    assert found.reset_probability > found.as_set_probability


def test_drawing_tops_and_setting_anew_gives_the_same_chance():
    rng = np.random.default_rng(5)
    fits = 0
    for top in rng.normal(-130.0, 25.0, 400):
        try:
            set_frame(question(top=float(top)))
            fits += 1
        except NotDesignedError:
            continue
    found = forecast(25.0)
    assert fits / 400.0 == pytest.approx(found.reset_probability, abs=3.5 * math.sqrt(0.25 / 400.0))


def test_a_surer_top_gives_a_surer_bed():
    assert forecast(2.0).as_set_probability > 0.999
    assert forecast(2.0).as_set_probability > forecast(15.0).as_set_probability
    assert forecast(2.0).reset_probability > forecast(15.0).reset_probability
