"""A binder's band: draws that are the same at every run, ages and strengths that agree with the binder's own."""

import math
from dataclasses import replace

import numpy as np
import pytest

from truebed.curing.binder import Binder, age_to_strength_min, strength_n_per_mm2
from truebed.curing.binder_band import (
    BinderBand,
    ages_to,
    band_5_50_95,
    band_draws,
    band_of_draws,
    fixed_normals,
    scaled,
    strengths_at,
)

CURVE = Binder("exponential", 45.0, 42.0, 0.9, 0.0, 33500.0, 125.0, 1.2, 2.0)
HYPERBOLA = Binder("hyperbola", 37.0, 40.0, 1.0, 15.0, 33500.0, 125.0, 1.2, 2.0)


def test_fixed_normals_are_the_same_again_and_have_their_moments_exactly():
    z = fixed_normals(500, 4)
    assert z.mean(axis=0) == pytest.approx([0.0] * 4, abs=1e-12)
    assert z.std(axis=0) == pytest.approx([1.0] * 4)
    fixed_normals.cache_clear()
    assert np.array_equal(z, fixed_normals(500, 4))


@pytest.mark.parametrize("binder", [CURVE, HYPERBOLA], ids=lambda b: b.form)
def test_ages_and_strengths_of_each_draw_are_those_of_its_own_binder(binder):
    band = BinderBand(binder, 0.1, 0.2, -0.4, 3000.0)
    draws = band_draws(band, 50)
    ages, at = ages_to(band, draws, 20.0), strengths_at(band, draws, np.full(50, 70.0))
    for i in range(50):
        own = scaled(binder, float(draws.most[i]), float(draws.speed[i]))
        assert ages[i] == pytest.approx(age_to_strength_min(own, 20.0))
        assert at[i] == pytest.approx(strength_n_per_mm2(own, 70.0))


def test_a_draw_whose_greatest_strength_is_below_the_target_never_reaches_it():
    band = BinderBand(CURVE, 0.3, 0.1, 0.0, 0.0)
    draws = band_draws(band, 400)
    never = np.isinf(ages_to(band, draws, 45.0))
    assert np.array_equal(never, draws.most <= 1.0)
    assert band_5_50_95(ages_to(band, draws, 45.0))[2] == math.inf


def test_a_band_made_of_its_own_draws_is_that_band_again():
    band = BinderBand(CURVE, 0.12, 0.2, 0.5, 4000.0)
    draws = band_draws(band, 4000)
    own = [
        replace(scaled(CURVE, m, s), activation_j_per_mol=e)
        for m, s, e in zip(*(d.tolist() for d in draws), strict=True)
    ]
    again = band_of_draws(own)
    assert (again.most_sd, again.rate_sd) == pytest.approx((0.12, 0.2), rel=0.03)
    assert again.together_ratio == pytest.approx(0.5, abs=0.04)
    assert again.binder.most_n_per_mm2 == pytest.approx(45.0, rel=0.01)
    assert again.activation_sd == pytest.approx(4000.0, rel=0.03)
    with pytest.raises(ValueError, match="one form"):
        band_of_draws([CURVE, HYPERBOLA])
