"""Volumes under a plane or twisted thickness over a region bounded by sides and arcs, by its boundary alone.

Turned so that the thickness has no x² - y² term it is u = a(y) + x b(y), a = h + q y, b = p + k y: linear along x. Then
the positive part has the antiderivative along x, from x = 0,

    U = [u > 0] (a x + b x² / 2) + ([u > 0] - [a > 0]) a² / (2 b)

and the volume is the sum of U dy over the boundary, inside to the left (Green). Cut where u and a change sign, the
first term is a polynomial on a side, a trigonometric one on an arc; the second depends on y alone and has a logarithm.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.polynomial_kernel import NOTHING, roots_within, square_over_mm2
from truebed.compiled import compiled

Array = NDArray[np.float64]

#: Places of the answer: volume, area, least and greatest thickness, then of the part where the thickness is positive
#: area and the integrals of x, y, xy and x² - y².
VOLUME, AREA, LEAST, MOST, WET, WET_X, WET_Y, WET_XY, WET_SADDLE = 0, 1, 2, 3, 4, 5, 6, 7, 8
PLACES = 9
TURN = 2.0 * math.pi
#: Stretches towards a root of b: what is left after them is a 3^40th of the first.
STRETCHES = 40
#: Where u and a differ in sign |a| <= |b x|: if x would lie further out than this, only rounding told them apart.
FURTHEST_MM = 1.0e7

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(12)
NODES = np.ascontiguousarray(_NODES)
WEIGHTS = np.ascontiguousarray(_WEIGHTS)


@compiled
def _at_mm(u: Array, x_mm: float, y_mm: float) -> float:
    return float(u[0] + u[2] * y_mm + x_mm * (u[1] + u[3] * y_mm))


@compiled
def _foot_mm(u: Array, y_mm: float) -> float:
    return float(u[0] + u[2] * y_mm)


@compiled
def _arc_quartic(piece: Array, u: Array, middle_ratio: float, terms: Array) -> None:
    """u on an arc times (1 + w²)², w the tangent of half the angle from `middle`."""
    p, q = piece[4] * math.cos(middle_ratio), piece[4] * math.sin(middle_ratio)
    x = (piece[2] + p, -2.0 * q, piece[2] - p)
    y = (piece[3] + q, 2.0 * p, piece[3] - q)
    d = (1.0, 0.0, 1.0)
    terms[:] = 0.0
    for i in range(3):
        for j in range(3):
            terms[i + j] += u[0] * d[i] * d[j] + u[1] * x[i] * d[j] + u[2] * y[i] * d[j] + u[3] * x[i] * y[j]


@compiled
def _arc_roots(piece: Array, u: Array, of_slope: bool, cuts: Array, count: int) -> int:
    """Angles on an arc where a twisted u (or its rate along the arc) changes sign: quarter by quarter."""
    quarters = math.ceil((piece[6] - piece[5]) / (0.25 * TURN) - 1e-9)
    width = (piece[6] - piece[5]) / quarters
    terms, slope, found = np.empty(5), np.empty(5), np.empty(4)
    reach = math.tan(0.25 * width)
    for k in range(quarters):
        middle = piece[5] + (k + 0.5) * width
        _arc_quartic(piece, u, middle, terms)
        if of_slope:
            slope[:] = 0.0
            for i in range(1, 5):
                slope[i - 1] += i * terms[i]
            for i in range(4):
                slope[i + 1] += (i - 4.0) * terms[i] if i + 1 < 5 else 0.0
            terms[:] = slope
        n = roots_within(terms, -reach, reach, found)
        for i in range(n):
            cuts[count] = middle + 2.0 * math.atan(found[i])
            count += 1
        cuts[count] = middle + 0.5 * width
        count += 1
    return count


@compiled
def _angles(piece: Array, cosine_ratio: float, toward_ratio: float, cuts: Array, count: int) -> int:
    """Angles of an arc where cos(angle - toward) has a value."""
    if abs(cosine_ratio) >= 1.0:
        return count
    half = math.acos(cosine_ratio)
    for sign in (-1.0, 1.0):
        angle = toward_ratio + sign * half
        angle += TURN * math.ceil((piece[5] - angle) / TURN)
        while angle < piece[6]:
            cuts[count] = angle
            count += 1
            angle += TURN
    return count


@compiled
def _see(u: Array, x_mm: float, y_mm: float, out: Array) -> None:
    height = _at_mm(u, x_mm, y_mm)
    out[LEAST] = min(out[LEAST], height)
    out[MOST] = max(out[MOST], height)


@compiled
def _extremes(piece: Array, u: Array, cuts: Array, out: Array) -> None:
    """Least and greatest thickness on a piece; there are none inside a region (u has no peak: u_xx + u_yy = 0)."""
    if piece[1] == 0.0:
        _see(u, piece[2], piece[3], out)
        _see(u, piece[4], piece[5], out)
        dx, dy = piece[4] - piece[2], piece[5] - piece[3]
        bend = u[3] * dx * dy
        if bend != 0.0:
            t = -(u[1] * dx + u[2] * dy + u[3] * (piece[2] * dy + piece[3] * dx)) / (2.0 * bend)
            if 0.0 < t < 1.0:
                _see(u, piece[2] + t * dx, piece[3] + t * dy, out)
        return
    cuts[0], cuts[1] = piece[5], piece[6]
    if u[3] == 0.0:
        toward = math.atan2(u[2], u[1]) + 0.25 * TURN
        count = _angles(piece, 0.0, toward, cuts, 2)
    else:
        count = _arc_roots(piece, u, True, cuts, 2)
    for i in range(count):
        _see(u, piece[2] + piece[4] * math.cos(cuts[i]), piece[3] + piece[4] * math.sin(cuts[i]), out)


@compiled
def _side_cuts(piece: Array, u: Array, cuts: Array) -> int:
    """Places 0 to 1 along a side where u or a changes sign, the ends with them, in order."""
    dx, dy = piece[4] - piece[2], piece[5] - piece[3]
    cuts[0], cuts[1], count = 0.0, 1.0, 2
    c0 = _at_mm(u, piece[2], piece[3])
    c1 = u[1] * dx + u[2] * dy + u[3] * (piece[2] * dy + piece[3] * dx)
    c2 = u[3] * dx * dy
    inner = c1 * c1 - 4.0 * c0 * c2
    if inner >= 0.0:
        top = -0.5 * (c1 + math.copysign(math.sqrt(inner), c1))
        for over, under in ((top, c2), (c0, top)):
            if under != 0.0 and 0.0 < over / under < 1.0:
                cuts[count] = over / under
                count += 1
    if u[2] * dy != 0.0:
        t = -_foot_mm(u, piece[3]) / (u[2] * dy)
        if 0.0 < t < 1.0:
            cuts[count] = t
            count += 1
    cuts[:count].sort()
    return count


@compiled
def _arc_cuts(piece: Array, u: Array, cuts: Array) -> int:
    cuts[0], cuts[1], count = piece[5], piece[6], 2
    radius = piece[4]
    if u[3] == 0.0:
        steep = math.hypot(u[1], u[2])
        if steep * radius != 0.0:
            level = -_at_mm(u, piece[2], piece[3]) / (steep * radius)
            count = _angles(piece, level, math.atan2(u[2], u[1]), cuts, count)
    else:
        gx, gy = u[1] + u[3] * piece[3], u[2] + u[3] * piece[2]
        most = math.hypot(gx, gy) * radius + 0.5 * abs(u[3]) * radius * radius
        if abs(_at_mm(u, piece[2], piece[3])) <= most:
            count = _arc_roots(piece, u, False, cuts, count)
    if u[2] * radius != 0.0:
        count = _angles(piece, -_foot_mm(u, piece[3]) / (u[2] * radius), 0.25 * TURN, cuts, count)
    cuts[:count].sort()
    return count


@compiled
def _side_wet(at: tuple[float, float, float, float], u: Array, out: Array) -> None:
    """The polynomial terms of one stretch of a side where u is positive: cubics, for which Simpson's rule is exact."""
    x0, y0, x1, y1 = at
    dy = y1 - y0
    for i in range(3):
        share = 0.5 * i
        weight = (4.0 if i == 1 else 1.0) * dy / 6.0
        x = x0 + share * (x1 - x0) if i < 2 else x1
        y = y0 + share * dy if i < 2 else y1
        out[VOLUME] += weight * x * (u[0] + u[2] * y + 0.5 * x * (u[1] + u[3] * y))
        out[WET] += weight * x
        out[WET_X] += weight * 0.5 * x * x
        out[WET_Y] += weight * x * y
        out[WET_XY] += weight * 0.5 * x * x * y
        out[WET_SADDLE] += weight * x * (x * x / 3.0 - y * y)


