"""One cover, grating or box as the survey sheet gives it. Local axes: docs/axes-and-signs.md."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["cover", "gully", "box"]
FrameShape = Literal["rectangle", "round", "D", "triangular pair"]
RoadPlace = Literal["carriageway", "kerbside", "footway"]
KerbSide = Literal["none", "left", "right"]
CutShape = Literal["square", "round"]
CornerRule = Literal["run on", "core", "stop short"]
CutTurn = Literal["frame", "traffic"]


@dataclass(frozen=True, slots=True)
class Plan2D:
    """An outline about the frame's centre.

    rectangle         along x across
    round             both sizes equal to its diameter
    D                 a straight back at -along/2, sides along the traffic, a half circle of diameter `across` in front
    triangular pair   outline of a rectangle; two three-point lids meet along its diagonal, back-right to front-left
    """

    shape: FrameShape
    along_mm: float
    across_mm: float


@dataclass(frozen=True, slots=True)
class Cover:
    """One row of covers.csv.

    along   size along the frame's own x; across: along its own y. `turn_deg` turns the frame (and its cut-out)
            anticlockwise from the traffic direction.
    opening clear opening; body: the frame's wall outside; flange: the frame's foot, outside
    chamber inner size of the chamber at its top; its wall outline is that plus the wall all round
    chamber_depth_mm  road surface at the frame's centre down to the sound chamber top; an estimate before the lift
    sound_margin_mm   from the flange's edge out to sound road, as tapped and probed by the surveyor; None where it is
                      to be found from soundings.csv
    severity_weight   how much doing this one matters against the others, 1 to 100, the user's own
    parts_count       rigid parts that the frame is made of, equal and in a row along its own x; 1 = one casting
    cut_shape, corner_rule, cut_turn   how the road is to be sawn: a square or a round cut; at the corners the blade
                      runs on, a core is drilled first, or it stops short and the corner is broken; turned with the
                      frame or square to the traffic
    bearing_deg       direction of the traffic (local +x), clockwise from the works' +y axis (grid north); with x_m and
                      y_m it places the neighbours
    """

    cover: str
    street: str
    kind: Kind
    opening: Plan2D
    body: Plan2D
    flange: Plan2D
    frame_depth_mm: float
    flange_thick_mm: float
    frame_mass_kg: float
    chamber: Plan2D
    wall_mm: float
    chamber_depth_mm: float
    load_class: str
    place: RoadPlace
    method: str
    sound_margin_mm: float | None
    bound_depth_mm: float
    severity_weight: int
    turn_deg: float = 0.0
    x_m: float | None = None
    y_m: float | None = None
    kerb_side: KerbSide = "none"
    kerb_mm: float | None = None
    lane_position: str = ""
    homes_within_50_m: int | None = None
    parts_count: int = 1
    cut_shape: CutShape = "square"
    corner_rule: CornerRule = "run on"
    cut_turn: CutTurn = "frame"
    bearing_deg: float | None = None
    remark: str = ""
    row: int = 0
