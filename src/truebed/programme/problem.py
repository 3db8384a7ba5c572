"""What is asked of a closure's programme: jobs of tasks and lags, people, tools, hours.

All times are whole minutes after the road shuts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Edge = Literal["start", "end"]
OPEN = "open"


@dataclass(frozen=True, slots=True)
class Task:
    """One step of one cover: whole minutes, people and tools it holds while it runs.

    points      vibration points of whoever holds its tool through the whole step, trigger time counted, not step time
    not_during  half-open spans of minutes that no part of it may fall in: rain, a temperature that its sheet forbids
    """

    cover: str
    step: str
    name: str
    minutes: int
    people: int
    tools: tuple[str, ...] = ()
    skill: str = ""
    noisy: bool = False
    points: float = 0.0
    not_during: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Lag:
    """Between two edges of steps of one cover; to_step OPEN stands for the road's opening (least only).

    least/greatest: whole minutes, least rounded up and greatest rounded down; late_min: the least at the late end of
    its clock's range, for telling how late the road could open (the programme itself does not use it)
    profile, greatest_profile   (minute of the from edge, minutes of the least / the greatest there), minutes growing;
                between two straight (a least rounded up, a greatest down), held before the first and after the last;
                () where least_min / greatest_min hold at every hour. Where given, least_min is the worst of them
    middle_min  the wait most probably takes so long, where least_min is planned from the late end of its clock's range;
                None: least_min is itself the middle, or a wait that does not vary where late_min is the same
    """

    from_step: str
    from_edge: Edge
    to_step: str
    to_edge: Edge
    least_min: int | None
    greatest_min: int | None
    why: str
    late_min: int | None = None
    profile: tuple[tuple[int, int], ...] = ()
    greatest_profile: tuple[tuple[int, int], ...] = ()
    middle_min: int | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """One cover that may be done: all of its tasks or none.

    stage       lane of a lane-by-lane closure in which it lies, counted from 0 in the order in which lanes are shut
    kits        (kind, how many) it takes from the closure's stock
    """

    cover: str
    weight: int
    tasks: tuple[Task, ...]
    lags: tuple[Lag, ...]
    stage: int = 0
    kits: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Problem:
    """One closure.

    window_min     from the road's shutting to the deadline
    tm_set_min     no task starts before it; tm_clear_min: traffic management comes off after the last task, before
                   the road opens
    noise_ends_min noisy tasks end by it (from the road's shutting; may exceed window_min)
    people         how many; skills: (skill, how many have it); tools: (kind, how many)
    crew_skills    the skills of each person in turn, where known: then two steps that want two skills which only one
                   person has are never put side by side; () leaves that to crew.assign_people
    walk_min       (cover, cover, minutes with tools) between two covers, both ways; a pair not named takes none
    most_points    vibration points that no person may pass in the closure; None: not limited
    breaks         (not before, not after, minutes): a rest of every person that begins between the two
    stage_min      minutes in which traffic management moves from one lane to the next
    teams          how many people each team has, in the crew's order (their sum is people); each cover is done by one
                   team from its first step to its last, tools are shared; (): the whole crew is one pool
    stock          (kind, how many kits there are); a kind not named is not limited
    """

    closure: str
    window_min: int
    tm_set_min: int
    tm_clear_min: int
    noise_ends_min: int
    people: int
    skills: tuple[tuple[str, int], ...]
    tools: tuple[tuple[str, int], ...]
    jobs: tuple[Job, ...]
    crew_skills: tuple[tuple[str, ...], ...] = ()
    walk_min: tuple[tuple[str, str, int], ...] = ()
    most_points: float | None = None
    breaks: tuple[tuple[int, int, int], ...] = ()
    stage_min: int = 0
    teams: tuple[int, ...] = ()
    stock: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Placed:
    """One task at its time. people: who is on it, by their places in the crew; () where only counts were planned."""

    cover: str
    step: str
    start_min: int
    end_min: int
    people: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Schedule:
    """Which covers are done, when each task runs, and when the road can open (TM off, every ready clock run out)."""

    done: tuple[str, ...]
    placed: tuple[Placed, ...]
    open_min: int

    def of(self, cover: str) -> tuple[Placed, ...]:
        """That cover's tasks in time order."""
        return tuple(sorted((p for p in self.placed if p.cover == cover), key=lambda p: (p.start_min, p.end_min)))


@dataclass(frozen=True, slots=True)
class Solution:
    """A schedule with its own quality: weight done and its bound, opening minute and its bound.

    weight_proven/open_proven say whether the solver closed the gap; never call it best otherwise.
    open_proven    of that weight, no earlier opening exists (with weight_proven False: of the weight that was found)
    guard_hit      the wall-clock guard ended a search: this schedule holds, but another run may find another one
    """

    schedule: Schedule
    weight: int
    weight_bound: int
    weight_proven: bool
    open_bound_min: int
    open_proven: bool
    guard_hit: bool = False


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A cover not done in this closure, and why, with the shortfall where there is one."""

    cover: str
    reason: str
    short_by_min: int | None
