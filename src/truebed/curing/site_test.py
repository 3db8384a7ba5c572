"""A strength test on site: it moves the strength curve, and it is asked for or waived by name before the road opens."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from truebed.curing.binder import Binder, strength_n_per_mm2
from truebed.curing.binder_band import BinderBand, ages_to, band_5_50_95, band_draws, scaled
from truebed.curing.site_readings import TestKind
from truebed.errors import NotDeterminedError

Array = NDArray[np.float64]
#: Rounds of the fit, and the step of parameters at which it stands still.
ROUNDS_COUNT, STILL_RATIO = 60, 1e-10
DRAWS_COUNT = 4000


@dataclass(frozen=True, slots=True)
class SiteTest:
    """A test's mean strength over readings_count readings, at the equivalent age of what was tested."""

    kind: TestKind
    strength_n_per_mm2: float
    readings_count: int
    age_min: float


@dataclass(frozen=True, slots=True)
class TestedBand:
    """The band after the tests; off_sd: how far all tests together lay off what was believed, each in its own error.

    expected_n_per_mm2  what was believed of each test before any
    """

    band: BinderBand
    expected_n_per_mm2: tuple[float, ...]
    off_sd: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class TestDecision:
    """A site test is required, or it is waived: by whom, when (ISO 8601 with offset), why."""

    kind: Literal["required", "waived"]
    by: str
    when: str
    why: str


def reading_sd(test: SiteTest) -> float:
    """Standard deviation of the logarithm of a test's mean strength.

    Valid       one reading or more
    Source      data/site_readings.toml; algebra
    Proved by   tests/curing/test_site_test.py
    """
    return math.sqrt(test.kind.error_sd**2 + test.kind.spread_sd**2 / test.readings_count)


def _refuse(binder: Binder, test: SiteTest) -> None:
    if not (test.strength_n_per_mm2 > 0.0 and test.age_min > 0.0 and test.readings_count >= 1):
        raise NotDeterminedError(
            f"A {test.kind.key} test of {test.strength_n_per_mm2:g} N/mm2 from {test.readings_count} readings at "
            f"{test.age_min:g} min cannot be used: give a strength, a count and an age above nought."
        )
    if strength_n_per_mm2(binder, test.age_min) <= 0.0:
        raise NotDeterminedError(
            f"At {test.age_min:g} min of equivalent age the curve has no strength yet: a {test.kind.key} test then "
            "tells nothing of it. Test later."
        )


def _log_strength(binder: Binder, age_min: float, theta: Array) -> float:
    """ln strength; far below any strength where the curve has not begun."""
    value = strength_n_per_mm2(scaled(binder, math.exp(theta[0]), math.exp(theta[1])), age_min)
    return math.log(value) if value > 0.0 else -50.0


def _slopes(binder: Binder, tests: Sequence[SiteTest], theta: Array) -> Array:
    """How each ln strength turns with ln Su (always one) and ln speed (by a central difference)."""
    step = np.array([0.0, 1e-5])
    return np.array(
        [
            [
                1.0,
                (_log_strength(binder, t.age_min, theta + step) - _log_strength(binder, t.age_min, theta - step))
                / 2e-5,
            ]
            for t in tests
        ]
    )


def after_tests(band: BinderBand, tests: Sequence[SiteTest]) -> TestedBand:
    """The band after site tests: most probable ln Su and ln speed, and their covariance there.

    An iterated Kalman update on logarithms: the most probable point is found, and the curve taken as straight about it.

    Valid       tests at ages where the curve has strength; errors Gaussian on ln strength and apart from each other
    Source      algebra (iterated Kalman filter = Gauss and Newton with a Gaussian prior)
    Raises      NotDeterminedError for a test that tells nothing
    Proved by   tests/curing/test_site_test.py
    """
    binder = band.binder
    for test in tests:
        _refuse(binder, test)
    if not tests:
        return TestedBand(band, (), ())
    prior = band.covariance()
    seen = np.log([t.strength_n_per_mm2 for t in tests])
    noise = np.diag([reading_sd(t) ** 2 for t in tests])
    theta, slopes = np.zeros(2), np.zeros((len(tests), 2))
    expected = np.array([_log_strength(binder, t.age_min, theta) for t in tests])
    first = _slopes(binder, tests, theta)
    for _ in range(ROUNDS_COUNT):
        slopes = _slopes(binder, tests, theta)
        at = np.array([_log_strength(binder, t.age_min, theta) for t in tests])
        gain = prior @ slopes.T @ np.linalg.inv(slopes @ prior @ slopes.T + noise)
        step = np.clip(gain @ (seen - at + slopes @ theta) - theta, -0.5, 0.5)
        theta = theta + step
        if float(np.max(np.abs(step))) < STILL_RATIO:
            break
    gain = prior @ slopes.T @ np.linalg.inv(slopes @ prior @ slopes.T + noise)
    left = prior - gain @ slopes @ prior
    sds = np.sqrt(np.maximum(np.diag(left), 0.0))
    together = float(left[0, 1] / (sds[0] * sds[1])) if sds[0] * sds[1] > 0.0 else 0.0
    moved = scaled(binder, math.exp(theta[0]), math.exp(theta[1]))
    off = (seen - expected) / np.sqrt(np.diag(first @ prior @ first.T + noise))
    new = BinderBand(moved, float(sds[0]), float(sds[1]), max(-1.0, min(1.0, together)), band.activation_sd)
    return TestedBand(new, tuple(float(v) for v in np.exp(expected)), tuple(float(v) for v in off))


def age_band_min(band: BinderBand, target_n_per_mm2: float) -> tuple[float, float, float]:
    """Equivalent age to a strength: the early, middle and late (5, 50, 95 %) minutes at 20 degC; infinite if never.

    Valid       target > 0, not past the sheet's last datum
    Source      algebra
    Proved by   tests/curing/test_site_test.py
    """
    return band_5_50_95(ages_to(band, band_draws(band, DRAWS_COUNT), target_n_per_mm2))


def decided(kind: Literal["required", "waived"], by: str, when: str, why: str) -> TestDecision:
    """A decision about the site test, with a name, a time and a reason, or none.

    Valid       when as given; the journal dates it
    Source      house
    Raises      NotDeterminedError where a name, a time or a reason is missing
    Proved by   tests/curing/test_site_test.py
    """
    missing = [what for what, text in (("who", by), ("when", when), ("why", why)) if not text.strip()]
    if missing:
        raise NotDeterminedError(f"The site test cannot be {kind} without {', '.join(missing)}: say it by name.")
    return TestDecision(kind, by.strip(), when.strip(), why.strip())


def opening_may_be_judged(decision: TestDecision | None, tests_count: int) -> tuple[bool, str]:
    """Whether the road's opening may be judged now, and the sentence that says why or why not.

    Valid       a test that is there counts, whatever was decided before
    Source      house
    Proved by   tests/curing/test_site_test.py
    """
    if tests_count > 0:
        return True, f"{tests_count} site test{'s' if tests_count != 1 else ''} recorded."
    if decision is None:
        return False, "No site test, and nobody has said whether it is required or waived."
    if decision.kind == "waived":
        return True, f"Site test waived by {decision.by}, {decision.when}: {decision.why}"
    return False, f"Site test required by {decision.by}, {decision.when}: {decision.why}; none is recorded yet."
