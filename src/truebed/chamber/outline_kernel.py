"""Where outlines of straight sides and circular arcs cross, and which pieces of them lie inside which outlines.

A piece is a row: outline, kind (0 side, 1 arc), then x0, y0, x1, y1, 0 of a side or centre x, y, radius, first and last
angle of an arc. Outlines run with their inside to the left; arcs turn anticlockwise. Everything is cut at everything
else once; what any region is bounded by (seating, trench, ...) is then read off two bit masks per piece.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from truebed.compiled import compiled

Array = NDArray[np.float64]
Masks = NDArray[np.int64]

TURN = 2.0 * math.pi
#: Nearer than this two boundaries are the same [mm].
SAME_MM = 1.0e-8
#: An arc that reaches less than this over a line only touches it [mm].
TOUCH_MM = 1.0e-9
#: Where along a piece it is asked what it lies in: not a half, a third ..., where drawn corners like to lie.
ASKED_SHARE = 0.4837


@compiled
def _in_arc_share(arc: Array, angle_ratio: float) -> float:
    """The angle brought into the arc's own turn; below its first angle where it is not in the arc."""
    slack = SAME_MM / max(arc[4], 1.0)
    first, last = arc[5], arc[6]
    turned = angle_ratio + TURN * math.ceil((first - slack - angle_ratio) / TURN)
    if turned > last + slack:
        return float(first - 1.0)
    return float(min(max(turned, first), last))


@compiled
def _add(cuts: Array, count: int, at_ratio: float) -> int:
    if count < cuts.size:
        cuts[count] = at_ratio
        return count + 1
    return count


@compiled
def _side_side(p: Array, q: Array, cuts: Array, count: int) -> int:
    dx, dy, ex, ey = p[4] - p[2], p[5] - p[3], q[4] - q[2], q[5] - q[3]
    wx, wy = q[2] - p[2], q[3] - p[3]
    long_p, long_q = math.hypot(dx, dy), math.hypot(ex, ey)
    cross = dx * ey - dy * ex
    slack_p, slack_q = SAME_MM / long_p, SAME_MM / long_q
    if abs(cross) > 1e-12 * long_p * long_q:
        t, s = (wx * ey - wy * ex) / cross, (wx * dy - wy * dx) / cross
        if -slack_p <= t <= 1.0 + slack_p and -slack_q <= s <= 1.0 + slack_q:
            count = _add(cuts, count, min(max(t, 0.0), 1.0))
    elif abs(wx * dy - wy * dx) < SAME_MM * long_p:
        t0 = (wx * dx + wy * dy) / (long_p * long_p)
        t1 = t0 + (ex * dx + ey * dy) / (long_p * long_p)
        if 0.0 < t0 < 1.0:
            count = _add(cuts, count, t0)
        if 0.0 < t1 < 1.0:
            count = _add(cuts, count, t1)
    return count


@compiled
def _side_arc(side: Array, arc: Array, cuts: Array, count: int, of_arc: bool) -> int:
    dx, dy = side[4] - side[2], side[5] - side[3]
    long_sq = dx * dx + dy * dy
    fx, fy = arc[2] - side[2], arc[3] - side[3]
    foot = (fx * dx + fy * dy) / long_sq
    off = (fx * dy - fy * dx) / math.sqrt(long_sq)
    radius = arc[4]
    if radius - abs(off) <= TOUCH_MM:
        return count
    half = math.sqrt((radius - off) * (radius + off) / long_sq)
    slack = SAME_MM / math.sqrt(long_sq)
    for sign in (-1.0, 1.0):
        t = foot + sign * half
        if t < -slack or t > 1.0 + slack:
            continue
        angle = math.atan2(t * dy - fy, t * dx - fx)
        own = _in_arc_share(arc, angle)
        if own >= arc[5]:
            count = _add(cuts, count, own if of_arc else min(max(t, 0.0), 1.0))
    return count


