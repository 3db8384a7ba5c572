"""What to measure down from a string over the frame: held on the road beside the cut, marked over the set points."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from truebed.chamber.plane import Plane, Point, Ring
from truebed.chamber.shapes import polygon
from truebed.levels.reach import readings_reach
from truebed.levels.rims import marks_of, string_pairs
from truebed.levels.road_terms import road_level_mm
from truebed.levels.surface import RoadSurface

#: How far beyond the cut a string is held, how far it is to clear the iron, and the step of its blocks' height [mm].
HELD_BEYOND_MM, CLEAR_MM, BLOCK_STEP_MM = 100.0, 10.0, 25.0


@dataclass(frozen=True, slots=True)
class HeldEnd:
    """Where the string is held: on a block on the road. within: inside the reach of the road's readings."""

    x_mm: float
    y_mm: float
    road_mm: float
    within: bool


@dataclass(frozen=True, slots=True)
class StringMark:
    """A set point under the string: how far along from the first end, and how far down from string to rim."""

    name: str
    along_mm: float
    down_mm: float


@dataclass(frozen=True, slots=True)
class StringLine:
    """One string: both ends, the height of its blocks, the marks along it."""

    first: HeldEnd
    second: HeldEnd
    length_mm: float
    block_mm: float
    marks: tuple[StringMark, ...]

    def hold_words(self) -> str:
        """Where to hold the string, as the crew sees it."""
        ends = " and ".join(f"x {e.x_mm:+.0f}, y {e.y_mm:+.0f}" for e in (self.first, self.second))
        return f"{ends} from the frame's centre, on blocks of {self.block_mm:g} mm"


def _beyond(a: Point, b: Point, cut: Ring, clear_mm: float) -> Point:
    """The last point of the ray from a through b on the cut's edge, and clear_mm further."""
    from shapely.geometry import LineString
    from shapely.geometry import Point as Spot

    length = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    shape = polygon(cut)
    reach = math.dist((shape.bounds[0], shape.bounds[1]), (shape.bounds[2], shape.bounds[3])) + math.hypot(*b)
    inside = LineString([b, (b[0] + ux * reach, b[1] + uy * reach)]).intersection(shape)
    far_mm = 0.0 if inside.is_empty else float(inside.hausdorff_distance(Spot(b)))
    return b[0] + ux * (far_mm + clear_mm), b[1] + uy * (far_mm + clear_mm)


def string_line(
    road: RoadSurface, rim: Plane, marks: dict[str, Point], pair: tuple[str, str], cut: Ring, clear_mm: float,
    block_mm: float,
) -> StringLine:  # fmt: skip
    """One string over two named marks of the rim, held clear_mm beyond the cut on blocks of one height.

    The string is straight between its ends: block height above the road at each. down = string less rim.

    Valid       a tight string; blocks high enough to clear road and frame (all `down` above nought)
    Source      common practice, no source (string over blocks), algebra
    Proved by   tests/levels/test_string_offsets.py
    """
    from shapely.geometry import Point as Spot

    a, b = marks[pair[0]], marks[pair[1]]
    reach = readings_reach(road)
    within = polygon(reach).buffer(1e-6) if reach else None
    ends = []
    for x, y in (_beyond(b, a, cut, clear_mm), _beyond(a, b, cut, clear_mm)):
        covered = within is not None and bool(within.covers(Spot(x, y)))
        ends.append(HeldEnd(x, y, road_level_mm(road, x, y), covered))
    first, second = ends
    length = math.dist((first.x_mm, first.y_mm), (second.x_mm, second.y_mm))
    found = []
    for name in pair:
        x, y = marks[name]
        along = math.dist((first.x_mm, first.y_mm), (x, y))
        string = first.road_mm + block_mm + along / length * (second.road_mm - first.road_mm)
        found.append(StringMark(name, along, string - rim.at(x, y)))
    return StringLine(first, second, length, block_mm, tuple(found))


def string_lines(
    road: RoadSurface, rim: Plane, marks: dict[str, Point], pairs: tuple[tuple[str, str], ...], cut: Ring,
    clear_mm: float, block_mm: float,
) -> tuple[StringLine, ...]:  # fmt: skip
    """The strings of a frame, along and across, as truebed.levels.rims names its marks and pairs.

    Valid       as string_line
    Source      as string_line
    Proved by   tests/levels/test_string_offsets.py
    """
    return tuple(string_line(road, rim, marks, pair, cut, clear_mm, block_mm) for pair in pairs)


def strings_over(
    road: RoadSurface, rim: Plane, shape: str, along_mm: float, across_mm: float, turn_deg: float, cut: Ring
) -> tuple[StringLine, ...]:
    """The strings of a frame of any shape over its cut, on the least blocks that keep every string clear of the iron.

    Valid       as string_line
    Source      common practice, no source; distances house
    Proved by   tests/levels/test_string_offsets.py
    """
    marks, pairs = marks_of(shape, along_mm, across_mm, turn_deg), string_pairs(shape)
    bare = string_lines(road, rim, marks, pairs, cut, HELD_BEYOND_MM, 0.0)
    block = block_height_mm(bare, CLEAR_MM, BLOCK_STEP_MM)
    return string_lines(road, rim, marks, pairs, cut, HELD_BEYOND_MM, block)


def block_height_mm(lines: tuple[StringLine, ...], clear_mm: float, size_mm: float) -> float:
    """The least block, in whole sizes, with which every string clears frame and road by clear_mm.

    lines       as computed with some block height
    Valid       a road that is highest at a mark, an end, or a fold near one of them
    Source      algebra (a higher block lifts the string bodily)
    Proved by   tests/levels/test_string_offsets.py
    """
    lowest = min(m.down_mm - line.block_mm for line in lines for m in line.marks)
    return float(np.ceil(max(0.0, clear_mm - lowest) / size_mm - 1e-9) * size_mm)