@compiled
def _arc_terms(angle_ratio: float) -> tuple[float, float, float, float, float, float, float, float, float]:
    """Antiderivatives of c, c², c³, c⁴, s c, s c², s c³, s² c, s² c²."""
    c, s = math.cos(angle_ratio), math.sin(angle_ratio)
    sc, four = s * c, math.sin(4.0 * angle_ratio) / 32.0
    c4 = 0.375 * angle_ratio + 0.5 * sc + four
    return (
        s, 0.5 * (angle_ratio + sc), s - s * s * s / 3.0, c4, 0.5 * s * s, -c * c * c / 3.0, -c * c * c * c / 4.0,
        s * s * s / 3.0, 0.125 * angle_ratio - four,
    )  # fmt: skip


@compiled
def _arc_wet(piece: Array, first_ratio: float, last_ratio: float, u: Array, out: Array) -> None:
    """The trigonometric terms of one stretch of an arc where u is positive."""
    f, g = _arc_terms(first_ratio), _arc_terms(last_ratio)
    c1, c2, c3, c4 = g[0] - f[0], g[1] - f[1], g[2] - f[2], g[3] - f[3]
    sc, sc2, sc3, s2c, s2c2 = g[4] - f[4], g[5] - f[5], g[6] - f[6], g[7] - f[7], g[8] - f[8]
    x, y, r = piece[2], piece[3], piece[4]
    a, b, k, q = _foot_mm(u, y), u[1] + u[3] * y, u[3], u[2]
    out[VOLUME] += r * (
        x * (a + 0.5 * b * x) * c1 + r * (a + b * x) * c2 + 0.5 * b * r * r * c3
        + r * x * (q + 0.5 * k * x) * sc + r * r * (q + k * x) * sc2 + 0.5 * k * r * r * r * sc3
    )  # fmt: skip
    wet = r * (x * c1 + r * c2)
    wet_x = 0.5 * r * (x * x * c1 + 2.0 * x * r * c2 + r * r * c3)
    out[WET] += wet
    out[WET_X] += wet_x
    out[WET_Y] += y * wet + r * r * (x * sc + r * sc2)
    out[WET_XY] += y * wet_x + 0.5 * r * r * (x * x * sc + 2.0 * x * r * sc2 + r * r * sc3)
    cubes = x * x * x * c1 + 3.0 * x * x * r * c2 + 3.0 * x * r * r * c3 + r * r * r * c4
    squares = y * y * (x * c1 + r * c2) + 2.0 * y * r * (x * sc + r * sc2) + r * r * (x * s2c + r * s2c2)
    out[WET_SADDLE] += r * (cubes / 3.0 - squares)


