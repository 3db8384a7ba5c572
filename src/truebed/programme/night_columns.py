"""How a night is laid out in arrays: what each column means, for those who fill them and those who read them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Factors = NDArray[np.float32]
Ints = NDArray[np.int64]

ALWAYS, DROP, MAKE_SAFE = 0, 1, 2
DONE, DROPPED, SAFE = 0, 1, 2
#: Minutes by which a life may be passed before it counts: rounding of sums only.
ROUNDING_MIN = 1e-6

#: Columns of Tables.step
COVER, MEDIAN, COLUMN, MODE, LIMIT, GUARD, NOT_BEFORE, PLANNED, LONG, SAFE_MIN, STEP_WIDTH = (
    0,
    1,
    2,
    3,
    4,
    5,
    6,
    7,
    8,
    9,
    10,
)
#: Columns of Tables.ptr: where each step's entries of a sort begin; they end where the next step's begin.
UNITS, LAGS, HOLDS, OPENS, SAFES, BANS, PTR_WIDTH = 0, 1, 2, 3, 4, 5, 6
#: Columns of Tables.entry. Lag: all; opening: all but FROM and TO_END; hold: FROM is the step that ends
#: the life, DRAW and ROW bound the entries of the steps between; unit and safe: FROM; ban: FROM and AT_END its minutes.
FROM, AT_END, TO_END, WAIT, DRAW, ROW, LONG_RATIO, ENTRY_WIDTH = 0, 1, 2, 3, 4, 5, 6, 7
#: Columns of Tables.unit and of Tables.most (a greatest lag: M_FROM, M_TO, edges, minutes, row of the table)
PERSON, TOOL = 0, 1
M_FROM, M_TO, M_AT_END, M_TO_END, M_WAIT, M_ROW, M_WIDTH = 0, 1, 2, 3, 4, 5, 6
#: Places of Tables.plan
TM_SET, TM_CLEAR, NOISE_ENDS = 0, 1, 2
#: Columns of the night's own state of steps and of units
START, END, DUE, G_START, G_END, MARK = 0, 1, 2, 3, 4, 5
FREE, FREE_DUE, AT, G_FREE, U_MARK = 0, 1, 2, 3, 4


class Tables(NamedTuple):
    """A schedule as arrays, steps in the order of the plan; table: waits that vary by the minute of their from edge."""

    step: Floats
    ptr: Ints
    entry: Floats
    unit: Ints
    most: Floats
    table: Floats
    walk: Floats
    weight: Floats
    plan: Floats


class Result(NamedTuple):
    """What each night gave; ready and starts only where their arrays are not empty (nan: not done)."""

    open: Floats
    weight: Floats
    covers: Ints
    lag_over: Ints
    noise_over: Ints
    state: Ints
    ready: Floats
    starts: Floats
