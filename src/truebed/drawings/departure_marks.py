"""The marks of the departure diagram: levels, the curve's error and excess, values at corners, the bed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from truebed.chamber.plane import Point
from truebed.drawings.label_places import Area, baseline, least_covering, round_about
from truebed.drawings.levels_text import signed_mm, tenth_mm, whole_or_tenth_mm
from truebed.drawings.rim_axis import RimAxis
from truebed.drawings.svg import LINE_MM, THIN_MM, circle, line, polygon, polyline, spread, words, words_width_mm
from truebed.levels.setting import BedPoint, FrameSetting, RimPoint

_SIZE_MM = 3.3
_GAP_MM = 4.0
#: With more beds than this the stems under their dots would run together.
STEMS_MOST = 40
#: Beds that lie this near to equally far out, as a share of the way to the rim, stand on one ring.
ONE_RING_SHARE = 0.05
#: Stretches of the rim over which a seat with an outer and an inner edge is drawn by its least and greatest bed.
STRETCHES_COUNT = 24
#: A rim point this near a named corner is that corner [mm].
SAME_MM = 1.0
#: Departures that read the same on paper.
SAME_VALUE_MM = 0.05


@dataclass(frozen=True, slots=True)
class Frame:
    """A graph's area on the sheet and what it holds: the way along the rim, the values."""

    left_mm: float
    top_mm: float
    right_mm: float
    foot_mm: float
    length_mm: float
    low_mm: float
    high_mm: float

    def at(self, along_mm: float, value_mm: float) -> Point:
        """The sheet's point for a place along the rim and a value."""
        across = (self.right_mm - self.left_mm) * along_mm / self.length_mm
        share = (value_mm - self.low_mm) / (self.high_mm - self.low_mm)
        return self.left_mm + across, self.foot_mm - share * (self.foot_mm - self.top_mm)

    def area(self) -> Area:
        """The graph's area, for labels."""
        return Area(self.left_mm, self.top_mm - 1.0, self.right_mm, self.foot_mm + 1.0)


def rim_points_mm(axis: RimAxis) -> list[Point]:
    """The departure's curve: (along the rim, rim minus road)."""
    return [(along, p.departure_mm) for along, p in zip(axis.along_mm, axis.points, strict=True)]


def level_lines(frame: Frame, lines: Sequence[tuple[float, str, float, str]], *, signed: bool) -> list[str]:
    """Lines right across with their names beyond the right end, names kept apart and tied to their lines."""
    in_order = sorted(lines, key=lambda of: -of[0])
    heights = [frame.at(0.0, value)[1] for value, _, _, _ in in_order]
    parts = []
    for (value, name, pen_mm, dash), y, name_y in zip(in_order, heights, spread(heights, _GAP_MM), strict=True):
        text = f"{name} {signed_mm(value) if signed else whole_or_tenth_mm(value)}" if name != "road" else name
        parts.append(line((frame.left_mm, y), (frame.right_mm, y), pen_mm, dash))
        parts.append(line((frame.right_mm, y), (frame.right_mm + 2.5, name_y), THIN_MM))
        parts.append(words((frame.right_mm + 3.2, name_y + 1.1), text, _SIZE_MM, "start"))
    return parts


def error_band(axis: RimAxis, error_mm: Sequence[float], frame: Frame) -> list[str]:
    """The band that holds the true departure, dotted."""
    errors = [error_mm[i] for i in axis.order]
    above = [frame.at(a, p.departure_mm + e) for a, p, e in zip(axis.along_mm, axis.points, errors, strict=True)]
    below = [frame.at(a, p.departure_mm - e) for a, p, e in zip(axis.along_mm, axis.points, errors, strict=True)]
    return [polygon([*above, *reversed(below)], THIN_MM, "dots", dash="0.6 0.6", name="error")]


