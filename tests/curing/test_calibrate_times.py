"""Working life, set and readiness each have an energy of their own; one temperature takes the stated default."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from curing.sample_sheet import times
from truebed.curing.arrhenius import GAS_J_PER_MOL_K, activation_of_times_k
from truebed.curing.defaults import Default, curing_defaults
from truebed.curing.time_line import fit_times, time_at
from truebed.errors import NotDeterminedError
from truebed.sheets.sheet import Limits

DEFAULTS = curing_defaults()
LIMITS = Limits(10.0, 60.0, -5.0, 30.0)


def vague() -> dict[str, Default]:
    name = "activation_resin_j_per_mol"
    return {**DEFAULTS, name: replace(DEFAULTS[name], spread_sd=1e7)}


def test_two_points_of_a_resin_give_the_energy_of_the_closed_form_and_the_printed_times() -> None:
    line = fit_times(times((10.0, 60.0), (20.0, 30.0)), "resin", "gel of x", LIMITS, vague())
    closed = activation_of_times_k(10.0, 60.0, 20.0, 30.0) * GAS_J_PER_MOL_K
    assert closed == pytest.approx(47837.2395, abs=1e-3)
    assert line.activation_j_per_mol == pytest.approx(closed, rel=1e-5)
    for temp_c, printed in ((-5.0, 186.98), (0.0, 126.25), (5.0, 86.45), (30.0, 15.70)):
        assert time_at(line, temp_c).minutes_min == pytest.approx(printed, abs=0.006)


def test_five_pct_on_each_of_two_times_is_4_9_kj_per_mol_and_14_7_pct_at_nought() -> None:
    name = "time_error_share"
    exact = {**vague(), name: replace(DEFAULTS[name], spread_sd=0.05)}
    points = times((10.0, 60.01), (20.0, 30.01))  # rounded to a hundredth: the test's error alone counts
    line = fit_times(points, "resin", "gel of x", LIMITS, exact)
    assert math.sqrt(line.covariance[2]) == pytest.approx(4.9, abs=0.05)
    cold = time_at(line, 0.0)
    # Both errors reach 0 degC: lever 2.08 on the one, 1.08 on the other. The printed 14.7 % is that of a line through
    # the point at 20 degC and the error of the slope alone.
    lever = math.log(126.25 / 30.0) / math.log(2.0)
    assert math.log(cold.late_min / cold.minutes_min) / 1.6449 == pytest.approx(
        0.05 * math.hypot(lever, lever - 1.0), rel=0.01
    )
    assert 0.05 * math.sqrt(2.0) * lever == pytest.approx(0.147, abs=5e-4)


def test_one_temperature_takes_the_default_energy_of_its_kind_with_its_band() -> None:
    for kind, energy in (("cement", 40000.0), ("resin", 50000.0)):
        line = fit_times(times((20.0, 18.0)), kind, "life of x", LIMITS, DEFAULTS)  # type: ignore[arg-type]
        assert line.activation_j_per_mol == pytest.approx(energy)
        assert not line.energy_given
        cold = time_at(line, 2.0)
        assert "one temperature tested" in cold.notes[0]
        assert cold.late_min / cold.early_min > time_at(line, 20.0).late_min / time_at(line, 20.0).early_min


def test_life_is_read_early_and_a_wait_late_inside_the_limits_only() -> None:
    line = fit_times(times((5.0, 36.0), (20.0, 22.0), (30.0, 14.0)), "cement", "life of x", LIMITS, DEFAULTS)
    here = time_at(line, 12.0)
    assert here.early_min < here.minutes_min < here.late_min
    assert here.notes == ()
    assert time_at(line, 2.0).notes == ("extrapolated: tested from 5 to 30 °C only",)
    assert [round(row.given_min) for row in line.residuals] == [36, 22, 14]
    assert all(abs(row.off_sd) < 2.5 for row in line.residuals)
    with pytest.raises(NotDeterminedError, match="not allowed by the sheet"):
        time_at(line, 31.0)


def test_times_that_no_line_passes_widen_the_stated_error() -> None:
    bent = fit_times(times((0.0, 90.0), (10.0, 31.0), (20.0, 30.0)), "cement", "life of x", LIMITS, DEFAULTS)
    assert bent.error_factor_ratio > 1.0


def test_no_times_are_refused() -> None:
    with pytest.raises(NotDeterminedError, match="life of x: the sheet gives none"):
        fit_times((), "cement", "life of x", LIMITS, DEFAULTS)
