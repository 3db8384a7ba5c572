"""What has happened in a night so far, and what is answered for its covers. Minutes after the road's shutting."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from truebed.programme.problem import Placed

#: finished, made safe or late are for covers begun; held: nothing brings it to an end with what is there; not begun:
#: chosen or dropped
Kind = Literal["finished", "made safe", "late", "held", "chosen", "dropped"]
STARTED_KINDS: tuple[Kind, ...] = ("finished", "made safe", "late", "held")


@dataclass(frozen=True, slots=True)
class Happened:
    """A step that was begun. end_min: when it ended, or where `running`, when it is now expected to end."""

    cover: str
    step: str
    start_min: int
    end_min: int
    running: bool = False


@dataclass(frozen=True, slots=True)
class NightState:
    """The night at a minute.

    lost        (kind, how many) tools that are broken for the rest of the night
    longer      (cover, step, minutes) by which a step not yet begun is now expected to take longer
    barred      (cover, step, from, to) half-open spans in which a step may not run: rain on what must stay dry
    """

    now_min: int
    happened: tuple[Happened, ...] = ()
    lost: tuple[tuple[str, int], ...] = ()
    longer: tuple[tuple[str, str, int], ...] = ()
    barred: tuple[tuple[str, str, int, int], ...] = ()

    def of(self, cover: str) -> dict[str, Happened]:
        """That cover's begun steps."""
        return {h.step: h for h in self.happened if h.cover == cover}


@dataclass(frozen=True, slots=True)
class Prices:
    """What the choice weighs, in minutes of an earlier opening; house, and only ever compared with each other."""

    held_weight: int = 1_000_000
    late_weight: int = 50_000
    late_minute_weight: int = 100
    safe_weight: int = 1_500
    cover_weight: int = 1_000
    overrun_minute_weight: int = 150


@dataclass(frozen=True, slots=True)
class Overrun:
    """A greatest wait that is passed, and by how much."""

    cover: str
    from_step: str
    to_step: str
    minutes: int
    why: str


@dataclass(frozen=True, slots=True)
class Answer:
    """One cover. at_min: when its place can carry traffic; None where held (not determined) or dropped.

    left_alone  made safe by leaving the old frame where it is: nothing was lifted
    needs       what is missing, where held
    """

    cover: str
    kind: Kind
    at_min: int | None
    left_alone: bool = False
    needs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Replanned:
    """The rest of the night.

    placed      steps still to begin; safe: the making safe of covers, step 'make safe'
    open_min    when traffic management is off and every cover that is not held is ready; the road stays shut, in whole
                or at that place, while one is held
    cost        what the choice cost at its prices; bound: what no choice can beat, None where none was sought
    retimed     covers whose steps stand at other times though the delay did not reach them
    """

    answers: tuple[Answer, ...]
    placed: tuple[Placed, ...]
    safe: tuple[Placed, ...]
    overruns: tuple[Overrun, ...]
    open_min: int
    cost: int
    bound: int | None = None
    retimed: tuple[str, ...] = ()
    guard_hit: bool = False

    def answer(self, cover: str) -> Answer:
        """That cover's."""
        return next(a for a in self.answers if a.cover == cover)