def beyond_limit(curve: Sequence[Point], limit_mm: float, sign: float, frame: Frame) -> list[str]:
    """What of the curve lies beyond a limit, crossed; sign +1 for a limit not to be above, -1 not to be below."""
    over = [(along, sign * (value - limit_mm)) for along, value in curve]
    ring: list[Point] = []
    parts: list[str] = []
    for (a, over_a), (b, over_b) in pairwise([*over, (over[-1][0], -1.0)]):
        if over_a > 0.0:
            ring.append((a, over_a))
        if (over_a > 0.0) != (over_b > 0.0):
            ring.append((a + (b - a) * over_a / (over_a - over_b), 0.0))
        if ring and over_b <= 0.0:
            ends = [(ring[0][0], 0.0), *ring, (ring[-1][0], 0.0)]
            points = [frame.at(along, limit_mm + sign * by) for along, by in ends]
            parts.append(polygon(points, THIN_MM, "cross", name=f"beyond-{len(parts)}"))
            ring = []
    return parts


def corner_places_mm(setting: FrameSetting, axis: RimAxis) -> list[tuple[RimPoint, float]]:
    """Each named corner with its place along the rim, in that order."""
    found = []
    for corner in setting.corners:
        near = min(
            range(len(axis.points) - 1),
            key=lambda i: math.hypot(axis.points[i].x_mm - corner.x_mm, axis.points[i].y_mm - corner.y_mm),
        )
        point = axis.points[near]
        same = math.hypot(point.x_mm - corner.x_mm, point.y_mm - corner.y_mm) < SAME_MM
        found.append((corner, axis.along_mm[near] if same else axis.place_mm(corner.x_mm, corner.y_mm)))
    return sorted(found, key=lambda of: (of[1], of[0].name))


def corner_names(setting: FrameSetting, axis: RimAxis, rim: Frame, bed: Frame) -> list[str]:
    """A thin line at each corner through both graphs, its name between them."""
    places = corner_places_mm(setting, axis)
    wanted = [rim.at(along, 0.0)[0] for _, along in places]
    widest = max(words_width_mm(c.name, _SIZE_MM) for c, _ in places) + 1.0
    parts = []
    for (corner, _), x, name_x in zip(places, wanted, spread(wanted, widest), strict=True):
        half = words_width_mm(corner.name, _SIZE_MM) / 2
        held = min(max(name_x, half + 1.0), bed.right_mm + 20.0 - half)
        parts.append(line((x, rim.top_mm), (x, rim.foot_mm + 1.5), THIN_MM, "0.5 1"))
        parts.append(line((x, bed.top_mm - 1.5), (x, bed.foot_mm), THIN_MM, "0.5 1"))
        parts.append(words((held, (rim.foot_mm + bed.top_mm) / 2 + 1.1), corner.name, _SIZE_MM))
    return parts


def _on_curve(curve: Sequence[Point]) -> list[Area]:
    """A curve on the sheet as small areas that labels keep clear of."""
    out = []
    for a, b in pairwise(curve):
        count = max(1, math.ceil(math.dist(a, b) / 1.5))
        spots = [(a[0] + (b[0] - a[0]) * i / count, a[1] + (b[1] - a[1]) * i / count) for i in range(count + 1)]
        out += [Area(x - 0.5, y - 0.5, x + 0.5, y + 0.5) for x, y in spots]
    return out


def _marked(setting: FrameSetting, axis: RimAxis) -> list[tuple[float, float, bool]]:
    """(place, departure, whether it is the greatest) of what carries its value: corners, greatest, lowest, highest."""
    whole = list(zip(axis.along_mm[:-1], axis.points, strict=False))
    told = setting.greatest_departure_mm >= SAME_VALUE_MM
    worst = [along for along, p in whole if told and p.name == setting.greatest_at]
    ends = [pick(whole, key=lambda of: of[1].departure_mm) for pick in (min, max)]
    found = {round(along, 3): (along, corner.departure_mm) for corner, along in corner_places_mm(setting, axis)}
    for along, point in (*((a, p) for a, p in whole if a in worst), *ends):
        same = [a for a, value in found.values() if abs(value - point.departure_mm) < SAME_VALUE_MM]
        if not same or along in worst:
            found.setdefault(round(along, 3), (along, point.departure_mm))
    return [(along, value, any(abs(along - w) < SAME_MM for w in worst)) for along, value in found.values()]


