"""How far out sound road begins on each side of the flange: computed from taps, probes and cracks, never a constant."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from truebed.chamber.flange_reach import around_radius_mm, reach_mm
from truebed.chamber.shapes import turned_point
from truebed.diagnosis.survey import on_flange
from truebed.given.cover import Cover
from truebed.given.survey import Sounding

SideName = Literal["front", "left", "back", "right"]
SIDES: tuple[SideName, ...] = ("front", "left", "back", "right")
#: The outward direction of each side in the cut's own axes.
OUTWARD = {"front": (1.0, 0.0), "left": (0.0, 1.0), "back": (-1.0, 0.0), "right": (0.0, -1.0)}
#: A side counts as facing the kerb within half a right angle of it.
FACING_RATIO = math.sqrt(0.5)

ASSUMED = (
    "Beyond the first sound sounding past the last unsound one the road is taken for sound, all along that side and "
    "further out (monotone); what lies between two soundings is not seen."
)


@dataclass(frozen=True, slots=True)
class NextTap:
    """Where to tap next, in the cover's local axes, and why."""

    side: SideName
    x_mm: float
    y_mm: float
    why: str


@dataclass(frozen=True, slots=True)
class SideMargin:
    """One side: from the flange's edge out to sound road.

    margin_mm   half way between the outermost unsound and the innermost sound sounding beyond it; at a kerb the whole
                strip up to it; None where no sound sounding lies beyond: not known
    from_mm     outermost unsound evidence, 0 (the flange's own edge) where there is none
    to_mm       innermost sound evidence beyond, None where there is none
    governed_by the sounding that sets from_mm, '' where none does; row: its row in soundings.csv, 0 likewise
    """

    side: SideName
    margin_mm: float | None
    from_mm: float
    to_mm: float | None
    governed_by: str
    row: int
    at_kerb: bool = False


@dataclass(frozen=True, slots=True)
class Margin:
    """The margins of one cover by side, in the order front, left, back, right.

    square_mm   one margin for all sides: the greatest; None as long as one side is not known
    round_mm    for a round cut, beyond the least circle about the flange: it holds every unsound sounding, and is not
                less than square_mm
    test_next   taps that would help most, first those of sides that are not known
    inside_out  soundings that break the monotone assumption: sound ones with an unsound one further out
    """

    cover: str
    sides: tuple[SideMargin, ...]
    square_mm: float | None
    round_mm: float | None
    test_next: tuple[NextTap, ...]
    inside_out: tuple[str, ...]
    assumed: str = ASSUMED

    def side(self, name: SideName) -> SideMargin:
        """The margin of one side."""
        return self.sides[SIDES.index(name)]


@dataclass(frozen=True, slots=True)
class _Axes:
    """The cut's own axes: how they are turned, and how far the flange reaches to each side."""

    turn_deg: float
    reach: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class _Heard:
    """A sounding in the cut's own axes: its distance out from each side of the flange (a crack: its furthest)."""

    sounding: Sounding
    out_mm: tuple[float, ...]
    at: tuple[float, float]
    radius_mm: float

    @property
    def is_sound(self) -> bool:
        """A crack is never evidence of sound road, whatever was written beside it."""
        return self.sounding.found == "sound" and self.sounding.kind != "crack"

    def nearest_side(self) -> int:
        """The side of the flange that the point lies beyond most."""
        return max(range(4), key=lambda i: self.out_mm[i])


