"""The compiled decorator: the same numbers compiled and plain, and Python alone where numba is missing."""

import subprocess
import sys

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from truebed.compiled import COMPILED, compiled, plain


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
