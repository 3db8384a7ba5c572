"""What the survey found beside levels: things in the way of the saw, soundings, units in the yard."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

SoundingKind = Literal["tap", "crack", "probe"]
SoundingFound = Literal["sound", "hollow", "cracked", "loose"]


@dataclass(frozen=True, slots=True)
class Obstacle:
    """One row of obstacles.csv: something that the saw must keep away from, a rectangle in the cover's local axes.

    clear_mm   the clearance to keep beside it
    """

    cover: str
    what: str
    x_mm: float
    y_mm: float
    along_mm: float
    across_mm: float
    turn_deg: float = 0.0
    clear_mm: float = 0.0
    row: int = 0


@dataclass(frozen=True, slots=True)
class Sounding:
    """One row of soundings.csv: a tap, a probe of the edge, or a crack, in the cover's local axes.

    to_x_mm, to_y_mm   the other end of a crack; a tap or probe has none
    width_mm           of a crack
    """

    cover: str
    point: str
    kind: SoundingKind
    x_mm: float
    y_mm: float
    found: SoundingFound
    to_x_mm: float | None = None
    to_y_mm: float | None = None
    width_mm: float | None = None
    row: int = 0


@dataclass(frozen=True, slots=True)
class YardUnit:
    """One row of units.csv: raising units, courses or frames in stock that can make up a chamber's height.

    kind       'course' (brick course with its joint), 'ring' (raising ring), 'frame' (a frame of another depth),
               'packer' (a piece that holds the frame up while the bed sets)
    height_mm  what one adds; of a frame its depth
    work_min   work that one takes, the user's own; 0 where not given
    """

    unit: str
    kind: Literal["course", "ring", "frame", "packer"]
    height_mm: float
    count: int
    fits: str = ""
    work_min: float = 0.0
    row: int = 0
