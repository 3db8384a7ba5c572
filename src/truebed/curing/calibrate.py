"""From a sheet's own points to a binder with its uncertainty, and from that to a time."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from truebed.curing.arrhenius import GAS_J_PER_MOL_K, rate_ratio
from truebed.curing.binder import age_to_strength_min
from truebed.curing.curve_draws import time_bands
from truebed.curing.curve_fit import (
    ENERGY,
    SET_APART,
    SET_STRENGTH,
    FormFit,
    age_log_to,
    fit_both,
    prior_of,
    shares_of,
    strength_log,
)
from truebed.curing.curve_points import REFERENCE_C, CurvePoints, curve_points
from truebed.curing.defaults import Default, Defaults
from truebed.curing.fitted import FittedBinder, FittedValue, StrengthBeside, Thermals, TimeBeside, binder_of
from truebed.curing.sheet_gaps import strength_gaps
from truebed.errors import NotDeterminedError
from truebed.sheets.sheet import Sheet

#: Half-width of the 90 % range of a normal value, in standard deviations.
NINETY_SD = 1.6449
#: Draws behind a band.
DRAWS_COUNT = 512
COMMON_PRIORS = (
    "most_n_per_mm2", "tau_min", "activation_cement_j_per_mol", "set_strength_n_per_mm2",
    "set_activation_apart_j_per_mol", "strength_error_share", "time_error_share",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class TimeTo:
    """A time with its 90 % range. notes: in what way it reaches past the sheet's points, in sentences."""

    minutes_min: float
    early_min: float
    late_min: float
    notes: tuple[str, ...]


def fit_sheet(sheet: Sheet, defaults: Defaults) -> FittedBinder:
    """The strength curve of a sheet, with its uncertainty, its residuals and what it cannot give.

    Valid       a mortar or concrete with two strength points or more
    Source      [astm-c1074] form of equivalent age; [schindler-folliard-2005] form of the exponential (from memory);
                hyperbola with dead time: algebra; data/curing.toml for what is taken for granted
    Raises      NotDeterminedError where the sheet has no curve to give
    Proved by   tests/curing/test_calibrate.py, tests/curing/test_calibrate_chain.py
    """
    _refuse_without_curve(sheet)
    strengths = [(p.temp_c, p.age_min, p.strength_n_per_mm2) for p in sheet.strength]
    points = curve_points(strengths, [(p.temp_c, p.after_min) for p in sheet.set_], defaults)
    fits, factor = fit_both(points, defaults)
    shares = shares_of(fits)
    best = int(np.argmax(shares[0]))
    fit, thermals = fits[best], thermals_of(sheet, defaults)
    allowed = points.with_errors_times(factor)
    third = "shape_ratio" if fit.form == "exponential" else "dead_min"
    given = [p.strength_n_per_mm2 for p in sheet.strength]
    return FittedBinder(
        sheet=sheet.key,
        file=sheet.file,
        binder=binder_of(fit.form, fit.theta[0], thermals, np.ones(3)),
        form_share=float(shares[0, best]),
        parameters=_parameters(fit, defaults),
        covariance=tuple(tuple(float(v) for v in row) for row in fit.covariance[0]),
        residuals=_strengths_beside(sheet, allowed, fit),
        set_residuals=_sets_beside(sheet, allowed, fit),
        error_factor_ratio=float(factor[0]),
        priors=(*(defaults[name] for name in COMMON_PRIORS), defaults[third], *_thermal_defaults(sheet, defaults)),
        lacking=strength_gaps(sheet),
        tested_c=tuple(sorted({p.temp_c for p in sheet.strength})),
        allowed_least_c=sheet.limits.temp_least_c,
        allowed_most_c=sheet.limits.temp_most_c,
        first_datum_n_per_mm2=min(given),
        last_datum_n_per_mm2=max(given),
        thermals=thermals,
        fits=fits,
        shares=shares,
    )


