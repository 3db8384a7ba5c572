"""The section's outlines in plan, as rings about the frame's centre in local axes."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.chamber.plane import Ring


@dataclass(frozen=True, slots=True)
class Outlines:
    """O opening, B body, F flange, W outer outline of the chamber's wall top, C the chamber's inner edge, E cut-out.

    Rings run anticlockwise, not closed. Circles are rings of many points with the circle's own area.
    """

    opening: Ring
    body: Ring
    flange: Ring
    wall: Ring
    chamber: Ring
    cut: Ring


@dataclass(frozen=True, slots=True)
class CutOut:
    """The saw cut.

    along/across  its extent in the frame's own axes, as cut (a kerb may have stopped it)
    least_beside_mm  least width left between the flange and the cut's edge
    run_on_mm     the blade's over-run at the surface, per side
    depth_mm      saw depth: the bound layer; None where it is unknown
    dig_depth_mm  road surface at the frame's centre down to the cut-out's floor
    governed_by   what set the margin: 'sound margin' | 'least width of <sheet>'
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