def sound_margin(
    cover: Cover,
    soundings: tuple[Sounding, ...],
    tap_step_mm: float,
    gap_most_mm: float,
    axes_deg: float | None = None,
) -> Margin:
    """The sound margin of each side of the flange, with its interval and what to test next.

    An unsound point must lie inside the cut, so it counts for every side it is out from; a crack counts by its whole
    length. A sound point speaks for the side it lies beyond most. Taps on the flange tell of the bed and are left out.

    tap_step_mm, gap_most_mm  rule values tap_step_mm and margin_gap_most_mm
    axes_deg    how the cut will be turned; None: with the frame. Sides are those of the cut's own axes
    Valid       monotone (ASSUMED); the flange by the rectangle about it, in the cut's axes
    Source      algebra (half the interval); house (monotone)
    Proved by   tests/diagnosis/test_margin.py, tests/properties/test_sound_margin.py
    """
    axes = _axes(cover, cover.turn_deg if axes_deg is None else axes_deg)
    heard = tuple(_heard(axes, s) for s in soundings if s.cover == cover.cover and not _is_of_the_bed(cover, s))
    sides = tuple(_side(cover, axes, heard, index) for index in range(4))
    known = [one.margin_mm for one in sides if one.margin_mm is not None]
    square = max(known) if len(known) == len(SIDES) else None
    taps = _unknown_taps(axes, sides, heard, tap_step_mm) + _gap_taps(axes, sides, heard, gap_most_mm)
    inside_out = tuple(_inside_out(one, sides) for one in heard if _inside_out(one, sides))
    return Margin(cover.cover, sides, square, _round_mm(cover, heard, square), taps, inside_out)


def _round_mm(cover: Cover, heard: tuple[_Heard, ...], square_mm: float | None) -> float | None:
    """The margin of a round cut: the square one, or further where an unsound sounding lies out at a corner."""
    if square_mm is None:
        return None
    least_mm = around_radius_mm(cover.flange.shape, cover.flange.along_mm, cover.flange.across_mm)
    return max([square_mm, *(one.radius_mm - least_mm for one in heard if not one.is_sound)])


def _is_of_the_bed(cover: Cover, one: Sounding) -> bool:
    """A sounding on the flange; a crack with one end beyond it is of the road."""
    ends = [(one.x_mm, one.y_mm)]
    if one.to_x_mm is not None and one.to_y_mm is not None:
        ends.append((one.to_x_mm, one.to_y_mm))
    return all(on_flange(cover, x, y) for x, y in ends)


def _axes(cover: Cover, turn_deg: float) -> _Axes:
    """The cut's axes with the flange's reach along each of them."""
    flange = cover.flange
    reach = (
        reach_mm(flange.shape, flange.along_mm, flange.across_mm, cover.turn_deg - turn_deg, *OUTWARD[s]) for s in SIDES
    )
    return _Axes(turn_deg, tuple(reach))


def _heard(axes: _Axes, one: Sounding) -> _Heard:
    """A sounding turned into the cut's own axes."""
    ends = [turned_point((one.x_mm, one.y_mm), -axes.turn_deg)]
    if one.to_x_mm is not None and one.to_y_mm is not None:
        ends.append(turned_point((one.to_x_mm, one.to_y_mm), -axes.turn_deg))
    out = tuple(
        round(max(OUTWARD[side][0] * x + OUTWARD[side][1] * y for x, y in ends) - axes.reach[i], 6)
        for i, side in enumerate(SIDES)
    )
    return _Heard(one, out, ends[0], max(math.hypot(x, y) for x, y in ends))


def _kerb_mm(cover: Cover, axes: _Axes, index: int) -> float | None:
    """Distance from the flange's side to the kerb, if that side faces it and no other does so more."""
    if cover.kerb_side == "none" or cover.kerb_mm is None:
        return None
    to_kerb = 1.0 if cover.kerb_side == "left" else -1.0
    facing = turned_point(OUTWARD[SIDES[index]], axes.turn_deg)[1] * to_kerb
    if facing <= FACING_RATIO:
        return None
    return (cover.kerb_mm - axes.reach[index] * facing) / facing


