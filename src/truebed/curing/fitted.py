"""A sheet's strengths as a fitted curve: parameters, residuals, what was taken for granted, what cannot be had."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from truebed.curing.binder import Binder, CurveForm
from truebed.curing.curve_draws import even_normals
from truebed.curing.curve_fit import ENERGY, SU, TAU, THIRD, FormFit
from truebed.curing.curve_points import Array
from truebed.curing.defaults import Default


@dataclass(frozen=True, slots=True)
class FittedValue:
    """One parameter: most probable value, 90 % range, and how much of what is known of it the sheet itself gave.

    from_sheet_share  1 - (posterior variance / prior variance): 0 where it is all assumption
    """

    name: str
    unit: str
    value: float
    low: float
    high: float
    from_sheet_share: float


@dataclass(frozen=True, slots=True)
class StrengthBeside:
    """A strength of the sheet beside the fitted one. off_sd: fitted less given, in the standard deviations allowed."""

    temp_c: float
    age_min: float
    given_n_per_mm2: float
    fitted_n_per_mm2: float
    off_sd: float
    place: str

    @property
    def difference_n_per_mm2(self) -> float:
        """Fitted less given."""
        return self.fitted_n_per_mm2 - self.given_n_per_mm2


@dataclass(frozen=True, slots=True)
class TimeBeside:
    """A time of the sheet beside the fitted one. off_sd: fitted less given, in the standard deviations allowed."""

    temp_c: float
    given_min: float
    fitted_min: float
    off_sd: float
    place: str

    @property
    def difference_min(self) -> float:
        """Fitted less given."""
        return self.fitted_min - self.given_min


@dataclass(frozen=True, slots=True)
class Thermals:
    """Heat [kJ/l], conductivity [W/(m K)] and heat capacity [kJ/(l K)] with the spread of their logarithms."""

    heat_kj_per_l: float
    conduct_w_per_m_k: float
    store_kj_per_l_k: float
    spreads_sd: tuple[float, float, float]


@dataclass(frozen=True, slots=True, eq=False)
class FittedBinder:
    """A fitted sheet.

    binder      the most probable curve of the more probable form
    form_share  how probable that form is; draws are shared between both forms
    covariance  of the chosen form's parameters: ln Su, ln tau, ln shape or ln dead time, energy [kJ/mol], ln strength
                at set, energy of set less that of strength [kJ/mol]
    error_factor_ratio  by how much the stated errors had to be widened for the curve to pass; 1 where it passes
    priors      what was taken for granted, from data/curing.toml
    lacking     what could not be had from the sheet, in sentences
    last_datum_n_per_mm2  the strongest datum: nothing past it is promised
    """

    sheet: str
    file: str
    binder: Binder
    form_share: float
    parameters: tuple[FittedValue, ...]
    covariance: tuple[tuple[float, ...], ...]
    residuals: tuple[StrengthBeside, ...]
    set_residuals: tuple[TimeBeside, ...]
    error_factor_ratio: float
    priors: tuple[Default, ...]
    lacking: tuple[str, ...]
    tested_c: tuple[float, ...]
    allowed_least_c: float
    allowed_most_c: float
    first_datum_n_per_mm2: float
    last_datum_n_per_mm2: float
    thermals: Thermals
    fits: tuple[FormFit, ...]
    shares: Array

    def draws(self, count: int) -> tuple[Binder, ...]:
        """Binders that stand for the fit's uncertainty, evenly spread, the same at every run; forms interleaved."""
        normals = even_normals(count, 9)
        roots = [np.linalg.cholesky(fit.covariance[0]) for fit in self.fits]
        second_share = float(self.shares[0, 1])
        spreads_sd = np.array(self.thermals.spreads_sd)
        binders = []
        for index, row in enumerate(normals):
            # Among the first n draws the hyperbolas are always the nearest whole number to n times their share.
            which = math.floor((index + 1) * second_share + 0.5) - math.floor(index * second_share + 0.5)
            theta = self.fits[which].theta[0] + roots[which] @ row[:6]
            binders.append(binder_of(self.fits[which].form, theta, self.thermals, np.exp(spreads_sd * row[6:])))
        return tuple(binders)


def binder_of(form: CurveForm, theta: Array, thermals: Thermals, factors: Array) -> Binder:
    """A row of parameters as a binder.

    factors     on heat, conductivity and heat capacity
    Source      algebra
    Proved by   tests/curing/test_calibrate.py
    """
    third = math.exp(theta[THIRD])
    return Binder(
        form=form,
        most_n_per_mm2=math.exp(theta[SU]),
        tau_min=math.exp(theta[TAU]),
        shape_ratio=third if form == "exponential" else 1.0,
        dead_min=third if form == "hyperbola" else 0.0,
        activation_j_per_mol=1000.0 * float(theta[ENERGY]),
        heat_kj_per_l=thermals.heat_kj_per_l * float(factors[0]),
        conduct_w_per_m_k=thermals.conduct_w_per_m_k * float(factors[1]),
        store_kj_per_l_k=thermals.store_kj_per_l_k * float(factors[2]),
    )
