"""The decision table (data/diagnosis): rows tried from the top on facts that are yes, no or unknown."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Literal

from truebed.diagnosis.facts import State

Dig = Literal["no", "surround", "frame", "careful"]
States = Mapping[str, State]


@dataclass(frozen=True, slots=True)
class Repair:
    """One repair: what it is, whether it digs ('frame': the frame comes out), which wrong repair it replaces.

    beds   whether lifting the frame and bedding it to the road as it is now is part of it
    """

    key: str
    says: str
    dig: Dig
    beds: bool
    avoids: str
    source: str


@dataclass(frozen=True, slots=True)
class Row:
    """One row: every `needs` holds, one of `some` is yes, one of `unseen` is unknown (where there are any).

    then        repairs that follow on it in any case
    beside      of a row of lighter faults: the repairs it goes with; without: those that already contain it
    """

    key: str
    repair: str
    reason: str
    source: str
    needs: tuple[tuple[str, State], ...] = ()
    some: tuple[str, ...] = ()
    unseen: tuple[str, ...] = ()
    then: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    without: tuple[str, ...] = ()

    def fits(self, states: States) -> bool:
        """Whether the row holds for these facts."""
        return (
            all(states[fact] == state for fact, state in self.needs)
            and (not self.some or any(states[fact] == "yes" for fact in self.some))
            and (not self.unseen or any(states[fact] == "unknown" for fact in self.unseen))
        )


@dataclass(frozen=True, slots=True)
class SurveyTest:
    """One thing that can be measured or looked at: which columns it fills, how, and what it might find."""

    name: str
    fields: tuple[str, ...]
    how: str
    tries: tuple[float | int | str, ...]
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """The whole of data/diagnosis; tests in order from cheap to dear."""

    rows: tuple[Row, ...]
    also: tuple[Row, ...]
    repairs: Mapping[str, Repair]
    tests: tuple[SurveyTest, ...]


@cache
def packaged_table() -> Table:
    """The decision table that comes with Truebed.

    Source      data/diagnosis (each row with its source and tag)
    Proved by   tests/diagnosis/test_table.py
    """
    ladder, repairs, tests = _read("ladder"), _read("repairs"), _read("tests")
    return Table(
        tuple(_row(raw) for raw in ladder["row"]),
        tuple(_row(raw) for raw in ladder["also"]),
        {
            key: Repair(key, raw["says"], raw["dig"], raw["beds"], raw["avoids"], cite(raw))
            for key, raw in repairs.items()
        },
        tuple(
            SurveyTest(raw["name"], tuple(raw["fields"]), raw["how"], tuple(raw["tries"]), tuple(raw.get("words", ())))
            for raw in tests["test"]
        ),
    )


def cite(raw: Mapping[str, Any]) -> str:
    """Source, clause and tag of a row of data in one short text.

    Valid       a row with source, clause, read_as
    Source      house (wording)
    Proved by   tests/diagnosis/test_table.py
    """
    return f"[{raw['source']}] {raw['clause']} ({raw['read_as']})"


def first_row(table: Table, states: States) -> Row:
    """The row that decides: the first that fits.

    Valid       a state for every fact; the last row of the table fits anything
    Source      house (order of rows: the deepest fault governs)
    Proved by   tests/diagnosis/test_table.py
    """
    return next(row for row in table.rows if row.fits(states))


def lighter_rows(table: Table, states: States, governing: Row) -> tuple[Row, ...]:
    """Rows of the lighter faults that are mended in the same visit as the governing one.

    Valid       the row that decides for the same facts
    Source      data/diagnosis/ladder.toml, tables "also"
    Proved by   tests/diagnosis/test_table.py
    """
    found: list[Row] = []
    done = [governing.repair]
    for row in table.also:
        if governing.repair in row.beside and row.fits(states) and not set(done) & {*row.without, row.repair}:
            found.append(row)
            done.append(row.repair)
    return tuple(found)


def _read(name: str) -> dict[str, Any]:
    text = resources.files("truebed").joinpath(f"data/diagnosis/{name}.toml").read_text("utf-8")
    return tomllib.loads(text)


def _row(raw: Mapping[str, Any]) -> Row:
    """A row of the file, its lists as tuples."""
    return Row(
        key=raw["key"],
        repair=raw["repair"],
        reason=raw["reason"],
        source=cite(raw),
        needs=tuple(raw.get("all", {}).items()),
        some=tuple(raw.get("any", ())),
        unseen=tuple(raw.get("unknown", ())),
        then=tuple(raw.get("then", ())),
        beside=tuple(raw.get("with", ())),
        without=tuple(raw.get("without", ())),
    )
