"""Hydration curves: published check values, and the inverse of each form."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.curing.binder import Binder, age_to_strength_min, reacted_share, strength_n_per_mm2

STUDY = Binder("exponential", 45.0, 42.0, 0.9, 0.0, 33_500.0, 125.0, 1.2, 2.0)


def test_the_study_mortar_reaches_20_of_45_at_53_minutes():
    assert age_to_strength_min(STUDY, 20.0) == pytest.approx(53.012557, abs=1e-6)


def test_three_parameter_values_of_the_check_table():
    # from memory: Su 60, tau 2 h, a 0.8 at 1, 2, 3, 6 and 24 h
    binder = Binder("exponential", 60.0, 120.0, 0.8, 0.0, 40_000.0, 0.0, 1.0, 2.0)
    for hours, strength in ((1, 10.52), (2, 22.07), (3, 29.12), (6, 39.61), (24, 52.32)):
        assert strength_n_per_mm2(binder, 60.0 * hours) == pytest.approx(strength, abs=5e-3)


@given(st.sampled_from(["exponential", "hyperbola"]), st.floats(5, 60), st.floats(10, 300), st.floats(0.4, 1.6),
       st.floats(0, 30), st.floats(0.01, 0.99))  # fmt: skip
def test_the_age_of_a_strength_gives_that_strength_back(form, most, tau, shape, dead, share):
    binder = Binder(form, most, tau, shape, dead, 40_000.0, 100.0, 1.2, 2.0)
    age = age_to_strength_min(binder, share * most)
    assert strength_n_per_mm2(binder, age) == pytest.approx(share * most, rel=1e-9)
    assert reacted_share(binder, 0.0) == 0.0


def test_more_than_the_most_is_never_reached():
    assert age_to_strength_min(STUDY, 45.0) == math.inf
