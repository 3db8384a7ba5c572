"""The band made for one strength: its ages there are those of the fit's own draws, which plain moments are not."""

import numpy as np
import pytest

from curing.rime_bed import asked
from truebed.curing.binder import Binder
from truebed.curing.binder_band import ages_to, band_5_50_95, band_draws, band_of_draws
from truebed.curing.calibrate import time_to
from truebed.curing.target_band import target_band


def own(fitted):
    return [one for one in fitted.draws(512) if one.form == fitted.binder.form]


def minutes_at(band, target, temp):
    draws = band_draws(band, 2000)
    rate = np.exp(draws.activation / 8.314462618 * (1.0 / 293.15 - 1.0 / (273.15 + temp)))
    return band_5_50_95(ages_to(band, draws, target) / rate)


@pytest.mark.parametrize(("key", "target"), [("rime-bed", 12.5), ("rime-flow", 14.0), ("harrow-bed", 13.0)])
@pytest.mark.parametrize("temp", [5.0, 12.0, 20.0])
def test_its_times_are_those_of_the_fit_within_three_parts_of_a_hundred(key, target, temp):
    fitted = asked(key).fitted
    told = time_to(fitted, target, temp)
    found = minutes_at(target_band(own(fitted), target), target, temp)
    assert found == pytest.approx((told.early_min, told.minutes_min, told.late_min), rel=0.03)


def test_plain_moments_come_out_wider_at_the_target():
    fitted = asked("rime-bed").fitted
    plain, made = (
        minutes_at(make, 12.5, 20.0) for make in (band_of_draws(own(fitted)), target_band(own(fitted), 12.5))
    )
    assert plain[2] - plain[0] > 1.5 * (made[2] - made[0])


def test_a_binder_that_never_has_the_target_leaves_the_late_side_endless():
    weak = [Binder("hyperbola", most, 40.0, 1.0, 15.0, 33000.0, 125.0, 1.2, 2.0) for most in (14.0, 16.0, 24.0, 26.0)]
    early, _, late = minutes_at(target_band(weak, 18.0), 18.0, 20.0)
    assert np.isfinite(early)
    assert late == np.inf


def test_binders_of_both_forms_are_no_band():
    fitted = asked("rime-bed").fitted
    with pytest.raises(ValueError, match="one form"):
        target_band(fitted.draws(64), 12.5)
