"""A height over the cover's local axes that may be twisted, saddled, folded or made of triangles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from truebed.chamber.plane import Plane, Ring
from truebed.chamber.shapes import FAR_MM

#: How many times further out the outermost measured points are carried, about their middle.
CARRIED_RATIO = 12.0
#: A triangle with less area than this has no plane of its own [mm2].
SLIVER_MM2 = 1.0e-3


@dataclass(frozen=True, slots=True)
class Surface:
    """z = level + slope_x x + slope_y y + twist x y + saddle (x² - y²) + fold |y - fold_mm| (along) or |x - fold_mm|.

    fold_along   the fold's line runs along the traffic (at y = fold_mm), else across it (at x = fold_mm)
    """

    level_mm: float
    slope_x_ratio: float
    slope_y_ratio: float
    twist_per_mm: float = 0.0
    saddle_per_mm: float = 0.0
    fold_ratio: float = 0.0
    fold_mm: float = 0.0
    fold_along: bool = True

    def at(self, x_mm: float, y_mm: float) -> float:
        """Height at a point [mm]."""
        place = y_mm if self.fold_along else x_mm
        curved = self.twist_per_mm * x_mm * y_mm + self.saddle_per_mm * (x_mm * x_mm - y_mm * y_mm)
        folded = self.fold_ratio * abs(place - self.fold_mm)
        return self.level_mm + self.slope_x_ratio * x_mm + self.slope_y_ratio * y_mm + curved + folded


@dataclass(frozen=True, slots=True)
class Facet:
    """A piece of a surface: h, gx, gy, kxy, ks of h + gx x + gy y + kxy x y + ks (x² - y²) within all of some rings."""

    within: tuple[Ring, ...]
    height: tuple[float, float, float, float, float]


Facets = tuple[Facet, ...]


def plane_facets(plane: Plane) -> Facets:
    """A plane as one facet without bounds.

    Valid       any plane
    Source      algebra
    Proved by   tests/chamber/test_surface.py
    """
    return (Facet((), (plane.level_mm, plane.slope_x_ratio, plane.slope_y_ratio, 0.0, 0.0)),)


def _half_plane(along: bool, from_mm: float, to_mm: float) -> Ring:
    if along:
        return ((-FAR_MM, from_mm), (FAR_MM, from_mm), (FAR_MM, to_mm), (-FAR_MM, to_mm))
    return ((from_mm, -FAR_MM), (to_mm, -FAR_MM), (to_mm, FAR_MM), (from_mm, FAR_MM))


def surface_facets(surface: Surface) -> Facets:
    """A surface as facets: one, or two that meet at its fold.

    Valid       outlines within 100 m of the origin
    Source      algebra
    Proved by   tests/chamber/test_surface.py
    """
    level, sx, sy = surface.level_mm, surface.slope_x_ratio, surface.slope_y_ratio
    curved = (surface.twist_per_mm, surface.saddle_per_mm)
    if surface.fold_ratio == 0.0:
        return (Facet((), (level, sx, sy, *curved)),)
    facets = []
    for side, from_mm, to_mm in ((-1.0, -FAR_MM, surface.fold_mm), (1.0, surface.fold_mm, FAR_MM)):
        rise = side * surface.fold_ratio
        tilt = (sx, sy + rise) if surface.fold_along else (sx + rise, sy)
        height = (level - rise * surface.fold_mm, *tilt, *curved)
        facets.append(Facet((_half_plane(surface.fold_along, from_mm, to_mm),), height))
    return tuple(facets)


def triangle_facets(points: tuple[tuple[float, float, float], ...], beyond: Plane) -> Facets:
    """A surface through measured points, plane over triangles between them.

    Beyond the outermost points their departure from the plane `beyond` is carried outward unchanged, so the surface has
    no step there.

    Valid       three points or more, not in line, no two at one place
    Source      house; algebra (Delaunay's triangles)
    Raises      scipy.spatial.QhullError where all points lie in line
    Proved by   tests/chamber/test_surface.py
    """
    from scipy.spatial import ConvexHull, Delaunay

    table = np.array(points, dtype=np.float64)
    middle = table[:, :2].mean(axis=0)
    hull = ConvexHull(table[:, :2]).vertices
    off = table[:, 2] - (beyond.level_mm + beyond.slope_x_ratio * table[:, 0] + beyond.slope_y_ratio * table[:, 1])
    far = middle + CARRIED_RATIO * (table[hull, :2] - middle)
    places = np.vstack([table[:, :2], far])
    lifts = np.concatenate([off, off[hull]])
    triangles = [tuple(int(i) for i in t) for t in Delaunay(table[:, :2]).simplices]
    count = len(table)
    for i, at in enumerate(hull):
        after = (i + 1) % len(hull)
        triangles.append((int(at), count + i, count + after))
        triangles.append((int(at), count + after, int(hull[after])))
    facets = (_facet(places[list(t)], lifts[list(t)], beyond) for t in triangles)
    return tuple(f for f in facets if f is not None)


def _facet(corners: np.ndarray, lifts: np.ndarray, beyond: Plane) -> Facet | None:
    (x0, y0), (x1, y1), (x2, y2) = corners.tolist()
    area = (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)
    if abs(area) < SLIVER_MM2:
        return None
    z0, z1, z2 = lifts.tolist()
    gx = ((z1 - z0) * (y2 - y0) - (z2 - z0) * (y1 - y0)) / area
    gy = ((x1 - x0) * (z2 - z0) - (x2 - x0) * (z1 - z0)) / area
    ring = ((x0, y0), (x1, y1), (x2, y2)) if area > 0.0 else ((x0, y0), (x2, y2), (x1, y1))
    tilt = (gx + beyond.slope_x_ratio, gy + beyond.slope_y_ratio)
    return Facet((ring,), (z0 - gx * x0 - gy * y0 + beyond.level_mm, *tilt, 0.0, 0.0))


def raised(facets: Facets, by_mm: float) -> Facets:
    """The same surface, `by_mm` higher.

    Valid       any facets
    Source      algebra
    Proved by   tests/chamber/test_surface.py
    """
    return tuple(Facet(f.within, (f.height[0] + by_mm, *f.height[1:])) for f in facets)


def less(upper: Facets, lower: Facets) -> Facets:
    """The thickness between two surfaces, as facets.

    Valid       facets that cover the outlines
    Source      algebra
    Proved by   tests/chamber/test_surface.py
    """
    thickness = []
    for u in upper:
        for v in lower:
            a, b = u.height, v.height
            height = (a[0] - b[0], a[1] - b[1], a[2] - b[2], a[3] - b[3], a[4] - b[4])
            thickness.append(Facet((*u.within, *v.within), height))
    return tuple(thickness)
