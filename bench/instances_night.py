"""Invented winter and summer nights for the programme's bench: covers of ten steps, teams of three, made from a seed.

Published so that anybody can make the same closures: work minutes, waits at 20 degC and the wet edges are planning
assumptions, from memory; nothing here is a trade figure. The road is shut from 20:00 to 06:00, noisy work ends at
23:00, a team of three does one step at a time. The waits follow the temperature of their own hours: a step that cures
gains exp(-E/R (1/T - 1/T20)) minutes of curing in a minute (E = 41.5 kJ/mol, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

from bench.instances_programme import Draw
from truebed.programme.problem import OPEN, Job, Lag, Problem, Task

#: Step, minutes at size 1, tools, noisy, metres a second squared of what its holder holds
STEPS: tuple[tuple[str, int, str, bool, float], ...] = (
    ("saw", 20, "saw", True, 5.0),
    ("break-out", 25, "breaker", True, 12.0),
    ("lift", 10, "", False, 0.0),
    ("clean", 10, "", False, 0.0),
    ("bed", 17, "", False, 0.0),
    ("pour", 9, "mixer", False, 0.0),
    ("backfill", 8, "mixer", False, 0.0),
    ("resin", 12, "", False, 0.0),
    ("seal", 8, "", False, 0.0),
    ("clear", 5, "", False, 0.0),
)
#: Minutes of cure at 20 degC between two steps, and greatest waits (wet edges)
CURES = {("pour", "backfill"): 15, ("backfill", "resin"): 90, ("resin", "seal"): 50, ("seal", "clear"): 35}
WET = {("clean", "bed"): 30, ("bed", "pour"): 45, ("pour", "backfill"): 60}
#: Share of a step's time in which the tool runs.
TRIGGER_SHARE = 0.8
E_J_MOL, R_J_MOLK, T20_K = 41500.0, 8.314, 293.15
WINDOW_MIN, NOISE_ENDS_MIN, TM_SET_MIN, TM_CLEAR_MIN = 600, 180, 30, 25
#: Minutes between two points of a profile.
EVERY_MIN = 60

#: degC at a minute after the road shuts
Night = Callable[[float], float]


def even(temp_c: float) -> Night:
    """The same temperature all night."""
    return lambda _minute: temp_c


def falling(from_c: float, to_c: float) -> Night:
    """A night that falls evenly from the shutting to the deadline, and holds after it."""
    return lambda minute: from_c + (to_c - from_c) * min(1.0, max(0.0, minute / WINDOW_MIN))


def wait_from(night: Night, begun_min: int, cure20_min: float) -> int:
    """Whole minutes until that much cure at 20 degC is gained, summed minute by minute."""
    gained, minute = 0.0, begun_min
    while gained < cure20_min and minute < begun_min + 2000:
        temp_k = night(minute + 0.5) + 273.15
        gained += math.exp(-E_J_MOL / R_J_MOLK * (1.0 / temp_k - 1.0 / T20_K))
        minute += 1
    return minute - begun_min


def profile_of(night: Night, cure20_min: float) -> tuple[tuple[int, int], ...]:
    """The wait by the hour; one point where it is the same all night."""
    points = [(m, wait_from(night, m, cure20_min)) for m in range(0, WINDOW_MIN + 1, EVERY_MIN)]
    return () if len({wait for _minute, wait in points}) == 1 else tuple(points)


def cover(name: str, draw: Draw, night: Night, *, weights: bool, people: int, rain: tuple[int, int] | None) -> Job:
    """One cover of a drawn size; its weight from 1 to 9, or 1 where all weigh the same."""
    size = (75, 100, 130)[draw.whole(0, 2)]
    tasks: list[Task] = []
    for step, base, tools, noisy, shake in STEPS:
        minutes = max(1, round(base * size * draw.whole(90, 110) / 10000))
        points = round(2.0 * shake**2 * minutes / 60.0 * TRIGGER_SHARE, 1)
        wet = () if rain is None or step != "resin" else ((rain[0], rain[1] + 30),)
        tasks.append(Task(name, step, step, minutes, people, tuple(tools.split()), "", noisy, points, wet))
    lags: list[Lag] = []
    for (before, *_b), (then, *_t) in pairwise(STEPS):
        cure, wet_min = CURES.get((before, then), 0), WET.get((before, then))
        profile = profile_of(night, cure) if cure else ()
        least = max((wait for _m, wait in profile), default=wait_from(night, 0, cure) if cure else 0)
        widest = () if wet_min is None else tuple((m, max(wet_min, wait + 20)) for m, wait in profile)
        greatest = None if wet_min is None else max(wet_min, least + 20) if cure else wet_min
        if widest:
            greatest = min(wait for _m, wait in widest)
        lags.append(Lag(before, "end", then, "start", least, greatest, f"{before} before {then}", profile=profile,
                        greatest_profile=widest if len({w for _m, w in widest}) > 1 else ()))  # fmt: skip
    lags.append(Lag("clear", "end", OPEN, "start", 0, None, "cleared"))
    kits = (("bed", 1), ("fill", draw.whole(2, 4)))
    return Job(name, draw.whole(1, 9) if weights else 1, tuple(tasks), tuple(lags), kits=kits)


def night(
    seed: int,
    covers: int,
    temps: Night,
    *,
    teams: int = 1,
    weights: bool = False,
    points: float | None = 400.0,
    saws: int = 1,
    breakers: int = 1,
    stock: int | None = None,
    rain: tuple[int, int] | None = None,
    noise_ends_min: int = NOISE_ENDS_MIN,
    walk_m: int | None = None,
    people: int = 3,
) -> Problem:
    """A closure of that many covers. walk_m: covers stand along so many metres, 60 m a minute and a minute to load."""
    draw = Draw(seed)
    jobs = tuple(cover(f"C{k + 1:02d}", draw, temps, weights=weights, people=people, rain=rain) for k in range(covers))
    places = [draw.whole(0, walk_m) if walk_m is not None else 0 for _ in jobs]
    walks = tuple(
        (a.cover, b.cover, 1 + math.ceil(abs(x - y) / 60.0))
        for i, (a, x) in enumerate(zip(jobs, places, strict=True))
        for b, y in zip(jobs[i + 1 :], places[i + 1 :], strict=True)
    )
    return Problem(
        closure=f"night made from {seed}",
        window_min=WINDOW_MIN,
        tm_set_min=TM_SET_MIN,
        tm_clear_min=TM_CLEAR_MIN,
        noise_ends_min=noise_ends_min,
        people=people * teams,
        skills=(),
        tools=(("saw", saws), ("breaker", breakers), ("mixer", teams)),
        jobs=jobs,
        walk_min=walks if walk_m is not None else (),
        most_points=points,
        teams=(people,) * teams,
        stock=() if stock is None else (("fill", stock), ("bed", covers)),
    )
