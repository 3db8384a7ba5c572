"""The road around one cover from its spot levels: model chosen, gross reading named, full covariance."""

from __future__ import annotations

from math import isfinite

import numpy as np
from numpy.typing import NDArray

from truebed.errors import NotDesignedError
from truebed.levels.booking import Errors, Spot
from truebed.levels.gross import likely_cause
from truebed.levels.least_squares import carries, critical_ratio, equal_weights, shared_weights
from truebed.levels.lines import free_columns
from truebed.levels.road_average import schwarz_weights
from truebed.levels.road_candidate import (
    WORST_RIM_LEVERAGE_RATIO,
    Candidate,
    RoadReadings,
    candidate,
    rim_leverage_ratio,
    widest_gap_deg,
)
from truebed.levels.road_choice import account, chosen, fitting
from truebed.levels.road_rules import RoadRules
from truebed.levels.road_terms import MODELS, term_table
from truebed.levels.surface import GrossReading, Model, ModelTried, OtherRoad, RoadPoint, RoadSurface

__all__ = ["WIDEST_GAP_DEG", "fit_road", "inner_ring", "widest_gap_deg"]

Array = NDArray[np.float64]

#: Where no rim is given the model must hold on a ring at this share of the readings' middle distance (statistical).
RIM_WITHIN_SHARE = 0.7
RIM_POINTS_COUNT = 24
#: Widest gap between neighbouring readings where no rule set is at hand.
WIDEST_GAP_DEG = RoadRules().widest_gap_deg


def inner_ring(x_mm: Array, y_mm: Array) -> tuple[tuple[float, float], ...]:
    """A ring well inside the readings, to stand for a rim that is not given.

    Valid       readings that surround the frame
    Source      house (RIM_WITHIN_SHARE of the readings' middle distance)
    Proved by   tests/levels/test_road_fit.py
    """
    radius = RIM_WITHIN_SHARE * float(np.median(np.hypot(x_mm, y_mm)))
    angles = np.linspace(0.0, 2.0 * np.pi, RIM_POINTS_COUNT, endpoint=False)
    return tuple((float(a), float(b)) for a, b in zip(radius * np.cos(angles), radius * np.sin(angles), strict=True))


def refuse_too_few(spots: tuple[Spot, ...], rules: RoadRules) -> None:
    """Refuse readings that cannot say what the road is.

    Valid       road readings of one cover
    Source      algebra (three readings make a plane with nothing to check it by); house (limits of RoadRules)
    Raises      NotDesignedError with the reason and the mend
    Proved by   tests/levels/test_road_fit.py
    """
    for spot in spots:
        if not all(map(isfinite, (spot.x_mm, spot.y_mm, spot.level_mm))):
            raise NotDesignedError(
                f"Road reading '{spot.point}' (row {spot.row}) has a place or level that is no number.",
                "Write it again.",
            )
    if len(spots) < rules.least_readings_count:
        raise NotDesignedError(
            f"Only {len(spots)} road readings: with fewer than {rules.least_readings_count} a wrong one cannot be"
            " found.",
            "Read 10 to 12 points on a ring round the frame.",
        )
    x, y = np.array([s.x_mm for s in spots]), np.array([s.y_mm for s in spots])
    if not carries(np.array([np.ones(len(spots)), x - np.mean(x), y - np.mean(y)]).T):
        raise NotDesignedError(
            "The road readings do not surround the frame: they stand in one line, which carries no surface.",
            "Read points on both sides of the frame.",
        )
    gap = widest_gap_deg(x, y)
    if gap > rules.widest_gap_deg:
        raise NotDesignedError(
            f"The road readings do not surround the frame: a gap of {gap:.0f} degrees has none"
            f" (at most {rules.widest_gap_deg:g}).",
            "Read points on the open side too.",
        )


