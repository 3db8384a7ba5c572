"""What decides a cut-out."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.chamber.cut_parts import CornerWay, CutForm, KeepOff, Neighbour
from truebed.chamber.flange_reach import reach_mm
from truebed.chamber.kerb import KERB, behind_kerb
from truebed.chamber.obstacles import Box
from truebed.chamber.plane import Ring
from truebed.chamber.shapes import outline_ring


@dataclass(frozen=True, slots=True)
class CutQuestion:
    """What decides a cut-out. kerb_side 'left' (+y), 'right' (-y) or 'none'; kerb_mm from the frame's centre.

    sound_margin_mm   the same to every side, unless margins_mm says otherwise
    margins_mm        front, left, back, right in the cut's own axes: the frame's, or the traffic's with 'traffic'
    cut_turn          'frame': turned with the frame; 'traffic': square to the traffic about the turned flange
    strip_least_mm    least width of road left beside a kerb or a neighbour's cut; nought: any
    keep_off          things in the way, in local axes (truebed.chamber.obstacles.keep_off)
    pass_depth_mm     depth that one pass of the blade takes; reach_mm: greatest depth of the saw, None: half the blade
    surround_depth_mm depth of the surround fill, for the litres that one way takes more than another
    """

    flange_along_mm: float
    flange_across_mm: float
    turn_deg: float
    sound_margin_mm: float
    least_width_mm: float
    least_width_of: str
    kerb_side: str
    kerb_mm: float | None
    saw_depth_mm: float
    dig_depth_mm: float
    blade_mm: float | None
    flange_shape: str = "rectangle"
    margins_mm: tuple[float, float, float, float] | None = None
    cut_form: CutForm = "square"
    corner_way: CornerWay = "run on"
    cut_turn: str = "frame"
    strip_least_mm: float = 0.0
    keep_off: tuple[KeepOff, ...] = ()
    neighbours: tuple[Neighbour, ...] = ()
    pass_depth_mm: float | None = None
    reach_mm: float | None = None
    surround_depth_mm: float | None = None
    name: str = "this cover"

    @property
    def cut_turn_deg(self) -> float:
        """How the cut itself is turned."""
        return self.turn_deg if self.cut_turn == "frame" else 0.0

    @property
    def margins_wanted_mm(self) -> tuple[float, float, float, float]:
        """Front, left, back, right: sound margin or the material's least width, whichever is more."""
        sound = self.margins_mm if self.margins_mm is not None else (self.sound_margin_mm,) * 4
        front, left, back, right = (max(m, self.least_width_mm) for m in sound)
        return front, left, back, right

    def flange_box(self) -> Box:
        """How far the flange reaches in the cut's own axes."""
        turn_deg = self.turn_deg - self.cut_turn_deg
        return Box(*(self._reach(turn_deg, *way) for way in ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))))

    def reach_toward_mm(self, toward_x_ratio: float, toward_y_ratio: float) -> float:
        """How far the flange reaches along a direction of the local axes."""
        return self._reach(self.turn_deg, toward_x_ratio, toward_y_ratio)

    def _reach(self, turn_deg: float, toward_x_ratio: float, toward_y_ratio: float) -> float:
        return reach_mm(
            self.flange_shape, self.flange_along_mm, self.flange_across_mm, turn_deg, toward_x_ratio, toward_y_ratio
        )

    def flange_ring(self) -> Ring:
        """The flange's outline in local axes."""
        return outline_ring(self.flange_shape, self.flange_along_mm, self.flange_across_mm, self.turn_deg)

    def kept_off(self) -> tuple[KeepOff, ...]:
        """Everything the cut stays out of: the kerb, obstacles (neighbours' too), frames that stay as they are."""
        standing = tuple(KeepOff(f"the frame of {n.name}", n.flange) for n in self.neighbours if not n.cut)
        theirs = tuple(k for n in self.neighbours for k in n.keep_off if k.what != KERB)
        if self.kerb_side == "none" or self.kerb_mm is None:
            return (*self.keep_off, *theirs, *standing)
        return (KeepOff(KERB, behind_kerb(self.kerb_side, self.kerb_mm)), *self.keep_off, *theirs, *standing)