def time_to(fitted: FittedBinder, target_n_per_mm2: float, temp_c: float) -> TimeTo:
    """Minutes to a strength at a steady temperature: most probable, and 5 % early and 95 % late.

    Valid       up to the sheet's last datum, inside the temperatures that the sheet allows
    Source      [astm-c1074] form only, with the fitted energy; 90 % range: algebra
    Raises      NotDeterminedError above the last datum, at a temperature not allowed, and where the late edge is
                never reached
    Proved by   tests/curing/test_calibrate.py, tests/curing/test_calibrate_chain.py
    """
    what = f"time of {fitted.sheet} to {target_n_per_mm2:g} N/mm²"
    if not 0.0 < target_n_per_mm2 <= fitted.last_datum_n_per_mm2:
        raise NotDeterminedError(
            f"{what}: the sheet's last datum is {fitted.last_datum_n_per_mm2:g} N/mm²; nothing past the last datum is "
            "promised, and a strength to wait for is more than 0"
        )
    refuse_outside(fitted.allowed_least_c, fitted.allowed_most_c, temp_c, what)
    early_min, _, late_min = (
        float(v) for v in time_bands(fitted.fits, fitted.shares, target_n_per_mm2, temp_c, DRAWS_COUNT)[0]
    )
    minutes_min = _central_min(fitted, target_n_per_mm2, temp_c)
    if not math.isfinite(late_min) or not math.isfinite(minutes_min):
        raise NotDeterminedError(
            f"{what}: the sheet's points do not make sure that it is ever reached; take a lower strength, or ask the "
            "maker for a later one"
        )
    return TimeTo(
        minutes_min,
        min(early_min, minutes_min),
        max(late_min, minutes_min),
        _notes(fitted, target_n_per_mm2, temp_c, late_min),
    )


def refuse_outside(least_c: float, most_c: float, temp_c: float, what: str) -> None:
    """The sheet's own limits come before its points.

    Source      house
    Raises      NotDeterminedError outside them
    Proved by   tests/curing/test_calibrate.py
    """
    if not least_c <= temp_c <= most_c:
        raise NotDeterminedError(
            f"{what}: {temp_c:g} °C is not allowed by the sheet, which lets it be used from {least_c:g} to "
            f"{most_c:g} °C"
        )


def reach_notes(tested_c: tuple[float, ...], temp_c: float) -> tuple[str, ...]:
    """In what way a temperature reaches past those that were tested.

    Source      house
    Proved by   tests/curing/test_calibrate.py
    """
    notes = []
    if len(tested_c) == 1 and temp_c != tested_c[0]:
        notes.append(f"extrapolated from {tested_c[0]:g} °C, the one temperature tested, by the stated default energy")
    elif not tested_c[0] <= temp_c <= tested_c[-1]:
        notes.append(f"extrapolated: tested from {tested_c[0]:g} to {tested_c[-1]:g} °C only")
    if temp_c < 0.0:
        notes.append("below 0 °C water freezes and the law between temperatures does not hold")
    return tuple(notes)


def thermals_of(sheet: Sheet, defaults: Defaults) -> Thermals:
    """Heat, conductivity and heat capacity: the sheet's where it gives them, else the stated defaults.

    Source      the sheet; data/curing.toml
    Proved by   tests/curing/test_calibrate.py
    """
    heat, given = defaults["heat_kj_per_l"], sheet.thermal
    conduct, store = defaults["conduct_w_per_m_k"], defaults["store_kj_per_l_k"]
    conduct_w_per_m_k = None if given is None else given.conduct_w_per_m_k
    own_store_kj_per_l_k = None if given is None else given.store_kj_per_l_k
    spread_sd = heat.spread_sd if sheet.heat is None else defaults["heat_given_share"].spread_sd
    return Thermals(
        heat.value if sheet.heat is None else sheet.heat.heat_kj_per_l,
        conduct.value if conduct_w_per_m_k is None else conduct_w_per_m_k,
        store.value if own_store_kj_per_l_k is None else own_store_kj_per_l_k,
        (spread_sd, conduct.spread_sd, store.spread_sd),
    )


def _thermal_defaults(sheet: Sheet, defaults: Defaults) -> tuple[Default, ...]:
    given = sheet.thermal
    names = {
        "heat_kj_per_l": sheet.heat is None,
        "conduct_w_per_m_k": given is None or given.conduct_w_per_m_k is None,
        "store_kj_per_l_k": given is None or given.store_kj_per_l_k is None,
    }
    return tuple(defaults[name] for name, lacking in names.items() if lacking)


