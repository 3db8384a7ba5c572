"""Second ways to a volume under max(0, u), far more exact than floats: rational arithmetic and 50-digit floats.

`by_fractions`: u linear over polygons; the polygon is cut along u = 0 in rational numbers and summed by triangles: no
rounding at all. `to_fifty_digits`: u = h + gx x + gy y + kxy xy + ks (x² - y²) over a convex polygon or a disc; closed
along x between the roots of a quadratic, then by the double exponential rule along y between every y where that form
changes. Neither uses boundary integrals, turned axes or logarithms, as truebed.chamber.integral_kernel does.
"""

from __future__ import annotations

from decimal import Decimal, getcontext
from fractions import Fraction
from itertools import pairwise

import numpy as np

getcontext().prec = 50

#: The double exponential rule's first step is one over this; it is halved until the answer stands still.
COARSEST, HALVINGS = 12, 5
#: How still: the last change over half the interval times the greatest slice seen.
STILL = Decimal("1e-18")


def fraction_plane(level, slope_x, slope_y):
    """A plane in rational numbers, floats taken as they are."""
    return Fraction(level), Fraction(slope_x), Fraction(slope_y)


def _over_triangles(ring, heights):
    """The integral of a linear height over a ring, by its fan of signed triangles."""
    total = Fraction(0)
    (x0, y0), z0 = ring[0], heights[0]
    for i in range(1, len(ring) - 1):
        (x1, y1), (x2, y2) = ring[i], ring[i + 1]
        area = ((x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)) / 2
        total += area * (z0 + heights[i] + heights[i + 1]) / 3
    return total


def by_fractions(rings, plane):
    """The volume under max(0, plane) over rings (outer ones anticlockwise, holes clockwise), as a fraction."""
    h, gx, gy = fraction_plane(*plane)
    total = Fraction(0)
    for ring in rings:
        points = [(Fraction(x), Fraction(y)) for x, y in ring]
        heights = [h + gx * x + gy * y for x, y in points]
        kept, levels = [], []
        for i, (p, u) in enumerate(zip(points, heights, strict=True)):
            q, v = points[(i + 1) % len(points)], heights[(i + 1) % len(points)]
            if u >= 0:
                kept.append(p)
                levels.append(u)
            if u * v < 0:
                share = u / (u - v)
                kept.append((p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])))
                levels.append(Fraction(0))
        if len(kept) > 2:
            total += _over_triangles(kept, levels)
    return total


