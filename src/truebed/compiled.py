"""One decorator for loops over numbers: compiled where numba is installed, the same Python elsewhere.

A kernel is a plain function of floats and numpy arrays. With numba it is compiled once and kept on disk; where numba
cannot be imported the very same lines run as Python, slowly (decisions 0006 and 0007).
Kernel modules are imported inside the functions that use them, so that `truebed --help` never pays for numba.
"""

from __future__ import annotations

from collections.abc import Callable
from types import ModuleType
from typing import ParamSpec, TypeVar, cast

P = ParamSpec("P")
R = TypeVar("R")

numba: ModuleType | None
try:
    import numba
except ImportError:  # a platform without it
    numba = None

#: Whether kernels are compiled in this process.
COMPILED = numba is not None


def compiled(kernel: Callable[P, R]) -> Callable[P, R]:
    """A kernel compiled without Python objects, or the kernel itself where numba is missing.

    Valid       functions of numbers, tuples and numpy arrays; division by nought gives inf, as in numpy arrays
    Source      house
    Proved by   tests/test_compiled.py
    """
    if numba is None:
        return kernel
    return cast(Callable[P, R], numba.njit(cache=True, error_model="numpy")(kernel))


def plain(kernel: Callable[P, R]) -> Callable[P, R]:
    """The Python lines of a kernel, compiled or not: what runs where numba is missing.

    Valid       kernels that do not call other kernels (those stay as they were made)
    Source      house
    Proved by   tests/test_compiled.py
    """
    return cast(Callable[P, R], getattr(kernel, "py_func", kernel))


def inlined(kernel: Callable[P, R]) -> Callable[P, R]:
    """A part of a kernel, laid into its caller when that is compiled: for parts of many arrays called very often.

    A call that takes ten arrays counts their owners up and down, which costs more than the few sums of such a part.

    Valid       as compiled
    Source      house
    Proved by   tests/test_compiled.py
    """
    if numba is None:
        return kernel
    return cast(Callable[P, R], numba.njit(cache=True, error_model="numpy", inline="always")(kernel))


def side_by_side(kernel: Callable[P, R]) -> Callable[P, R]:
    """A compiled kernel that lets other threads run beside it: for work that falls into parts which share nothing.

    Valid       as compiled; parts that write to arrays of their own
    Source      house
    Proved by   tests/test_compiled.py
    """
    if numba is None:
        return kernel
    return cast(Callable[P, R], numba.njit(cache=True, error_model="numpy", nogil=True)(kernel))