def _side(cover: Cover, axes: _Axes, heard: tuple[_Heard, ...], index: int) -> SideMargin:
    """One side: the outermost unsound evidence, the innermost sound beyond it, the margin half way."""
    unsound = [one for one in heard if not one.is_sound and one.out_mm[index] > 0.0]
    worst = max(unsound, key=lambda one: (one.out_mm[index], -one.sounding.row), default=None)
    start = 0.0 if worst is None else worst.out_mm[index]
    name = "" if worst is None else f"{worst.sounding.kind} {worst.sounding.point} ({worst.sounding.found})"
    row = 0 if worst is None else worst.sounding.row
    beyond = [o.out_mm[index] for o in heard if o.is_sound and o.nearest_side() == index and o.out_mm[index] > start]
    kerb = _kerb_mm(cover, axes, index)
    if beyond and (kerb is None or min(beyond) <= kerb):
        end = min(beyond)
        return SideMargin(SIDES[index], (start + end) / 2.0, start, end, name, row)
    if kerb is not None:
        return SideMargin(SIDES[index], max(kerb, start), start, None, name, row, at_kerb=True)
    return SideMargin(SIDES[index], None, start, None, name, row)


def _local(axes: _Axes, index: int, out_mm: float, beside_mm: float) -> tuple[float, float]:
    """A place so far out from a side, so far along it, in the cover's local axes."""
    ox, oy = OUTWARD[SIDES[index]]
    far = axes.reach[index] + out_mm
    own = (ox * far + abs(oy) * beside_mm, oy * far + abs(ox) * beside_mm)
    return turned_point(own, axes.turn_deg)


def _beside_mm(axes: _Axes, heard: tuple[_Heard, ...], index: int, row: int) -> float:
    """Where along a side the governing sounding lies, held within the side; 0 (its middle) where none governs."""
    half = axes.reach[(index + 1) % 4]
    for one in heard:
        if row and one.sounding.row == row:
            across = one.at[1] if OUTWARD[SIDES[index]][1] == 0.0 else one.at[0]
            return max(-half, min(half, across))
    return 0.0


def _unknown_taps(
    axes: _Axes, sides: tuple[SideMargin, ...], heard: tuple[_Heard, ...], tap_step_mm: float
) -> tuple[NextTap, ...]:
    """One tap beyond the last unsound sounding for each side that is not known."""
    found = []
    for index, one in enumerate(sides):
        if one.margin_mm is None:
            beside = _beside_mm(axes, heard, index, one.row)
            x, y = _local(axes, index, one.from_mm + tap_step_mm, beside)
            why = f"{one.governed_by} is the last one out" if one.governed_by else "nothing was sounded on this side"
            found.append(NextTap(one.side, x, y, f"{why}: sound road was not found"))
    return tuple(found)


def _gap_taps(
    axes: _Axes, sides: tuple[SideMargin, ...], heard: tuple[_Heard, ...], gap_most_mm: float
) -> tuple[NextTap, ...]:
    """One tap in the middle of each interval that is wider than the rule leaves untested, widest first."""
    wide = [
        (one.to_mm - one.from_mm, index, one)
        for index, one in enumerate(sides)
        if one.to_mm is not None and one.to_mm - one.from_mm > gap_most_mm
    ]
    found = []
    for gap, index, one in sorted(wide, key=lambda item: (-round(item[0], 6), item[1])):
        x, y = _local(axes, index, one.from_mm + gap / 2.0, _beside_mm(axes, heard, index, one.row))
        found.append(NextTap(one.side, x, y, f"{gap:.0f} mm between unsound and sound were not tested"))
    return tuple(found)


def _inside_out(one: _Heard, sides: tuple[SideMargin, ...]) -> str:
    """A sound sounding with an unsound one further out on its side, in words; '' for any other."""
    index = one.nearest_side()
    if not one.is_sound or not sides[index].governed_by or one.out_mm[index] >= sides[index].from_mm:
        return ""
    return (
        f"{one.sounding.kind} {one.sounding.point} (row {one.sounding.row}) rang sound {one.out_mm[index]:.0f} mm out, "
        f"but {sides[index].governed_by} lies {sides[index].from_mm:.0f} mm out on the {sides[index].side}"
    )
