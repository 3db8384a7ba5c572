"""A time between the sheet's own points: straight in ln(time) over 1/T, never past the first or last of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from truebed.curing.arrhenius import GAS_J_PER_MOL_K, activation_of_times_k, inverse_per_k
from truebed.errors import NotDeterminedError
from truebed.sheets.sheet import StrengthAt, TimeAt


@dataclass(frozen=True, slots=True)
class TimeBetween:
    """A time at a temperature, and the two points it was read between.

    cold, warm  the same point where the sheet gives that very temperature
    activation_j_per_mol  of the stretch between the two; None at a point
    """

    minutes_min: float
    temp_c: float
    cold: TimeAt
    warm: TimeAt
    activation_j_per_mol: float | None


@dataclass(frozen=True, slots=True)
class AgeAt:
    """The age at which a strength is reached at one of the sheet's temperatures.

    below       the datum before it; None where the first datum is already as strong: its age is taken
    above       the datum at or after it
    """

    temp_c: float
    age_min: float
    below: StrengthAt | None
    above: StrengthAt

    @property
    def place(self) -> str:
        """Where on the sheet the data stand."""
        both = (self.above.place,) if self.below is None else (self.below.place, self.above.place)
        return "; ".join(dict.fromkeys(both))


def bracket_c(given_c: Sequence[float], temp_c: float, what: str) -> tuple[float, float]:
    """The sheet's own temperatures on both sides; twice the same where it gives that very one.

    what        for the message: 'life of harrow-bed'
    Source      house (nothing is read past a sheet's own points)
    Raises      NotDeterminedError outside them
    Proved by   tests/curing/test_between_points.py
    """
    temps_c = sorted(set(given_c))
    if not temps_c:
        raise NotDeterminedError(f"the sheet gives no {what}")
    if temp_c in temps_c:
        return temp_c, temp_c
    if not temps_c[0] < temp_c < temps_c[-1]:
        span = f"from {temps_c[0]:g} to {temps_c[-1]:g} °C" if len(temps_c) > 1 else f"at {temps_c[0]:g} °C only"
        raise NotDeterminedError(f"{what}: the sheet gives times {span}; {temp_c:g} °C is outside")
    return next((cold, warm) for cold, warm in pairwise(temps_c) if cold < temp_c < warm)


def time_between(points: Sequence[TimeAt], temp_c: float, what: str) -> TimeBetween:
    """The time at a temperature from the sheet's points: exactly a point's value at its own temperature.

    points      one a temperature
    Valid       from the coldest to the hottest point
    Source      [astm-c1074] form only, with the activation energy of the stretch between two of the sheet's points
    Raises      NotDeterminedError outside the points
    Proved by   tests/oracles/test_time_between_points.py
    """
    cold_c, warm_c = bracket_c([point.temp_c for point in points], temp_c, what)
    cold = next(point for point in points if point.temp_c == cold_c)
    warm = next(point for point in points if point.temp_c == warm_c)
    if cold_c == warm_c:
        return TimeBetween(cold.after_min, temp_c, cold, warm, None)
    energy_k = activation_of_times_k(cold_c, cold.after_min, warm_c, warm.after_min)
    minutes_min = cold.after_min * math.exp(energy_k * (inverse_per_k(temp_c) - inverse_per_k(cold_c)))
    return TimeBetween(minutes_min, temp_c, cold, warm, energy_k * GAS_J_PER_MOL_K)


def age_to_strength(points: Sequence[StrengthAt], target_n_per_mm2: float, what: str) -> AgeAt:
    """The age at which the data of one temperature reach a strength: straight in ln(age) between two data.

    Valid       up to the strongest datum; below the first one its age is taken, never a shorter one
    Source      house (strength over ln(age) between neighbouring data of the sheet)
    Raises      NotDeterminedError above the strongest datum
    Proved by   tests/oracles/test_time_between_points.py
    """
    data = sorted(points, key=lambda point: point.age_min)
    strongest = max(data, key=lambda point: point.strength_n_per_mm2)
    if target_n_per_mm2 > strongest.strength_n_per_mm2:
        raise NotDeterminedError(
            f"{what}: {target_n_per_mm2:g} N/mm² is more than the sheet's last datum at {strongest.temp_c:g} °C "
            f"({strongest.strength_n_per_mm2:g} N/mm²); nothing past the last datum is promised"
        )
    index = next(n for n, point in enumerate(data) if point.strength_n_per_mm2 >= target_n_per_mm2)
    above = data[index]
    if index == 0:
        return AgeAt(above.temp_c, above.age_min, None, above)
    below = data[index - 1]
    if above.strength_n_per_mm2 == target_n_per_mm2:
        return AgeAt(above.temp_c, above.age_min, below, above)
    part_ratio = (target_n_per_mm2 - below.strength_n_per_mm2) / (above.strength_n_per_mm2 - below.strength_n_per_mm2)
    age_min = below.age_min * (above.age_min / below.age_min) ** part_ratio
    return AgeAt(above.temp_c, age_min, below, above)


def time_to_strength(
    points: Sequence[StrengthAt], target_n_per_mm2: float, temp_c: float, what: str
) -> tuple[TimeBetween, tuple[AgeAt, ...]]:
    """The time to a strength at a temperature, and the ages at the sheet's temperatures it was read between.

    Valid       between the sheet's temperatures and up to its last datum at both of them
    Source      [astm-c1074] form only, between the ages that the sheet's own data give
    Raises      NotDeterminedError outside
    Proved by   tests/oracles/test_hydration_curve.py
    """
    pair_c = bracket_c([point.temp_c for point in points], temp_c, what)
    ages = tuple(
        age_to_strength([point for point in points if point.temp_c == own_c], target_n_per_mm2, what)
        for own_c in dict.fromkeys(pair_c)
    )
    times = tuple(TimeAt(age.temp_c, age.age_min, age.place) for age in ages)
    return time_between(times, temp_c, what), ages
