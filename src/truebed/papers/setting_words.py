"""What the crew sets a frame with, as rows: level, staff reading, packer, bed, strings, joints, kerbs, what is sure."""

from __future__ import annotations

import math

from truebed.drawings.levels_text import whole_signed_mm
from truebed.levels.bed_forecast import BedForecast
from truebed.levels.packers import Stack
from truebed.levels.setting import RimPoint
from truebed.levels.string_offsets import HeldEnd, StringLine
from truebed.papers.writing import percent, signed_mm, span, tenth_mm
from truebed.plan.result import CoverDesign
from truebed.plan.site_aids import StandTargets

#: A packer nearer to its height than this needs no word.
EVEN_MM = 0.05
#: Readings named to be taken again first.
AGAIN_COUNT = 2
#: A pull smaller than this moves nothing that a staff can show.
FELT_RATIO = 0.01


def corner_rows(design: CoverDesign) -> list[dict[str, object]]:
    """Level to set, staff readings, packer, bed, road and departure at each set point.

    Valid       any design; staff in the order of `stand_heads`, packer '' where the plan has none
    Source      house (writing)
    Proved by   tests/papers/test_setting_words.py
    """
    stands = () if design.aids is None else design.aids.staff
    stacks = {} if design.aids is None else {s.place.name: s for s in design.aids.packers}
    yard = any(s.pieces_mm for s in stacks.values())
    return [
        {
            "name": corner.name,
            "rim": whole_signed_mm(corner.rim_mm),
            "staff": [_staff(stand, corner.name) for stand in stands],
            "packer": tenth_mm(stacks[corner.name].place.height_mm) if corner.name in stacks else "",
            "pieces": pieces_words(stacks[corner.name]) if yard and corner.name in stacks else "",
            "road": signed_mm(corner.road_mm),
            "departure": signed_mm(corner.departure_mm),
            "bed": tenth_mm(bed_at(design, corner)),
        }
        for corner in design.setting.corners
    ]


def bed_at(design: CoverDesign, corner: RimPoint) -> float:
    """The bed [mm] at a corner: the bed point of that name, else between the two planes there.

    Valid       any design
    Source      algebra
    Proved by   tests/papers/test_setting_words.py
    """
    named = [p.bed_mm for p in design.setting.bed if p.name == corner.name]
    if named:
        return named[0]
    return corner.rim_mm - design.frame_depth_mm - design.setting.chamber_top.at(corner.x_mm, corner.y_mm)


def _staff(stand: StandTargets, corner: str) -> str:
    return next((f"{t.staff_mm:.0f}" for t in stand.targets if t.name == corner), "")


def stand_heads(design: CoverDesign) -> list[str]:
    """A head for each stand's column: its name and what the staff on the bench mark must show there.

    Valid       any design; [] where levels were given
    Source      algebra (height of collimation: level and staff reading add up to it; the bench mark is the zero)
    Proved by   tests/papers/test_setting_words.py
    """
    stands = () if design.aids is None else design.aids.staff
    heads = []
    for stand in stands:
        name = f"staff {stand.set_up}" if stand.set_up else "staff"
        marks = [t.level_mm + t.staff_mm for t in stand.targets[:1]]
        heads.append(f"{name} (mark {marks[0]:.0f})" if marks else name)
    return heads


def pieces_words(stack: Stack) -> str:
    """The pieces of one stack, highest first, and what they lack or have too much.

    Valid       a yard with packers
    Source      house (writing)
    Proved by   tests/papers/test_setting_words.py
    """
    if not stack.pieces_mm:
        return "no pieces left"
    pieces = " + ".join(f"{p:g}" for p in stack.pieces_mm)
    if abs(stack.residual_mm) < EVEN_MM:
        return pieces
    return f"{pieces}, {tenth_mm(abs(stack.residual_mm))} {'short' if stack.residual_mm > 0 else 'too high'}"


