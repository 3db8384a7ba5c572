"""A schedule arranged for drawing: rows of covers, lanes of bars, and the waits between them."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.plan.result import ClosurePlan
from truebed.programme.problem import OPEN, Lag, Placed, Task


@dataclass(frozen=True, slots=True)
class Axis:
    """Minutes after the shutting to the sheet."""

    left_mm: float
    mm_per_min: float
    last_min: int

    def at(self, after_min: int) -> float:
        """The sheet's x for a minute."""
        return self.left_mm + after_min * self.mm_per_min


@dataclass(frozen=True, slots=True)
class Bar:
    """One step: its number, its times, 'noisy', 'mixing' or 'work', and its lane in the row."""

    number: int
    start_min: int
    end_min: int
    kind: str
    lane: int


@dataclass(frozen=True, slots=True)
class Wait:
    """A stretch in which nobody works at the cover: 'wait' between steps, 'cure' after the last."""

    name: str
    start_min: int
    end_min: int


@dataclass(frozen=True, slots=True)
class Row:
    """One cover's row."""

    cover: str
    lanes: int
    bars: tuple[Bar, ...]
    waits: tuple[Wait, ...]


def step_numbers(closure: ClosurePlan) -> tuple[tuple[int, str], ...]:
    """Numbers and names of the steps that the schedule uses, in the order the crew reads them.

    Valid       any closure
    Source      house (writing)
    Proved by   tests/drawings/test_timeline.py
    """
    return tuple((number, name) for number, _, name in _numbered(closure))


def number_of(closure: ClosurePlan, step: str) -> int:
    """The number of one step. Raises KeyError for a step that the schedule does not use.

    Valid       steps of the closure's schedule
    Source      house (writing)
    Proved by   tests/drawings/test_timeline.py
    """
    for number, key, _ in _numbered(closure):
        if key == step:
            return number
    raise KeyError(step)


def _numbered(closure: ClosurePlan) -> list[tuple[int, str, str]]:
    names: dict[str, dict[str, None]] = {}
    for text in closure.steps:  # two methods may word one step differently
        names.setdefault(text.step, {})[text.name] = None
    named = {step: " / ".join(words) for step, words in names.items()}
    for job in closure.problem.jobs:
        for task in job.tasks:
            named.setdefault(task.step, task.name)
    used = {p.step for p in closure.solution.schedule.placed}
    keys = [key for key in named if key in used]
    keys += sorted(used - set(named))
    return [(i + 1, key, named.get(key, key)) for i, key in enumerate(keys)]


def rows_of(closure: ClosurePlan) -> tuple[Row, ...]:
    """Rows of the covers done, in order of their first step.

    Valid       any solved closure
    Source      house (arrangement)
    Proved by   tests/drawings/test_timeline.py
    """
    schedule = closure.solution.schedule
    placed = {cover: schedule.of(cover) for cover in schedule.done}
    order = sorted(schedule.done, key=lambda c: (placed[c][0].start_min if placed[c] else 0, c))
    return tuple(_row(closure, cover, placed[cover]) for cover in order)


def _row(closure: ClosurePlan, cover: str, placed: tuple[Placed, ...]) -> Row:
    jobs = [job for job in closure.problem.jobs if job.cover == cover]
    tasks = {t.step: t for job in jobs for t in job.tasks}
    numbers = {key: number for number, key, _ in _numbered(closure)}
    ends: list[int] = []
    bars = []
    for p in placed:
        lane = next((i for i, end in enumerate(ends) if end <= p.start_min), len(ends))
        ends[lane : lane + 1] = [p.end_min]
        bars.append(Bar(numbers[p.step], p.start_min, p.end_min, kind_of(tasks.get(p.step)), lane))
    lags = tuple(lag for job in jobs for lag in job.lags)
    return Row(cover, max(len(ends), 1), tuple(bars), (*_gaps(placed), *_cures(placed, lags)))


def kind_of(task: Task | None) -> str:
    """'noisy', 'mixing' (a step that holds a mixer) or 'work'.

    Valid       any task
    Source      house (arrangement)
    Proved by   tests/drawings/test_timeline.py
    """
    if task is not None and task.noisy:
        return "noisy"
    return "mixing" if task is not None and "mixer" in task.tools else "work"


def _gaps(placed: tuple[Placed, ...]) -> list[Wait]:
    """Stretches between steps in which nothing of this cover runs."""
    gaps = []
    busy_until = placed[0].end_min if placed else 0
    for p in placed[1:]:
        if p.start_min > busy_until:
            gaps.append(Wait("wait", busy_until, p.start_min))
        busy_until = max(busy_until, p.end_min)
    return gaps


def _cures(placed: tuple[Placed, ...], lags: tuple[Lag, ...]) -> list[Wait]:
    """From the last step to the moment when the last clock has run out, where that is later."""
    at = {p.step: p for p in placed}
    ready = [
        (at[lag.from_step].end_min if lag.from_edge == "end" else at[lag.from_step].start_min) + lag.least_min
        for lag in lags
        if lag.to_step == OPEN and lag.least_min is not None and lag.from_step in at
    ]
    last = max((p.end_min for p in placed), default=0)
    latest = max(ready, default=last)
    return [Wait("cure", last, latest)] if latest > last else []
