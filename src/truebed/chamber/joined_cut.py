"""Cut-outs of covers closer than the rule's strip, joined into one and shared out."""

from __future__ import annotations

import math

from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points, unary_union

from truebed.chamber.convex import cleaned
from truebed.chamber.cut_parts import CutShare, JoinedCut, KeepOff, Neighbour
from truebed.chamber.kerb import KERB
from truebed.chamber.obstacles import Box
from truebed.chamber.plane import Point, Ring
from truebed.chamber.shapes import FAR_MM, polygon, ring_of, turned
from truebed.errors import NotDesignedError

#: Cuts whose turns differ by no more than this are laid out in the same axes [deg].
_SAME_TURN_DEG = 0.05


def joined_cut(own: Neighbour, others: tuple[Neighbour, ...], strip_least_mm: float) -> JoinedCut | None:
    """The cut-out of a cover and of all neighbours that no strip wide enough parts from it, as one; None with none.

    The strip between two cuts is taken out over the width that both have, at least as wide as the strip is asked to be.
    It is laid out in the axes of the cover that comes first by name; a cut turned otherwise is squared to them. Each
    cover owns what lies on its side of the line half-way between the flanges; the dividing line is not sawn.

    own         this cover: flange, cut, what it keeps off; a kerb is the ground behind it, called KERB
    Valid       convex cuts and flanges; all in one cover's axes
    Source      from memory (no narrow strip is left); house (who owns what); algebra
    Raises      NotDesignedError where frames overlap
    Proved by   tests/chamber/test_cut_joined.py
    """
    group = _group(own, others, strip_least_mm)
    if len(group) < 2:
        return None
    keep = tuple(k for member in group for k in member.keep_off)
    shape = _as_one(group, keep, strip_least_mm)
    if shape is None:
        return None
    sharing, parts = _shared_out(shape, group)
    ring = cleaned(ring_of(shape))
    edges = tuple(e for member in group for e in _kerb_edges(member))
    shares = tuple(_share(member, part, ring, edges) for member, part in zip(group, parts, strict=True))
    return JoinedCut(ring, float(shape.area), sawn_mm(ring, ring, edges) / 1000.0, shares, sharing, edges)


def sawn_mm(ring: Ring, whole: Ring, kerb_edges: tuple[tuple[Point, Point], ...]) -> float:
    """Length of a share's sides that are sawn: on the outline of the whole, and not along a kerb [mm].

    Valid       a share of the whole
    Source      algebra
    Proved by   tests/chamber/test_cut_joined.py
    """
    sides = zip(ring, (*ring[1:], ring[0]), strict=True)
    return sum(math.dist(a, b) for a, b in sides if on_outline(a, b, whole) and not on_lines(a, b, kerb_edges))


def on_outline(start: Point, end: Point, ring: Ring) -> bool:
    """Whether a side lies on a ring's outline.

    Valid       a side with a length
    Source      algebra
    Proved by   tests/chamber/test_cut_joined.py
    """
    middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
    sides = zip(ring, (*ring[1:], ring[0]), strict=True)
    return any(_off_mm(middle, a, b) < 1e-4 and _slope(start, end, a, b) for a, b in sides)


def on_lines(start: Point, end: Point, lines: tuple[tuple[Point, Point], ...]) -> bool:
    """Whether a side lies along one of several straight lines.

    Valid       lines of two points each
    Source      algebra
    Proved by   tests/chamber/test_cut_joined.py
    """
    return any(_from_line_mm(start, a, b) < 1e-4 and _from_line_mm(end, a, b) < 1e-4 for a, b in lines)