def string_rows(design: CoverDesign) -> list[dict[str, object]]:
    """Each string: where both ends are held, the blocks' height, and how far down to the rim at each mark.

    Valid       any design; [] for a frame in parts
    Source      house (writing)
    Proved by   tests/papers/test_setting_words.py
    """
    lines = () if design.aids is None else design.aids.strings
    return [_string(line) for line in lines]


def _string(line: StringLine) -> dict[str, object]:
    beyond = [end for end in (line.first, line.second) if not end.within]
    return {
        "from": _end(line.first),
        "to": _end(line.second),
        "block": f"{line.block_mm:g}",
        "marks": [
            {"name": mark.name, "along": f"{mark.along_mm:.0f}", "down": tenth_mm(mark.down_mm)} for mark in line.marks
        ],
        "beyond": " and ".join(_end(e) for e in beyond),
    }


def _end(end: HeldEnd) -> str:
    return f"x {whole_signed_mm(end.x_mm)}, y {whole_signed_mm(end.y_mm)}"


def joint_words(design: CoverDesign) -> str:
    """The greatest step between two castings against its limit; '' for a frame of one casting.

    Valid       any design
    Source      house (writing)
    Proved by   tests/papers/test_setting_words.py
    """
    parts = design.parts
    if parts is None or not parts.steps:
        return ""
    worst = max(parts.steps, key=lambda s: abs(s.step_mm))
    return (
        f"Greatest step at a joint: {signed_mm(worst.step_mm)} mm from part {worst.part} to part {worst.part + 1}, "
        f"at x {whole_signed_mm(worst.x_mm)}, y {whole_signed_mm(worst.y_mm)}; "
        f"allowed {parts.step_most_mm:g} mm ({parts.step_source})"
    )


def kerb_words(design: CoverDesign) -> list[str]:
    """How high each kerb reading stands over the set rim and over the road.

    Valid       any design
    Source      house (writing)
    Proved by   tests/papers/test_setting_words.py
    """
    kerbs = () if design.aids is None else design.aids.kerbs
    return [
        f"Kerb at {k.point}: {k.over_rim_mm:.0f} mm over the set rim, {k.over_road_mm:.0f} mm over the road"
        for k in kerbs
    ]


def again_words(design: CoverDesign) -> str:
    """The readings that move the levels most, to be taken again first; '' where none is known.

    Valid       any design
    Source      house (writing)
    Proved by   tests/papers/test_setting_words.py
    """
    found = () if design.aids is None else design.aids.pulls
    first = [p for p in found if abs(p.most_ratio) >= FELT_RATIO][:AGAIN_COUNT]
    if not first:
        return ""
    names = " and ".join(p.point for p in first)
    moves = span(*sorted((10.0 * abs(first[-1].most_ratio), 10.0 * abs(first[0].most_ratio))))
    return f"{names}: 10 mm wrong there moves a corner by {moves} mm"


def forecast_words(design: CoverDesign) -> str:
    """The bed as far as it is known before break-out; '' once the chamber top is measured.

    Valid       any design
    Source      house (writing; room rounded down)
    Proved by   tests/papers/test_setting_words.py
    """
    forecast = None if design.aids is None else design.aids.forecast
    if forecast is None or not forecast.spans:
        return ""
    low = min(s.low_mm for s in forecast.spans)
    high = max(s.high_mm for s in forecast.spans)
    return (
        f"nine times in ten {low:.0f} to {high:.0f} mm with the frame at these levels. {_room(forecast)} "
        f"A place for the frame, set anew, is found with {percent(forecast.reset_probability)}."
    )


def _room(forecast: BedForecast) -> str:
    higher, lower = forecast.higher_most_mm, forecast.lower_most_mm
    if higher is None or lower is None:
        return "No even change of the chamber top helps."
    if higher < 0.0:
        return f"The chamber top must lie {math.ceil(-higher)} to {math.floor(lower)} mm lower than estimated."
    if lower < 0.0:
        return f"The chamber top must lie {math.ceil(-lower)} to {math.floor(higher)} mm higher than estimated."
    return f"The chamber top may lie {math.floor(higher)} mm higher or {math.floor(lower)} mm lower than estimated."
