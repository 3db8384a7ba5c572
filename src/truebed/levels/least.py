"""`least(cost, rows, limits)`: the least of a linear cost under linear limits, its proof beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

Status = Literal["optimal", "infeasible", "unbounded"]
#: Steps allowed per row and unknown; a programme of this size ends in a few dozen.
STEPS_COUNT = 50


@dataclass(frozen=True, slots=True)
class Optimum:
    """The least of cost . x over rows @ x <= limits, x free.

    x            where it is (optimal); a direction along which the cost falls without end (unbounded);
                 noughts (infeasible)
    value        cost . x
    multipliers  one a row, >= 0. Optimal: cost + multipliers @ rows = 0, and nought where a row is not at its limit;
                 by how much the value falls when that row's limit is raised by one. Infeasible: multipliers @ rows = 0
                 and multipliers . limits < 0, which no x can keep
    gap_mm       greatest of: cost . x less the multipliers' own bound, and what x is out of any limit [limits' unit]
    steps_count  exchanges of a row that it took
    """

    x: Array
    value: float
    multipliers: Array
    status: Status
    gap_mm: float
    steps_count: int

    @property
    def found(self) -> bool:
        """Whether there is an optimum.

        Valid       any
        Source      house
        Proved by   tests/levels/test_least.py
        """
        return self.status == "optimal"


def _power_of_two(sizes: Array) -> Array:
    """The power of two that brings each size near to one; one for nought (exact scaling, no rounding)."""
    safe = np.where(sizes > 0.0, sizes, 1.0)
    scaled: Array = np.exp2(-np.round(np.log2(safe)))
    return scaled


def _checked(cost: Array, rows: Array, limits: Array) -> tuple[Array, Array, Array]:
    cost, rows, limits = (np.ascontiguousarray(a, dtype=np.float64) for a in (cost, rows, limits))
    if cost.ndim != 1 or rows.ndim != 2 or rows.shape != (len(limits), len(cost)):
        raise ValueError(f"cost {cost.shape}, rows {rows.shape} and limits {limits.shape} do not belong together")
    if not (np.isfinite(cost).all() and np.isfinite(rows).all() and np.isfinite(limits).all()):
        raise ValueError("a cost, a row or a limit is not a finite number; leave a row without a limit out")
    return cost, rows, limits


def least(cost: Array, rows: Array, limits: Array) -> Optimum:
    """The least of cost . x with rows @ x <= limits, every x free, and its multipliers.

    cost (n), rows (m, n), limits (m): float arrays. A row without a limit is left out; x >= 0 is the row -x <= 0; an
    equation is two rows. The answer is a corner of the limits: of several equal ones always the same.

    Valid       n of up to about 16, m of up to some thousands; any units (columns and rows are scaled inside)
    Source      algebra (dual simplex; optimality by duality)
    Raises      ValueError for shapes that do not belong together or numbers that are not finite;
                ArithmeticError where rounding keeps it from an end
    Proved by   tests/levels/test_least.py, tests/oracles/test_chebyshev.py
    """
    from truebed.levels.least_kernel import descend

    cost, rows, limits = _checked(cost, rows, limits)
    m, n = rows.shape
    column = _power_of_two(np.max(np.abs(rows), axis=0, initial=0.0))
    row = _power_of_two(np.max(np.abs(rows * column), axis=1, initial=0.0))
    price = float(_power_of_two(np.max(np.abs(cost * column), keepdims=True, initial=0.0))[0])
    x, y = np.zeros(n), np.zeros(m)
    scaled = np.ascontiguousarray(rows * column * row[:, None])
    status, steps = descend(cost * column * price, scaled, limits * row, STEPS_COUNT * (m + n), x, y)
    if status == 3:
        raise ArithmeticError("the linear programme did not come to an end")
    x, y = x * column, y * row
    if status == 1:
        return Optimum(np.zeros(n), np.inf, y, "infeasible", 0.0, steps)
    if status == 2:
        return Optimum(x, -np.inf, y / price, "unbounded", 0.0, steps)
    y = y / price
    value = float(cost @ x)
    out = float(np.max(rows @ x - limits, initial=0.0))
    return Optimum(x, value, y, "optimal", max(out, abs(value + float(y @ limits))), steps)