@compiled
def _arc_arc(p: Array, q: Array, cuts: Array, count: int) -> int:
    dx, dy = q[2] - p[2], q[3] - p[3]
    apart = math.hypot(dx, dy)
    if apart < SAME_MM:
        if abs(p[4] - q[4]) < SAME_MM:
            for end in (q[5], q[6]):
                own = _in_arc_share(p, end)
                if own >= p[5]:
                    count = _add(cuts, count, own)
        return count
    if apart >= p[4] + q[4] - TOUCH_MM or apart <= abs(p[4] - q[4]) + TOUCH_MM:
        return count
    along = (p[4] * p[4] - q[4] * q[4] + apart * apart) / (2.0 * apart)
    half = math.acos(min(max(along / p[4], -1.0), 1.0))
    toward = math.atan2(dy, dx)
    for sign in (-1.0, 1.0):
        angle = toward + sign * half
        own = _in_arc_share(p, angle)
        x, y = p[2] + p[4] * math.cos(angle), p[3] + p[4] * math.sin(angle)
        other = _in_arc_share(q, math.atan2(y - q[3], x - q[2]))
        if own >= p[5] and other >= q[5]:
            count = _add(cuts, count, own)
    return count


@compiled
def _cuts_of(p: Array, q: Array, cuts: Array, count: int) -> int:
    if p[1] == 0.0:
        return _side_side(p, q, cuts, count) if q[1] == 0.0 else _side_arc(p, q, cuts, count, False)
    return _side_arc(q, p, cuts, count, True) if q[1] == 0.0 else _arc_arc(p, q, cuts, count)


@compiled
def _boxes(pieces: Array) -> Array:
    boxes = np.empty((pieces.shape[0], 4))
    for i in range(pieces.shape[0]):
        a, b, c, d = pieces[i, 2], pieces[i, 3], pieces[i, 4], pieces[i, 5]
        if pieces[i, 1] == 0.0:
            boxes[i, 0], boxes[i, 1] = min(a, c) - SAME_MM, max(a, c) + SAME_MM
            boxes[i, 2], boxes[i, 3] = min(b, d) - SAME_MM, max(b, d) + SAME_MM
        else:
            boxes[i, 0], boxes[i, 1] = a - c - SAME_MM, a + c + SAME_MM
            boxes[i, 2], boxes[i, 3] = b - c - SAME_MM, b + c + SAME_MM
    return boxes


@compiled
def _end(piece: Array, last: bool) -> tuple[float, float]:
    if piece[1] == 0.0:
        return (piece[4], piece[5]) if last else (piece[2], piece[3])
    angle = piece[6] if last else piece[5]
    return piece[2] + piece[4] * math.cos(angle), piece[3] + piece[4] * math.sin(angle)


@compiled
def _inside(pieces: Array, start: int, stop: int, x_mm: float, y_mm: float) -> bool:
    """Even-odd: the polygon of chords, and each arc's own bulge over its chord."""
    within = False
    for i in range(start, stop):
        piece = pieces[i]
        whole = False
        if piece[1] == 1.0:
            in_disc = (x_mm - piece[2]) ** 2 + (y_mm - piece[3]) ** 2 < piece[4] * piece[4]
            whole = piece[6] - piece[5] > TURN - 1e-9
            if whole:
                within = within != in_disc
                continue
        x0, y0 = _end(piece, False)
        x1, y1 = _end(piece, True)
        if piece[1] == 1.0 and in_disc and (x1 - x0) * (y_mm - y0) - (y1 - y0) * (x_mm - x0) < 0.0:
            within = not within
        if (y0 > y_mm) != (y1 > y_mm) and x_mm < x0 + (y_mm - y0) * (x1 - x0) / (y1 - y0):
            within = not within
    return within


@compiled
def _along(pieces: Array, start: int, stop: int, where: tuple[float, float, float, float]) -> int:
    """Whether a point with a direction lies on an outline's boundary: 1 running the same way, -1 against it, 0 not."""
    x, y, tx, ty = where
    for i in range(start, stop):
        piece = pieces[i]
        if piece[1] == 0.0:
            dx, dy = piece[4] - piece[2], piece[5] - piece[3]
            long_sq = dx * dx + dy * dy
            t = ((x - piece[2]) * dx + (y - piece[3]) * dy) / long_sq
            off = abs((x - piece[2]) * dy - (y - piece[3]) * dx) / math.sqrt(long_sq)
            on = off < SAME_MM and 0.0 <= t <= 1.0
            same = dx * tx + dy * ty
        else:
            rx, ry = x - piece[2], y - piece[3]
            near = abs(math.hypot(rx, ry) - piece[4]) < SAME_MM
            on = near and _in_arc_share(piece, math.atan2(ry, rx)) >= piece[5]
            same = -ry * tx + rx * ty
        if on:
            return 1 if same > 0.0 else -1
    return 0


