"""The road around one cover from its spot levels: model chosen, gross reading named, full covariance."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.errors import NotDesignedError
from truebed.levels.booking import Spot
from truebed.levels.least_squares import Fit, carries, critical_ratio, without_gross
from truebed.levels.road_average import schwarz_weights
from truebed.levels.road_terms import FOLDED, MODELS, error_terms, fold_span_mm, term_table
from truebed.levels.surface import GrossReading, Model, OtherRoad, RoadPoint, RoadSurface

Array = NDArray[np.float64]

#: A model may be more complicated only if it foretells left-out readings better by this factor.
WORTH_A_TERM_RATIO = 0.70
#: A model whose leave-one-out error is below this share of the reading error leaves nothing to explain.
NOTHING_LEFT_SHARE = 0.1
#: Chance that good readings are refused as fitting no surface.
REFUSE_SHARE = 0.001
#: A model may know the rim no worse than one reading would: greatest unit leverage (variance over one reading's).
WORST_RIM_LEVERAGE_RATIO = 1.0
#: Where no rim is given the model must hold on a ring at this share of the readings' middle distance.
RIM_WITHIN_SHARE = 0.7
#: Widest gap between neighbouring readings seen from the frame's centre.
WIDEST_GAP_DEG = 120.0


@dataclass(frozen=True, slots=True)
class Candidate:
    """One model fitted: fit, removed readings, leave-one-out error [mm], misfit against the reading error.

    covariance   of the coefficients and, of a fold model, its fold's place (see error_terms)
    cost_ratio   Schwarz's cost: chi-square, terms times ln readings, and the price of removed readings
    takes_all    no reading was removed and none stands out
    """

    model: Model
    ridge_mm: float
    fit: Fit
    removed: tuple[tuple[int, float, float], ...]
    loo_mm: float
    misfit_ratio: float
    covariance: Array
    cost_ratio: float
    takes_all: bool


def widest_gap_deg(x_mm: Array, y_mm: Array) -> float:
    """The widest angle between neighbouring readings, seen from the frame's centre.

    Valid       at least two points
    Source      algebra
    Proved by   tests/levels/test_road_fit.py
    """
    angles = np.sort(np.degrees(np.arctan2(y_mm, x_mm)))
    return float(np.max(np.diff(np.append(angles, angles[0] + 360.0))))


def best_ridge_mm(model: Model, x_mm: Array, y_mm: Array, level_mm: Array) -> float:
    """Where the fold of a two-plane model lies: the place with the least sum of squares; else 0.

    Valid       fold parallel to the traffic or square to it, within half the readings' reach
    Source      algebra (scan, coarse then fine)
    Proved by   tests/levels/test_road_fit.py
    """
    if model not in FOLDED:
        return 0.0
    low, high = fold_span_mm(model, x_mm, y_mm)
    coarse = least_fold_mm(model, x_mm, y_mm, level_mm, np.linspace(low, high, 25))
    step = (high - low) / 24.0
    near = np.linspace(max(low, coarse - step), min(high, coarse + step), 21)
    return round(least_fold_mm(model, x_mm, y_mm, level_mm, near))


def least_fold_mm(model: Model, x_mm: Array, y_mm: Array, level_mm: Array, places: Array) -> float:
    """Of several places of the fold the one with the least sum of squares.

    Valid       a two-plane model
    Source      algebra (least squares at each place)
    Proved by   tests/levels/test_road_fit.py
    """
    squares = []
    for place in places:
        table = term_table(model, x_mm, y_mm, float(place))
        scaled = table / np.linalg.norm(table, axis=0)
        residual = level_mm - scaled @ np.linalg.lstsq(scaled, level_mm, rcond=None)[0]
        squares.append(float(np.sum(residual**2)))
    return float(places[int(np.argmin(squares))])


def misfit_limit_ratio(freedom: int) -> float:
    """Greatest believable root mean square residual over the reading error.

    Valid       freedom >= 1
    Source      algebra (chi-square law of a sum of squares with known error)
    Proved by   tests/levels/test_road_fit.py
    """
    from scipy.special import chdtri

    return float(np.sqrt(chdtri(freedom, REFUSE_SHARE) / freedom))


def candidate(
    model: Model, x_mm: Array, y_mm: Array, level_mm: Array, sd_mm: float, false_alarm_share: float
) -> Candidate | None:
    """One model fitted and scored, or None where the readings cannot carry it.

    The score is the root mean square of leave-one-out residuals; a removed reading counts with the size it had to
    pass to be removed, so that throwing readings away is never free. A fold's place was looked for too: it counts as
    one more term, spread over the readings.

    Valid       one ring carries up to five terms with at least two readings to spare
    Source      algebra (leave-one-out residual = r / (1 - h))
    Proved by   tests/levels/test_road_fit.py
    """
    ridge_mm = best_ridge_mm(model, x_mm, y_mm, level_mm)
    table = term_table(model, x_mm, y_mm, ridge_mm)
    extra = 1 if model in FOLDED else 0
    freedom = len(level_mm) - table.shape[1] - extra
    if freedom < 2 - extra or not carries(table):
        return None
    most_removed = 0 if extra else min(2, (len(level_mm) - table.shape[1] - 1) // 4)
    fitted, removed = without_gross(table, level_mm, sd_mm, false_alarm_share, most_removed)
    freedom -= len(removed)
    used = fitted.used
    leverage = fitted.leverage[used] + extra / len(level_mm)
    left_out = fitted.residual_mm[used] / np.maximum(1.0 - leverage, 1e-6)
    limit = critical_ratio(len(level_mm), false_alarm_share)
    price = limit * sd_mm
    squares = float(np.sum(fitted.residual_mm[used] ** 2))
    total = float(np.sum(left_out**2) + len(removed) * price**2)
    spread = sd_mm * np.sqrt(np.maximum(1.0 - leverage, 1e-9))
    terms = (table.shape[1] + extra) * np.log(len(level_mm))
    return Candidate(
        model=model,
        ridge_mm=ridge_mm,
        fit=fitted,
        removed=removed,
        loo_mm=float(np.sqrt(total / len(level_mm))),
        misfit_ratio=float(np.sqrt(squares / freedom)) / sd_mm,
        covariance=full_covariance(model, x_mm[used], y_mm[used], ridge_mm, fitted, sd_mm),
        cost_ratio=float((squares + len(removed) * price**2) / sd_mm**2 + terms),
        takes_all=not removed and bool(np.max(np.abs(fitted.residual_mm) / spread) <= limit),
    )


def full_covariance(model: Model, x_mm: Array, y_mm: Array, ridge_mm: float, fitted: Fit, sd_mm: float) -> Array:
    """Covariance of a model's coefficients and, of a fold model, of its fold's place to first order.

    Valid       the readings used; a fold without height leaves its place out (the road does not depend on it)
    Source      algebra (linearised least squares, column-scaled)
    Proved by   tests/levels/test_road_fit.py
    """
    if model not in FOLDED:
        return fitted.covariance
    table = error_terms(model, x_mm, y_mm, ridge_mm, tuple(float(c) for c in fitted.coefficients))
    norms = np.linalg.norm(table, axis=0)
    scale = np.where(norms > 0.0, norms, 1.0)
    inverse = np.linalg.pinv(table / scale)
    covariance: Array = sd_mm**2 * (inverse @ inverse.T) / np.outer(scale, scale)
    return covariance


def rim_leverage_ratio(one: Candidate, rim: tuple[tuple[float, float], ...], sd_mm: float) -> float:
    """The worst variance of a model's road at the rim, over that of one reading.

    Valid       a fitted model; rim points within the readings' reach
    Source      algebra (t C t / sd^2)
    Proved by   tests/levels/test_road_fit.py
    """
    table = term_table(one.model, np.array([p[0] for p in rim]), np.array([p[1] for p in rim]), one.ridge_mm)
    return float(np.max(np.einsum("ij,jk,ik->i", table, one.fit.covariance, table))) / sd_mm**2


def inner_ring(x_mm: Array, y_mm: Array) -> tuple[tuple[float, float], ...]:
    """A ring well inside the readings, to stand for a rim that is not given.

    Valid       readings that surround the frame
    Source      house (RIM_WITHIN_SHARE of the readings' middle distance)
    Proved by   tests/levels/test_road_fit.py
    """
    radius = RIM_WITHIN_SHARE * float(np.median(np.hypot(x_mm, y_mm)))
    angles = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
    return tuple((radius * float(np.cos(a)), radius * float(np.sin(a))) for a in angles)


def fitting(candidates: tuple[Candidate, ...], count: int) -> tuple[Candidate, ...]:
    """The candidates within the misfit limit; where one takes all readings, none that throws readings away.

    Valid       candidates of the same readings
    Source      misfit by the chi-square law; house rule: a reading is not blamed for what the road's shape explains
    Proved by   tests/levels/test_road_fit.py
    """
    within = tuple(
        c for c in candidates if c.misfit_ratio <= misfit_limit_ratio(count - len(c.removed) - len(c.fit.coefficients))
    )
    if any(c.takes_all for c in within):
        return tuple(c for c in within if not c.removed)
    return within


def chosen(candidates: tuple[Candidate, ...], sd_mm: float) -> Candidate | None:
    """The simplest model that foretells about as well as any.

    Valid       candidates that fit, in order from simple to complicated
    Source      house rule (WORTH_A_TERM_RATIO)
    Proved by   tests/levels/test_road_fit.py
    """
    best: Candidate | None = None
    for one in candidates:
        good_enough = best is not None and best.loo_mm < NOTHING_LEFT_SHARE * sd_mm
        if best is None or (not good_enough and one.loo_mm < WORTH_A_TERM_RATIO * best.loo_mm):
            best = one
    return best


def likely_cause(spot: Spot, off_mm: float, sd_mm: float) -> str:
    """What slip would give a reading that is off by so much.

    Valid       a hint for the surveyor, not a verdict
    Source      common practice, no source
    Proved by   tests/levels/test_road_fit.py
    """
    room = 4.0 * sd_mm
    size = np.abs(off_mm)
    if np.abs(size - 100.0) <= room:
        return "a decimetre misread on the staff (100 mm)"
    if np.abs(size - 1000.0) <= room:
        return "a metre misread on the staff (1000 mm)"
    if np.abs(spot.level_mm) > room and np.abs(2.0 * spot.level_mm - off_mm) <= room:
        return "the sign was left out or turned round"
    if np.abs(size - 10.0) <= 1.5 * sd_mm:
        return "a centimetre misread (10 mm)"
    return "misread, or taken at another place"


def refuse_too_few(spots: tuple[Spot, ...]) -> None:
    """Refuse readings that cannot say what the road is.

    Valid       road readings of one cover
    Source      algebra (three readings make a plane with nothing to check it by)
    Raises      NotDesignedError with the reason and the mend
    Proved by   tests/levels/test_road_fit.py
    """
    if len(spots) < 6:
        raise NotDesignedError(
            f"Only {len(spots)} road readings: with fewer than 6 a wrong one cannot be found.",
            "Read 10 to 12 points on a ring round the frame.",
        )
    gap = widest_gap_deg(np.array([s.x_mm for s in spots]), np.array([s.y_mm for s in spots]))
    if gap > WIDEST_GAP_DEG:
        raise NotDesignedError(
            f"The road readings do not surround the frame: a gap of {gap:.0f} degrees has none (at most 120).",
            "Read points on the open side too.",
        )


def refuse_unheld(candidates: tuple[Candidate, ...]) -> None:
    """Refuse readings of which no model holds the road round the rim.

    Valid       the candidates that hold it
    Source      house (WORST_RIM_LEVERAGE_RATIO)
    Raises      NotDesignedError with the mend
    Proved by   tests/levels/test_road_fit.py
    """
    if not candidates:
        raise NotDesignedError(
            "The road readings do not hold the road round the rim: there it would be known worse than by one reading.",
            "Read 10 to 12 points spread evenly on a ring round the frame, outside its rim.",
        )


def fit_road(
    spots: tuple[Spot, ...],
    sd_mm: float,
    false_alarm_share: float,
    rim: tuple[tuple[float, float], ...] = (),
) -> RoadSurface:
    """The road's surface from road readings around one cover.

    spots       those with where == 'road'
    sd_mm       error of one reading, one standard deviation
    rim         points of the frame's rim, where the road must be held; without them a ring well inside the readings
    Valid       6 readings or more that surround the frame; a single ring carries no full quadratic
    Source      [huber-1964], [baarda-1968] (from memory); model by leave-one-out
    Raises      NotDesignedError where readings are too few, do not surround, or fit no surface
    Proved by   tests/levels/test_road_fit.py, tests/oracles/test_road_recovery.py
    """
    refuse_too_few(spots)
    x_mm, y_mm = np.array([s.x_mm for s in spots]), np.array([s.y_mm for s in spots])
    level_mm = np.array([s.level_mm for s in spots])
    held_at = rim or inner_ring(x_mm, y_mm)
    found = [candidate(m, x_mm, y_mm, level_mm, sd_mm, false_alarm_share) for m in MODELS]
    candidates = tuple(
        c for c in found if c is not None and rim_leverage_ratio(c, held_at, sd_mm) <= WORST_RIM_LEVERAGE_RATIO
    )
    refuse_unheld(candidates)
    allowed = fitting(candidates, len(spots))
    best = chosen(allowed, sd_mm)
    if best is None:
        closest = min(candidates, key=lambda c: c.misfit_ratio)
        raise NotDesignedError(
            f"The road readings fit no surface: the best ({closest.model}) leaves "
            f"{closest.misfit_ratio * sd_mm:.1f} mm where the reading error is {sd_mm:g} mm.",
            "Read the points again; if the road really is so uneven, add a second ring.",
        )
    return as_surface(best, allowed, spots, sd_mm, false_alarm_share)


def numbers(values: Array) -> tuple[float, ...]:
    """A row of numbers as plain floats.

    Valid       any row
    Source      house (assembly)
    Proved by   tests/levels/test_road_fit.py
    """
    return tuple(float(v) for v in values)


def as_surface(
    best: Candidate,
    allowed: tuple[Candidate, ...],
    spots: tuple[Spot, ...],
    sd_mm: float,
    false_alarm_share: float,
) -> RoadSurface:
    """The chosen candidate as a RoadSurface with its points, gross readings and the other roads allowed.

    Valid       candidates fitted to these spots, the best among them
    Source      house (assembly)
    Proved by   tests/levels/test_road_fit.py
    """
    limit = critical_ratio(len(spots), false_alarm_share)
    gross = tuple(
        GrossReading(spots[i].point, spots[i].row, off, statistic, limit, likely_cause(spots[i], off, sd_mm))
        for i, off, statistic in best.removed
    )
    points = tuple(
        RoadPoint(s.point, s.x_mm, s.y_mm, s.level_mm, float(r), bool(u), s.row)
        for s, r, u in zip(spots, best.fit.residual_mm, best.fit.used, strict=True)
    )
    roads = [
        OtherRoad(c.model, numbers(c.fit.coefficients), tuple(map(numbers, c.covariance)), c.ridge_mm, weight)
        for c, weight in zip(allowed, schwarz_weights(tuple(c.cost_ratio for c in allowed)), strict=True)
    ]
    own = next(r for r in roads if r.model == best.model)
    return RoadSurface(
        model=best.model,
        coefficients=own.coefficients,
        covariance=own.covariance,
        ridge_mm=best.ridge_mm,
        reading_sd_mm=sd_mm,
        points=points,
        gross=gross,
        loo_mm=best.loo_mm,
        misfit_ratio=best.misfit_ratio,
        weight_share=own.weight_share,
        others=tuple(r for r in roads if r is not own),
    )
