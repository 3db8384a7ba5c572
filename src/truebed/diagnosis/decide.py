"""The decision: the answer that the evidence makes most likely, with its probability and the others."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from truebed.diagnosis.facts import FACTS, Fact, State
from truebed.diagnosis.table import Repair, Row, Table, first_row, lighter_rows


@dataclass(frozen=True, slots=True)
class Likely:
    """One answer with its probability."""

    repair: Repair
    probability: float


@dataclass(frozen=True, slots=True)
class Decision:
    """What to do.

    row          the row of the table that decided; also: rows of lighter faults mended with it
    probability  that the table gives this repair, over the errors of what was measured; what nobody looked at stays
                 'unknown' in it
    others       the other repairs that the readings' errors leave open, most likely first
    states       the facts on which it rests
    """

    repair: Repair
    row: Row
    probability: float
    others: tuple[Likely, ...]
    also: tuple[Row, ...]
    states: Mapping[str, State]


def likely_states(facts: Mapping[str, Fact]) -> Iterator[tuple[dict[str, State], float]]:
    """Every combination of the facts that can be, with its probability.

    Valid       facts whose errors are independent; lid low and lid proud of one lid are not, which matters only where
                both are in doubt at once
    Source      algebra (product of probabilities)
    Proved by   tests/diagnosis/test_decide.py
    """
    choices: list[list[tuple[State, float]]] = []
    for name in FACTS:
        fact = facts[name]
        both: list[tuple[State, float]] = [
            ("yes", fact.yes_probability), (fact.otherwise, 1.0 - fact.yes_probability)
        ]  # fmt: skip
        choices.append([one for one in both if one[1] > 0.0])
    for combination in product(*choices):
        states = {name: state for name, (state, _) in zip(FACTS, combination, strict=True)}
        yield states, math.prod(chance for _, chance in combination)


def decide(facts: Mapping[str, Fact], table: Table) -> Decision:
    """The most likely answer of the table, over the errors of the readings.

    Valid       every fact of the table given
    Source      data/diagnosis/ladder.toml; algebra (total probability)
    Proved by   tests/diagnosis/test_decide.py, tests/diagnosis/test_cases.py
    """
    total: dict[str, float] = {}
    best: dict[str, tuple[float, Row, dict[str, State]]] = {}
    for states, chance in likely_states(facts):
        row = first_row(table, states)
        total[row.repair] = total.get(row.repair, 0.0) + chance
        if row.repair not in best or chance > best[row.repair][0]:
            best[row.repair] = (chance, row, states)
    order = {row.repair: i for i, row in reversed(list(enumerate(table.rows)))}
    ranked = sorted(total, key=lambda repair: (-round(total[repair], 9), order[repair]))
    first = ranked[0]
    _, row, states = best[first]
    others = tuple(Likely(table.repairs[r], total[r]) for r in ranked[1:] if total[r] > 0.0)
    chance = min(1.0, total[first])
    return Decision(table.repairs[first], row, chance, others, lighter_rows(table, states, row), states)
