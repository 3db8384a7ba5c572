"""Roots of polynomials of degree four at most within an interval, and integrals of (linear)² / linear."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled

Array = NDArray[np.float64]

STEPS = 80
#: Below this the series of the logarithm is the more exact one.
SERIES_BELOW_RATIO = 0.3
#: A divisor below this carries nothing: what is divided by it is smaller still.
NOTHING = 1.0e-200


@compiled
def value_ratio(terms: Array, degree: int, at_ratio: float) -> float:
    """A polynomial's value, constant term first.

    Valid       degree < size of terms
    Source      algebra (Horner)
    Proved by   tests/chamber/test_curved.py
    """
    total = terms[degree]
    for i in range(degree - 1, -1, -1):
        total = total * at_ratio + terms[i]
    return float(total)


@compiled
def _between(terms: Array, degree: int, low_ratio: float, high_ratio: float) -> float:
    """The one root between two places of different sign, by Newton's steps kept inside the bracket."""
    low, high = low_ratio, high_ratio
    rising = value_ratio(terms, degree, high) > 0.0
    at = 0.5 * (low + high)
    for _ in range(STEPS):
        value = value_ratio(terms, degree, at)
        if value == 0.0:
            return at
        if (value > 0.0) == rising:
            high = at
        else:
            low = at
        slope = 0.0
        for i in range(degree, 0, -1):
            slope = slope * at + i * terms[i]
        step = at - value / slope if slope != 0.0 else low - 1.0
        after = step if low < step < high else 0.5 * (low + high)
        if after == at or high - low <= 4e-16 * (abs(low) + abs(high)):
            break
        at = after
    return at


@compiled
def roots_within(terms: Array, low_ratio: float, high_ratio: float, found: Array) -> int:
    """The places where a quartic changes sign within an interval; between the roots of each derivative it is monotone.

    Valid       terms: five, constant first; found: room for four
    Source      algebra (Rolle)
    Proved by   tests/chamber/test_curved.py
    """
    marks, count = np.empty(6), 0
    scaled = np.zeros(5)
    for degree in range(1, 5):
        for i in range(degree + 1):
            factor = 1.0
            for k in range(4 - degree):
                factor *= i + 4 - degree - k
            scaled[i] = terms[i + 4 - degree] * factor
        before, new = low_ratio, 0
        first = value_ratio(scaled, degree, before)
        fresh = np.empty(4)
        for m in range(count + 1):
            after = marks[m] if m < count else high_ratio
            last = value_ratio(scaled, degree, after)
            if (first > 0.0) != (last > 0.0) and new < 4:
                fresh[new] = _between(scaled, degree, before, after)
                new += 1
            before, first = after, last
        marks[:new] = fresh[:new]
        count = new
    found[:count] = marks[:count]
    return count


@compiled
def square_over_mm2(above: tuple[float, float], below: tuple[float, float], ends: tuple[float, float]) -> float:
    """The integral of (p + q y)² / (2 (r + s y)) between two places.

    Valid       no root of the divisor between them
    Source      algebra: with the divisor m (1 + e w) on -1 <= w <= 1 the moments of 1 / (1 + e w) are
                J0 = 2 atanh(e) / e, J1 = (2 - J0) / e, J2 = -J1 / e; by series where e is small
    Proved by   tests/chamber/test_curved.py, tests/oracles/test_volumes_to_fifty_digits.py
    """
    middle, half = 0.5 * (ends[0] + ends[1]), 0.5 * (ends[1] - ends[0])
    bottom = below[0] + below[1] * middle
    if half == 0.0 or abs(bottom) < NOTHING:
        return 0.0
    top, tilt = above[0] + above[1] * middle, above[1] * half
    e = min(max(below[1] * half / bottom, -1.0 + 1e-15), 1.0 - 1e-15)
    if abs(e) < SERIES_BELOW_RATIO:
        j0, j2, power, n = 0.0, 0.0, 1.0, 0
        while power > 1e-18 and n < 40:
            j0 += power / (2 * n + 1)
            j2 += power / (2 * n + 3)
            power *= e * e
            n += 1
        moments = 2.0 * j0, -2.0 * e * j2, 2.0 * j2
    else:
        whole = 2.0 * math.atanh(e) / e
        first = (2.0 - whole) / e
        moments = whole, first, -first / e
    total = top * top * moments[0] + 2.0 * top * tilt * moments[1] + tilt * tilt * moments[2]
    return float(half / (2.0 * bottom) * total)
