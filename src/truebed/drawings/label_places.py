"""Where labels stand: of a few places tried in order, the one that covers least of what stands there already."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from truebed.drawings.svg import Point, words_width_mm

#: Room kept for a screen's wider letters.
SPARE_RATIO = 1.08


@dataclass(frozen=True, slots=True)
class Area:
    """An upright area of the sheet, y down."""

    left_mm: float
    top_mm: float
    right_mm: float
    foot_mm: float

    @property
    def middle_mm(self) -> float:
        """Its middle across the sheet."""
        return (self.left_mm + self.right_mm) / 2

    def covers_mm2(self, other: Area) -> float:
        """How much of the sheet both cover."""
        wide = min(self.right_mm, other.right_mm) - max(self.left_mm, other.left_mm)
        high = min(self.foot_mm, other.foot_mm) - max(self.top_mm, other.top_mm)
        return wide * high if wide > 0.0 and high > 0.0 else 0.0

    def grown_to(self, x_mm: float, y_mm: float) -> Area:
        """The least area that holds this one and a point."""
        return Area(min(self.left_mm, x_mm), min(self.top_mm, y_mm), max(self.right_mm, x_mm), max(self.foot_mm, y_mm))

    def within(self, sheet: Area) -> Area:
        """The same area pushed onto the sheet; one too large for it keeps its left and its top on it."""
        back_mm = min(0.0, sheet.right_mm - self.right_mm)
        right_mm = max(0.0, sheet.left_mm - (self.left_mm + back_mm)) + back_mm
        up_mm = min(0.0, sheet.foot_mm - self.foot_mm)
        down_mm = max(0.0, sheet.top_mm - (self.top_mm + up_mm)) + up_mm
        return Area(self.left_mm + right_mm, self.top_mm + down_mm, self.right_mm + right_mm, self.foot_mm + down_mm)


def about(at: Point, text: str, size_mm: float) -> Area:
    """The area of a label with its middle at a point; its baseline lies 0.3 of its size above the foot."""
    half_mm, high_mm = SPARE_RATIO * words_width_mm(text, size_mm) / 2, 0.62 * size_mm
    return Area(at[0] - half_mm, at[1] - high_mm, at[0] + half_mm, at[1] + high_mm)


def baseline(area: Area, size_mm: float) -> Point:
    """Where the words of a label stand in its area: the middle of their baseline."""
    return area.middle_mm, area.foot_mm - 0.27 * size_mm


def round_about(at: Point, text: str, size_mm: float, away_mm: float, outward: Point = (1.0, 0.0)) -> list[Area]:
    """Places beside a point, at four distances: those that lie most in the direction `outward` first."""
    half_mm, high_mm = SPARE_RATIO * words_width_mm(text, size_mm) / 2, 0.62 * size_mm
    steps = (-1.0, -0.5, 0.0, 0.5, 1.0)
    sides = [(x, y) for x in steps for y in steps if 1.0 in (abs(x), abs(y))]
    length = math.hypot(*outward)
    way = (outward[0] / length, outward[1] / length) if length > 0.0 else (1.0, 0.0)
    sides_in_order = sorted(sides, key=lambda s: (-round((s[0] * way[0] + s[1] * way[1]) / math.hypot(*s), 6), s))
    places = []
    for more_mm in (away_mm, 2.4 * away_mm, 4.5 * away_mm, 7.0 * away_mm):
        x, y = half_mm + more_mm, high_mm + more_mm
        places += [about((at[0] + right * x, at[1] + down * y), text, size_mm) for right, down in sides_in_order]
    return places


def least_covering(places: Sequence[Area], taken: Sequence[Area], sheet: Area) -> tuple[Area, float]:
    """The first of the places, pushed onto the sheet, that covers least of what is taken; with how much [mm2].

    Valid       one place or more
    Source      house (arrangement): greedy, in the given order, so the same each time
    Proved by   tests/drawings/test_label_places.py
    """
    tried = [place.within(sheet) for place in places]
    reach = Area(
        min(t.left_mm for t in tried),
        min(t.top_mm for t in tried),
        max(t.right_mm for t in tried),
        max(t.foot_mm for t in tried),
    )
    near = [other for other in taken if reach.covers_mm2(other) > 0.0]
    best, least_mm2 = tried[0], math.inf
    for place in tried:
        cost_mm2 = sum(place.covers_mm2(other) for other in near)
        if round(cost_mm2, 3) < round(least_mm2, 3):
            best, least_mm2 = place, cost_mm2
        if round(least_mm2, 3) == 0.0:
            break  # nothing covers less than nothing
    return best, least_mm2
