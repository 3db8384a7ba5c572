"""A small linear programme solved row by row: dual simplex for few free unknowns and many limits.

The unknowns stand at the meeting of as many rows as there are unknowns (the basis); the row most out of its limit
enters, the row whose multiplier first falls to nought leaves. The start is a box of size 'very far' whose size is never
a number: places are x + FAR * far with the FAR part compared first, so no great number spoils the small ones.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

OPTIMAL, INFEASIBLE, UNBOUNDED, UNFINISHED = 0, 1, 2, 3
#: Rows are scaled to a greatest term of one: below these a pivot or a far part counts as nought.
PIVOT_RATIO = 1e-9
#: A row may be out of its limit by this share of the greatest limit.
WITHIN_RATIO = 2e-14
#: A multiplier below this share of the greatest cost is nought.
TIE_RATIO = 1e-13
#: After so many steps in a row that gain nothing, the first row out is taken instead of the worst (Bland's rule).
STALLED_STEPS = 12


@compiled
def _invert(table: Array, inverse: Array) -> bool:
    n = table.shape[0]
    work = table.copy()
    for i in range(n):
        for j in range(n):
            inverse[i, j] = 1.0 if i == j else 0.0
    for i in range(n):
        best = i
        for k in range(i + 1, n):
            if abs(work[k, i]) > abs(work[best, i]):
                best = k
        pivot_ratio = work[best, i]
        if abs(pivot_ratio) < 1e-13:
            return False
        for j in range(n):
            work[i, j], work[best, j] = work[best, j], work[i, j]
            inverse[i, j], inverse[best, j] = inverse[best, j], inverse[i, j]
        for j in range(n):
            work[i, j] /= pivot_ratio
            inverse[i, j] /= pivot_ratio
        for k in range(n):
            share_ratio = work[k, i]
            if k != i and share_ratio != 0.0:
                for j in range(n):
                    work[k, j] -= share_ratio * work[i, j]
                    inverse[k, j] -= share_ratio * inverse[i, j]
    return True


@compiled
def _fresh(rows: Array, signs: Array, basis: Whole, inverse: Array) -> bool:
    n, m = rows.shape[1], rows.shape[0]
    table = np.zeros((n, n))
    for i in range(n):
        if basis[i] < m:
            for j in range(n):
                table[i, j] = rows[basis[i], j]
        else:
            table[i, basis[i] - m] = signs[basis[i] - m]
    return bool(_invert(table, inverse))


@compiled
def _place(limits: Array, basis: Whole, inverse: Array, x: Array, far: Array) -> bool:
    """Where the basis rows meet; False where no box row takes part in it any more."""
    n, m = len(x), len(limits)
    boxed = False
    for j in range(n):
        x[j] = 0.0
        far[j] = 0.0
    for i in range(n):
        if basis[i] >= m:
            boxed = True
            for j in range(n):
                far[j] += inverse[j, i]
        else:
            for j in range(n):
                x[j] += inverse[j, i] * limits[basis[i]]
    return boxed


@compiled
def _multipliers(cost: Array, inverse: Array, weights: Array) -> None:
    n = len(cost)
    for i in range(n):
        total_ratio = 0.0
        for j in range(n):
            total_ratio -= cost[j] * inverse[j, i]
        weights[i] = total_ratio


@compiled
def _worst_row(rows: Array, limits: Array, x: Array, far: Array, boxed: bool, within_mm: float, first: bool) -> int:
    """The row most out of its limit (far part first), or the first one out; -1 where none is."""
    n, found, worst_mm, worst_far_ratio = len(x), -1, within_mm, PIVOT_RATIO
    for r in range(rows.shape[0]):
        out_mm = -limits[r]
        for j in range(n):
            out_mm += rows[r, j] * x[j]
        out_far_ratio = 0.0
        if boxed:
            for j in range(n):
                out_far_ratio += rows[r, j] * far[j]
        if out_far_ratio > worst_far_ratio:
            worst_far_ratio = out_far_ratio
            worst_mm = np.inf
            found = r
        elif out_mm > worst_mm and out_far_ratio > -PIVOT_RATIO:
            worst_mm = out_mm
            found = r
        if first and found >= 0:
            return found
    return found


@compiled
def _leaving(basis: Whole, weights: Array, w: Array, m: int, first: bool) -> int:
    """Which basis row's multiplier first falls to nought; -1 where none falls."""
    n = len(w)
    least_ratio = np.inf
    for i in range(n):
        if w[i] > PIVOT_RATIO:
            least_ratio = min(least_ratio, max(weights[i], 0.0) / w[i])
    found = -1
    for i in range(n):
        if w[i] > PIVOT_RATIO and max(weights[i], 0.0) / w[i] <= least_ratio + TIE_RATIO:
            if found < 0:
                found = i
            elif first:
                found = i if basis[i] < basis[found] else found
            elif (basis[i] >= m) != (basis[found] >= m):
                found = i if basis[i] >= m else found
            elif w[i] > w[found]:
                found = i
    return found