def refuse_up_to_a_plane(readings: RoadReadings) -> None:
    """Refuse readings off free lines that leave the road's level or tilt open.

    Valid       readings some of which hang on lines without levels
    Source      algebra (rank of the plane's table with the lines' unknowns)
    Raises      NotDesignedError with the mend
    Proved by   tests/levels/test_lines.py
    """
    if readings.lines.shape[1] == 0:
        return
    plane = term_table("plane", readings.x_mm, readings.y_mm, 0.0)
    if not carries(np.column_stack([plane, readings.lines])):
        raise NotDesignedError(
            "The straight-edge and string-line readings fix the road only up to a plane: nothing says at what level or"
            " tilt the lines lie.",
            "Read the level of at least three points round the frame that are not in one line, or of both ends of each"
            " line.",
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


def readings_of(
    spots: tuple[Spot, ...], sd_mm: float, false_alarm_share: float, errors: Errors | None, rules: RoadRules
) -> RoadReadings:
    """The road readings as numbers, with what their errors share.

    errors      None: each reading errs by sd_mm on its own
    Valid       errors of these very spots, in their order
    Source      house (assembly)
    Proved by   tests/levels/test_lines.py, tests/levels/test_road_fit.py
    """
    x, y = np.array([s.x_mm for s in spots]), np.array([s.y_mm for s in spots])
    count = len(spots)
    return RoadReadings(
        x_mm=x,
        y_mm=y,
        level_mm=np.array([s.level_mm for s in spots]),
        weights=equal_weights(count, sd_mm) if errors is None else shared_weights(np.array(errors.covariance)),
        lines=np.empty((count, 0)) if errors is None else free_columns(errors.lines, x, y),
        sd_mm=sd_mm,
        false_alarm_share=false_alarm_share,
        limit_ratio=critical_ratio(count, false_alarm_share),
        rules=rules,
    )


def held(one: Candidate | str, rim_x_mm: Array, rim_y_mm: Array, sd_mm: float) -> Candidate | str:
    """A candidate that holds the road at the rim, or why it does not.

    Valid       rim points
    Source      house (WORST_RIM_LEVERAGE_RATIO); algebra
    Proved by   tests/levels/test_road_fit.py
    """
    if isinstance(one, str):
        return one
    ratio = rim_leverage_ratio(one, rim_x_mm, rim_y_mm, sd_mm)
    if ratio <= WORST_RIM_LEVERAGE_RATIO:
        return one
    return (
        f"geometry cannot carry it at the rim: there it would be known to {ratio**0.5 * sd_mm:.1f} mm,"
        f" one reading to {sd_mm:g} mm"
    )


def fit_road(
    spots: tuple[Spot, ...],
    sd_mm: float,
    false_alarm_share: float,
    rim: tuple[tuple[float, float], ...] = (),
    *,
    errors: Errors | None = None,
    rules: RoadRules | None = None,
    models: tuple[Model, ...] = MODELS,
    kerbs: tuple[Spot, ...] = (),
) -> RoadSurface:
    """The road's surface from road readings around one cover.

    spots       those with where == 'road'
    sd_mm       error of one reading, one standard deviation
    rim         points of the frame's rim, where the road must be held; without them a ring well inside the readings
    errors      what the readings share and the lines they hang on (Survey.on('road')); None: each errs on its own
    rules       limits (road_rules); None: those of the packaged UK set
    models      shapes tried, simplest first; kerbs: levels read on the kerb, for naming a reading taken there
    Valid       6 readings or more that surround the frame; a single ring carries no full quadratic
    Source      [baarda-1968], [rousseeuw-1984] (from memory); model by leave-one-out
    Raises      NotDesignedError where readings are too few, do not surround, or fit no surface
    Proved by   tests/levels/test_road_fit.py, tests/oracles/test_road_recovery.py
    """
    limits = RoadRules() if rules is None else rules
    refuse_too_few(spots, limits)
    readings = readings_of(spots, sd_mm, false_alarm_share, errors, limits)
    refuse_up_to_a_plane(readings)
    held_at = np.array(rim or inner_ring(readings.x_mm, readings.y_mm))
    tried = {m: held(candidate(m, readings), held_at[:, 0], held_at[:, 1], sd_mm) for m in models}
    candidates = tuple(c for c in tried.values() if isinstance(c, Candidate))
    refuse_unheld(candidates)
    allowed = fitting(candidates, readings)
    best = chosen(allowed, readings)
    if best is None:
        closest = min(candidates, key=lambda c: c.misfit_ratio)
        raise NotDesignedError(
            f"The road readings fit no surface: the best ({closest.model}) leaves "
            f"{closest.misfit_ratio * sd_mm:.1f} mm where the reading error is {sd_mm:g} mm.",
            "Read the points again; if the road really is so uneven, add a second ring.",
        )
    reasons = account(tried, best, allowed, readings, tuple(s.point for s in spots))
    return as_surface(best, allowed, spots, readings, reasons, kerbs)


def numbers(values: Array) -> tuple[float, ...]:
    """A row of numbers as plain floats.

    Valid       any row
    Source      house (assembly)
    Proved by   tests/levels/test_road_fit.py
    """
    return tuple(values.tolist())


def points_of(best: Candidate, spots: tuple[Spot, ...], readings: RoadReadings) -> tuple[RoadPoint, ...]:
    """The readings with their residuals; of free lines the level that the fit gives their line is added.

    Valid       the candidate fitted to these spots
    Source      house (assembly)
    Proved by   tests/levels/test_road_fit.py, tests/levels/test_lines.py
    """
    levels = readings.level_mm
    if readings.lines.shape[1]:
        levels = levels - readings.lines @ best.fit.coefficients[len(best.coefficients) :]
    rows = zip(spots, levels.tolist(), best.fit.residual_mm.tolist(), best.fit.used.tolist(), strict=True)
    return tuple(RoadPoint(s.point, s.x_mm, s.y_mm, level, left, u, s.row) for s, level, left, u in rows)


def as_surface(
    best: Candidate,
    allowed: tuple[Candidate, ...],
    spots: tuple[Spot, ...],
    readings: RoadReadings,
    tried: tuple[ModelTried, ...],
    kerbs: tuple[Spot, ...],
) -> RoadSurface:
    """The chosen candidate as a RoadSurface with its points, gross readings and the other roads allowed.

    Valid       candidates fitted to these spots, the best among them
    Source      house (assembly)
    Proved by   tests/levels/test_road_fit.py
    """
    gross = []
    for r in best.removed:
        partner = spots[r.partner].point if r.partner >= 0 else ""
        cause = likely_cause(spots[r.index], r.off_mm, readings.sd_mm, partner, kerbs)
        spot = spots[r.index]
        gross.append(
            GrossReading(spot.point, spot.row, r.off_mm, r.statistic_ratio, readings.limit_ratio, cause, partner)
        )
    roads = [
        OtherRoad(c.model, numbers(c.coefficients), tuple(map(tuple, c.covariance.tolist())), c.ridge_mm, weight)
        for c, weight in zip(allowed, schwarz_weights(tuple(c.cost_ratio for c in allowed)), strict=True)
    ]
    own = next(r for r in roads if r.model == best.model)
    return RoadSurface(
        model=best.model,
        coefficients=own.coefficients,
        covariance=own.covariance,
        ridge_mm=best.ridge_mm,
        reading_sd_mm=readings.sd_mm,
        points=points_of(best, spots, readings),
        gross=tuple(gross),
        loo_mm=best.loo_mm,
        misfit_ratio=best.misfit_ratio,
        weight_share=own.weight_share,
        others=tuple(r for r in roads if r is not own),
        gain=tuple(map(tuple, best.gain.tolist())),
        tried=tried,
        findable_mm=best.findable_mm,
    )
