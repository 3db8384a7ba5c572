"""How little is missing for one cover more: minutes of window, or degrees."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from truebed.programme.alone import long_enough
from truebed.programme.hands import are_named
from truebed.programme.list_schedule import list_schedules
from truebed.programme.model import build, hint
from truebed.programme.possible import sort_jobs
from truebed.programme.problem import Problem, Schedule
from truebed.programme.search import search
from truebed.programme.settle import settled

#: Deterministic limit of the search for the least window.
LIMIT_S = 4.0

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class OneMore:
    """The least window that a schedule of so many covers was found to take, and what no such schedule can go below.

    window_min, schedule   None where no such schedule was found, whatever the window
    bound_min              no window below it takes so many covers; None where no window does, for hours that do not
                           grow with it (noise, people, points)
    """

    covers: int
    window_min: int | None
    bound_min: int | None
    schedule: Schedule | None

    @property
    def proven(self) -> bool:
        """Whether the window is the least."""
        return self.window_min == self.bound_min


def least_window(problem: Problem, covers: int) -> OneMore:
    """The least window in which so many covers fit: 'twelve minutes short of a fourth cover' is its answer.

    Noise hours and all else stay as they are; only the road may open later.

    Valid       covers of at least 1
    Source      algebra
    Proved by   tests/programme/test_one_more.py
    """
    wide = replace(problem, window_min=long_enough(problem), jobs=tuple(replace(j, weight=1) for j in problem.jobs))
    known = min((s for s in list_schedules(wide) if len(s.done) >= covers), key=lambda s: s.open_min, default=None)
    if known is not None:
        wide = replace(wide, window_min=known.open_min)
    nets = sort_jobs(wide).nets
    if len(nets) < covers:
        return OneMore(covers, None, None, None)
    made = build(wide, nets)
    made.model.add(sum(made.done) >= covers)
    made.model.minimize(made.open)
    if known is not None:
        hint(made, known)
    # One worker where there may be no schedule at all: an empty answer is then certain to come out as one.
    found = search(wide, made, deterministic_limit_s=LIMIT_S, workers=1 if known is None else 4)
    if found.answer == "infeasible":
        return OneMore(covers, None, None, None)
    timed = settled(wide, nets, found, LIMIT_S) if are_named(problem) else found.schedule
    best = min((s for s in (known, timed) if s is not None), key=lambda s: s.open_min, default=None)
    bound = 0 if found.bound is None else found.bound
    return OneMore(covers, None if best is None else best.open_min, bound, best)


def short_of_words(problem: Problem, more: OneMore) -> str:
    """The sentence: how many minutes the closure is short of so many covers.

    Source      house
    Proved by   tests/programme/test_one_more.py
    """
    if more.window_min is None:
        return f"No longer closure was found that takes {more.covers} covers: it is not the deadline that forbids them."
    short = more.window_min - problem.window_min
    if short <= 0:
        return f"{more.covers} covers fit, with {-short} min to spare."
    least = "" if more.proven else f" (no fewer than {max(0, (more.bound_min or 0) - problem.window_min)} are proved)"
    return f"The closure is {short} min short of {more.covers} covers{least}."


def least_shift_c(
    problem_at: Callable[[float], Problem], low_c: float, high_c: float, step_c: float, covers: int = 1
) -> float | None:
    """The least shift of the night's temperature, in whole steps from low to high, at which so many covers fit.

    problem_at  the closure with every temperature shifted by so much: waits and forbidden hours are read anew
    None where they do not fit at the highest shift either

    Valid       warmer never forbids: what fits at a shift fits at every higher one (cures shorten as it warms; where a
                sheet also has an upper limit of temperature, ask below it)
    Source      algebra (halving)
    Proved by   tests/programme/test_one_more.py
    """
    steps = round((high_c - low_c) / step_c)

    def fits(place: int) -> bool:
        asked = problem_at(low_c + place * step_c)
        found = least_window(asked, covers)
        return found.window_min is not None and found.window_min <= asked.window_min

    if not fits(steps):
        return None
    below, above = -1, steps
    while above - below > 1:
        middle = (below + above) // 2
        if fits(middle):
            above = middle
        else:
            below = middle
    return low_c + above * step_c
