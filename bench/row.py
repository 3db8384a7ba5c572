"""One row of out/bench.json."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from time import perf_counter
from typing import Literal


@dataclass(frozen=True)
class Row:
    """A measured figure beside its peer.

    sense   'most' (ours <= goal is met) or 'least' (ours >= goal); judged on `ours`
            or, where the measure says so, on `ratio`
    peer, ratio  None where there is no peer
    """

    name: str
    ours: float
    peer: float | None
    ratio: float | None
    goal: float | None
    sense: Literal["most", "least"]
    met: bool | None
    unit: str
    n: int
    seed: int | None
    note: str

    def as_dict(self) -> dict[str, object]:
        return asdict(self)


def row(
    name: str,
    ours: float,
    unit: str,
    note: str,
    *,
    n: int,
    seed: int | None = None,
    peer: float | None = None,
    ratio: float | None = None,
    goal: float | None = None,
    sense: Literal["most", "least"] = "most",
    on_ratio: bool = False,
) -> Row:
    """A row with `met` worked out from goal and sense; None where there is no goal."""
    judged = ratio if on_ratio else ours
    met = None if goal is None or judged is None else (judged <= goal if sense == "most" else judged >= goal)
    verdict = None if met is None else bool(met)
    figures = [None if v is None else float(v) for v in (ours, peer, ratio)]
    return Row(name, float(ours), figures[1], figures[2], goal, sense, verdict, unit, n, seed, note)


def seconds(work: Callable[[], object], *, least_s: float = 0.5) -> tuple[float, int]:
    """Mean seconds of one call over at least `least_s` of calls, after one warm call; and how many calls."""
    work()
    count, begun = 0, perf_counter()
    while perf_counter() - begun < least_s:
        work()
        count += 1
    return (perf_counter() - begun) / count, count