@compiled
def _foot_moments(u: Array, first_mm: float, last_mm: float, sign_ratio: float, out: Array) -> None:
    """The wet part's own moments where u and a differ in sign, by Gauss points where b no more than trebles."""
    middle, half = 0.5 * (first_mm + last_mm), 0.5 * (last_mm - first_mm)
    for i in range(NODES.size):
        y = middle + half * NODES[i]
        b = u[1] + u[3] * y
        if abs(b) < NOTHING:
            continue
        x = -_foot_mm(u, y) / b
        weight = -sign_ratio * half * WEIGHTS[i]
        out[WET] += weight * x
        out[WET_X] += weight * 0.5 * x * x
        out[WET_Y] += weight * x * y
        out[WET_XY] += weight * 0.5 * x * x * y
        out[WET_SADDLE] += weight * x * (x * x / 3.0 - y * y)


@compiled
def _foot_terms(u: Array, first_mm: float, last_mm: float, sign_ratio: float, out: Array) -> None:
    """The terms of y alone, where u and a differ in sign: by stretches that shrink towards the root of b."""
    b_first, b_last = abs(u[1] + u[3] * first_mm), abs(u[1] + u[3] * last_mm)
    a_most = max(abs(_foot_mm(u, first_mm)), abs(_foot_mm(u, last_mm)))
    if a_most > FURTHEST_MM * max(b_first, b_last):
        return
    out[VOLUME] += sign_ratio * square_over_mm2((u[0], u[2]), (u[1], u[3]), (first_mm, last_mm))
    near, far = (first_mm, last_mm) if b_first < b_last else (last_mm, first_mm)
    sign = sign_ratio if b_first < b_last else -sign_ratio
    b_near, b_far = min(b_first, b_last), max(b_first, b_last)
    for _ in range(STRETCHES):
        if b_far <= 3.0 * b_near:
            break
        # b is linear in y: a third of it lies a known share of the way from its root
        share = (2.0 / 3.0) * b_far / (b_far - b_near)
        third = far - share * (far - near)
        _foot_moments(u, third, far, sign, out)
        far, b_far = third, b_far / 3.0
    _foot_moments(u, near, far, sign, out)