@compiled
def _exchange(basis: Whole, inverse: Array, weights: Array, w: Array, leaves: int, row: int) -> float:
    n = len(w)
    step_ratio: float = max(weights[leaves], 0.0) / w[leaves]
    for j in range(n):
        kept_ratio = inverse[j, leaves] / w[leaves]
        for k in range(n):
            if k != leaves:
                inverse[j, k] -= kept_ratio * w[k]
        inverse[j, leaves] = kept_ratio
    for k in range(n):
        weights[k] -= step_ratio * w[k]
    weights[leaves] = step_ratio
    basis[leaves] = row
    return step_ratio


@compiled
def _combination(rows: Array, row: int, inverse: Array, w: Array) -> None:
    """The entering row as a sum of the basis rows."""
    n = len(w)
    for i in range(n):
        total_ratio = 0.0
        for j in range(n):
            total_ratio += rows[row, j] * inverse[j, i]
        w[i] = total_ratio


@compiled
def _come_near(rows: Array, limits: Array, x: Array, far: Array) -> None:
    """Take the least number for FAR that keeps every row: nothing pulls outwards, so any place along far serves."""
    n, steps = len(x), 0.0
    for r in range(rows.shape[0]):
        out_mm, out_far_ratio = -limits[r], 0.0
        for j in range(n):
            out_mm += rows[r, j] * x[j]
            out_far_ratio += rows[r, j] * far[j]
        if out_far_ratio < -PIVOT_RATIO:
            steps = max(steps, out_mm / -out_far_ratio)
    for j in range(n):
        x[j] += steps * far[j]


@compiled
def _greatest(limits: Array) -> float:
    greatest_mm = 1.0
    for r in range(len(limits)):
        greatest_mm = max(greatest_mm, abs(limits[r]))
    return greatest_mm


@compiled
def _write(basis: Whole, weights: Array, m: int, y: Array) -> bool:
    """Multipliers by row; True where the box still carries one."""
    n, boxed = len(basis), False
    for i in range(n):
        if basis[i] < m:
            y[basis[i]] += max(weights[i], 0.0)
        elif weights[i] > TIE_RATIO:
            boxed = True
    return boxed


@compiled
def descend(cost: Array, rows: Array, limits: Array, most_steps: int, x: Array, y: Array) -> tuple[int, int]:
    """Least cost . x with rows x <= limits, written into x, multipliers into y: status and number of steps.

    Infeasible: y holds weights >= 0 with y rows = 0 and y . limits < 0. Unbounded: x holds a direction of endless gain.

    Valid       rows and columns scaled to about one; few unknowns; y of noughts
    Source      algebra (dual simplex; Bland's rule against cycling, from memory)
    Proved by   tests/levels/test_least.py
    """
    m, n = rows.shape
    signs, basis = np.ones(n), np.arange(m, m + n)
    inverse, weights, w, far = np.zeros((n, n)), np.zeros(n), np.zeros(n), np.zeros(n)
    within_mm = WITHIN_RATIO * n * _greatest(limits)
    for j in range(n):
        signs[j] = -1.0 if cost[j] > 0.0 else 1.0
    _fresh(rows, signs, basis, inverse)
    _multipliers(cost, inverse, weights)
    stalled, settled = 0, 0
    for step in range(most_steps):
        boxed = _place(limits, basis, inverse, x, far)
        row = _worst_row(rows, limits, x, far, boxed, within_mm, stalled > STALLED_STEPS)
        if row < 0:
            if settled == step + 1 or not _fresh(rows, signs, basis, inverse):
                break
            _multipliers(cost, inverse, weights)
            settled = step + 2
            continue
        _combination(rows, row, inverse, w)
        leaves = _leaving(basis, weights, w, m, stalled > STALLED_STEPS)
        if leaves < 0:
            y[row] = 1.0
            for i in range(n):
                weights[i] = -w[i]
            _write(basis, weights, m, y)
            return INFEASIBLE, step
        gain_ratio = _exchange(basis, inverse, weights, w, leaves, row)
        stalled = stalled + 1 if gain_ratio <= TIE_RATIO else 0
        if step % 24 == 23:
            _fresh(rows, signs, basis, inverse)
            _multipliers(cost, inverse, weights)
    else:
        return UNFINISHED, most_steps
    if _write(basis, weights, m, y):
        for j in range(n):
            x[j] = far[j]
        return UNBOUNDED, step
    if boxed:
        _come_near(rows, limits, x, far)
    return OPTIMAL, step
