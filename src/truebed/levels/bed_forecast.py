"""The bed before the chamber top is measured: a span at each place, and the chance that it will fit once measured."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from truebed.levels.frame_setting import SettingQuestion, rim_samples, seat_question
from truebed.levels.seat_program import mend
from truebed.levels.setting import FrameSetting
from truebed.levels.tolerance import points_alone, probability_within, setting_covariance

#: Half-width of a 90 % span in standard deviations of the normal law.
NINETY_RATIO = 1.6448536269514722


@dataclass(frozen=True, slots=True)
class BedSpan:
    """The bed at a place of the seat: as designed, and the span that holds it nine times in ten."""

    name: str
    x_mm: float
    y_mm: float
    bed_mm: float
    low_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True)
class BedForecast:
    """The bed as far as it is known before break-out.

    top_sd_mm      error of the chamber top's level, one standard deviation
    as_set_probability   that the bed lies in its limits at every place with the frame where it is designed now
    reset_probability    that a place for the frame in tolerance, with the bed in its limits, is found once the top is
                         measured and the frame set anew
    higher_most_mm, lower_most_mm   how much higher or lower (positive) than estimated the top may turn out for that;
                         None where no even change helps
    """

    spans: tuple[BedSpan, ...]
    top_sd_mm: float
    as_set_probability: float
    reset_probability: float
    higher_most_mm: float | None
    lower_most_mm: float | None


def _normal_below(value_mm: float, sd_mm: float) -> float:
    return 0.5 * math.erfc(-value_mm / (sd_mm * math.sqrt(2.0)))


def bed_forecast(question: SettingQuestion, setting: FrameSetting, top_sd_mm: float) -> BedForecast:
    """The bed's span at each place and the two chances, from the chamber top's error and the setting error.

    The top is taken to lie higher or lower evenly; its tilt and roughness are not known before it is measured and are
    not in these chances. The fitted road's error does not move the bed: the frame is set to levels.

    Valid       a Gaussian top_sd_mm > 0; a question that set_frame answered with this setting
    Source      algebra (chance of the range of even raising that the programme allows; bed at all places jointly)
    Proved by   tests/levels/test_bed_forecast.py
    """
    covariance = setting_covariance(tuple(p for _, p in question.corners), question.setting_sd_mm)
    terms = np.array([[1.0, b.x_mm, b.y_mm] for b in setting.bed])
    own = np.einsum("ij,jk,ik->i", terms, covariance, terms)
    spans = []
    for place, variance in zip(setting.bed, own, strict=True):
        wide = NINETY_RATIO * math.sqrt(float(variance) + top_sd_mm**2)
        spans.append(
            BedSpan(place.name, place.x_mm, place.y_mm, place.bed_mm, place.bed_mm - wide, place.bed_mm + wide)
        )
    as_set = probability_within(
        np.array([b.bed_mm for b in setting.bed]),
        terms,
        np.diag([top_sd_mm**2, 0.0, 0.0]),
        covariance,
        points_alone(len(setting.bed)),
        question.bed_least_mm,
        question.bed_most_mm,
    )
    allowed = mend(seat_question(question, rim_samples(question)))
    low, high = allowed.raise_least_mm, allowed.raise_most_mm
    if low is None or high is None:
        return BedForecast(tuple(spans), top_sd_mm, as_set, 0.0, None, None)
    reset = _normal_below(high, top_sd_mm) - _normal_below(low, top_sd_mm)
    return BedForecast(tuple(spans), top_sd_mm, as_set, max(0.0, reset), high, -low)