@compiled
def _clipped_side(piece: Array, u: Array, cuts: Array, out: Array) -> None:
    dx, dy = piece[4] - piece[2], piece[5] - piece[3]
    count = _side_cuts(piece, u, cuts)
    for i in range(count - 1):
        first, last = cuts[i], cuts[i + 1]
        x0, y0 = piece[2] + first * dx, piece[3] + first * dy
        x1 = piece[2] + last * dx if last < 1.0 else piece[4]
        y1 = piece[3] + last * dy if last < 1.0 else piece[5]
        xm, ym = 0.5 * (x0 + x1), 0.5 * (y0 + y1)
        wet, foot = _at_mm(u, xm, ym) > 0.0, _foot_mm(u, ym) > 0.0
        if wet:
            _side_wet((x0, y0, x1, y1), u, out)
        if wet != foot:
            _foot_terms(u, y0, y1, 1.0 if wet else -1.0, out)


@compiled
def _clipped_arc(piece: Array, u: Array, cuts: Array, out: Array) -> None:
    count = _arc_cuts(piece, u, cuts)
    x, y, r = piece[2], piece[3], piece[4]
    for i in range(count - 1):
        first, last = cuts[i], cuts[i + 1]
        middle = 0.5 * (first + last)
        ym = y + r * math.sin(middle)
        wet, foot = _at_mm(u, x + r * math.cos(middle), ym) > 0.0, _foot_mm(u, ym) > 0.0
        if wet:
            _arc_wet(piece, first, last, u, out)
        if wet != foot:
            _foot_terms(u, y + r * math.sin(first), y + r * math.sin(last), 1.0 if wet else -1.0, out)


@compiled
def _turned(pieces: Array, middle: tuple[float, float], turn_ratio: float) -> Array:
    """The pieces about `middle`, turned clockwise by an angle."""
    turned = pieces.copy()
    c, s = math.cos(turn_ratio), math.sin(turn_ratio)
    for i in range(pieces.shape[0]):
        x, y = pieces[i, 2] - middle[0], pieces[i, 3] - middle[1]
        turned[i, 2], turned[i, 3] = c * x + s * y, c * y - s * x
        if pieces[i, 1] == 0.0:
            x, y = pieces[i, 4] - middle[0], pieces[i, 5] - middle[1]
            turned[i, 4], turned[i, 5] = c * x + s * y, c * y - s * x
        else:
            turned[i, 5] -= turn_ratio
            turned[i, 6] -= turn_ratio
    return turned