def _from_line_mm(p: Point, a: Point, b: Point) -> float:
    cross = (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
    return abs(cross) / math.dist(a, b)


def _off_mm(p: Point, a: Point, b: Point) -> float:
    ex, ey = b[0] - a[0], b[1] - a[1]
    share = min(1.0, max(0.0, ((p[0] - a[0]) * ex + (p[1] - a[1]) * ey) / (ex * ex + ey * ey)))
    return math.hypot(p[0] - a[0] - share * ex, p[1] - a[1] - share * ey)


def _slope(s: Point, e: Point, a: Point, b: Point) -> bool:
    ux, uy, vx, vy = e[0] - s[0], e[1] - s[1], b[0] - a[0], b[1] - a[1]
    return abs(ux * vy - uy * vx) <= 1e-5 * math.hypot(ux, uy) * math.hypot(vx, vy)


def _kerb_edges(member: Neighbour) -> tuple[tuple[Point, Point], ...]:
    """The kerb's face where a member brings one: the side of its keep-off ground that its cut may touch."""
    found = []
    for keep in member.keep_off:
        if keep.what == KERB:
            ring = keep.ring
            sides = tuple(zip(ring, (*ring[1:], ring[0]), strict=True))
            x = sum(p[0] for p in member.flange) / len(member.flange)
            y = sum(p[1] for p in member.flange) / len(member.flange)
            found.append(min(sides, key=lambda s: _off_mm((x, y), *s)))
    return tuple(found)


def _group(own: Neighbour, others: tuple[Neighbour, ...], strip_mm: float) -> tuple[Neighbour, ...]:
    group, waiting = [own], [o for o in others if o.cut]
    shapes = [polygon(own.cut)]
    grown = True
    while grown:
        grown = False
        for other in tuple(waiting):
            shape = polygon(other.cut)
            if min(shape.distance(s) for s in shapes) < max(strip_mm, 1e-6) - 1e-9:
                group.append(other)
                shapes.append(shape)
                waiting.remove(other)
                grown = True
    return tuple(sorted(group, key=lambda m: m.name))


def _turn_of_deg(ring: Ring) -> float:
    """The direction of a ring's longest side, within a quarter turn [deg]."""
    start, end = max(zip(ring, (*ring[1:], ring[0]), strict=True), key=lambda s: math.dist(*s))
    return math.remainder(math.degrees(math.atan2(end[1] - start[1], end[0] - start[0])), 90.0)


def _box(ring: Ring) -> Box:
    xs, ys = [p[0] for p in ring], [p[1] for p in ring]
    return Box(max(xs), max(ys), -min(xs), -min(ys))


def _as_one(group: tuple[Neighbour, ...], keep: tuple[KeepOff, ...], strip_mm: float) -> Polygon | None:
    turn_deg = _turn_of_deg(group[0].cut)
    ground = unary_union([polygon(k.ring) for k in keep]) if keep else None
    cuts = [_squared(turned(m.cut, -turn_deg), turn_deg, ground) for m in group]
    boxes = [_box(c) for c in cuts]
    pieces: list[BaseGeometry] = [polygon(c) for c in cuts]
    for i, one in enumerate(boxes):
        for j in range(i):
            if pieces[i].distance(pieces[j]) < max(strip_mm, 1e-6) - 1e-9:
                pieces.append(polygon(_bridge(one, boxes[j], strip_mm)))
    whole: BaseGeometry = polygon(turned(ring_of(_solid(unary_union(pieces))), turn_deg))
    if ground is not None:
        whole = whole.difference(ground)
    if not isinstance(whole, Polygon) or whole.interiors:
        return None
    return whole if all(whole.buffer(1e-3).covers(polygon(m.flange)) for m in group) else None


def _solid(shape: BaseGeometry) -> Polygon:
    """Joined pieces without the islands of road between them."""
    if not isinstance(shape, Polygon):
        raise NotDesignedError("The cut-outs do not join.", "Check x_m, y_m and bearing_deg of the covers beside it.")
    return Polygon(shape.exterior)


def _squared(cut: Ring, turn_deg: float, ground: BaseGeometry | None) -> Ring:
    """A cut squared to the axes it is laid out in, unless that would take what is to be kept off."""
    if math.fabs(_turn_of_deg(cut)) <= _SAME_TURN_DEG and len(cut) == 4:
        return cut
    square = _box(cut).ring()
    if ground is not None and polygon(turned(square, turn_deg)).intersection(ground).area > 1.0:
        return cut
    return square


def _bridge(one: Box, other: Box, strip_mm: float) -> Ring:
    """The strip between two rectangles over the width that both have.

    Where they face one another over less than a strip (corner to corner, say), as much more on every side as makes the
    neck a strip wide.
    """
    back, front = _between(-one.back_mm, one.front_mm, -other.back_mm, other.front_mm)
    right, left = _between(-one.right_mm, one.left_mm, -other.right_mm, other.left_mm)
    facing_mm = math.hypot(max(0.0, _common_mm(one, other, 0)), max(0.0, _common_mm(one, other, 1)))
    more_mm = 0.0 if facing_mm >= strip_mm else strip_mm / math.sqrt(2.0)
    return Box(front + more_mm, left + more_mm, more_mm - back, more_mm - right).ring()


def _common_mm(one: Box, other: Box, side: int) -> float:
    """How far two rectangles overlap along an axis (0 front and back, 1 left and right); negative: the gap."""
    low = max(-one.far_mm(side + 2), -other.far_mm(side + 2))
    return min(one.far_mm(side), other.far_mm(side)) - low


def _between(a0_mm: float, a1_mm: float, b0_mm: float, b1_mm: float) -> tuple[float, float]:
    """What two stretches have in common, or the gap between them: near and far end."""
    near, far = sorted((max(a0_mm, b0_mm), min(a1_mm, b1_mm)))
    return near, far


def _shared_out(
    shape: Polygon, group: tuple[Neighbour, ...]
) -> tuple[tuple[tuple[Point, Point], ...], tuple[Polygon, ...]]:
    """Each cover's part of the whole, and the lines between the parts."""
    parts: list[BaseGeometry] = [shape] * len(group)
    lines: list[tuple[Point, Point]] = []
    for i, one in enumerate(group):
        for j in range(i + 1, len(group)):
            start, end, here, there = _dividing(one, group[j])
            lines.append((start, end))
            parts[i], parts[j] = parts[i].intersection(here), parts[j].intersection(there)
    left = shape.difference(unary_union(parts).buffer(1e-6))
    if left.area > 1.0:  # three covers about a point: what belongs to none goes to the first that it makes whole
        first = next((i for i, p in enumerate(parts) if isinstance(p.union(left.buffer(2e-6)), Polygon)), 0)
        parts[first] = shape.difference(unary_union([p for i, p in enumerate(parts) if i != first]))
    kept = tuple(_largest(p) for p in parts)
    shown = tuple(seg for line in lines for seg in _inside(line, shape, kept))
    return shown, kept


def _inside(line: tuple[Point, Point], shape: Polygon, parts: tuple[Polygon, ...]) -> list[tuple[Point, Point]]:
    """The stretches of a dividing line that part two shares."""
    run = LineString(line).intersection(shape)
    found: list[tuple[Point, Point]] = []
    for piece in getattr(run, "geoms", (run,)):
        if isinstance(piece, LineString) and piece.length > 1e-3:
            middle = piece.interpolate(0.5, normalized=True)
            if sum(p.distance(middle) < 1e-6 for p in parts) > 1:
                a, b = piece.coords[0], piece.coords[-1]
                found.append(((float(a[0]), float(a[1])), (float(b[0]), float(b[1]))))
    return found


def _largest(shape: BaseGeometry) -> Polygon:
    parts = [g for g in getattr(shape, "geoms", (shape,)) if isinstance(g, Polygon)]
    return max(parts, key=lambda p: p.area)


def _dividing(one: Neighbour, other: Neighbour) -> tuple[Point, Point, Polygon, Polygon]:
    """The line half-way between two flanges, and the two sides of it as large polygons."""
    near, far = nearest_points(polygon(one.flange), polygon(other.flange))
    apart_mm = near.distance(far)
    if apart_mm < 1e-6:
        raise NotDesignedError(
            f"The flanges of {one.name} and {other.name} overlap.",
            "Check x_m, y_m and bearing_deg of both covers, and their flange sizes.",
        )
    nx, ny = (far.x - near.x) / apart_mm, (far.y - near.y) / apart_mm
    x, y = (near.x + far.x) / 2.0, (near.y + far.y) / 2.0
    start, end = (x - FAR_MM * ny, y + FAR_MM * nx), (x + FAR_MM * ny, y - FAR_MM * nx)
    here = Polygon((start, end, (end[0] - FAR_MM * nx, end[1] - FAR_MM * ny),
                    (start[0] - FAR_MM * nx, start[1] - FAR_MM * ny)))  # fmt: skip
    there = Polygon((start, end, (end[0] + FAR_MM * nx, end[1] + FAR_MM * ny),
                     (start[0] + FAR_MM * nx, start[1] + FAR_MM * ny)))  # fmt: skip
    return start, end, here, there


def _share(member: Neighbour, part: Polygon, whole: Ring, edges: tuple[tuple[Point, Point], ...]) -> CutShare:
    ring = cleaned(ring_of(part))
    return CutShare(member.name, ring, float(part.area), sawn_mm(ring, whole, edges) / 1000.0)
