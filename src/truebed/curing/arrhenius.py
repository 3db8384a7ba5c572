"""How much faster a material gains strength when it is warmer: one activation energy, one exponential."""

from __future__ import annotations

import math
from collections.abc import Sequence

#: 0 degC in kelvin, and the gas constant [J/(mol K)]: exact in the SI since 2019.
ZERO_K = 273.15
GAS_J_PER_MOL_K = 8.314462618


def inverse_per_k(temp_c: float) -> float:
    """1/T with T in kelvin: the axis on which Arrhenius is a straight line.

    Valid       above -273.15 degC
    Source      [si-2019] kelvin and degree Celsius
    Raises      ValueError at or below absolute zero
    Proved by   tests/curing/test_arrhenius.py
    """
    if temp_c <= -ZERO_K:
        raise ValueError(f"{temp_c:g} °C is not above absolute zero")
    return 1.0 / (ZERO_K + temp_c)


def rate_ratio(temp_c: float, reference_temp_c: float, activation_k: float) -> float:
    """How many times faster than at the reference temperature.

    activation_k  activation energy over the gas constant [K]
    Valid       above -273.15 degC; a material's own energy holds only between the temperatures it was found from
    Source      [astm-c1074] form only: te = sum exp(-Q (1/Ta - 1/Ts)) dt, temperatures in kelvin
    Raises      ValueError at or below absolute zero
    Proved by   tests/published/test_en1992_annex_b.py
    """
    return math.exp(activation_k * (inverse_per_k(reference_temp_c) - inverse_per_k(temp_c)))


def equivalent_age_min(
    temps_c: Sequence[float], minutes_min: Sequence[float], reference_temp_c: float, activation_k: float
) -> float:
    """The age at the reference temperature that stands for a history of temperatures.

    temps_c     one for each span of minutes_min
    Valid       as rate_ratio; spans of no negative length
    Source      [astm-c1074] form only; [en-1992-1-1] B.10 is the same sum with 4000 K
    Raises      ValueError where the lists differ in length or a span is negative
    Proved by   tests/published/test_en1992_annex_b.py
    """
    if any(span_min < 0.0 for span_min in minutes_min):
        raise ValueError("a span of time cannot be negative")
    spans = zip(temps_c, minutes_min, strict=True)
    return sum(rate_ratio(temp_c, reference_temp_c, activation_k) * span_min for temp_c, span_min in spans)


def activation_of_times_k(cold_c: float, cold_min: float, warm_c: float, warm_min: float) -> float:
    """The activation energy over the gas constant that two times at two temperatures show.

    Valid       two temperatures that differ, two times above 0
    Source      algebra: ln(t1/t2) / (1/T1 - 1/T2)
    Proved by   tests/curing/test_arrhenius.py
    """
    return math.log(cold_min / warm_min) / (inverse_per_k(cold_c) - inverse_per_k(warm_c))
