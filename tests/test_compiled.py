"""The compiled decorator: the same numbers compiled and plain, and Python alone where numba is missing."""

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from truebed.compiled import COMPILED, compiled, inlined, plain, side_by_side


@compiled
def sum_of_squares_mm2(values_mm: np.ndarray) -> float:
    total_mm2 = 0.0
    for value_mm in values_mm:
        total_mm2 += value_mm * value_mm
    return total_mm2


@given(st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=30))
def test_a_kernel_gives_the_same_bits_compiled_and_plain(values: list[float]) -> None:
    array = np.array(values)
    assert sum_of_squares_mm2(array) == plain(sum_of_squares_mm2)(array)


def test_the_kernel_is_really_compiled_where_numba_is_installed() -> None:
    assert hasattr(sum_of_squares_mm2, "py_func") is COMPILED


def test_without_numba_a_kernel_is_the_python_function_itself() -> None:
    code = (
        "import sys; sys.modules['numba'] = None\n"
        "from truebed.compiled import COMPILED, compiled\n"
        "def twice(x): return 2 * x\n"
        "assert not COMPILED and compiled(twice) is twice\n"
        "print('plain')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "plain"


def test_help_does_not_import_numba() -> None:
    code = (
        "import sys\nfrom truebed.cli.main import main\n"
        "sys.argv = ['truebed', '--help']\ntry:\n    main()\nexcept SystemExit:\n    pass\n"
        "assert 'numba' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)


@inlined
def twice_mm(value_mm: float) -> float:
    return 2.0 * value_mm


@side_by_side
def fill_twice_mm(values_mm: np.ndarray, out_mm: np.ndarray) -> None:
    for i in range(values_mm.shape[0]):
        out_mm[i] = twice_mm(values_mm[i])


def test_parts_run_beside_each_other_give_what_one_run_gives() -> None:
    values, whole, parts = np.arange(1000.0), np.zeros(1000), np.zeros(1000)
    fill_twice_mm(values, whole)
    with ThreadPoolExecutor(2) as threads:
        list(threads.map(lambda a: fill_twice_mm(values[a : a + 500], parts[a : a + 500]), (0, 500)))
    assert np.array_equal(whole, parts)
    assert whole[7] == 14.0
