"""A site strength test moves the curve: against Bayes on a fine grid; refusals; required or waived by name."""

import math

import numpy as np
import pytest

from truebed.curing.binder import Binder, age_to_strength_min, strength_n_per_mm2
from truebed.curing.binder_band import BinderBand, scaled
from truebed.curing.site_readings import site_readings
from truebed.curing.site_test import (
    SiteTest,
    after_tests,
    age_band_min,
    decided,
    opening_may_be_judged,
    reading_sd,
)
from truebed.errors import NotDeterminedError
from truebed.sources import READ_AS, known_sources

CURVE = Binder("exponential", 45.0, 42.0, 0.9, 0.0, 33500.0, 125.0, 1.2, 2.0)
HYPERBOLA = Binder("hyperbola", 37.0, 40.0, 1.0, 15.0, 33500.0, 125.0, 1.2, 2.0)
BAND = BinderBand(CURVE, 0.12, 0.15, -0.3, 4000.0)
KINDS = site_readings().tests


def test_every_row_of_the_table_has_a_known_source_and_a_tag():
    table = site_readings()
    for row in (*table.tests.values(), *table.places.values(), table.drift):
        key, tag = row.source[1:].split("]")[0], row.source.rsplit("(", 1)[1].rstrip(")")
        assert key in known_sources()
        assert tag in READ_AS
    assert set(table.tests) == {"cube", "rebound", "penetration"}


TWO = [("cube", 20.0, 2, 70.0), ("penetration", 30.0, 6, 300.0)]


def grid_posterior(band, tests, count=401, reach=5.0):
    """Bayes' rule on a grid of ln Su and ln speed: mean and covariance."""
    a, b = np.meshgrid(*(np.linspace(-reach * s, reach * s, count) for s in (band.most_sd, band.rate_sd)))
    both = np.stack([a.ravel(), b.ravel()], axis=1)
    weight = -0.5 * np.einsum("ni,ij,nj->n", both, np.linalg.inv(band.covariance()), both)
    binder = band.binder
    for t in tests:
        age = t.age_min * np.exp(both[:, 1])
        if binder.form == "hyperbola":
            since = np.maximum(age - binder.dead_min, 1e-12)
            share = since / (binder.tau_min + since)
        else:
            share = np.exp(-((binder.tau_min / age) ** binder.shape_ratio))
        expected = math.log(binder.most_n_per_mm2) + both[:, 0] + np.log(share)
        weight -= 0.5 * ((math.log(t.strength_n_per_mm2) - expected) / reading_sd(t)) ** 2
    p = np.exp(weight - weight.max())
    p /= p.sum()
    mean = p @ both
    return mean, (both - mean).T @ ((both - mean) * p[:, None])


@pytest.mark.parametrize("binder", [CURVE, HYPERBOLA], ids=lambda b: b.form)
@pytest.mark.parametrize(
    "given", [[("cube", 18.0, 3, 60.0)], [("rebound", 14.0, 9, 45.0)], TWO]
)  # fmt: skip
def test_the_update_agrees_with_bayes_rule_on_a_fine_grid(binder, given):
    band = BinderBand(binder, 0.12, 0.15, -0.3, 4000.0)
    tests = [SiteTest(KINDS[k], s, n, age) for k, s, n, age in given]
    mean, covariance = grid_posterior(band, tests)
    found = after_tests(band, tests).band
    sds = np.sqrt(np.diag(covariance))
    moved = [
        math.log(found.binder.most_n_per_mm2 / binder.most_n_per_mm2),
        math.log(binder.tau_min / found.binder.tau_min),
    ]
    assert np.abs(np.array(moved) - mean) / sds == pytest.approx([0.0, 0.0], abs=0.1)
    assert (found.most_sd, found.rate_sd) == pytest.approx(tuple(sds), rel=0.08)


