"""Which of the fitted shapes is taken, and why each other one is not."""

from __future__ import annotations

from functools import cache

from truebed.levels.road_candidate import Candidate, RoadReadings
from truebed.levels.surface import Model, ModelTried

#: A model whose leave-one-out error is below this share of the reading error leaves nothing to explain (statistical).
NOTHING_LEFT_SHARE = 0.1


@cache
def misfit_limit_ratio(freedom: int, refuse_share: float = 0.001) -> float:
    """Greatest believable root mean square residual over the reading error.

    Valid       freedom >= 1
    Source      algebra (chi-square law of a sum of squares with known error)
    Proved by   tests/levels/test_road_fit.py
    """
    from scipy.special import chdtri

    return float((chdtri(freedom, refuse_share) / freedom) ** 0.5)


def limit_of(one: Candidate, readings: RoadReadings) -> float:
    """The misfit limit of one candidate; a fold's place is not counted (it moves the road little).

    Valid       a candidate of these readings
    Source      see misfit_limit_ratio
    Proved by   tests/levels/test_road_choice.py
    """
    freedom = len(readings.level_mm) - len(one.removed) - len(one.fit.coefficients)
    return misfit_limit_ratio(freedom, readings.rules.refuse_share)


def fitting(candidates: tuple[Candidate, ...], readings: RoadReadings) -> tuple[Candidate, ...]:
    """The candidates within the misfit limit; where one takes all readings, none that throws readings away.

    Valid       candidates of the same readings
    Source      misfit by the chi-square law; house rule: a reading is not blamed for what the road's shape explains
    Proved by   tests/levels/test_road_choice.py
    """
    within = tuple(c for c in candidates if c.misfit_ratio <= limit_of(c, readings))
    if any(c.takes_all for c in within):
        return tuple(c for c in within if not c.removed)
    return within


def chosen(candidates: tuple[Candidate, ...], readings: RoadReadings) -> Candidate | None:
    """The simplest model that foretells about as well as any.

    Valid       candidates that fit, in order from simple to complicated
    Source      house rule (worth_a_term_ratio)
    Proved by   tests/levels/test_road_choice.py
    """
    best: Candidate | None = None
    worth = readings.rules.worth_a_term_ratio
    for one in candidates:
        good_enough = best is not None and best.loo_mm < NOTHING_LEFT_SHARE * readings.sd_mm
        if best is None or (not good_enough and one.loo_mm < worth * best.loo_mm):
            best = one
    return best


def why_not(
    one: Candidate, best: Candidate, allowed: tuple[Candidate, ...], readings: RoadReadings, points: tuple[str, ...]
) -> str:
    """Why a fitted shape was not taken.

    points      names of the readings
    Valid       a candidate other than the best
    Source      see fitting and chosen
    Proved by   tests/levels/test_road_choice.py
    """
    sd = readings.sd_mm
    if one.misfit_ratio > limit_of(one, readings):
        return (
            f"it leaves {one.misfit_ratio * sd:.1f} mm where the reading error is {sd:g} mm "
            f"(at most {limit_of(one, readings) * sd:.1f})"
        )
    if one not in allowed:
        named = ", ".join(points[r.index] for r in one.removed)
        return f"it throws away {named}, and another shape explains every reading"
    worse = "no better" if one.loo_mm >= best.loo_mm else "not enough better"
    return (
        f"it foretells left-out readings {worse}: {one.loo_mm:.2f} mm, {best.model} {best.loo_mm:.2f} mm "
        f"(a longer model must come below {readings.rules.worth_a_term_ratio:g} of a shorter one's)"
    )


def account(
    tried: dict[Model, Candidate | str], best: Candidate, allowed: tuple[Candidate, ...], readings: RoadReadings,
    points: tuple[str, ...],
) -> tuple[ModelTried, ...]:  # fmt: skip
    """Every shape tried with why it was taken or not.

    tried       of each shape its candidate, or why geometry cannot carry it
    Valid       the best among the tried
    Source      see fitting and chosen
    Proved by   tests/levels/test_road_choice.py
    """
    rows = []
    for model, one in tried.items():
        if isinstance(one, str):
            rows.append(ModelTried(model, False, one))
        elif one is best:
            why = f"the shortest shape that foretells left-out readings about as well as any: {one.loo_mm:.2f} mm"
            rows.append(ModelTried(model, True, why, one.loo_mm, one.misfit_ratio))
        else:
            why = why_not(one, best, allowed, readings, points)
            rows.append(ModelTried(model, False, why, one.loo_mm, one.misfit_ratio))
    return tuple(rows)
