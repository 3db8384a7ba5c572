"""One shape of the road fitted to the readings, scored, or told why geometry cannot carry it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.levels.gross_search import Removed, search
from truebed.levels.least_squares import Fit, Weights, carries, normal_quantile_ratio, whitener_of
from truebed.levels.road_folds import best_ridge_mm
from truebed.levels.road_rules import RoadRules
from truebed.levels.road_terms import FOLDED, error_terms, term_table
from truebed.levels.surface import Model

Array = NDArray[np.float64]

#: A model may know the rim no worse than one reading would (statistical: else the reading itself is the better answer).
WORST_RIM_LEVERAGE_RATIO = 1.0
#: Chance with which a gross reading of the findable size is found (statistical: the usual power of a test).
FOUND_SHARE = 0.80


@dataclass(frozen=True, slots=True)
class RoadReadings:
    """The road readings of one cover as numbers. lines: columns of the free lines' unknowns (none: no columns)."""

    x_mm: Array
    y_mm: Array
    level_mm: Array
    weights: Weights
    lines: Array
    sd_mm: float
    false_alarm_share: float
    limit_ratio: float
    rules: RoadRules


@dataclass(frozen=True, slots=True)
class Candidate:
    """One model fitted: fit, removed readings, leave-one-out error [mm], misfit against the reading error.

    covariance   of the coefficients and, of a fold model, its fold's place (see error_terms)
    gain         of the same rows by each reading
    cost_ratio   Schwarz's cost: chi-square, terms times ln readings, and the price of removed readings
    takes_all    no reading was removed and none stands out
    findable_mm  size of a gross reading that is found four times in five wherever it stands
    """

    model: Model
    ridge_mm: float
    fit: Fit
    removed: tuple[Removed, ...]
    loo_mm: float
    misfit_ratio: float
    freedom_count: int
    coefficients: Array
    covariance: Array
    gain: Array
    cost_ratio: float
    takes_all: bool
    findable_mm: float


def widest_gap_deg(x_mm: Array, y_mm: Array) -> float:
    """The widest angle between neighbouring readings, seen from the frame's centre.

    Valid       at least two points
    Source      algebra
    Proved by   tests/levels/test_road_fit.py
    """
    angles = np.sort(np.degrees(np.arctan2(y_mm, x_mm)))
    return float(max(np.max(angles[1:] - angles[:-1]), angles[0] + 360.0 - angles[-1]))


def has_second_ring(x_mm: Array, y_mm: Array, rules: RoadRules) -> bool:
    """Whether the readings stand on two rings of different radius, each of which surrounds the frame.

    Valid       any readings
    Source      house (second_ring_ratio; four readings or more a ring); algebra: x^2 + y^2 is constant on one ring
    Proved by   tests/levels/test_road_candidate.py
    """
    order = np.argsort(np.hypot(x_mm, y_mm), kind="stable")
    radius = np.hypot(x_mm, y_mm)[order]
    if len(radius) < 8 or radius[0] <= 0.0:
        return False
    steps = radius[4:-3] / radius[3:-4]
    at = 4 + int(np.argmax(steps))
    if float(np.median(radius[at:]) / np.median(radius[:at])) < rules.second_ring_ratio or np.max(steps) <= 1.1:
        return False
    return all(widest_gap_deg(x_mm[part], y_mm[part]) <= rules.widest_gap_deg for part in (order[:at], order[at:]))


def cannot_carry(model: Model, readings: RoadReadings, table: Array) -> str:
    """Why the readings' places cannot carry a model; '' where they can.

    Valid       the model's table of these readings, free lines included
    Source      algebra (rank; readings to spare)
    Proved by   tests/levels/test_road_candidate.py
    """
    if model == "full quadratic" and not has_second_ring(readings.x_mm, readings.y_mm, readings.rules):
        return (
            "geometry cannot carry it: x² + y² hardly changes on one ring; it takes a second ring of four readings or"
            f" more, {readings.rules.second_ring_ratio:g} times as wide"
        )
    extra = 1 if model in FOLDED else 0
    unknowns = table.shape[1] + extra
    spare = len(readings.level_mm) - unknowns
    if spare < 2 - extra:
        return f"geometry cannot carry it: {spare + unknowns} readings for {unknowns} unknowns leave too few to check"
    if not carries(table):
        return "geometry cannot carry it: the readings' places do not tell its terms apart"
    return ""


