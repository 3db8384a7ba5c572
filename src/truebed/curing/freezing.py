"""Does a young layer freeze before it is strong enough to bear it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from truebed.curing.surfaces import WeatherData


@dataclass(frozen=True, slots=True)
class Freezing:
    """What a face went through while it was young.

    at_risk      it stood below freezing before it was strong enough
    first_min    when that began; None where it never did
    weak_frost_min  how long in all
    coldest_c    the lowest while it was weak; None where it was strong from the first
    strong_min   when it became strong enough; None where it did not in this time
    advice       a key of words: 'frost-none', 'frost-not-shown' (never strong in this time), 'frost-cover'
    """

    at_risk: bool
    first_min: float | None
    weak_frost_min: float
    coldest_c: float | None
    strong_min: float | None
    advice: str


def freezing_risk(
    minutes_min: Sequence[float], face_c: Sequence[float], strength_n_per_mm2: Sequence[float], data: WeatherData
) -> Freezing:
    """The risk that one face freezes before the strength that common practice asks (data/surfaces.toml).

    Straight between points; the layer counts as weak until its strength first reaches the limit.

    Valid       three lists of one length, times that grow, strength that does not fall
    Source      common practice, no source (5 N/mm2 before freezing); crossing times: algebra
    Raises      ValueError for lists that do not match
    Proved by   tests/curing/test_freezing.py
    """
    _refuse(minutes_min, face_c, strength_n_per_mm2)
    strong = _reached(minutes_min, strength_n_per_mm2, data["frost_safe_n_per_mm2"])
    ice_c = data["freezing_c"]
    weak = _until(tuple(zip(minutes_min, face_c, strict=True)), strong)
    coldest = min((temp for _, temp in weak), default=None)
    first: float | None = None
    frost = 0.0
    for (start, warm), (end, cold) in pairwise(weak):
        span = _below(start, warm, end, cold, ice_c)
        if span is not None:
            first = span[0] if first is None else first
            frost += span[1] - span[0]
    if len(weak) == 1 and weak[0][1] < ice_c:
        first = weak[0][0]
    at_risk = first is not None
    advice = "frost-cover" if at_risk else "frost-not-shown" if strong is None else "frost-none"
    return Freezing(at_risk, first, frost, coldest, strong, advice)


def _refuse(minutes_min: Sequence[float], face_c: Sequence[float], strength_n_per_mm2: Sequence[float]) -> None:
    if not len(minutes_min) == len(face_c) == len(strength_n_per_mm2) or not minutes_min:
        raise ValueError("times, temperatures and strengths must be as many, and at least one")
    if any(after <= before for before, after in pairwise(minutes_min)):
        raise ValueError("times must grow")
    if any(after < before for before, after in pairwise(strength_n_per_mm2)):
        raise ValueError("a strength cannot fall")


def _reached(minutes_min: Sequence[float], values: Sequence[float], limit_n_per_mm2: float) -> float | None:
    """When values that do not fall first reach a limit."""
    if values[0] >= limit_n_per_mm2:
        return minutes_min[0]
    for index in range(1, len(values)):
        if values[index] >= limit_n_per_mm2:
            part = (limit_n_per_mm2 - values[index - 1]) / (values[index] - values[index - 1])
            return minutes_min[index - 1] + part * (minutes_min[index] - minutes_min[index - 1])
    return None


def _until(points: Sequence[tuple[float, float]], end_min: float | None) -> list[tuple[float, float]]:
    """The points before an end, and the end itself, straight between its neighbours; none where it ends at once."""
    if end_min is None:
        return list(points)
    if end_min <= points[0][0]:
        return []
    kept = [point for point in points if point[0] < end_min]
    start, end = kept[-1], next(point for point in points if point[0] >= end_min)
    part = (end_min - start[0]) / (end[0] - start[0])
    return [*kept, (end_min, start[1] + part * (end[1] - start[1]))]


def _below(
    start_min: float, start_c: float, end_min: float, end_c: float, limit_c: float
) -> tuple[float, float] | None:
    """The part of a straight stretch that lies below a limit."""
    if start_c >= limit_c and end_c >= limit_c:
        return None
    if start_c < limit_c and end_c < limit_c:
        return start_min, end_min
    cross = start_min + (limit_c - start_c) / (end_c - start_c) * (end_min - start_min)
    return (cross, end_min) if end_c < limit_c else (start_min, cross)
