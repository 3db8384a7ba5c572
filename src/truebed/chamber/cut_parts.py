"""What a cut-out is made of: its sides, corners, depth and what stands beside it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from truebed.chamber.plane import Point, Ring

CutForm = Literal["square", "round"]
CornerWay = Literal["run on", "core", "stop short"]
SideKind = Literal["sawn", "kerb", "shared"]


@dataclass(frozen=True, slots=True)
class KeepOff:
    """Ground that the saw keeps out of: a convex outline, its clearance included, in the cover's local axes."""

    what: str
    ring: Ring


@dataclass(frozen=True, slots=True)
class Neighbour:
    """Another cover close by, in this cover's local axes.

    cut       its own cut-out, made without neighbours; () where its frame stays as it is tonight
    keep_off  what its own cut keeps off, its kerb included
    """

    name: str
    flange: Ring
    cut: Ring = ()
    keep_off: tuple[KeepOff, ...] = ()


@dataclass(frozen=True, slots=True)
class CutSide:
    """One side of a cut: sawn, along a kerb (not sawn), or shared with a neighbour's cut (not sawn)."""

    start: Point
    end: Point
    kind: SideKind

    @property
    def length_mm(self) -> float:
        """Its length."""
        return math.dist(self.start, self.end)


@dataclass(frozen=True, slots=True)
class OverCut:
    """A run of the blade past a corner at the surface. enters: what it would run into; () for sound road only."""

    start: Point
    end: Point
    length_mm: float
    enters: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Core:
    """A hole cored at a corner, as deep as the saw cut. enters: what it would run into; () for sound road only."""

    x_mm: float
    y_mm: float
    diameter_mm: float
    enters: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CornerWork:
    """What the chosen rule does at the corners; what it does not do is () or nought.

    way          'run on', 'core', 'stop short', or 'none' for a round cut
    depth_mm     depth sawn there
    over_cuts    every run past a corner, its place and length
    cores        holes to be drilled before the saw
    left_depth_mm, left_length_mm, left_area_mm2  what the blade leaves at each end where it stops short: depth at the
                 corner, length along the side, face left unsawn
    left_count   ends at which that is left to break
    reached_mm   least of the greatest depths along the sides (one shorter than the blade's chord is not sawn through)
    """

    way: Literal["run on", "core", "stop short", "none"]
    depth_mm: float
    over_cuts: tuple[OverCut, ...] = ()
    cores: tuple[Core, ...] = ()
    left_depth_mm: float = 0.0
    left_length_mm: float = 0.0
    left_area_mm2: float = 0.0
    left_count: int = 0
    reached_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class CutOption:
    """One way to make the cut, beside the others.

    why_not          '' where it can be done
    saw_length_m     along the cut's sides, without the over-cuts
    more_waste_l     against the square cut with the blade running on, over the whole dig (cores to the saw's depth)
    more_surround_l  the same of the surround, where its depth was given
    """

    form: CutForm
    way: Literal["run on", "core", "stop short", "none"]
    chosen: bool
    why_not: str
    area_mm2: float
    saw_length_m: float
    over_cut_m: float
    core_count: int
    core_mm: float
    left_depth_mm: float
    left_length_mm: float
    more_waste_l: float
    more_surround_l: float | None


@dataclass(frozen=True, slots=True)
class SawDepth:
    """How deep the saw goes and what it leaves.

    bound_mm    depth of the bound layers
    wanted_mm   depth to saw: the bound layers, but no deeper than the dig
    sawn_mm     what the blade reaches of it
    left_mm     depth left unsawn, to break
    below_mm    dig below the bound layers, dug and not sawn
    pass_count  passes of the blade along each side; None without a depth for one pass
    passes_m    metres of pass in all
    """

    bound_mm: float
    wanted_mm: float
    sawn_mm: float
    left_mm: float
    below_mm: float
    pass_count: int | None
    passes_m: float | None


@dataclass(frozen=True, slots=True)
class PulledBack:
    """A side of the cut drawn in for something in the way. side: front, left, back or right, in the cut's own axes."""

    what: str
    side: str
    from_mm: float
    to_mm: float


@dataclass(frozen=True, slots=True)
class Strip:
    """Road left between the cut and something beside it, narrower than the rule asks."""

    what: str
    width_mm: float


@dataclass(frozen=True, slots=True)
class CutShare:
    """What one cover owns of a joined cut-out."""

    cover: str
    ring: Ring
    area_mm2: float
    saw_length_m: float


@dataclass(frozen=True, slots=True)
class JoinedCut:
    """Cut-outs joined into one: its outline, metres sawn of the whole (told once), and who owns what.

    sharing  lines between owners: not sawn
    kerbs    two points of each kerb's face: not sawn
    """

    ring: Ring
    area_mm2: float
    saw_length_m: float
    shares: tuple[CutShare, ...]
    sharing: tuple[tuple[Point, Point], ...]
    kerbs: tuple[tuple[Point, Point], ...] = ()