def scored(model: Model, readings: RoadReadings, table: Array, ridge_mm: float) -> Candidate:
    """One model fitted and scored.

    The score is the root mean square of leave-one-out residuals, each weighed by its reading's own error; a removed
    reading counts with the size it had to pass to be removed, so that throwing readings away is never free. A fold's
    place was looked for too: it counts as one more term, spread over the readings.

    Valid       a table that the readings carry
    Source      algebra (leave-one-out residual = pull / free information)
    Proved by   tests/levels/test_road_candidate.py, tests/levels/test_road_fit.py
    """
    count, extra = len(readings.level_mm), 1 if model in FOLDED else 0
    most = 0 if extra else min(readings.rules.most_removed_count, (count - table.shape[1] - 1) // 4)
    fitted, removed = search(
        table,
        readings.level_mm,
        readings.weights,
        readings.false_alarm_share,
        most,
        readings.rules.most_removed_count >= 2,
    )
    used, own = fitted.used, fitted.own[fitted.used]
    free = np.maximum(fitted.free[used] - own * extra / count, 1e-9 * own)
    pull = fitted.pull[used]
    left_out = pull / free * np.sqrt(own) * readings.sd_mm
    price = readings.limit_ratio * readings.sd_mm
    freedom = count - table.shape[1] - extra - len(removed)
    road_terms = table.shape[1] - readings.lines.shape[1]
    covariance, gain = errors_of(model, readings, fitted, ridge_mm, road_terms)
    findable = (readings.limit_ratio + normal_quantile_ratio(FOUND_SHARE)) / np.sqrt(free)
    return Candidate(
        model=model,
        ridge_mm=ridge_mm,
        fit=fitted,
        removed=removed,
        loo_mm=float(np.sqrt((left_out @ left_out + len(removed) * price**2) / count)),
        misfit_ratio=float(np.sqrt(fitted.chi_square_ratio / freedom)),
        freedom_count=freedom,
        coefficients=fitted.coefficients[:road_terms],
        covariance=covariance,
        gain=gain,
        cost_ratio=float(
            fitted.chi_square_ratio + len(removed) * readings.limit_ratio**2 + (table.shape[1] + extra) * np.log(count)
        ),
        takes_all=not removed and bool(np.max(np.abs(pull) / np.sqrt(free)) <= readings.limit_ratio),
        findable_mm=float(np.max(findable)),
    )


def errors_of(
    model: Model, readings: RoadReadings, fitted: Fit, ridge_mm: float, road_terms: int
) -> tuple[Array, Array]:
    """Covariance and gain of a model's coefficients and, of a fold model, of its fold's place to first order.

    Valid       the readings used; a fold without height leaves its place out (the road does not depend on it)
    Source      algebra (linearised least squares, column-scaled); covariance = gain x readings' covariance x gain'
    Proved by   tests/levels/test_road_fit.py, tests/levels/test_road_candidate.py
    """
    if model not in FOLDED:
        return fitted.covariance[:road_terms, :road_terms], fitted.gain[:road_terms]
    used = fitted.used
    own = tuple(float(c) for c in fitted.coefficients[:road_terms])
    road = error_terms(model, readings.x_mm[used], readings.y_mm[used], ridge_mm, own)
    whitener = whitener_of(readings.weights, used)
    white = whitener @ (np.column_stack([road, readings.lines[used]]) if readings.lines.shape[1] else road)
    norms = np.sqrt(np.einsum("ij,ij->j", white, white))
    scale = np.where(norms > 0.0, norms, 1.0)
    inverse = np.linalg.pinv(white / scale)[: road_terms + 1] / scale[: road_terms + 1, None]
    gain = np.zeros((road_terms + 1, len(used)))
    gain[:, used] = inverse @ whitener
    return inverse @ inverse.T, gain


def candidate(model: Model, readings: RoadReadings) -> Candidate | str:
    """One model fitted and scored, or why the readings cannot carry it.

    Valid       one ring carries up to five terms with at least two readings to spare
    Source      see scored
    Proved by   tests/levels/test_road_candidate.py
    """
    x_mm, y_mm = readings.x_mm, readings.y_mm
    if model in FOLDED and len(x_mm) <= 4 + readings.lines.shape[1]:
        return f"geometry cannot carry it: {len(x_mm)} readings are too few"
    ridge_mm = best_ridge_mm(model, x_mm, y_mm, readings.level_mm, readings.weights, readings.lines)
    table = term_table(model, x_mm, y_mm, ridge_mm)
    if readings.lines.shape[1]:
        table = np.column_stack([table, readings.lines])
    why = cannot_carry(model, readings, table)
    return why if why else scored(model, readings, table, ridge_mm)


def rim_leverage_ratio(one: Candidate, rim_x_mm: Array, rim_y_mm: Array, sd_mm: float) -> float:
    """The worst variance of a model's road at the rim, over that of one reading.

    Valid       a fitted model; rim points within the readings' reach
    Source      algebra (t C t / sd^2)
    Proved by   tests/levels/test_road_fit.py
    """
    table = term_table(one.model, rim_x_mm, rim_y_mm, one.ridge_mm)
    terms = table.shape[1]
    covariance = one.fit.covariance[:terms, :terms]
    return float(np.max(np.einsum("ij,ij->i", table @ covariance, table))) / sd_mm**2
