"""A whole works swept: every cover worked out in its batch, or told why not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from truebed.given.works import Works
from truebed.plan.case import Case
from truebed.plan.chamber_top import MeasuredTop
from truebed.plan.network import ground_of_many
from truebed.plan.network_types import BED_HOLDS, CROSSING, NO_PLACE, NOT_TAKEN, REASONS, ManyGrounds
from truebed.plan.network_works import Apart, Batch, cases_of, sorted_out
from truebed.plan.shelf import Shelf

Progress = Callable[[str], None]

WORKED, PARTLY, REFUSED, NOT_TAKEN_WORDS = "worked out", "worked out but for litres", "refused", "not taken"
OUT_BY_SHAPE = "the road's own shape holds the rim out of tolerance; the frame is set at its best"


@dataclass(frozen=True, slots=True)
class SweptCover:
    """One cover's answer: its row in its batch's answer (None: it stood apart), status and why."""

    case: Case
    answer: ManyGrounds | None
    row: int
    status: str
    why: str


@dataclass(frozen=True, slots=True)
class Swept:
    """All covers of a works, in the order of covers.csv."""

    covers: tuple[SweptCover, ...]

    def count(self, status: str) -> int:
        """How many covers have that status."""
        return sum(1 for c in self.covers if c.status == status)


def _silent(_: str) -> None:
    return None


def status_of(answer: ManyGrounds, row: int) -> tuple[str, str]:
    """Status and reason of one row of a batch's answer, in words.

    Valid       a row of the answer
    Source      house (wording)
    Proved by   tests/plan/test_network_sweep.py
    """
    why = int(answer.why[row])
    if why == 0:
        return WORKED, OUT_BY_SHAPE if answer.out[row] > 0.0 else ""
    if why == CROSSING:
        return PARTLY, REASONS[why].split(": ", 1)[1]
    if why in NOT_TAKEN:
        return NOT_TAKEN_WORDS, REASONS[why].removeprefix("not taken by the batch: ")
    return REFUSED, REASONS[why] + by_how_much(answer, row)


def by_how_much(answer: ManyGrounds, row: int) -> str:
    """Both answers to 'cannot sit: by how much', and what even raising of the chamber top mends it; '' where none asks.

    Valid       a row of the answer
    Source      house (wording)
    Proved by   tests/plan/test_network_sweep.py
    """
    if answer.why[row] not in (BED_HOLDS, NO_PLACE):
        return ""
    told = "" if answer.why[row] == NO_PLACE else f" by {answer.out[row]:.1f} mm"
    if np.isfinite(answer.relax[row]):
        told += f"; with the tolerance held the bed is {answer.relax[row]:.1f} mm beyond its limits"
    low_mm, high_mm = float(answer.raise_least[row]), float(answer.raise_most[row])
    if not np.isfinite(low_mm):
        return f"{told}; no even raising of the chamber top helps"
    way, near_mm, far_mm = ("raise", low_mm, high_mm) if low_mm > 0.0 else ("lower", -high_mm, -low_mm)
    return f"{told}; {way} the chamber top by {near_mm:.1f} to {far_mm:.1f} mm"


def _of_batch(cases: tuple[Case, ...], batch: Batch, answer: ManyGrounds) -> list[tuple[int, SweptCover]]:
    return [
        (place, SweptCover(cases[place], answer, row, *status_of(answer, row))) for row, place in enumerate(batch.rows)
    ]


def _of_apart(cases: tuple[Case, ...], apart: Apart) -> tuple[int, SweptCover]:
    return apart.row, SweptCover(cases[apart.row], None, -1, apart.status, apart.why)


def sweep_works(works: Works, shelf: Shelf, measured: dict[str, MeasuredTop], tell: Progress = _silent) -> Swept:
    """The ground of every cover of a works, in batches.

    Valid       a checked works
    Source      see truebed.plan.network
    Proved by   tests/plan/test_network_sweep.py, tests/cli/test_sweep.py
    """
    cases = cases_of(works, shelf, measured)
    batches, apart = sorted_out(cases)
    found = [_of_apart(cases, one) for one in apart]
    for number, batch in enumerate(batches, start=1):

        def said(done: int, count: int, number: int = number) -> None:
            tell(f"batch {number} of {len(batches)}: {done} of {count} covers")

        found += _of_batch(cases, batch, ground_of_many(batch.covers, batch.limits, said))
    return Swept(tuple(cover for _, cover in sorted(found, key=lambda pair: pair[0])))