@compiled
def _asked(piece: Array) -> tuple[float, float, float, float]:
    """A point of a piece and the direction there."""
    if piece[1] == 0.0:
        dx, dy = piece[4] - piece[2], piece[5] - piece[3]
        return piece[2] + ASKED_SHARE * dx, piece[3] + ASKED_SHARE * dy, dx, dy
    angle = piece[5] + ASKED_SHARE * (piece[6] - piece[5])
    c, s = math.cos(angle), math.sin(angle)
    return piece[2] + piece[4] * c, piece[3] + piece[4] * s, -s, c


@compiled
def _masks(pieces: Array, starts: Masks, own: int, piece: Array) -> tuple[int, int]:
    """Which outlines hold what is left and right of a piece, as bits; (-1, -1): another outline's piece stands here."""
    where = _asked(piece)
    left, right = 1 << own, 0
    for j in range(starts.size - 1):
        if j == own:
            continue
        on = _along(pieces, starts[j], starts[j + 1], where)
        if on != 0 and j < own:
            return -1, -1
        if on == 1:
            left |= 1 << j
        elif on == -1:
            right |= 1 << j
        elif _inside(pieces, starts[j], starts[j + 1], where[0], where[1]):
            left |= 1 << j
            right |= 1 << j
    return left, right


@compiled
def _part(piece: Array, first_ratio: float, last_ratio: float, out: Array) -> None:
    out[:] = piece
    if piece[1] == 0.0:
        dx, dy = piece[4] - piece[2], piece[5] - piece[3]
        if first_ratio > 0.0:
            out[2], out[3] = piece[2] + first_ratio * dx, piece[3] + first_ratio * dy
        if last_ratio < 1.0:
            out[4], out[5] = piece[2] + last_ratio * dx, piece[3] + last_ratio * dy
    else:
        out[5], out[6] = first_ratio, last_ratio


@compiled
def arrangement(pieces: Array, starts: Masks) -> tuple[Array, Masks, Masks]:
    """All outlines cut at each other: the parts, and bit masks of the outlines that hold their left and right sides.

    Valid       outlines that do not cross themselves; where boundaries run together one part stands for all
    Source      algebra (plane arrangement of segments and arcs)
    Proved by   tests/chamber/test_curved.py
    """
    n = pieces.shape[0]
    boxes = _boxes(pieces)
    parts = np.empty((64 + 16 * n, 7))
    left, right = np.empty(64 + 16 * n, np.int64), np.empty(64 + 16 * n, np.int64)
    cuts = np.empty(8 * n + 16)
    made = 0
    for i in range(n):
        piece, own = pieces[i], int(pieces[i, 0])
        cuts[0], cuts[1] = (0.0, 1.0) if piece[1] == 0.0 else (piece[5], piece[6])
        count, size = 2, 1.0 if piece[1] == 1.0 else 0.0
        for j in range(n):
            if j >= starts[own] and j < starts[own + 1]:
                continue
            apart = boxes[i, 0] > boxes[j, 1] or boxes[j, 0] > boxes[i, 1]
            if not (apart or boxes[i, 2] > boxes[j, 3] or boxes[j, 2] > boxes[i, 3]):
                count = _cuts_of(piece, pieces[j], cuts, count)
        if count > 2:
            cuts[:count].sort()
        size = piece[4] if piece[1] == 1.0 else math.hypot(piece[4] - piece[2], piece[5] - piece[3])
        before, end = cuts[0], cuts[count - 1]
        for c in range(1, count):
            after = cuts[c]
            if (after - before) * size < SAME_MM or (c < count - 1 and (end - after) * size < SAME_MM):
                continue
            if made == left.size:
                return parts[:0], left[:0], right[:0]
            _part(piece, before, after, parts[made])
            before = after
            left[made], right[made] = _masks(pieces, starts, own, parts[made])
            made += left[made] >= 0
    return parts[:made], left[:made], right[:made]
