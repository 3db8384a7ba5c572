"""The section's outlines in plan, as rings about the frame's centre in local axes."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.chamber.cut_parts import (
    CornerWork,
    CutForm,
    CutOption,
    CutSide,
    JoinedCut,
    PulledBack,
    SawDepth,
    Strip,
)
from truebed.chamber.outline_shapes import OutlineShapes
from truebed.chamber.plane import Ring


@dataclass(frozen=True, slots=True)
class Outlines:
    """O opening, B body, F flange, W outer outline of the chamber's wall top, C the chamber's inner edge, E cut-out.

    Rings run anticlockwise, not closed. Circles are rings of many points with the circle's own area.
    shapes   the outlines' shapes where they are known: then volumes are those of true circles, not of rings
    """

    opening: Ring
    body: Ring
    flange: Ring
    wall: Ring
    chamber: Ring
    cut: Ring
    shapes: OutlineShapes | None = None


@dataclass(frozen=True, slots=True)
class CutOut:
    """The saw cut.

    ring          this cover's own: of a joined cut its share
    along/across  its extent in its own axes (turn_deg), as cut (a kerb may have stopped it)
    least_beside_mm  least width left between the flange and the cut's edge
    run_on_mm     the blade's over-run at the surface, per side
    depth_mm      saw depth: the bound layer; None where it is unknown
    dig_depth_mm  road surface at the frame's centre down to the cut-out's floor
    governed_by   what set the margin: 'sound margin' | 'least width of <sheet>'
    margins_mm    as cut, beyond the flange: front, left, back, right in the cut's own axes; a kerb and a snap left out
    sides         in order, anticlockwise; of a round cut none
    diameter_mm   of a round cut
    options       every way to make this cut side by side, the chosen one marked
    strips        road left that is narrower than the rule asks
    hand_work     where the saw cannot go, one sentence each
    """

    ring: Ring
    along_mm: float
    across_mm: float
    margin_mm: float
    governed_by: str
    saw_length_m: float
    depth_mm: float
    dig_depth_mm: float
    run_on_mm: float | None
    blade_mm: float | None
    clipped_by_kerb: bool
    least_beside_mm: float | None = None
    form: CutForm = "square"
    turn_deg: float = 0.0
    area_mm2: float | None = None
    diameter_mm: float | None = None
    margins_mm: tuple[float, ...] = ()
    sides: tuple[CutSide, ...] = ()
    corners: CornerWork | None = None
    options: tuple[CutOption, ...] = ()
    saw: SawDepth | None = None
    snapped_to_kerb: bool = False
    pulled_back: tuple[PulledBack, ...] = ()
    strips: tuple[Strip, ...] = ()
    joined: JoinedCut | None = None
    hand_work: tuple[str, ...] = ()