def _rule(per_unit):
    """Nodes (distance from the nearer end, as a share of half the interval) and weights of the rule."""
    half_pi = Decimal("3.1415926535897932384626433832795028841971693993751") / 2
    rule = []
    step = 1 / Decimal(per_unit)
    for i in range(-7 * per_unit // 2, 7 * per_unit // 2 + 1):
        t = step * i
        grow, fall = t.exp(), (-t).exp()
        inner = half_pi * (grow - fall) / 2
        cosh = (inner.exp() + (-inner).exp()) / 2
        near = (-abs(inner)).exp() / cosh
        rule.append((i > 0, near, step * half_pi * (grow + fall) / 2 / cosh**2))
    return rule


RULES = tuple(_rule(COARSEST * 2**k) for k in range(HALVINGS))


def _integral(f, a, b):
    half, before = (b - a) / 2, None
    for rule in RULES:
        values = [(weight, f(b - half * near if upper else a + half * near)) for upper, near, weight in rule]
        after = half * sum(weight * value for weight, value in values)
        most = max(abs(value) for _, value in values)
        if before is not None and abs(after - before) <= STILL * half * most:
            return after
        before = after
    raise ArithmeticError("the rule does not settle")


def _quadratic_roots(a, b, c):
    """Real roots of a + b t + c t²."""
    if c == 0:
        return [] if b == 0 else [-a / b]
    inner = b * b - 4 * a * c
    if inner < 0:
        return []
    top = -(b + inner.sqrt().copy_sign(b)) / 2
    return [top / c] + ([a / top] if top != 0 else [])


def _slice(u, y, ends):
    """The integral of max(0, u) along x."""
    h, gx, gy, kxy, ks = u
    a, b, c = h + gy * y - ks * y * y, gx + kxy * y, ks
    left, right = ends
    marks = [left, *sorted(r for r in _quadratic_roots(a, b, c) if left < r < right), right]
    total = Decimal(0)
    for p, q in pairwise(marks):
        m = (p + q) / 2
        if a + m * (b + m * c) > 0:
            total += a * (q - p) + b * (q * q - p * p) / 2 + c * (q**3 - p**3) / 3
    return total


def _turning(u):
    """Places y where the two roots in x meet."""
    h, gx, gy, kxy, ks = u
    return _quadratic_roots(gx * gx - 4 * ks * h, 2 * gx * kxy - 4 * ks * gy, kxy * kxy + 4 * ks * ks)


def _total(u, marks, ends):
    total = Decimal(0)
    for a, b in pairwise(marks):
        if b > a:
            total += _integral(lambda y: _slice(u, y, ends(y)), a, b)
    return total


def over_polygon(ring, height):
    """The volume under max(0, u) over a convex polygon, to 17 digits and more."""
    u = tuple(Decimal(v) for v in height)
    h, gx, gy, kxy, ks = u
    points = [(Decimal(x), Decimal(y)) for x, y in ring]
    marks = {y for _, y in points} | set(_turning(u))
    edges = list(zip(points, points[1:] + points[:1], strict=True))
    for (x0, y0), (x1, y1) in edges:
        dx, dy = x1 - x0, y1 - y0
        a = h + gx * x0 + gy * y0 + kxy * x0 * y0 + ks * (x0 * x0 - y0 * y0)
        b = gx * dx + gy * dy + kxy * (x0 * dy + y0 * dx) + 2 * ks * (x0 * dx - y0 * dy)
        marks |= {y0 + t * dy for t in _quadratic_roots(a, b, kxy * dx * dy + ks * (dx * dx - dy * dy)) if 0 < t < 1}
    low, high = min(y for _, y in points), max(y for _, y in points)

    def ends(y):
        crossed = [x0 + (y - y0) / (y1 - y0) * (x1 - x0) for (x0, y0), (x1, y1) in edges
                   if y0 != y1 and min(y0, y1) <= y <= max(y0, y1)]  # fmt: skip
        return min(crossed), max(crossed)

    return _total(u, sorted(m for m in marks if low <= m <= high), ends)


def _polished(terms, root):
    """A root of a polynomial (constant first) from a float near it, by Newton's steps in 50 digits."""
    at = Decimal(float(root))
    for _ in range(12):
        value, slope = Decimal(0), Decimal(0)
        for c in reversed(terms):
            slope = slope * at + value
            value = value * at + c
        if slope == 0 or value == 0:
            break
        at -= value / slope
    return at


def _times(p, q):
    out = [Decimal(0)] * (len(p) + len(q) - 1)
    for i, a in enumerate(p):
        for j, b in enumerate(q):
            out[i + j] += a * b
    return out


def over_disc(x, y, radius, height):
    """The volume under max(0, u) over a disc, to 17 digits and more."""
    cx, cy, r = Decimal(x), Decimal(y), Decimal(radius)
    u = tuple(Decimal(v) for v in height)
    h, gx, gy, kxy, ks = u
    # the rim by the tangent of half the angle
    one = [Decimal(1), Decimal(0), Decimal(1)]
    px, py = [cx + r, Decimal(0), cx - r], [cy, 2 * r, cy]
    parts = ((h, one, one), (gx, px, one), (gy, py, one), (kxy, px, py), (ks, px, px), (-ks, py, py))
    terms = [sum(k * c for k, c in zip([p[0] for p in parts], column, strict=True))
             for column in zip(*(_times(p[1], p[2]) for p in parts), strict=True)]  # fmt: skip
    marks = {cy - r, cy + r} | {m for m in _turning(u) if cy - r < m < cy + r}
    found = np.roots([float(t) for t in reversed(terms)]) if any(terms) else []
    scale = max(abs(float(t)) for t in terms)
    for root in found:
        if abs(root.imag) < 1e-3 * max(1.0, abs(root)) and scale > 0:
            w = _polished(terms, root.real)
            marks.add(cy + 2 * r * w / (1 + w * w))

    def ends(at):
        half = max(r * r - (at - cy) ** 2, Decimal(0)).sqrt()
        return cx - half, cx + half

    return _total(u, sorted(m for m in marks if cy - r <= m <= cy + r), ends)