def rim_marks(setting: FrameSetting, axis: RimAxis, frame: Frame) -> list[str]:
    """The departure's value at each corner and at its greatest, which is ringed; labels keep off curve and lines."""
    taken = _on_curve([frame.at(along, value) for along, value in rim_points_mm(axis)])
    verdict = setting.rim_verdict
    for value in (0.0, verdict.band_low_mm, verdict.band_high_mm):
        y = frame.at(0.0, value)[1]
        taken.append(Area(frame.left_mm, y - 0.4, frame.right_mm, y + 0.4))
    marked = _marked(setting, axis)
    parts = []
    for along, value, worst in sorted(marked, key=lambda of: (not of[2], of[0])):
        at = frame.at(along, value)
        text = signed_mm(value)
        label, _ = least_covering(round_about(at, text, _SIZE_MM, 1.4, (0.0, -value)), taken, frame.area())
        taken.append(label)
        parts.append(words(baseline(label, _SIZE_MM), text, _SIZE_MM, bold=True))
        parts.append(circle(at, 1.7 if worst else 0.8, LINE_MM * 1.4, "none" if worst else "ink"))
    return parts


def bed_lines_mm(beds: Sequence[BedPoint], axis: RimAxis) -> list[list[Point]]:
    """Many beds as lines of (along the rim, bed): one where all stand on one ring, else the least and the greatest.

    Beds on an outer and an inner edge (and between) share directions, so a line through all would be a sawtooth.
    """
    whole = sorted((axis.place_mm(p.x_mm, p.y_mm), p.bed_mm) for p in beds)
    shares = [axis.reach_ratio(p.x_mm, p.y_mm) for p in beds]
    if max(shares) - min(shares) <= ONE_RING_SHARE:
        return [whole]
    stretches: dict[int, list[Point]] = {}
    for along, bed in whole:
        stretches.setdefault(min(int(along / axis.length_mm * STRETCHES_COUNT), STRETCHES_COUNT - 1), []).append(
            (along, bed)
        )
    return [[pick(points, key=lambda of: of[1]) for points in stretches.values()] for pick in (min, max)]


def two_bed_lines(setting: FrameSetting, axis: RimAxis) -> bool:
    """Whether the bed is drawn as a line of least and one of greatest."""
    return len(setting.bed) > STEMS_MOST and len(bed_lines_mm(setting.bed, axis)) == 2


def bed_marks(setting: FrameSetting, axis: RimAxis, frame: Frame) -> list[str]:
    """The bed at each point of the seat where the direction from the centre meets the rim; values at least and most."""
    beds = sorted(((axis.place_mm(p.x_mm, p.y_mm), p.bed_mm, p.name) for p in setting.bed), key=lambda of: of)
    places = [frame.at(along, bed) for along, bed, _ in beds]
    parts = []
    if len(beds) > STEMS_MOST:
        for of in bed_lines_mm(setting.bed, axis):
            drawn = [frame.at(along, bed) for along, bed in of]
            closing = [(frame.left_mm, drawn[0][1]), *drawn, (frame.right_mm, drawn[-1][1])]
            parts.append(polyline(closing, LINE_MM * 1.5))
    else:
        parts += [line((x, frame.foot_mm), (x, y), LINE_MM) + circle((x, y), 0.9, 0.0, "ink") for x, y in places]
    values = [bed for _, bed, _ in beds]
    marked = range(len(beds)) if len(beds) <= 8 else sorted({values.index(min(values)), values.index(max(values))})
    taken = (
        _on_curve(places) if len(beds) > STEMS_MOST else [Area(x - 0.9, y - 0.9, x + 0.9, y + 0.9) for x, y in places]
    )
    for limit in (setting.bed_limit_least_mm, setting.bed_limit_most_mm):
        y = frame.at(0.0, limit)[1]
        taken.append(Area(frame.left_mm, y - 0.4, frame.right_mm, y + 0.4))
    for i in marked:
        text = tenth_mm(values[i])
        parts.append(circle(places[i], 0.9, 0.0, "ink"))
        label, _ = least_covering(round_about(places[i], text, _SIZE_MM, 1.4), taken, frame.area())
        taken.append(label)
        parts.append(words(baseline(label, _SIZE_MM), text, _SIZE_MM, bold=values[i] in (min(values), max(values))))
    return parts