def _refuse_without_curve(sheet: Sheet) -> None:
    if sheet.kind != "cement":
        raise NotDeterminedError(
            f"strength curve of {sheet.key}: it is a {sheet.kind}, which is ready by its times and not by a strength"
        )
    if len(sheet.strength) < 2:
        raise NotDeterminedError(f"strength curve of {sheet.key}: {strength_gaps(sheet)[0]}")


def _central_min(fitted: FittedBinder, target_n_per_mm2: float, temp_c: float) -> float:
    energy_k = fitted.binder.activation_j_per_mol / GAS_J_PER_MOL_K
    return age_to_strength_min(fitted.binder, target_n_per_mm2) / rate_ratio(temp_c, REFERENCE_C, energy_k)


def _notes(fitted: FittedBinder, target_n_per_mm2: float, temp_c: float, late_min: float) -> tuple[str, ...]:
    notes = list(reach_notes(fitted.tested_c, temp_c))
    if target_n_per_mm2 < fitted.first_datum_n_per_mm2:
        notes.append(
            f"below the first datum ({fitted.first_datum_n_per_mm2:g} N/mm²): rests on the set times and what is usual"
        )
    energy_k = fitted.binder.activation_j_per_mol / GAS_J_PER_MOL_K
    oldest = max(fitted.residuals, key=lambda row: row.age_min * rate_ratio(row.temp_c, REFERENCE_C, energy_k))
    if late_min > oldest.age_min * rate_ratio(oldest.temp_c, temp_c, energy_k):
        notes.append(
            f"the late edge lies past the sheet's oldest datum ({oldest.age_min:g} min at {oldest.temp_c:g} °C)"
        )
    return tuple(notes)


def _parameters(fit: FormFit, defaults: Defaults) -> tuple[FittedValue, ...]:
    third = ("shape", "") if fit.form == "exponential" else ("dead time at 20 °C", "min")
    names = (
        ("strength the curve ends at", "N/mm²"),
        ("time of the curve at 20 °C", "min"),
        third,
        ("activation energy of strength", "kJ/mol"),
        ("strength at set", "N/mm²"),
        ("energy of set less that of strength", "kJ/mol"),
    )
    prior = prior_of(fit.form, defaults)
    found = []
    for index, (name, unit) in enumerate(names):
        centre, spread = float(fit.theta[0, index]), math.sqrt(float(fit.covariance[0, index, index]))
        edges = (centre, centre - NINETY_SD * spread, centre + NINETY_SD * spread)
        plain = index in (ENERGY, SET_APART)
        value, low, high = edges if plain else tuple(math.exp(edge) for edge in edges)
        found.append(FittedValue(name, unit, value, low, high, 1.0 - (spread / float(prior.sd[index])) ** 2))
    return tuple(found)


def _strengths_beside(sheet: Sheet, points: CurvePoints, fit: FormFit) -> tuple[StrengthBeside, ...]:
    """Every strength of the sheet beside the curve."""
    theta = fit.theta[0]
    logs = strength_log(fit.form, theta, points.age_log[0] + theta[ENERGY] * points.age_pull[0])
    off_sd = ((logs - points.strength_log[0]) / points.strength_sd[0]).tolist()
    return tuple(
        StrengthBeside(p.temp_c, p.age_min, p.strength_n_per_mm2, math.exp(logs[i]), off_sd[i], p.place)
        for i, p in enumerate(sheet.strength)
    )


def _sets_beside(sheet: Sheet, points: CurvePoints, fit: FormFit) -> tuple[TimeBeside, ...]:
    """Every set time of the sheet beside the curve's."""
    theta = fit.theta[0]
    age_log = float(age_log_to(fit.form, theta, theta[SET_STRENGTH]))
    logs = age_log - (theta[ENERGY] + theta[SET_APART]) * points.set_pull[0]
    off_sd = ((logs - points.set_log[0]) / points.set_sd[0]).tolist()
    return tuple(
        TimeBeside(p.temp_c, p.after_min, math.exp(logs[i]), off_sd[i], p.place) for i, p in enumerate(sheet.set_)
    )
