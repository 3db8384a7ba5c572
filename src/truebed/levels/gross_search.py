"""Which readings are gross: one, two, or two that changed places; by the w-test and exact least trimmed squares."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.levels.least_squares import (
    LEAST_FREE_SHARE,
    Fit,
    Weights,
    carries,
    critical_ratio,
    fit,
    free_information,
    statistics_ratio,
)

Array = NDArray[np.float64]

#: A slip is of any size over this many reading errors (statistical: 200 mm at 2 mm), which prices its unknown size.
SLIP_SPAN_SDS = 100.0
SIZE_COST = float(2.0 * np.log(SLIP_SPAN_SDS / np.sqrt(2.0 * np.pi)))


@dataclass(frozen=True, slots=True)
class Removed:
    """A reading thrown out: how far off the others say it is, and its statistic.

    partner   index of the reading that it changed places with; -1 for none
    """

    index: int
    off_mm: float
    statistic_ratio: float
    partner: int = -1


@dataclass(frozen=True, slots=True)
class Pair:
    """A hypothesis on two readings, with the weighted sum of squares that it leaves."""

    first: int
    second: int
    chi_square_ratio: float


def best_swap(
    level_mm: Array, pull: Array, information: Array, chi_square_ratio: float, limit_ratio: float
) -> Pair | None:
    """The exchange of two readings that leaves least; None where those two still stand out after it.

    Exchanging readings i and j adds d to one and takes it from the other, d being their difference: no unknown is
    spent. With K the free information the sum of squares becomes chi2 + 2 d (g_i - g_j) + d^2 (K_ii + K_jj - 2 K_ij).

    Valid       all readings used
    Source      algebra; [baarda-1968] (w-test after the exchange)
    Proved by   tests/levels/test_gross_search.py
    """
    own = np.diagonal(information)
    apart = level_mm[None, :] - level_mm[:, None]
    left = chi_square_ratio + 2.0 * apart * (pull[:, None] - pull[None, :])
    left += apart**2 * (own[:, None] + own[None, :] - 2.0 * information)
    left[np.tril_indices(len(level_mm))] = np.inf
    i, j = (int(k) for k in np.unravel_index(int(np.argmin(left)), left.shape))
    after = (pull + apart[i, j] * (information[i] - information[j]))[[i, j]]
    if left[i, j] >= chi_square_ratio or np.max(np.abs(after) / np.sqrt(own[[i, j]] + 1e-300)) > limit_ratio:
        return None
    return Pair(i, j, float(left[i, j]))


def best_two(pull: Array, information: Array, chi_square_ratio: float) -> Pair:
    """The two readings without which the others leave least: exact least trimmed squares for two.

    Valid       all readings used
    Source      [rousseeuw-1984] least trimmed squares, by trying every pair; algebra
    Proved by   tests/levels/test_gross_search.py
    """
    own = np.diagonal(information)
    determinant = own[:, None] * own[None, :] - information**2
    sound = determinant > LEAST_FREE_SHARE**2 * own[:, None] * own[None, :]
    weighed = own[None, :] * pull[:, None] ** 2 + own[:, None] * pull[None, :] ** 2
    weighed -= 2.0 * information * pull[:, None] * pull[None, :]
    explained = np.where(sound, weighed / np.where(sound, determinant, 1.0), -np.inf)
    explained[np.tril_indices(len(pull))] = -np.inf
    i, j = (int(k) for k in np.unravel_index(int(np.argmax(explained)), explained.shape))
    return Pair(i, j, chi_square_ratio - float(explained[i, j]))


def two_off(pair: Pair, pull: Array, information: Array, swapped: bool) -> tuple[Removed, Removed]:
    """Both readings of a pair with what the others say they are off by, the more striking one first.

    Valid       a pair whose two errors can be told apart
    Source      algebra (generalised least squares with one shift for each)
    Proved by   tests/levels/test_gross_search.py
    """
    pick = [pair.first, pair.second]
    inverse = np.linalg.inv(information[np.ix_(pick, pick)])
    off = inverse @ pull[pick]
    ratio = off / np.sqrt(np.diagonal(inverse))
    partners = (pair.second, pair.first) if swapped else (-1, -1)
    first = Removed(pair.first, float(off[0]), float(ratio[0]), partners[0])
    second = Removed(pair.second, float(off[1]), float(ratio[1]), partners[1])
    return (first, second) if np.abs(ratio[0]) >= np.abs(ratio[1]) else (second, first)


def exchange_wins(swap: Pair | None, single_ratio: float, two_ratio: float, count: int) -> bool:
    """Whether two readings changed places rather than one or two being wrong, each hypothesis at its own price.

    Single: one of n readings; two: two unknown sizes and one of n (n - 1) / 2 pairs; exchange: no unknown size, one of
    as many pairs. A size costs 2 ln(span / (sd sqrt(2 pi))), the span being SLIP_SPAN_SDS sd. A single slip is taken to
    be as much likelier than an exchange (forty times) as its unknown size costs, so that it pays for none.

    Valid       an exchange after which neither reading stands out; the sums of squares that the others leave
    Source      algebra: minus twice the log of the posterior (Laplace's approximation); house: odds of forty to one
    Proved by   tests/levels/test_gross_search.py
    """
    if swap is None:
        return False
    pairs_cost = 2.0 * np.log(count * (count - 1) / 2.0)
    single_cost = single_ratio + 2.0 * np.log(count)
    two_cost = two_ratio + 2.0 * SIZE_COST + pairs_cost
    return bool(swap.chi_square_ratio + pairs_cost < min(single_cost, two_cost))


def search(
    table: Array,
    level_mm: Array,
    weights: Weights,
    false_alarm_share: float,
    most_removed: int,
    may_exchange: bool = True,
) -> tuple[Fit, tuple[Removed, ...]]:
    """The fit without gross readings, and those: none unless the greatest w-statistic passes its limit.

    Then the one reading without which the others leave least. Only where another still stands out after that: two
    readings that changed places, where that explains the readings better than wrong ones do; or two wrong ones, each of
    which must pass a limit shared over all pairs.

    most_removed  most readings thrown out singly; may_exchange: an exchange may be looked for (it throws out two)
    Valid       known errors of the readings; three readings more than terms after each removal
    Source      [baarda-1968] w-test with the family's false alarms shared equally (from memory); [rousseeuw-1984]
    Proved by   tests/levels/test_gross_search.py
    """
    count, terms = table.shape
    limit_ratio = critical_ratio(count, false_alarm_share)
    plain = fit(table, level_mm, weights, np.ones(count, dtype=bool))
    ratio = statistics_ratio(plain)
    suspect = int(np.argmax(np.abs(ratio)))
    if most_removed < 1 or np.abs(ratio[suspect]) <= limit_ratio or count - terms < 3:
        return plain, ()
    one = (Removed(suspect, float(plain.pull[suspect] / plain.free[suspect]), float(ratio[suspect])),)
    found = _fit_without(table, level_mm, weights, one)
    if found is None:
        return plain, ()
    if np.max(np.abs(statistics_ratio(found))) <= limit_ratio:
        return found, one
    single_ratio = plain.chi_square_ratio - float(ratio[suspect]) ** 2
    both = _two(level_mm, plain, weights, single_ratio, false_alarm_share, may_exchange and count - terms >= 5)
    if both and (both[0].partner >= 0 or (most_removed >= 2 and count - terms >= 4)):
        without = _fit_without(table, level_mm, weights, both)
        if without is not None:
            return without, both
    return found, one


def _two(
    level_mm: Array,
    plain: Fit,
    weights: Weights,
    single_ratio: float,
    false_alarm_share: float,
    may_exchange: bool,
) -> tuple[Removed, ...]:
    """Two readings that changed places, or two wrong ones, where one wrong reading is not enough; else none."""
    count = len(level_mm)
    information = free_information(plain, weights)
    two = best_two(plain.pull, information, plain.chi_square_ratio)
    limit_ratio = critical_ratio(count * (count - 1) // 2, false_alarm_share)
    if may_exchange:
        swap = best_swap(level_mm, plain.pull, information, plain.chi_square_ratio, limit_ratio)
        if swap is not None and exchange_wins(swap, single_ratio, two.chi_square_ratio, count):
            return two_off(swap, plain.pull, information, swapped=True)
    both = two_off(two, plain.pull, information, swapped=False)
    least = min(np.abs(b.statistic_ratio) for b in both)
    return both if least > limit_ratio else ()


def _fit_without(table: Array, level_mm: Array, weights: Weights, removed: tuple[Removed, ...]) -> Fit | None:
    """The fit without some readings, or None where the others do not carry the model."""
    used = np.ones(len(level_mm), dtype=bool)
    used[[r.index for r in removed]] = False
    return fit(table, level_mm, weights, used) if carries(table[used]) else None