def test_a_test_that_hits_what_was_believed_moves_nothing_and_narrows_the_band():
    believed = strength_n_per_mm2(CURVE, 60.0)
    found = after_tests(BAND, [SiteTest(KINDS["cube"], believed, 3, 60.0)])
    assert found.expected_n_per_mm2 == pytest.approx((believed,))
    assert found.off_sd == pytest.approx((0.0,), abs=1e-9)
    assert found.band.binder.most_n_per_mm2 == pytest.approx(45.0)
    before, after = age_band_min(BAND, 20.0), age_band_min(found.band, 20.0)
    assert after[1] == pytest.approx(age_to_strength_min(CURVE, 20.0), rel=0.02)
    assert before[0] < after[0] < after[1] < after[2] < before[2]


def test_a_weak_test_makes_the_road_wait_longer_and_a_strong_one_shorter():
    late = [age_band_min(after_tests(BAND, [SiteTest(KINDS["cube"], s, 3, 60.0)]).band, 20.0)[2] for s in (15, 21, 28)]
    assert late[0] > late[1] > late[2]
    weak = after_tests(BAND, [SiteTest(KINDS["cube"], 5.0, 3, 60.0)])
    assert weak.off_sd[0] < -3.0


def test_more_readings_tell_more_but_not_beyond_the_error_they_share():
    sds = [reading_sd(SiteTest(KINDS["rebound"], 20.0, n, 60.0)) for n in (1, 4, 10000)]
    assert sds[0] == pytest.approx(math.hypot(0.15, 0.12))
    assert sds[0] > sds[1] > sds[2] == pytest.approx(0.15, rel=1e-3)


def test_many_worlds_the_band_after_a_test_holds_the_true_time_nine_times_in_ten():
    rng, held, count = np.random.default_rng(3), 0, 400
    root = np.linalg.cholesky(BAND.covariance())
    for _ in range(count):
        a, b = root @ rng.standard_normal(2)
        truth = scaled(CURVE, math.exp(a), math.exp(b))
        seen = strength_n_per_mm2(truth, 60.0) * math.exp(rng.normal(0.0, math.hypot(0.08, 0.06 / math.sqrt(3))))
        early, _, late = age_band_min(after_tests(BAND, [SiteTest(KINDS["cube"], seen, 3, 60.0)]).band, 20.0)
        held += early <= age_to_strength_min(truth, 20.0) <= late
    assert held / count == pytest.approx(0.90, abs=0.04)


@pytest.mark.parametrize(
    ("strength", "readings", "age"), [(0.0, 3, 60.0), (-5.0, 3, 60.0), (20.0, 0, 60.0), (20.0, 3, 0.0)]
)
def test_a_test_without_strength_count_or_age_is_refused(strength, readings, age):
    with pytest.raises(NotDeterminedError, match="cannot be used"):
        after_tests(BAND, [SiteTest(KINDS["cube"], strength, readings, age)])


def test_a_test_before_the_curve_begins_tells_nothing():
    with pytest.raises(NotDeterminedError, match="Test later"):
        after_tests(BinderBand(HYPERBOLA, 0.1, 0.1, 0.0, 0.0), [SiteTest(KINDS["cube"], 2.0, 3, 10.0)])
    assert after_tests(BAND, []).band == BAND


def test_a_waiver_has_a_name_a_time_and_a_reason():
    when = "2031-11-07T03:10+00:00"
    waived = decided("waived", " supervisor A.B. ", when, "cold room, penetrometer broken")
    assert opening_may_be_judged(waived, 0) == (
        True, f"Site test waived by supervisor A.B., {when}: cold room, penetrometer broken",
    )  # fmt: skip
    for by, at, why in (("", when, "x"), ("A", " ", "x"), ("A", when, "")):
        with pytest.raises(NotDeterminedError, match="without"):
            decided("waived", by, at, why)


def test_the_opening_waits_for_a_required_test_and_for_somebody_to_say():
    required = decided("required", "client", "2031-11-01T09:00+00:00", "first use of this mortar")
    assert opening_may_be_judged(required, 0)[0] is False
    assert opening_may_be_judged(None, 0)[0] is False
    assert opening_may_be_judged(required, 2) == (True, "2 site tests recorded.")
