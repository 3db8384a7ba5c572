"""A sheet as a fitted curve: what it gives, what it refuses, and in what way it says that it reaches past the sheet."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from curing.sample_sheet import sheet, strengths, times
from truebed.curing.binder import strength_n_per_mm2
from truebed.curing.calibrate import TimeTo, fit_sheet, reach_notes, refuse_outside, thermals_of, time_to
from truebed.curing.defaults import curing_defaults
from truebed.curing.fitted import binder_of
from truebed.errors import NotDeterminedError
from truebed.sheets.sheet import Heat, Thermal

DEFAULTS = curing_defaults()
FITTED = fit_sheet(sheet(), DEFAULTS)
ONE_TEMP = sheet(
    life=times((20.0, 22.0)), set_=times((20.0, 34.0)),
    strength=strengths((20.0, 60.0, 9.5), (20.0, 180.0, 22.5), (20.0, 1440.0, 37.0)),
)  # fmt: skip


def test_every_point_stands_beside_its_fitted_value_with_its_place() -> None:
    points = sheet().strength
    assert [(r.temp_c, r.age_min, r.given_n_per_mm2, r.place) for r in FITTED.residuals] == [
        (p.temp_c, p.age_min, p.strength_n_per_mm2, p.place) for p in points
    ]
    for row in FITTED.residuals:
        rate = math.exp(FITTED.binder.activation_j_per_mol / 8.314462618 * (1.0 / 293.15 - 1.0 / (273.15 + row.temp_c)))
        own = strength_n_per_mm2(FITTED.binder, row.age_min * rate)
        assert row.fitted_n_per_mm2 == pytest.approx(own, rel=1e-3)
        assert row.difference_n_per_mm2 == row.fitted_n_per_mm2 - row.given_n_per_mm2
        assert abs(row.off_sd) < 3.0
    assert [row.given_min for row in FITTED.set_residuals] == [64.0, 34.0, 23.0]
    assert all(abs(row.difference_min) < 6.0 for row in FITTED.set_residuals)


def test_what_was_taken_for_granted_is_named_with_its_source() -> None:
    names = {prior.name for prior in FITTED.priors}
    assert {"activation_cement_j_per_mol", "most_n_per_mm2", "heat_kj_per_l", "strength_error_share"} <= names
    assert ("shape_ratio" in names) != ("dead_min" in names)
    assert all(prior.source for prior in FITTED.priors)


def test_a_time_lies_inside_its_band_and_grows_as_it_gets_colder_and_stronger() -> None:
    found = [time_to(FITTED, 13.0, temp_c) for temp_c in (5.0, 10.0, 20.0, 30.0)]
    for one in found:
        assert one.early_min < one.minutes_min < one.late_min
        assert one.notes == ()
    assert [one.minutes_min for one in found] == sorted((one.minutes_min for one in found), reverse=True)
    assert time_to(FITTED, 20.0, 10.0).late_min > time_to(FITTED, 13.0, 10.0).late_min


def test_the_fitted_time_agrees_with_the_sheets_own_point() -> None:
    assert time_to(FITTED, 13.5, 5.0).minutes_min == pytest.approx(180.0, rel=0.1)
    assert time_to(FITTED, 15.0, 20.0).minutes_min == pytest.approx(90.0, rel=0.1)


def test_nothing_past_the_last_datum_is_promised() -> None:
    assert isinstance(time_to(FITTED, 22.0, 20.0), TimeTo)
    with pytest.raises(NotDeterminedError, match=r"last datum is 22.5 N/mm²; nothing past the last datum"):
        time_to(FITTED, 22.6, 20.0)
    with pytest.raises(NotDeterminedError, match="more than 0"):
        time_to(FITTED, 0.0, 20.0)


def test_a_temperature_outside_the_sheets_limits_is_not_allowed_by_the_sheet() -> None:
    with pytest.raises(NotDeterminedError, match=r"2 °C is not allowed by the sheet.*from 5 to 30 °C"):
        time_to(FITTED, 13.0, 2.0)
    refuse_outside(5.0, 30.0, 5.0, "x")


def test_an_allowed_temperature_that_was_not_tested_is_said_to_be_extrapolated() -> None:
    wider = fit_sheet(sheet(temp_least_c=-3.0), DEFAULTS)
    assert time_to(wider, 13.0, 2.0).notes == ("extrapolated: tested from 5 to 30 °C only",)
    assert "below 0 °C" in time_to(wider, 13.0, -2.0).notes[1]
    assert any("From -3 to 5 °C" in gap for gap in wider.lacking)
    assert reach_notes((20.0,), 20.0) == ()


def test_a_strength_below_the_first_datum_says_that_it_rests_on_the_set() -> None:
    (note,) = time_to(FITTED, 3.0, 20.0).notes
    assert "below the first datum (4.5 N/mm²)" in note


def test_one_temperature_takes_the_default_energy_and_its_wider_band() -> None:
    fitted = fit_sheet(ONE_TEMP, DEFAULTS)
    energy = next(value for value in fitted.parameters if value.name == "activation energy of strength")
    assert energy.value == pytest.approx(40.0, abs=0.5)
    assert energy.high - energy.value == pytest.approx(1.6449 * 8.0, rel=0.02)
    assert energy.from_sheet_share < 0.05
    assert "cannot give the activation energy" in fitted.lacking[0]
    narrow, wide = time_to(FITTED, 15.0, 5.0), time_to(fitted, 15.0, 5.0)
    assert wide.late_min / wide.early_min > 1.5 * narrow.late_min / narrow.early_min
    assert "one temperature tested" in wide.notes[0]


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (strengths((20.0, 60.0, 9.5)), "One strength point"),
        ((), "gives no strengths"),
    ],
)
def test_a_sheet_without_a_curve_is_refused_with_what_would_mend_it(given: tuple[()], words: str) -> None:
    with pytest.raises(NotDeterminedError, match=words):
        fit_sheet(sheet(strength=given), DEFAULTS)


def test_a_resin_has_no_strength_curve() -> None:
    with pytest.raises(NotDeterminedError, match="ready by its times"):
        fit_sheet(replace(sheet(), kind="resin"), DEFAULTS)


def test_a_target_that_may_never_be_reached_is_not_determined() -> None:
    ages = (120.0, 240.0, 480.0, 1440.0, 2880.0, 5760.0)
    points = strengths((20.0, 60.0, 14.0), *((20.0, age, 25.0) for age in ages))
    flat = fit_sheet(sheet(set_=times((20.0, 34.0)), strength=points), DEFAULTS)
    with pytest.raises(NotDeterminedError, match="do not make sure"):
        time_to(flat, 25.0, 20.0)


def test_a_late_edge_past_the_oldest_datum_is_said() -> None:
    points = strengths((20.0, 60.0, 14.0), *((20.0, age, 25.0) for age in (240.0, 480.0, 1440.0, 2880.0)))
    slow = time_to(fit_sheet(sheet(set_=times((20.0, 34.0)), strength=points), DEFAULTS), 25.0, 20.0)
    assert slow.late_min > 2880.0
    assert slow.notes == ("the late edge lies past the sheet's oldest datum (2880 min at 20 °C)",)


def test_draws_are_the_same_at_every_run_and_spread_as_the_band_says() -> None:
    first, again = FITTED.draws(256), FITTED.draws(256)
    assert first == again
    times_min = []
    for draw in first:
        if draw.form == "exponential":
            age = draw.tau_min / math.log(draw.most_n_per_mm2 / 13.0) ** (1.0 / draw.shape_ratio)
        else:
            age = draw.dead_min + draw.tau_min * 13.0 / (draw.most_n_per_mm2 - 13.0)
        rate = math.exp(draw.activation_j_per_mol / 8.314462618 * (1.0 / 293.15 - 1.0 / 278.15))
        times_min.append(age / rate)
    band = time_to(FITTED, 13.0, 5.0)
    assert np.quantile(times_min, 0.05) == pytest.approx(band.early_min, rel=0.02)
    assert np.quantile(times_min, 0.95) == pytest.approx(band.late_min, rel=0.02)
    hyperbolas = sum(draw.form == "hyperbola" for draw in first)
    assert hyperbolas == pytest.approx(256 * float(FITTED.shares[0, 1]), abs=1.0)
    heats = np.log([draw.heat_kj_per_l for draw in first])
    assert np.std(heats) == pytest.approx(0.2, rel=0.02)


def test_heat_and_conductivity_are_the_sheets_own_where_it_gives_them() -> None:
    own = replace(sheet(), heat=Heat(140.0, "140 kJ/l", "p"), thermal=Thermal(1.0, None, "p"))
    thermals = thermals_of(own, DEFAULTS)
    assert (thermals.heat_kj_per_l, thermals.conduct_w_per_m_k, thermals.store_kj_per_l_k) == (140.0, 1.0, 2.0)
    assert thermals.spreads_sd[0] == 0.08
    binder = binder_of("exponential", FITTED.fits[0].theta[0], thermals, np.array([1.1, 1.0, 1.0]))
    assert binder.heat_kj_per_l == pytest.approx(154.0)
    assert binder.dead_min == 0.0
    assert "heat_kj_per_l" not in {prior.name for prior in fit_sheet(own, DEFAULTS).priors}


def test_points_that_no_curve_can_pass_widen_the_stated_errors_and_say_so() -> None:
    wild = sheet(
        strength=strengths(
            (5.0, 180.0, 13.5), (5.0, 1440.0, 33.0), (20.0, 60.0, 14.0), (20.0, 180.0, 36.0), (20.0, 1440.0, 36.5)
        )
    )
    assert fit_sheet(wild, DEFAULTS).error_factor_ratio > 1.0
    assert FITTED.error_factor_ratio == 1.0
