"""Invented closures for tests and benches: covers of fifteen steps with clocks, one crew, made from a seed.

The generator is our own (linear congruential), so that the same seed gives the same closure on every machine.
"""

from __future__ import annotations

from itertools import pairwise

from truebed.programme.problem import OPEN, Edge, Job, Lag, Problem, Task


class Draw:
    """Whole numbers from a seed (Lehmer's multiplier 48271 modulo 2^31 - 1, from memory)."""

    def __init__(self, seed: int) -> None:
        self._state = seed * 7919 % 2147483647 or 1

    def whole(self, least: int, greatest: int) -> int:
        """A whole number between the two, both included."""
        self._state = self._state * 48271 % 2147483647
        return least + self._state % (greatest - least + 1)


def closure(seed: int, covers: int, *, crew: int = 4, noise_ends_min: int = 210, window_min: int = 600) -> Problem:
    """A closure with that many covers, one saw, one breaker, one mixer, one lifter."""
    draw = Draw(seed)
    return Problem(
        closure=f"made from {seed}",
        window_min=window_min,
        tm_set_min=30,
        tm_clear_min=25,
        noise_ends_min=noise_ends_min,
        people=crew,
        skills=(("saw", 1), ("lift", 2), ("resin", 1)),
        tools=(("saw", 1), ("breaker", 1), ("lifter", 1), ("mixer", 1)),
        jobs=tuple(cover(f"C{k + 1:02d}", draw) for k in range(covers)),
    )


def cover(name: str, draw: Draw) -> Job:
    """One cover's job: the steps and clocks of a bed, two pours, a resin surface and a sealed joint."""
    pct = draw.whole(75, 130)

    def task(step: str, minutes: int, people: int, tools: str = "", skill: str = "", noisy: bool = False) -> Task:
        length = max(1, minutes * pct * draw.whole(90, 110) // 10000)
        return Task(name, step, step, length, people, tuple(tools.split()), skill, noisy)

    tasks = (
        task("saw", 13, 2, "saw", "saw", noisy=True),
        task("break-out", 20, 2, "breaker", noisy=True),
        task("lift", 9, 2, "lifter", "lift"),
        task("clean", 13, 2),
        task("mix-bed", 5, 1, "mixer"),
        task("set-frame", 9, 3, "lifter", "lift"),
        task("read-levels", 4, 1),
        task("former", 8, 1),
        task("mix-fill", 5, 1, "mixer"),
        task("pour-fill", 6, 2),
        task("strip", 7, 1),
        task("backfill", 8, 2, "mixer"),
        task("surface", 14, 2, "mixer", "resin"),
        task("seal", 11, 1),
        task("prove", 10, 2),
    )

    def least(a: str, b: str, minutes: int, why: str, to_edge: Edge = "start") -> Lag:
        return Lag(a, "end", b, to_edge, minutes, None, why)

    chain = [
        "saw",
        "break-out",
        "lift",
        "clean",
        "set-frame",
        "read-levels",
        "former",
        "pour-fill",
        "strip",
        "backfill",
        "surface",
        "seal",
        "prove",
    ]
    waits = {("pour-fill", "strip"): 30, ("backfill", "surface"): 60, ("surface", "seal"): 45}
    lags = [least(a, b, waits.get((a, b), 0), f"{a} before {b}") for a, b in pairwise(chain)]
    lags += [
        Lag("clean", "end", "set-frame", "start", None, 40, "wet edge"),
        least("mix-bed", "set-frame", 0, "no bed before it is mixed"),
        Lag("mix-bed", "start", "set-frame", "end", None, 30, "the bed's working life"),
        Lag("mix-bed", "start", "read-levels", "end", None, 45, "the bed's set"),
        least("set-frame", "pour-fill", 35, "the bed has set"),
        least("mix-fill", "pour-fill", 0, "no pour before it is mixed"),
        Lag("mix-fill", "start", "pour-fill", "end", None, 25, "the fill's working life"),
        least("set-frame", OPEN, 150, "the bed bears the wheel"),
        least("pour-fill", OPEN, 120, "the fill bears the wheel"),
        least("surface", OPEN, 60, "the surface takes traffic"),
        least("seal", OPEN, 30, "the seal is dry to touch"),
    ]
    return Job(name, draw.whole(1, 9), tasks, tuple(lags))