@compiled
def _middle(pieces: Array) -> tuple[float, float]:
    low_x, high_x, low_y, high_y = math.inf, -math.inf, math.inf, -math.inf
    for i in range(pieces.shape[0]):
        reach = pieces[i, 4] if pieces[i, 1] == 1.0 else 0.0
        low_x, high_x = min(low_x, pieces[i, 2] - reach), max(high_x, pieces[i, 2] + reach)
        low_y, high_y = min(low_y, pieces[i, 3] - reach), max(high_y, pieces[i, 3] + reach)
    return 0.5 * (low_x + high_x), 0.5 * (low_y + high_y)


@compiled
def _carried(out: Array, middle: tuple[float, float], turn_ratio: float) -> None:
    """The wet part's integrals, brought back from the turned axes about `middle`."""
    c, s = math.cos(turn_ratio), math.sin(turn_ratio)
    x, y, xy, saddle = out[WET_X], out[WET_Y], out[WET_XY], out[WET_SADDLE]
    out[WET_X], out[WET_Y] = c * x - s * y, s * x + c * y
    cc, ss = c * c - s * s, 2.0 * s * c
    out[WET_XY], out[WET_SADDLE] = 0.5 * ss * saddle + cc * xy, cc * saddle - 2.0 * ss * xy
    mx, my, wet = middle[0], middle[1], out[WET]
    out[WET_SADDLE] += 2.0 * (mx * out[WET_X] - my * out[WET_Y]) + (mx * mx - my * my) * wet
    out[WET_XY] += mx * out[WET_Y] + my * out[WET_X] + mx * my * wet
    out[WET_X] += mx * wet
    out[WET_Y] += my * wet


@compiled
def wet_integrals(pieces: Array, signs: Array, height: Array) -> Array:
    """What stands under a height over a region, nothing where it is negative: see the places of the answer above.

    height      h, gx, gy, kxy, ks of u = h + gx x + gy y + kxy x y + ks (x² - y²)
    signs       1 where a piece has the region on its left, -1 on its right
    Valid       pieces of truebed.chamber.outline_kernel that close
    Source      algebra (Green)
    Proved by   tests/chamber/test_integrals.py, tests/oracles/test_volumes_by_fractions.py,
                tests/oracles/test_volumes_to_fifty_digits.py
    """
    out = np.zeros(PLACES)
    out[LEAST], out[MOST] = math.inf, -math.inf
    if pieces.shape[0] == 0:
        return out
    mx, my = _middle(pieces)
    kxy, ks = height[3], height[4]
    turn = 0.5 * math.atan2(-2.0 * ks, kxy) if ks != 0.0 else 0.0
    gx = height[1] + kxy * my + 2.0 * ks * mx
    gy = height[2] + kxy * mx - 2.0 * ks * my
    c, s = math.cos(turn), math.sin(turn)
    u = np.empty(4)
    u[0] = height[0] + height[1] * mx + height[2] * my + kxy * mx * my + ks * (mx * mx - my * my)
    u[1], u[2] = c * gx + s * gy, c * gy - s * gx
    u[3] = kxy if ks == 0.0 else math.hypot(kxy, 2.0 * ks)
    moved = _turned(pieces, (mx, my), turn)
    cuts, one = np.empty(48), np.zeros(PLACES)
    for i in range(moved.shape[0]):
        _extremes(moved[i], u, cuts, out)
    for i in range(moved.shape[0]):
        piece, sign = moved[i], signs[i]
        whole = np.zeros(PLACES)
        if piece[1] == 0.0:
            _side_wet((piece[2], piece[3], piece[4], piece[5]), u, whole)
        else:
            _arc_wet(piece, piece[5], piece[6], u, whole)
        out[AREA] += sign * whole[WET]
        one[:] = whole
        if out[LEAST] < 0.0:
            one[:] = 0.0
            if out[MOST] > 0.0:
                if piece[1] == 0.0:
                    _clipped_side(piece, u, cuts, one)
                else:
                    _clipped_arc(piece, u, cuts, one)
        out[VOLUME] += sign * one[VOLUME]
        for k in range(WET, PLACES):
            out[k] += sign * one[k]
    _carried(out, (mx, my), turn)
    return out
