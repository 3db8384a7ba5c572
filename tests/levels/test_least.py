"""The row-by-row linear programme: against a general solver, and against a certificate that shares nothing with it."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from truebed.compiled import plain
from truebed.levels import least_kernel
from truebed.levels.least import least

STATUS = {0: "optimal", 2: "infeasible", 3: "unbounded"}


def certified(cost, rows, limits, answer):
    """Proof by duality in exact arithmetic: how far the place and the multipliers are from proving each other."""
    x, y = [Fraction(v) for v in answer.x], [Fraction(v) for v in answer.multipliers]
    exact = [[Fraction(v) for v in row] for row in rows.tolist()]
    bounds = [Fraction(v) for v in limits.tolist()]
    out = max(
        (sum(a * v for a, v in zip(row, x, strict=True)) - b for row, b in zip(exact, bounds, strict=True)), default=0
    )
    pull = max(
        abs(Fraction(c) + sum(w * row[j] for w, row in zip(y, exact, strict=True))) for j, c in enumerate(cost.tolist())
    )
    gap = abs(
        sum(Fraction(c) * v for c, v in zip(cost.tolist(), x, strict=True))
        + sum(w * b for w, b in zip(y, bounds, strict=True))
    )
    assert all(w >= 0 for w in y)
    return float(max(out, 0)), float(pull), float(gap)


def programme(seed):
    """Random programmes of four kinds: general, whole numbers, all limits through one point, badly scaled."""
    rng = np.random.default_rng(seed)
    n, m, kind = int(rng.integers(1, 9)), int(rng.integers(1, 40)), seed % 4
    if kind == 0:
        rows, limits = rng.normal(size=(m, n)), 5.0 * rng.normal(size=m)
    elif kind == 1:
        rows, limits = rng.integers(-2, 3, (m, n)).astype(float), rng.integers(-2, 6, m).astype(float)
    elif kind == 2:
        rows, limits = rng.integers(-1, 2, (m, n)).astype(float), np.where(rng.random(m) < 0.7, 0.0, 2.0)
    else:
        rows, limits = rng.normal(size=(m, n)) * 10.0 ** rng.integers(-3, 4, n), np.abs(100.0 * rng.normal(size=m))
    bounded = -(rng.random(m) * (rng.random(m) < 0.4)) @ rows
    return (bounded if seed % 8 < 5 else rng.integers(-1, 2, n).astype(float)), rows, limits


def general(cost, rows, limits):
    return linprog(cost, A_ub=rows, b_ub=limits, bounds=[(None, None)] * len(cost), method="highs")


@pytest.mark.parametrize("start", range(0, 1200, 200))
def test_status_and_value_are_the_general_solvers(start):
    seen = set()
    for seed in range(start, start + 200):
        asked = programme(seed)
        own, other = least(*asked), general(*asked)
        if other.status not in STATUS:
            continue
        assert own.status == STATUS[other.status], seed
        seen.add(own.status)
        if own.found:
            assert own.value == pytest.approx(other.fun, rel=1e-9, abs=1e-9), seed
    assert seen == {"optimal", "infeasible", "unbounded"}


@given(st.integers(0, 2**32 - 1))
def test_an_optimum_is_proved_by_its_multipliers_in_exact_arithmetic(seed):
    asked = programme(seed)
    own = least(*asked)
    size = 1.0 + float(np.max(np.abs(asked[1]))) + float(np.max(np.abs(own.x)))
    if own.found:
        out, pull, gap = certified(*asked, own)
        assert out <= 1e-11 * size * (1.0 + float(np.max(np.abs(asked[2]))))
        assert pull <= 1e-11 * size
        assert gap <= 1e-9 * size
        assert own.gap_mm == pytest.approx(max(out, gap), abs=1e-9 * size)


@given(st.integers(0, 2**32 - 1))
def test_limits_that_cannot_be_kept_are_proved_so(seed):
    _, rows, limits = programme(seed)
    own = least(np.zeros(rows.shape[1]), rows, limits)
    if own.status == "infeasible":
        y = own.multipliers
        assert np.all(y >= 0.0)
        assert np.max(np.abs(y @ rows)) <= 1e-9 * np.max(y) * np.max(np.abs(rows))
        assert y @ limits < 0.0
    else:
        assert np.all(rows @ own.x <= limits + 1e-9 * (1.0 + np.max(np.abs(own.x))))


@given(st.integers(0, 2**32 - 1))
def test_an_endless_fall_is_proved_by_its_direction(seed):
    cost, rows, limits = programme(seed)
    own = least(cost, rows, limits)
    if own.status == "unbounded":
        assert cost @ own.x < 0.0
        assert np.all(rows @ own.x <= 1e-7 * np.max(np.abs(rows)) * np.max(np.abs(own.x)))


def test_the_rule_against_going_round_in_circles_ends_a_programme_that_cycles_without_it():
    # Beale's example (from memory), as limits on free unknowns
    cost = np.array([-0.75, 150.0, -0.02, 6.0])
    rows = np.vstack(
        [np.array([[0.25, -60.0, -0.04, 9.0], [0.5, -90.0, -0.02, 3.0], [0.0, 0.0, 1.0, 0.0]]), -np.eye(4)]
    )
    own = least(cost, rows, np.array([0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0]))
    assert own.value == pytest.approx(-0.05, abs=1e-12)


@pytest.mark.parametrize("count", [3, 10, 60])
def test_many_rows_through_one_corner_come_to_an_end(count):
    angle = np.linspace(0.0, np.pi, count)
    rows = np.column_stack([np.cos(angle), np.sin(angle), -np.ones(count)])
    own = least(np.array([0.0, 0.0, 1.0]), np.vstack([rows, -rows]), np.zeros(2 * count))
    assert own.status == "optimal"
    assert own.value == pytest.approx(0.0, abs=1e-12)


def test_an_optimum_that_is_not_a_corner_is_still_a_place_that_keeps_every_limit():
    # only x <= 3 and x >= -7 bind; y and z are free and cost nothing
    own = least(np.array([1.0, 0.0, 0.0]), np.array([[1.0, 0, 0], [-1.0, 0, 0]]), np.array([3.0, 7.0]))
    assert own.value == -7.0
    assert own.multipliers.tolist() == [0.0, 1.0]


def test_an_equation_is_two_rows():
    rows = np.array([[1.0, 1.0], [-1.0, -1.0], [-1.0, 0.0], [0.0, -1.0]])
    own = least(np.array([2.0, 1.0]), rows, np.array([5.0, -5.0, 0.0, 0.0]))
    assert own.x == pytest.approx([0.0, 5.0])
    assert own.value == pytest.approx(5.0)


def test_a_row_of_noughts_is_kept_or_cannot_be():
    assert least(np.zeros(1), np.zeros((1, 1)), np.array([1.0])).found
    assert least(np.zeros(1), np.zeros((1, 1)), np.array([-1.0])).status == "infeasible"


def test_what_does_not_belong_together_is_refused():
    with pytest.raises(ValueError, match="belong together"):
        least(np.zeros(2), np.zeros((3, 3)), np.zeros(3))
    with pytest.raises(ValueError, match="finite"):
        least(np.zeros(1), np.ones((1, 1)), np.array([np.inf]))


@pytest.fixture
def uncompiled(monkeypatch):
    """The kernel's own lines as plain Python."""
    for name in dir(least_kernel):
        kernel = getattr(least_kernel, name)
        if hasattr(kernel, "py_func"):
            monkeypatch.setattr(least_kernel, name, plain(kernel))


def test_the_kernel_gives_the_same_bits_as_plain_python(uncompiled, monkeypatch):
    slow = [least(*programme(seed)) for seed in range(60)]
    monkeypatch.undo()
    for own, seed in zip(slow, range(60), strict=True):
        quick = least(*programme(seed))
        assert (own.status, own.x.tolist(), own.multipliers.tolist()) == (
            quick.status, quick.x.tolist(), quick.multipliers.tolist(),
        )  # fmt: skip
